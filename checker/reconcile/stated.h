/*
 * The statements of a package as rows of its circuit: which unknown, or which value that follows from several, each states.
 *
 * Of an operating case other than the first only what it states itself counts, and what is no condition of a case: a value carried
 * over from the first case is no statement of another. The highest operating temperature of an item is one only in a unit of one
 * steady case, or where the item states it for the case. A bound, a value that is owed, and a flow whose kind says nothing of
 * this circuit are left out.
 */
#ifndef LEANRICH_STATED_H
#define LEANRICH_STATED_H

#include "reconcile/plant.h"

enum stated_form {
	STATED_UNKNOWN,	 /* one unknown, or its ln */
	STATED_MASS,	 /* ln kg/s of a stream of amine */
	STATED_VOLUME,	 /* ln m3/s of one */
	STATED_LOADING,	 /* ln of both loadings together */
	STATED_DENSITY,	 /* ln kg/m3 */
	STATED_OVERHEAD, /* ln kg/s of the overhead of a column */
	STATED_RATIO,	 /* ln of reflux over acid gas, by moles */
};

struct stated {
	const struct statement *statement;
	enum stated_form form;
	size_t of;	      /* unknown, index of liquid, or of column */
	bool linear;	      /* K or mass fraction; else ln */
	double shift;	      /* metric of the unknown less metric of the statement: units that differ by a factor */
	double metric, sigma; /* y and s of the row */
	double rounding;      /* the part of s that is the last printed digit */
	size_t group;	      /* statements of one quantity */
	size_t row;	      /* in the fit, once added */
	const char *why_not;  /* it states the unknown, but not of this case; NULL: no such reason */
};

struct stateds {
	struct stated *rows;
	size_t count;
	const char **left_out; /* with the reason */
	size_t left_out_count;
};

/* Finds the statements of a plant and sets the starts of what they state. Before plant_start(). */
struct stateds stated_of(struct plant *plant);

/* Adds their rows to the fit; after plant_start(). */
void stated_add(struct plant *plant, struct stateds *stateds);

/* From the metric of a row to the SI value of its statement. */
double stated_si(const struct stated *stated, double metric);

/* Half of what the last printed digit leaves open, in SI: "56.5 m3/h" is printed to 0.1 m3/h; 0 where it cannot be told. */
double stated_digit(const struct quantity *quantity);

#endif
