/*
 * What the damage chapter says of a place beside its mechanisms: whether it has a line of its own, its condition in words, when to
 * look at it and what is not known of it. damage.h says what these are.
 */
#ifndef LEANRICH_DAMAGE_PLACE_H
#define LEANRICH_DAMAGE_PLACE_H

#include "judge/damage.h"

/* Has the item a line of its own? Of a nozzle or weld only where its condition differs from that of what it is in. */
bool damage_is_place(const struct table *table, const struct item *item);

/* Fills condition, urgency and open of a row whose item and answers are set. */
void damage_describe(struct arena *arena, const struct table *table, struct damage *row);

#endif
