/*
 * Carbon steel as welded in lean amine that is colder than older practice asks stress relief for: one answer for the unit.
 *
 * Puts on the unit `lean-as-welded` (text: the places, or "none"), `steel-as-welded-in-lean` (yes or no; unknown where no place
 * is known to be as welded and of one it is not stated) and `lean-relief-claimed` (the package claims API RP 571 without an edition
 * or in the one of 2020, which names no temperature). Hotter places, and MEA and DIPA, are the business of the rules of each amine.
 * The thresholds: DEA 60 degC, MDEA 82 degC (API RP 945, 2003, from memory); of other amines what the basis states, else none.
 */
#ifndef LEANRICH_LEAN_WELDS_H
#define LEANRICH_LEAN_WELDS_H

#include "resolve/table.h"

/* After condition_compute. */
void lean_welds_compute(struct table *table);

#endif
