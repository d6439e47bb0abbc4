/*
 * What runs back through a pump that has stopped: the highest pressure of the vessel it discharges into, beside the lowest test
 * pressure of all that is open to its suction up to the vessel it draws from (API Std 521, from memory). Gauge pressures; test pressures
 * are those of rupture.h.
 *
 * The vessel downstream stands at the set pressure of its relief or its design pressure (envelope.h), else at least at its operating
 * pressure. Where the vessel upstream is not rated the ratio is at least what the rest gives. Whether a relief case covers reverse
 * flow, of the pump or of what is open to its suction, is put too. The flow itself is not calculated.
 *
 * Another pump in the way stands still as well and is passed, in both directions, unless it has two unlike check valves and a shut-off.
 */
#ifndef LEANRICH_REVERSE_FLOW_H
#define LEANRICH_REVERSE_FLOW_H

#include "resolve/table.h"

/* After envelope_compute. */
void reverse_flow_compute(struct table *table);

#endif
