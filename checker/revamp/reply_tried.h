/*
 * Replies that name values, tried: the description with them is computed and judged like any other before a finding closes.
 *
 * Each reply is tried by itself. It clears its finding, or that still departs, or something departs that did not, or with it the finding
 * cannot be judged; one that says that something changes and not what is not understood. None of these closes anything: that is done by
 * the description, when it says so itself. What a reply names and the description says by now is not tried.
 */
#ifndef LEANRICH_REPLY_TRIED_H
#define LEANRICH_REPLY_TRIED_H

#include "read/element.h"
#include "record/round.h"

/* The round with what came of each reply, in `applied` and in `why`. `unit`: the description that was reviewed. */
const struct round *replies_try(
	struct arena *arena, const struct element *unit, const struct review *review, const struct round *round);

/* What of a review is to be changed in the file: the changes of all replies that are understood and not stated yet. */
struct patched {
	struct text text; /* the file with them; every other byte is as it was */
	size_t values;	  /* changed */
	size_t conflicts; /* attributes of which replies name several values: left as they are */
};

/* `bytes`: of the description, named `name`. */
struct patched replies_patch(struct arena *arena, const struct element *unit, const struct review *review,
	const char *name, const struct text *bytes);

#endif
