/*
 * A broken tube: what the low-pressure side, and the systems it is connected with upstream and downstream, were tested at, beside the
 * design pressure of the high-pressure side (API Std 521).
 *
 * Test pressure: stated; else 1.3 of the design pressure (ASME VIII-1 from the 1999 addenda on), or 1.5 for piping (ASME B31.3) and for
 * vessels built before 1999. The correction for allowable stress at temperature is left out, which is careful. Gauge pressures.
 */
#ifndef LEANRICH_RUPTURE_H
#define LEANRICH_RUPTURE_H

#include "compute/scene.h"

/*
 * Test pressure of one item, Pa gauge, `outside` being the atmosphere; NaN: neither test nor design pressure is stated. Is it taken
 * to be tested at 1.5 of its design pressure, and not at 1.3?
 */
double rupture_tested_at(const struct scene *scene, const struct item *item, double outside);
bool rupture_is_tested_high(const struct scene *scene, const struct item *item);

/* After relief_compute. */
void rupture_compute(struct table *table);

#endif
