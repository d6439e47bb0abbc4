/*
 * The pressure at which each item operates, per case, and how its design pressure lies over it.
 *
 * It is the highest that is stated of the item, or of what it holds. The pressure of a stream in whose run a valve or a
 * pump stands tells nothing of what hangs at the lower pressure, since nobody says on which side the figure holds (at
 * the higher there is at least so much): there, and where nothing is stated, a line, a side or a filter has the lowest
 * pressure of the vessels that it is surely open to, else that of the pump that discharges into it. Pa.
 */
#ifndef LEANRICH_OPERATING_H
#define LEANRICH_OPERATING_H

#include "resolve/piping.h"

/* After streams_compute and pump_compute. */
void operating_compute(struct table *table, const struct piping *piping);

#endif
