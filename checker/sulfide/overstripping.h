/*
 * The over-stripping question: does leaving H2S in the lean amine protect carbon steel?
 *
 * For every lean place in every steady case: can any lean H2S loading that the treated-gas specification allows make a
 * dense scale there, at each film age? "No" where the dense share stays under a half at the largest allowed loading
 * even with rates a decade faster than calibrated; "not determinable" otherwise, because every lean amine lies below
 * the calibrated H2S. Never yes: the published sources disagree, and the program has no ground to side with either.
 *
 * The largest allowed loading: that whose H2S over the solution at the absorber top, at the lean temperature and CO2
 * loading stated there, just meets specification x pressure; the strictest absorber of the unit. Where no specification
 * is stated the sweep's end, 0.05 mol/mol, is taken, and is said to.
 *
 * The inside of a lean/rich exchanger counts as three places more, at a quarter, half and three quarters of its duty.
 *
 * Every number in a sentence is listed beside it (sentence.h), so that whoever reads the record can check the words.
 */
#ifndef LEANRICH_OVERSTRIPPING_H
#define LEANRICH_OVERSTRIPPING_H

#include "sulfide/exchanger.h"
#include "sulfide/sentence.h"

/* What the gas specification leaves in the lean amine, in one case. */
struct allowance {
	int operating_case;
	struct missing missing; /* why it is not known; without a reason: it is */
	const struct item *absorber, *specification;
	double specified;   /* mol/mol of the treated gas */
	double pressure;    /* of the gas, Pa */
	double temperature; /* of the lean at the absorber top, K */
	double co2;	    /* its CO2 loading */
	double loading;	    /* the largest H2S loading, mol/mol */
	const struct reading_at *top;
};

/* At one film age. */
struct window_age {
	double age;	     /* s */
	double dense;	     /* share at the ceiling */
	double dense_faster; /* the same with rates a decade faster */
	double least_h2s; /* molality that the formula asks for a dense share of a half; infinite: more than 10 mol/kg */
	double least_loading; /* mol/mol; NaN: not determinable, or above the ceiling of the chemistry */
	enum truth answer;
};

struct window {
	const struct reading_at *reading;
	const struct allowance *allowance;
	const struct window *alike; /* an earlier one with the same solution, film age, iron and allowance, or NULL */
	double ceiling;		    /* mol/mol: the largest allowed, or the sweep's end */
	bool by_specification;
	double h2s_at_ceiling; /* mol/kg */
	struct window_age governing, ages[FILM_AGES];
	struct sentence sentence;
};

enum { SWEEP_NODES = 26 };

/* Dense share along the lean H2S loading at one place; its hottest steady case. */
struct sweep {
	const struct window *window;
	double loading[SWEEP_NODES];
	double h2s[SWEEP_NODES]; /* mol/kg */
	enum scale scale[SWEEP_NODES];
	struct fractions governing[SWEEP_NODES];
	double dense[SWEEP_NODES][FILM_AGES];
};

/* A claim or operating limit of the package that asks for a least H2S loading in lean amine. */
struct film_claim {
	const struct item *item;
	double claimed;			   /* mol/mol; NaN: not a number */
	const struct allowance *allowance; /* the strictest of the steady cases, or NULL */
	double over_allowed; /* H2S over the lean at the claimed loading, as a multiple of what is specified */
	enum truth answer;   /* of the cold side */
	struct sentence sentence;
};

struct overstripping {
	const struct allowance *allowances; /* by steady case */
	size_t allowance_count;
	const struct window *windows; /* lean places in the order of flow, case by case */
	size_t window_count;
	const struct sweep *sweeps; /* one a lean place */
	size_t sweep_count;
	const struct film_claim *claims;
	size_t claim_count;
	bool sweet;		    /* no H2S in the unit: no window, no sweep, and a claim is answered by that */
	struct sentence answers[4]; /* for this unit, the first first */
	size_t answer_count;
};

const struct overstripping *overstripping_answer(struct arena *arena, const struct table *table,
	const struct circuit *circuit, const struct exchangers *exchangers);

/* The claims alone, as they are in the whole answer: no sweeps, no sentences for the unit. */
const struct overstripping *overstripping_claims(struct arena *arena, const struct table *table,
	const struct circuit *circuit, const struct exchangers *exchangers);

const char *window_word(enum truth answer); /* "no", "not determinable" */

#endif
