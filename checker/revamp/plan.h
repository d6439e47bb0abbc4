/*
 * The smallest sets of changes that clear everything to resolve (or to justify as well), out of those that remedies name.
 *
 * Each change is tried by itself first (remedy_tried.h). Goals that share no change are apart from each other; of each such group
 * the smallest covers are found (plan_cover.h), and one is taken only if the variant with all of its changes, judged, clears the group and
 * asks for nothing new of that kind; else covers with one change more are looked at. What is put together from the groups is
 * reviewed in full; what is then still open, because changes act on each other, is met by changes that its own remedies name in that
 * variant, and a change that has become needless is left out. A goal that no change clears, nor two of its own together, is said and
 * left out of the search.
 *
 * The size of a set is its number of changes: what they cost, and whether a plant would rather make them, stays with the reader. A set
 * is not kept beside another of its size that leaves no more of any kind, less of one, and states no more without showing it. The
 * search is deterministic. It is exact as long as what a change does to one group does not hang on changes of another; the suite holds it
 * against trying every set, on small units.
 */
#ifndef LEANRICH_PLAN_H
#define LEANRICH_PLAN_H

#include "revamp/remedy_tried.h"

enum { PLAN_SETS = 5 };

struct plan_goal {
	const struct finding *finding; /* of the unit as it is */
	const char *left_out;	       /* why no set clears it, or NULL */
	bool apart;		       /* no one change clears it */
};

struct plan_set {
	const struct remedy *const *changes; /* with the same words once */
	size_t count;
	size_t stated;	      /* changes that only state what has to be shown (remedy.h) */
	struct variant edits; /* of all of them, of the description as it is written */
	bool clears; /* every goal that any change clears, with nothing new of that kind: seen by a full review */
	struct verdict_turns turns; /* by a full review, against the unit as it is */
	size_t left[ACTION_KINDS];  /* findings that ask for something then; under State those that cannot be judged */
	const char *fault;	    /* why the variant cannot be computed, or NULL */
};

struct plan {
	enum action least; /* what is to be cleared: Resolve, or down to Justify */
	struct verdicts *verdicts;
	struct tried_list tried;
	const struct plan_goal *goals;
	size_t goal_count, left_out;
	const struct plan_set *sets; /* smallest first */
	size_t set_count;
	size_t judged;	   /* verdicts of the unit as it is, about anything that it contains */
	size_t not_judged; /* verdicts of it that wait for data */
	bool given_up;	   /* smaller sets were not looked for to the end */
};

/* `unit` is free of faults. */
struct plan plan_make(
	struct arena *arena, const struct element *unit, const struct catalogue *catalogue, enum action least);

#endif
