/*
 * Density, molar mass and heat of a real gas: sour and treated gas, acid gas, overhead vapour with its water.
 *
 * The equation of state is that of Soave 1972,
 *	P = R T / (v - b) - a(T) / (v (v + b)),
 * its volume corrected as Peneloux, Rauzy and Freze 1982 do: v - sum(x_i c_i), c_i = 0.40768 (0.29441 - Z_RA) R Tc / Pc,
 * Z_RA = 0.29056 - 0.08775 omega (Yamada and Gunn 1973). Components and pairs are in gas.def; what a description gives as a
 * molar mass only is carried by the two alkanes (below methane: hydrogen and methane) that mix to it: within 0.4 % of the full
 * analysis for six natural gases at 60 bar, where a pseudocritical point by Sutton 1985 was 1.4 to 3.8 % off.
 *
 * Water vapour, for which the equation is a per cent light, is put right in proportion to its partial pressure by IAPWS-IF97,
 * which alone holds for steam. Against published values (tests/data/gas_density.csv): 0.5 % up to 60 bar, 3 % at 120 bar.
 * Plain doubles in SI, mole fractions that sum to one, no allocation.
 */
#ifndef LEANRICH_GAS_H
#define LEANRICH_GAS_H

#include <stdbool.h>
#include <stddef.h>

enum component {
#define COMPONENT(code, name, molar_mass, critical_temperature, critical_pressure, acentric) COMPONENT_##code,
#define HEAT(code, a0, a1, a2, a3, a4, lowest, highest)
#define PAIR(one, other, k)
#include "chemistry/gas.def"
#undef COMPONENT
#undef HEAT
#undef PAIR
	COMPONENT_COUNT
};

struct component_row {
	const char *name;					  /* the attribute of a gas that states its share */
	double molar_mass;					  /* kg/mol */
	double critical_temperature, critical_pressure, acentric; /* K, Pa, none */
};

extern const struct component_row component_rows[COMPONENT_COUNT];

struct gas_state {
	double compressibility;
	double density;	    /* kg/m3 */
	double uncertainty; /* relative, of both: the equation's own */
};

enum gas_trouble {
	GAS_FINE,
	GAS_OUT_OF_RANGE, /* of temperature or pressure: 273.15 to 500 K, up to 15 MPa */
	GAS_CONDENSES,	  /* the equation of state holds the liquid for stable, or the gas is as dense as one */
};

double gas_molar_mass(const double share[COMPONENT_COUNT]); /* kg/mol */

/* `out` is filled where GAS_FINE is returned. */
enum gas_trouble gas_state_of(
	const double share[COMPONENT_COUNT], double temperature, double pressure, struct gas_state *out);

double gas_ideal_heat_capacity(const double share[COMPONENT_COUNT], double temperature); /* J/mol/K */

/* J/mol over the ideal gas at 298.15 K, with what the pressure takes from it; NaN where there is no gas. */
double gas_enthalpy(const double share[COMPONENT_COUNT], double temperature, double pressure);

/*
 * Adds `amount` (mole fraction) of a gas known by molar mass only (kg/mol) to `share`. False where it lies outside hydrogen
 * to octane.
 */
bool gas_add_by_molar_mass(double share[COMPONENT_COUNT], double amount, double molar_mass);

#endif
