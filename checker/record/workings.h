/* The calculated numbers that findings rest on, with formula and inputs: what the review prints as its working. */
#ifndef LEANRICH_WORKINGS_H
#define LEANRICH_WORKINGS_H

#include "judge/judge.h"

/* A number that was calculated and that a finding rests on, with the formula and what went in. */
struct working {
	const struct item *item; /* of the finding */
	int operating_case;
	struct input value; /* as the finding, or the number it went into, calls it */
	bool of_met;	    /* only what is clearly met rests on it, or no verdict at all */
};

struct workings {
	const struct working *rows; /* what goes into a number before it */
	size_t count;
};

/*
 * Of the findings that are shown (departures, what is accepted, what is met); of what the columns give; and of what follows from
 * the description although no rule may look at it: duties, surfaces, hold-up, loads.
 */
struct workings workings_collect(
	struct arena *arena, const struct table *table, const struct finding *const *findings, size_t count);

/* In a working of one case that rests on what the case states and on what it does not: is the input of the second sort? */
bool working_assumes(const struct working *working, const struct input *input);

/* "assumed as in normal, since summer states none", or NULL where it is not. */
const char *working_assumption(
	struct arena *arena, const struct table *table, const struct working *working, const struct input *input);

#endif
