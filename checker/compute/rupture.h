/*
 * A broken tube: what the low-pressure side, and the systems it is connected with upstream and downstream, were tested at, beside the
 * design pressure of the high-pressure side (API Std 521).
 *
 * Test pressure: stated; else 1.3 of the design pressure (ASME VIII-1 from the 1999 addenda on), or 1.5 for piping (ASME B31.3) and for
 * vessels built before 1999. The correction for allowable stress at temperature is left out, which is careful. Gauge pressures.
 */
#ifndef LEANRICH_RUPTURE_H
#define LEANRICH_RUPTURE_H

#include "resolve/table.h"

/* After relief_compute. */
void rupture_compute(struct table *table);

#endif
