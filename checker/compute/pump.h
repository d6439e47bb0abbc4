/*
 * The pressure a pump can give at no flow: the highest suction of all cases and the rise at its rated flow times 1.25, which is
 * what centrifugal pumps of this trade reach at most where the maker's curve is not at hand (common practice, no source). A
 * stated shut-off pressure is kept beside it.
 */
#ifndef LEANRICH_PUMP_H
#define LEANRICH_PUMP_H

#include "resolve/table.h"

/* Pa from the highest suction, and suction and discharge at rated flow. */
double pump_shut_off(double highest_suction, double suction, double discharge);

/* After streams_compute. */
void pump_compute(struct table *table);

#endif
