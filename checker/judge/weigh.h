/*
 * A value beside every published limit: which apply, which is met, which governs.
 *
 * A limit is for a place (pipe, tube), for narrowed cases (amine, material, side), or for all. The governing one is chosen apart for
 * upper and for lower limits: pinned by rule or profile; else the most narrowed; among equals the strictest that was
 * read; never a looser remembered or unsourced number over a stricter read one. With the strictest profile the strictest.
 */
#ifndef LEANRICH_WEIGH_H
#define LEANRICH_WEIGH_H

#include "judge/sitting.h"

/* Is a limit for pipe, for tube or for both meant for an item of this kind? */
bool limit_is_for_kind(const struct limit *limit, const char *kind);

/* Fills sitting->limits and ->governing for the judged value. YES: met; PERHAPS: what is missing is noted. */
enum truth weigh_limits(struct sitting *sitting);

/* The same for a rule that asserts: its limits are demands in words, met as the assertion is. */
enum truth weigh_assertion(struct sitting *sitting);

#endif
