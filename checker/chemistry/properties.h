/*
 * Density, viscosity and heat capacity of an amine solution, and strength by volume into mass fraction.
 *
 * SI: kg/m3, Pa s, J/kg/K. `mass_fraction` is of the solution without gases, by amine; `loading` mol per mol of all
 * amine. Each returns the value and its relative uncertainty; `relative` says that an amine was given the correlation
 * of its nearest relative because none of its own was read. Outside 0-180 C or without water: value NaN.
 *
 * Density: sum of partial volumes, Hsu & Li 1997 for the amines, excess volumes of Weiland et al. 1998 (MEA) and
 * inferred (DEA, MDEA), CO2 in MEA by Weiland; other absorbed gas adds mass at unchanged volume. DGA is given MEA's
 * volume, DIPA MDEA's.
 * Viscosity: Weiland et al. 1998 with MEA's (DGA too) and MDEA's (DEA and DIPA too) coefficients over IAPWS R12-08
 * water; for H2S the CO2 term is used, having none of its own.
 * Heat capacity: amine and water by mass, absorbed gas not counted; of a loaded solution see enthalpy_heat_capacity().
 */
#ifndef LEANRICH_PROPERTIES_H
#define LEANRICH_PROPERTIES_H

#include <stdbool.h>

#include "chemistry/species.h"

struct property {
	double value;
	double uncertainty; /* relative */
	bool relative;
};

/*
 * What the density of an amine is made of: of the pure liquid rho = 1000 (r[0] + r[1] T + r[2] T^2) kg/m3, T in K; the
 * excess volume m3/mol, times x_amine x_water; and what a mole of CO2 takes up, m3/mol. `of`: whose they are.
 */
struct density_terms {
	enum amine of;
	double r[3], excess, co2_volume;
};

struct density_terms property_density_terms(enum amine amine);

struct property property_density(
	const double mass_fraction[AMINE_COUNT], double temperature, const double loading[GAS_COUNT]);
struct property property_viscosity(
	const double mass_fraction[AMINE_COUNT], double temperature, const double loading[GAS_COUNT]);
struct property property_heat_capacity(const double mass_fraction[AMINE_COUNT], double temperature);

/* Its value alone, J/(kg K), and that of water: for who asks for them by the thousand. NaN outside the domain. */
double property_heat(const double mass_fraction[AMINE_COUNT], double temperature);
double property_heat_of_water(double temperature);

/* Mass fraction of an amine stated in mol/m3 of solution without gases at 25 C; NaN: no solution is that strong. */
double property_mass_fraction(enum amine amine, double concentration);

/* Of an amine solution, per mole of all amine: kg and mol of water without gases; kg with them. */
double property_mass_per_amine(const double mass_fraction[AMINE_COUNT]);
double property_water_per_amine(const double mass_fraction[AMINE_COUNT]);
double property_loaded_mass(const double mass_fraction[AMINE_COUNT], const double loading[GAS_COUNT]);

#endif
