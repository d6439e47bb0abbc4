/*
 * What leaves a condenser and what a reboiler gives back: vapour and liquid together, with their shares and density.
 *
 * Downstream of a condenser: the acid gas of the overhead, the water vapour it holds at saturation at the outlet, and the rest
 * of the water as condensate. From a reboiler to its regenerator: the vapour that its duty makes of water at the bottom
 * temperature, in what flows; of a stream that states no flow it is the vapour alone (a kettle). No slip between the phases;
 * acid gas dissolved in condensate, and heat that warms the feed of the reboiler, are left out: an estimate, for lines and nozzles.
 *
 * Puts on such a stream `two-phase`, `vapour-fraction`, `density`, `liquid-density`, `phase` and flows where it states none, and
 * the same on the lines and nozzles that carry it.
 */
#ifndef LEANRICH_OUTLETS_H
#define LEANRICH_OUTLETS_H

#include "resolve/table.h"

/* kg/m3 of vapour and liquid at one velocity; share of vapour by mass. */
double outlets_mixture(double vapour_share, double vapour_density, double liquid_density);

/* kg/s of steam that W make of water boiling at a temperature (K). */
double outlets_boil_up(double duty, double temperature);

/* After steam_compute, before hydraulics_compute. */
void outlets_compute(struct table *table);

#endif
