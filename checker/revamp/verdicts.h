/*
 * A unit as it is and variants of it, judged beside each other: which findings are no more, which are new or worse, and what can no
 * longer be judged.
 *
 * A variant is judged quickly, doing again only what moved (pipeline/lineage.h) and before anything is weighed with other values; or in
 * full, as a review judges it. Quickly nothing is said of what only weighing decides: whether a contradiction turns a verdict, a
 * verdict that is unsettled, which statement the circuit is against. verdicts_follows tells of which findings that is so.
 */
#ifndef LEANRICH_VERDICTS_H
#define LEANRICH_VERDICTS_H

#include "record/review.h"
#include "revamp/watched.h"

struct verdicts {
	struct arena *arena;
	const struct element *unit;
	const struct catalogue *catalogue;
	struct watched watched; /* the unit as it is, not weighed, for judging quickly */
	const struct table *weighed_table;
	struct judgement weighed; /* in full */
	const struct finding *
		*beside;    /* of each finding of the unit as it is the one of weighed; NULL: there is none */
	bool *followed;	    /* of each of weighed */
	size_t quick, full; /* variants judged so far, either way */
};

struct verdict_turns {
	const struct verdict_turn *rows; /* in the order of rules; in the arena of the call, as are their words */
	size_t count;
	bool contradicts;  /* judged quickly: the variant holds a contradiction that the unit does not */
	const char *fault; /* why the variant cannot be computed, or NULL */
};

/* The unit as it is; `unit` is free of faults. */
struct verdicts *verdicts_open(struct arena *arena, const struct element *unit, const struct catalogue *catalogue);

struct verdict_turns verdicts_quickly(struct verdicts *verdicts, struct arena *arena, const struct element *variant);
struct verdict_turns verdicts_in_full(struct verdicts *verdicts, struct arena *arena, const struct element *variant);

/* Can a change of this finding (the index of one of `weighed`) be seen when a variant is judged quickly? */
bool verdicts_follows(const struct verdicts *verdicts, size_t finding);

/* As a review judges a description: computed with everything, judged and weighed. Table NULL: it has faults, which are in `problems`. */
struct assessed_unit verdicts_review(
	struct arena *arena, const struct element *unit, const struct catalogue *catalogue, struct problems *problems);

#endif
