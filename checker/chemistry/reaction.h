/*
 * Thermodynamic equilibrium constants and Henry's constants in water (molality scale, infinite dilution), from
 * 0 C to the end of each source's range (constants.def). ln of the constant; temperature in K.
 */
#ifndef LEANRICH_REACTION_H
#define LEANRICH_REACTION_H

#include "chemistry/species.h"
#include "chemistry/terms.h"

/* ln K = over/T + log ln T + linear T + fixed: the form of every one of them. */
struct reaction {
	double over, log, linear, fixed;
};

extern const struct reaction reaction_of_water;		     /* H2O = H+ + OH- */
extern const struct reaction reaction_of_co2;		     /* CO2 + H2O = H+ + HCO3- */
extern const struct reaction reaction_of_bicarbonate;	     /* HCO3- = H+ + CO3-- */
extern const struct reaction reaction_of_h2s;		     /* H2S = H+ + HS- */
extern const struct reaction reaction_henry[GAS_COUNT];	     /* Pa kg/mol */
extern const struct reaction reaction_of_amine[AMINE_COUNT]; /* AmH+ = H+ + Am */

/* Am + HCO3- = AmCOO- + H2O, kg/mol; only for an amine that forms one. */
struct reaction reaction_of_carbamate(enum amine amine, const struct terms *terms);

double reaction_ln(const struct reaction *reaction, double temperature, double ln_temperature);
double reaction_heat(const struct reaction *reaction, double temperature); /* R T^2 d ln K/dT, J/mol */

double reaction_ln_water(double temperature);
double reaction_ln_co2_first(double temperature);
double reaction_ln_co2_second(double temperature);
double reaction_ln_h2s(double temperature);
double reaction_ln_amine(enum amine amine, double temperature);
double reaction_ln_henry(enum gas gas, double temperature);
double reaction_ln_carbamate(enum amine amine, const struct terms *terms, double temperature);

/* How far the CO2 row is from Carroll, Slupsky & Mather 1991, as a fraction: its part of the uncertainty. */
double reaction_henry_co2_difference(double temperature);

#endif
