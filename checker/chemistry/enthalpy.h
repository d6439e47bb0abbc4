/*
 * Enthalpy of aqueous amine with its gases and of the vapour over it, and flashes that conserve it.
 *
 * Per mole of amine, J; zero for liquid water, liquid amine and the gases, each by itself at 25 C. Liquid: amine and
 * water by their heat capacities (properties.h), each gas at its own temperature, and E: the enthalpy of its reactions
 * and of its ions among each other, which follows from the equilibrium itself (Gibbs and Helmholtz):
 *
 *   E = [sum m_i H_i - R T^2 (dg/dT at fixed m)]/m_amine,   heat of absorption Q = E(m0) - E(m)
 *   H: CO2 h, HCO3- h + D1, CO3-- h + D1 + D2, carbamate h + D1 + Dc, H2S h, HS- h + D, AmH+ -D, OH- D
 *   h = -R T^2 d ln H/dT of Henry's constants, D = R T^2 d ln K/dT, g of activity.h, m0: the solution without gases
 *
 * so that the heat depends on loading and temperature, holds for mixtures, and is a function of state: the heat capacity
 * of a loaded solution is its derivative. Steam: water of the same temperature plus the latent heat of IAPWS-IF97. Pressure
 * is left out: under 0.1 kJ/kg here.
 *
 * Uncertainty: heat capacity 3-6 %, heat of absorption 10 %. Outside 0-180 C or where no state is found: NaN. Without
 * an argument for the terms: the engine's own. No allocation.
 */
#ifndef LEANRICH_ENTHALPY_H
#define LEANRICH_ENTHALPY_H

#include "chemistry/phase.h"

/* Q: given off when the gases in a solution were absorbed at its temperature, J per mol of amine. */
double enthalpy_absorbed(const struct terms *terms, const struct solution *solution);

/* Given off between two loadings at one temperature, strength and salts: Q of `rich` less Q of `lean`. */
double enthalpy_of_pick_up(const struct solution_input *lean, const struct solution_input *rich);

/* J per mol of amine, its gases included; of a state that is solved, and of one that is not yet. */
double enthalpy_solution(const struct terms *terms, const struct solution *solution);
double enthalpy_liquid(const struct solution_input *liquid);

double enthalpy_water(double temperature);	       /* J/mol, liquid */
double enthalpy_steam(double temperature);	       /* J/mol */
double enthalpy_gas(enum gas gas, double temperature); /* J/mol */

/* Heat capacity of the solution with its gases, its equilibrium moving with temperature, J per mol of amine and K. */
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
