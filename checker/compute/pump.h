/*
 * The pressure a pump can give at no flow: the highest suction of all cases and the rise at its rated flow times 1.25, which is
 * what centrifugal pumps of this trade reach at most where the maker's curve is not at hand (common practice, no source). A
 * stated shut-off pressure is kept beside it.
 *
 * A pump that a booster feeds, through coolers and valves and no vessel, has the shut-off pressure of the booster as its highest
 * suction: nothing flows, and nothing is lost on the way. The height between the two pumps is not counted. Where the booster's is
 * not known the result is what the pump gives at least.
 */
#ifndef LEANRICH_PUMP_H
#define LEANRICH_PUMP_H

#include "resolve/table.h"

/* Pa from the highest suction, and suction and discharge at rated flow. */
double pump_shut_off(double highest_suction, double suction, double discharge);

/* After interface_compute, whose pressures tell what stands between. */
void pump_compute(struct table *table);

#endif
