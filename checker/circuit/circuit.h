/*
 * The circuit solved by the program in one operating case: what leaves each absorber, exchanger, cooler, flash drum
 * and regenerator, from feeds, circulation, surface, heat and cooling; for cases that a package leaves out. Screening.
 *
 * What a piece of equipment can do is found from the base case, so that it reproduces there what the package states
 * (circuit_calibrate): of an absorber the share of the way to equilibrium on each stage (tower_stages.h), of a
 * lean/rich exchanger U A F, of a cooler U A against a medium that does not warm up, of a regenerator the number of
 * equilibrium stages (column.h) that strips as stated at the stated duty, and what is left of each gas over that of
 * these stages. Nothing of that moves in other cases, but for U of a lean/rich exchanger, which goes with the flow to
 * the power 0.65: films go with 0.8 in tubes, 0.55 to 0.6 around them, 0.65 to 0.75 between plates (from memory), and
 * fouling does not. With the same flow U A is constant.
 *
 * The base case is solved too: it misses what the package states as far as the package does not close, and a user
 * takes changes against the solved base, not values.
 *
 * Circulation is an input. Equipment that cannot be solved is held: what leaves it stays as stated, and `held` says
 * why. So is what something enters of which loading or temperature is neither stated nor solved: that stays NaN. What
 * does not converge has `solved` false, a reason, and no numbers. Not solved: semi-lean feeds, side draws,
 * treaters (held).
 *
 * SI. Everything lives in the arena given. Streams are those of reconcile/flowsheet; values are kept at the root of a
 * class.
 */
#ifndef LEANRICH_CIRCUIT_H
#define LEANRICH_CIRCUIT_H

#include "circuit/tower_stages.h"
#include "compute/column.h"
#include "reconcile/flowsheet.h"

enum circuit_sort {
	CIRCUIT_REGENERATOR,
	CIRCUIT_EXCHANGER,
	CIRCUIT_COOLER,
	CIRCUIT_MIX,
	CIRCUIT_ABSORBER,
	CIRCUIT_FLASH,
	CIRCUIT_SORTS
};

/* What sets the heat of a reboiler. */
enum circuit_heat { HEAT_BY_CIRCULATION, HEAT_FIXED, HEAT_BY_REFLUX };

struct circuit_unit {
	enum circuit_sort sort;
	const struct item *item;
	const struct stream_list *in, *out;	   /* of a junction; else NULL */
	size_t hot_in, hot_out, cold_in, cold_out; /* of an exchange: streams, or NO_STREAM */
	const char *held;			   /* why it is not solved; NULL: it is */

	/* conditions: what a case may change */
	struct tower_gas gas;	    /* of an absorber */
	double pressure;	    /* Pa: of a drum; of what leaves the cold side of an exchanger, NaN: not known */
	double medium;		    /* K: of what cools a cooler, or the condenser of a regenerator */
	double surface;		    /* share of the surface that is left: 1 */
	bool cooled;		    /* a cooler or a condenser works */
	double duty;		    /* W, of all reboilers of a regenerator */
	bool duty_taken;	    /* from the first case: this one states none */
	struct column_input column; /* its feed, duty and heat loss are filled in when it is solved */

	/* found from the base case */
	double efficiency[GAS_COUNT]; /* of an absorber */
	bool reached[GAS_COUNT]; /* they give what the package states; false: an assumption, or the end of the range */
	double conductance;	 /* W/K: U A F of an exchanger, or U A of a cooler */
	double flows;		 /* mol2/s2: of amine through both sides of an exchanger in the base */
	double least;		 /* K: a cooler, or a reflux drum, is not let become colder than this */
	double duty_share;	 /* of a regenerator; 1 unless no number of stages comes near the stated lean loading */
	int stages_of_trays;	 /* what its description gives; column.stages: what it does */
	double split[GAS_COUNT]; /* stated lean loading over that of the column; NaN: the stated one is held */
	enum circuit_heat heat;
	double reflux_ratio; /* of the solved base */
	double uncalibrated; /* total lean loading that the stages of its trays would reach; NaN: not known */

	/* solved */
	struct tower_answer tower;
	struct column still;
	double heat_moved;		  /* W, of an exchanger or a cooler */
	double profile[3 * TOWER_STAGES]; /* to begin with */
};

struct circuit {
	struct arena *arena;
	struct table *table; /* an overlay of its own over that which was given */
	int operating_case;
	struct flowsheet sheet;
	struct solution_input solvent; /* without gases */
	struct circuit_unit *units;
	size_t count;
	/* by stream, at the root of its class; NaN: not known */
	double *amine;		      /* mol/s */
	double (*loading)[GAS_COUNT]; /* mol/mol */
	double *temperature;	      /* K */
	size_t *follows;	      /* by root of temperature: the one it keeps its distance to, or NO_STREAM */
	double *distance;	      /* K */
	bool *gives_loading, *gives_temperature; /* by root, once it is solved: by a unit that is not held */
	const char **notes;
	size_t note_count, note_capacity;
	const char *fault; /* nothing can be solved at all: why; or NULL */
	bool solved;
	const char *why;		   /* not solved: why */
	const struct circuit_unit *failed; /* the unit that did not converge; NULL: none alone */
	int sweeps;
};

/* Connections, conditions and stated values of one case; what nobody states is NaN until it is solved. */
struct circuit circuit_read(struct arena *arena, const struct table *table, int operating_case);

/* Finds what the equipment can do from the values as read. */
void circuit_calibrate(struct circuit *circuit);

/* The same from another case of the same unit, or of another revision of it: by tags. */
void circuit_take(struct circuit *circuit, const struct circuit *base);

/* A copy whose conditions and values may be changed, in an arena. */
struct circuit circuit_copy(struct arena *arena, const struct circuit *circuit);

/* Fills loadings and temperatures of all streams, and the answers of all units. False: circuit->why. */
bool circuit_solve(struct circuit *circuit);

/* The same; a unit that does not converge is held and the rest solved again: for the base. */
bool circuit_solve_or_hold(struct circuit *circuit);

double circuit_amine(const struct circuit *circuit, size_t stream);
const double *circuit_loading(const struct circuit *circuit, size_t stream);
double circuit_temperature(const struct circuit *circuit, size_t stream);

/* Is the loading, or else the temperature, of a stream solved, and not as stated or unknown? Of a circuit that was solved. */
bool circuit_gives(const struct circuit *circuit, size_t stream, bool loading);

void circuit_note(struct circuit *circuit, const char *words);

/* ---- one piece of equipment (circuit_units.c) ---- */

/* The solution of a stream with its loading and temperature. */
struct solution_input circuit_solution(const struct circuit *circuit, size_t stream);

/* Solves one unit with what enters it as it is now; `out`: what leaves it. NULL, or why not. */
const char *circuit_unit_solve(struct circuit *circuit, struct circuit_unit *unit);

/* Finds what it can do; sets `held` where that cannot be told. */
void circuit_unit_calibrate(struct circuit *circuit, struct circuit_unit *unit);

#endif
