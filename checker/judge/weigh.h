/*
 * A value beside every published limit: which apply, which is met, which governs.
 *
 * A limit is for a place (pipe, tube), for narrowed cases (amine, material, side), or for all. The governing one is chosen separately for
 * upper and for lower limits, in two steps (limit_that_governs).
 */
#ifndef LEANRICH_WEIGH_H
#define LEANRICH_WEIGH_H

#include "judge/evaluation.h"

/* Is a limit for pipe, for tube or for both meant for an item of this kind? */
bool limit_is_for_kind(const struct limit *limit, const char *kind);

/* SI: where a limit with a number stands at this site. */
double weigh_limit_at(const struct evaluation *evaluation, const struct limit *limit);

/*
 * The one that governs of limits that apply, all upper or all lower; NULL of none. It does not depend on the order in which they come.
 *
 * First what may not govern is set aside: all but the pinned ones, where the rule or the profile pins any (with the strictest profile
 * only what the profile itself pins); else, beside one that is better founded (evidence.h), one company's figure and practice, unless
 * the profile sets it, and every limit that was not read and is looser than one that was. What is left has a
 * total order: with the strictest profile the stricter first, else the more narrowed, else the read, else the stricter; equals
 * by source, clause and name.
 */
const struct limit *limit_that_governs(
	const struct catalogue *catalogue, const struct limit *const *limits, size_t count);

/* Fills evaluation->limits and ->governing for the judged value. YES: met; PERHAPS: what is missing is noted. */
enum truth weigh_limits(struct evaluation *evaluation);

/* The same for a rule that asserts: its limits are demands in words, met as the assertion is. */
enum truth weigh_assertion(struct evaluation *evaluation);

#endif
