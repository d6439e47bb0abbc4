/*
 * What rules judge of a solution and of what carries it, where two figures of one quantity are at hand: the more careful one.
 *
 * Temperature: of a stream that others flow into, and of what carries it, the stated one or that of the mixture, whichever is
 * hotter. Loading: the stated total or the sum of H2S and CO2, whichever is larger. Salts: the total by mass of the solution or
 * the anions listed, whichever is more; without a total, at least the anions. Equipment has its own beside its formulas.
 */
#ifndef LEANRICH_JUDGED_H
#define LEANRICH_JUDGED_H

#include "resolve/table.h"

/* After streams, lines and the sum of the anions. */
void judged_compute(struct table *table);

#endif
