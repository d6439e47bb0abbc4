/*
 * Does one part fit the next: a nozzle its line by size and by flange class, a flange its design pressure and temperature.
 *
 * A nozzle belongs to the lines that carry its stream and start or end at its equipment; where these are of several sizes or classes
 * nothing is put. Flanges by ASME B16.5 (flange.def), straight lines between its temperatures, below -29 and above 300 degC unknown; of
 * metals other than carbon steel, 316, 304L and 316L unknown. Gauge pressures plus the atmosphere: Pa absolute.
 */
#ifndef LEANRICH_FIT_H
#define LEANRICH_FIT_H

#include "resolve/table.h"

enum flange_group { GROUP_1_1, GROUP_2_2, GROUP_2_3 };

/* Pa gauge; NaN: no such class, or outside the temperatures (K) that are held. */
double flange_rating(enum flange_group group, double class, double temperature);

void fit_compute(struct table *table);

#endif
