/*
 * What was measured of the metal over the years: rates of loss from wall readings, the years that are left, what inspections
 * found.
 *
 * Readings are compared with those of the same place. Of the long-term rate (first to last) and the short-term one (the last
 * two) the larger holds, as API 510 and API 570 have it (from memory). Years are Julian.
 */
#ifndef LEANRICH_HISTORY_H
#define LEANRICH_HISTORY_H

#include "resolve/table.h"

/* After the hydraulics, which give the nominal wall of a pipe; before what asks for a rate of corrosion. */
void history_compute(struct table *table);

#endif
