/*
 * What turns a verdict, in words: "departs if velocity is above 1.8 m/s; meets if velocity is at most 1.8 m/s".
 *
 * Shared by who tries every combination of what is not known (both_ways.c); nobody else needs it.
 */
#ifndef LEANRICH_TURNING_H
#define LEANRICH_TURNING_H

#include "judge/domain.h"

enum {
	UNKNOWN_MOST = 8,   /* inputs varied together */
	COMBINATIONS = 400, /* of their values; beyond that the later ones stay unknown */
	VERDICTS = VERDICT_NOT_APPLICABLE + 1
};

/* One thing that is not known: inputs that are one quantity of one item, or a word by which the rule selects or narrows. */
struct open {
	uint32_t inputs;
	const char *word;   /* the name of the word, or NULL */
	bool border;	    /* known, and within its uncertainty of where the rule applies */
	const char *within; /* in what it lies, whatever it is: "in every schedule of NPS 6"; or NULL */
	bool evidence;	    /* that follows from what the package states */
	struct domain domain;
	bool turns; /* does the action hang on it, whatever the others are? */
};

struct weighing {
	struct arena *scratch;
	const struct evaluation *first; /* as it was judged */
	struct judge_context context;	/* the same with the scratch arena */
	struct open open[UNKNOWN_MOST];
	size_t count;
	bool whole;    /* every value there can be is among those tried */
	bool left_out; /* there are more unknown things than can be varied: all that is missing is asked for */
	bool silent;   /* nothing is unknown: what silence is taken for is tried otherwise */
	bool defaults; /* what the rule takes where nothing is stated is tried otherwise as well */
	size_t combinations;
	enum verdict *verdicts; /* of each combination: the first thing varies slowest */
	size_t counts[VERDICTS];
};

/* Which value of thing `k` stands in the combination; and how many combinations on its next value stands, the others as they are. */
size_t turning_choice(const struct weighing *weighing, size_t combination, size_t k);
size_t turning_step(const struct weighing *weighing, size_t k);

/* The first combination with this verdict; there must be one. */
size_t turning_first(const struct weighing *weighing, enum verdict verdict);

/* What a rule does to an item, as the end of a sentence: "departs", "does not apply". */
const char *turning_says(enum verdict verdict);

/* On what the verdict turns; NULL where no value tried departs, or those tried are only a sample. */
const char *turning_words(struct weighing *weighing, struct arena *arena);

/* "whatever is stated of hic tested and sulfur content" */
const char *turning_whatever(struct weighing *weighing, struct arena *arena);

/* That it is unsettled, and why; `verdict`: what the rule does beyond the border. */
const char *turning_border(const struct weighing *weighing, const char *verdict);

#endif
