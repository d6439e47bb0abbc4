/*
 * Steam: the duty of a reboiler from its steam and the steam from its duty, in each case that states one of the two; the metal
 * temperature of a steam-out from the pressure of its steam.
 *
 * Heat of steam: latent heat at its pressure and its superheat, condensate leaving at saturation (IAPWS-IF97). A figure of
 * another case is not taken: that of the first case stands for every case only until a case states duty or steam of its own.
 */
#ifndef LEANRICH_STEAM_H
#define LEANRICH_STEAM_H

#include "resolve/table.h"

/* J/kg that steam of this pressure (Pa) gives off; temperature (K) NaN or at most saturation: saturated steam. */
double steam_heat(double pressure, double temperature);

/* After streams_compute, before metal_compute and what needs the duty of a reboiler. */
void steam_compute(struct table *table);

#endif
