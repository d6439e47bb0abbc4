/*
 * What holds for a place beyond what it is nested in: of the zone that it names, and of an exchanger that is described by its sides.
 *
 * What is stated of a zone holds for the nozzles, parts, welds and repairs that name it, and what is stated of a part for the welds
 * and repairs that name that, as it does for those nested in it: of the
 * attributes that are handed down, one that such a part, or what is in it, has only from the vessel becomes that of the zone.
 * What is found on an exchanger (hardness, cracks, cold strain) is found on its shell, where that is described, else on
 * the sides that are. What a place states itself stays. A zone that is not described changes nothing.
 */
#ifndef LEANRICH_HANDED_DOWN_H
#define LEANRICH_HANDED_DOWN_H

#include "read/element.h"
#include "resolve/table.h"

/* After all items of `unit` are in the table, in whatever order they are. */
void hand_down(struct table *table, const struct element *unit);

/* The part, else the zone, that the item or what it stands in names; NULL: none, or nobody describes it. */
const struct item *hand_down_from(const struct table *table, const struct item *item);

/*
 * Does a value of this name say what hands down to what, or is it handed down from an exchanger? Of the attributes that parts inherit
 * see has_heirs of instead.c.
 */
bool hand_down_looks_at(const char *name);

#endif
