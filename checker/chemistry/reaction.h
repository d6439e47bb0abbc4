/*
 * Thermodynamic equilibrium constants and Henry's constants in water (molality scale, infinite dilution), from
 * 0 C to the end of each source's range (constants.def). ln of the constant; temperature in K.
 */
#ifndef LEANRICH_REACTION_H
#define LEANRICH_REACTION_H

#include "chemistry/species.h"
#include "chemistry/terms.h"

double reaction_ln_water(double temperature);			/* H2O = H+ + OH- */
double reaction_ln_co2_first(double temperature);		/* CO2 + H2O = H+ + HCO3- */
double reaction_ln_co2_second(double temperature);		/* HCO3- = H+ + CO3-- */
double reaction_ln_h2s(double temperature);			/* H2S = H+ + HS- */
double reaction_ln_amine(enum amine amine, double temperature); /* AmH+ = H+ + Am */
double reaction_ln_henry(enum gas gas, double temperature);	/* Pa kg/mol */

/* Am + HCO3- = AmCOO- + H2O, kg/mol; only for an amine that forms one. */
double reaction_ln_carbamate(enum amine amine, const struct terms *terms, double temperature);

/* How far the CO2 row stands from Carroll, Slupsky & Mather 1991, as a fraction: its part of the uncertainty. */
double reaction_henry_co2_difference(double temperature);

#endif
