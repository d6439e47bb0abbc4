/*
 * The metal that a fluid touches: one answer for every item that holds, carries or is in a fluid.
 *
 * Puts `wetted-material` and `wetted-material-family`: the alloy of the cladding, overlay, lining or facing where it covers that
 * place, else the metal itself; stated of the item, of the zone it names, or handed down by what it is part of. Where nobody
 * mentions a cladding the metal is taken as bare, which is the careful side. A vessel has the least protected metal of its shell
 * and of the zones described: lined in part is not lined. What is described only by its zones has their metal. An exchanger
 * described by its sides has "that of its sides". Where zones of another metal leave a part of the height over (coverage.h),
 * `left-by-zones` (text) says from where to where.
 *
 * Puts `surface-material` and `surface-material-family` on exchangers of every kind and on their sides: the metal of the tubes or
 * plates that separate the two fluids, which both touch; the tubes may be stated on a part of that name, the side or the exchanger.
 *
 * Puts `wetted-by-amine` and `wetted-by-overhead`: does amine, or the water of the overhead, touch the metal, on either face of
 * tubes, plates and tubesheets? Of everything else they are the same as `amine-wetted` and `overhead-wetted`.
 *
 * Puts `wall-material`, `wall-material-family` and `wall-clad`: the metal that is welded, and whether a cladding covers it. Of a tube
 * side that is the channel or header; of steel tubes whose channel nobody states it is taken for steel too.
 *
 * Words only; no unit. What is not stated is unknown, with the words that ask for it.
 */
#ifndef LEANRICH_CONTACT_H
#define LEANRICH_CONTACT_H

#include <stdbool.h>

#include "resolve/table.h"

/* Carbon or low-alloy steel, by the name of the family of a metal; NULL is neither. */
bool contact_is_steel(const char *family);

/* After metal_compute. */
void contact_compute(struct table *table);

#endif
