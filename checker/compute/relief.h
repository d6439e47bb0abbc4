/*
 * What the relief of an item is said to cover: gas blow-by, vacuum, a broken tube.
 *
 * All that is said of it counts: the item's own word and its relief cases of that name; a shell has those of its exchanger. It is
 * covered when every one of them says so, not covered when one says not, unknown where nobody speaks. Of a valve its
 * own word comes before that of the vessel it feeds, whose relief case may be meant for another valve.
 *
 * Of the unit, where it speaks of relief at all: are the cases listed that no relief study can leave out (blocked outlet and fire of
 * vessels, loss of cooling, of reflux and steam wide open of a regenerator, thermal expansion of exchangers that can be blocked in)?
 */
#ifndef LEANRICH_RELIEF_H
#define LEANRICH_RELIEF_H

#include "resolve/table.h"

void relief_compute(struct table *table);

#endif
