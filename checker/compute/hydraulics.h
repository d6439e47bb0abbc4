/*
 * Lines, tubes, channels and nozzles: bore, mean velocity, momentum flux, the next pipe size.
 *
 * v = 4 Q / (pi D^2); through a bundle of N tubes in n passes N / n tubes carry the flow. Bore from the size and
 * schedule (ASME B36.10M, B36.19M, nominal wall) or as stated. A stated velocity is kept as it is.
 */
#ifndef LEANRICH_HYDRAULICS_H
#define LEANRICH_HYDRAULICS_H

#include "resolve/table.h"

void hydraulics_compute(struct table *table);

#endif
