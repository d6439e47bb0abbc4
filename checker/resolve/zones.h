/*
 * What is stated of a zone holds for the nozzles, parts, welds and repairs that name it, as it does for those nested in it.
 *
 * Of the attributes that are handed down, one that such a part, or what stands in it, has only from the vessel becomes that of
 * the zone; what it states itself stays. A zone that is not described changes nothing.
 */
#ifndef LEANRICH_ZONES_H
#define LEANRICH_ZONES_H

#include "read/element.h"
#include "resolve/table.h"

/* After all items of `unit` are in the table, in whatever order they stand. */
void zones_hand_down(struct table *table, const struct element *unit);

#endif
