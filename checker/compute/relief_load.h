/*
 * Loads of relief cases that follow from what is stated, beside those that the relief study counts on. All kg/s.
 *
 * Regenerator, loss of cooling or of reflux (API Std 521, from memory: the vapour to the condenser is relieved). What
 * comes at least is the overhead of normal operation, acid gas and the water that is returned; the acid gas is taken as
 * H2S, the lighter. What the reboiler can raise is its duty as latent heat of water at the bottom temperature; the heat
 * that the feed takes up, and the fall of the duty at the pressure of relief, are credits that a study may take and
 * must show.
 *
 * Fire (API Std 521, from memory): Q = 43.2 F A^0.82, kW and m2 (21 000 F A^0.82 in Btu/h and ft2), with drainage and
 * fire fighting; F = 1, bare or without insulation that stands fire. A is what the stated level wets, up to 7.6 m over
 * grade; the vessel is taken to stand at grade. Vapour of water at 1.21 times the set pressure. What trays hold is left
 * out. Only of vessels of solution.
 *
 * The study's figure is the required flow of the relief case or of the valve that is sized for it, else what the valve
 * passes, by mass.
 */
#ifndef LEANRICH_RELIEF_LOAD_H
#define LEANRICH_RELIEF_LOAD_H

#include "resolve/table.h"

/* W into a surface of m2. */
double relief_load_fire(double wetted);

/* After holdup_compute, protection_compute and regenerator_compute. */
void relief_load_compute(struct table *table);

#endif
