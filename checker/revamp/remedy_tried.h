/*
 * Remedies tried: every change that the remedy of an open finding names is made on the description, and the variant is judged: what it
 * clears, what it breaks, and what can no longer be judged.
 *
 * What is compared are the findings as they ask for something (Resolve, Justify, Consider). A change is judged quickly where that shows
 * its own finding, and in full, with everything weighed, where its finding rests on weighing or the change makes a contradiction
 * (verdicts.h). Changes with the same words are tried once. A calculated value or step that does not clear its own finding, because the
 * change moves what it is calculated from, is calculated again in the variant, a few times.
 */
#ifndef LEANRICH_REMEDY_TRIED_H
#define LEANRICH_REMEDY_TRIED_H

#include "revamp/remedy.h"
#include "revamp/verdicts.h"

struct tried {
	const struct finding *finding; /* of the unit as it is (verdicts.weighed) */
	struct remedy remedy;
	size_t same_as;		    /* index of the first that makes the same change; its own where it is that */
	struct verdict_turns turns; /* none where the remedy or the variant has a fault */
	bool in_full;		    /* judged with everything weighed */
	const char *fault;	    /* why it was not tried, or NULL */
	bool clears_own;	    /* its own finding asks for nothing any more */
};

struct tried_list {
	const struct tried *rows; /* by finding, in the order of rules, then as the rule names them */
	size_t count;
	size_t words_only; /* open findings whose remedy names no change */
};

/* Of the open findings down to `least` (Resolve alone, Justify too, ...). */
struct tried_list remedies_try(struct arena *arena, struct verdicts *verdicts, enum action least);

/* The same for the record of a review. */
struct remedy_trials remedies_record(struct arena *arena, const struct tried_list *list);
struct remedy_trial tried_record(const struct tried *tried);

#endif
