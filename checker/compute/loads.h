/*
 * What contaminants come into the unit, source by source: flow times content of each feed gas and of the make-up water, and the sum.
 *
 * Puts `oxygen-load`, `cyanide-load` and `ammonia-load` on feed gases, `oxygen-load`, `chloride-load` and `sodium-load` on make-up
 * water, and the sum of each on the solvent: at least so much where a source states its content but not its flow, or the reverse.
 * A source that says nothing of a contaminant is not counted.
 */
#ifndef LEANRICH_LOADS_H
#define LEANRICH_LOADS_H

#include "resolve/table.h"

/* After streams_compute. */
void loads_compute(struct table *table);

#endif
