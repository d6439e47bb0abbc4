/*
 * Enthalpy of aqueous amine with its gases and of the vapour over it, and flashes that conserve it.
 *
 * Per mole of amine, J; zero for liquid water, liquid amine and the gases, each by itself at 25 C. Liquid: amine and
 * water by their heat capacities (properties.h) plus each absorbed gas at its own temperature less its heat of
 * absorption, which is taken as constant: a function of state. Steam: water of the same temperature plus the latent
 * heat of IAPWS-IF97. Pressure is left out: under 0.1 kJ/kg here.
 *
 * Uncertainty: heat capacity 3-6 %, heat of absorption 20 %. Outside 0-180 C: NaN. No allocation.
 */
#ifndef LEANRICH_ENTHALPY_H
#define LEANRICH_ENTHALPY_H

#include "chemistry/phase.h"

/* J/mol of gas; of a blend, the mean by moles of amine. */
double enthalpy_of_absorption(const double mass_fraction[AMINE_COUNT], enum gas gas);

double enthalpy_liquid(const struct solution_input *liquid); /* J per mol of amine, its gases included */
double enthalpy_water(double temperature);		     /* J/mol, liquid */
double enthalpy_steam(double temperature);		     /* J/mol */
double enthalpy_gas(enum gas gas, double temperature);	     /* J/mol */

/* Heat capacity of the solution with its gases, J per mol of amine and K. */
double enthalpy_heat_capacity(const struct solution_input *liquid);

/* Of both phases of a flash, at the temperature of its liquid; inert gas is not counted. */
double enthalpy_flash(const struct flash *flash);

/* The state of `feed` at its own temperature and `pressure` (liquid, or flashed there): J per mol of amine, or NaN. */
double enthalpy_at(const struct terms *terms, const struct solution_input *feed, double pressure);

/*
 * Through a valve: from `feed` with `enthalpy` (J per mol of amine) to `pressure` (Pa), nothing lost. Gives the flash
 * there; its temperature is out->liquid.input.temperature. Returns out->fault == SOLUTION_FINE.
 */
bool enthalpy_let_down(const struct terms *terms, const struct solution_input *feed, double enthalpy, double pressure,
	struct flash *out);

#endif
