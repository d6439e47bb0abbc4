/*
 * Operating cases that a package leaves out, solved by the program (circuit/circuit.h), and which verdicts turn in
 * them.
 *
 * Each case changes a few conditions of the solved base, the first case of the description: the air, a cooler, a
 * surface, the feeds, the throughput. What the solved circuit changes is applied to what the package states:
 * temperatures by their difference, loadings and flows by their ratio (where it states none, the solved value itself),
 * so that a case differs from the base by the change alone and not by what the base misses. Each case is a further
 * operating case, with these values, of a variant of the description of its own (since much is judged over all cases),
 * is judged there, and compared with the base as it is. Where the base leaves out values that are solved, it is first
 * judged with these, as a case of its own, with which the others are compared: what turns by knowing more is told
 * apart from what turns by another condition. Equipment that was held keeps what is stated. Contradictions of the
 * package with itself (family balance, and rules on data that judge a difference) and verdicts on which statement is
 * wrong are not compared: they are of the statements, not of the case.
 *
 * Cases that the package states itself are solved with the conditions they state and stand beside what they state.
 *
 * Screening throughout: see the limits of circuit.h.
 */
#ifndef LEANRICH_CASES_H
#define LEANRICH_CASES_H

#include "circuit/circuit.h"
#include "judge/catalogue.h"
#include "record/review.h"
#include "read/element.h"
#include "revamp/variant.h"

/* A value of the circuit. SI of the kind. */
struct solved_value {
	const struct item *of;
	const char *name;
	enum kind kind;
	double stated;	 /* in the base, or of a stated case in that; NaN: not stated */
	double base;	 /* solved base */
	double solved;	 /* solved case */
	double value;	 /* of the case: the stated base and the solved change */
	double asserted; /* what a stated case states itself; NaN: it does not */
};

/* A treated gas that no longer meets its specification. mol/mol. */
struct off_specification {
	const struct item *gas;
	const char *name;     /* "h2s" */
	double before, value; /* of the base, as stated or solved; of the case */
	double limit;
};

struct case_turn {
	const struct rule *rule;
	const char *item;
	enum verdict from, to;
	enum action action;	    /* what a departure asks for */
	const char *before, *after; /* the value judged, in words; "" where there is none */
	const char *message;	    /* of the departure; of one that is left, "" */
	const char *limit;	    /* in words, or "" */
	const char *already;	    /* a stated case in which it departs already, or NULL */
	const char *moved; /* where the value judged is the same: what else of the rule moved, in words; or "" */
	const char *base;  /* by what the solved base misses a stated value that it rests on, in words; or "" */
};

struct solved_case {
	const char *id, *title;
	const char *what; /* what is changed, in words */
	bool stated;	  /* a case of the package: solved beside what it states, not judged again */
	bool failure;	  /* something does not work in it */
	const char *why;  /* not solved: why; NULL: it is */
	const struct solved_value *values;
	size_t value_count;
	const struct off_specification *off;
	size_t off_count;
	const struct case_turn *turns; /* departures first, the gravest first */
	size_t turn_count;
	struct circuit circuit;
	/* by what flows are multiplied: amine, feed, steam, reflux, overhead */
	double circulation, feed, steam, reflux, overhead;
	double air, water;	       /* K: of the site in the case; NaN: as stated */
	int operating_case;	       /* of a stated one: its index; of a made one: that in its variant */
	const struct element *variant; /* of a made one that is solved; else NULL */
};

struct cases {
	const char *fault;		   /* nothing is solved: why; or NULL */
	const char *base;		   /* id of the base case */
	struct circuit circuit;		   /* solved base, calibrated */
	const struct solved_value *values; /* base: solved beside stated */
	size_t value_count;
	struct solved_case *rows;
	size_t count, capacity;
	const char **left_out; /* cases that were not made, with the reason */
	size_t left_out_count, left_out_capacity;
	const struct element *unit;
	bool filled; /* the first row is the base with what is not stated */
};

/* Of the site in the hottest case, K; NaN: assumed above what is stated. */
struct cases_asked {
	double air, water;
};

/* `table`: of the unit with everything computed. */
struct cases cases_of(struct arena *arena, const struct element *unit, const struct table *table,
	const struct catalogue *catalogue, struct cases_asked asked);

/* ---- the parts (cases_*.c) ---- */

/* Solves each row, and fills its values. */
void cases_make(struct arena *arena, const struct table *table, struct cases_asked asked, struct cases *cases);
void cases_values(struct arena *arena, const struct table *table, struct cases *cases);

/* The variant of each case that was made and solved. */
void cases_build(struct arena *arena, const struct table *table, struct cases *cases);

/* Judges the variants; fills the turns. */
void cases_judge(struct arena *arena, const struct catalogue *catalogue, struct cases *cases);

#endif
