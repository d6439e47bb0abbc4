/*
 * Water and steam by the IAPWS Industrial Formulation 1997 (R7-97(2012)): regions 1 (liquid), 2 (steam) and 4
 * (saturation), and the viscosity of IAPWS R12-08 without its critical enhancement.
 *
 * Everything in SI: K, Pa, J/kg, kg/m3, Pa s. Outside the stated range a function returns NaN.
 * The formulation's own uncertainty is 0.1 % in volume and under 1 kJ/kg in enthalpy here.
 */
#ifndef LEANRICH_WATER_H
#define LEANRICH_WATER_H

/* Region 4, 273.15-647.096 K and 611.213 Pa - 22.064 MPa; the one is the exact inverse of the other. */
double water_saturation_pressure(double temperature);
double water_saturation_temperature(double pressure);

/* Region 1: liquid, 273.15-623.15 K, at least the saturation pressure, up to 100 MPa. */
double water_liquid_enthalpy(double temperature, double pressure);
double water_liquid_density(double temperature, double pressure);
double water_liquid_heat_capacity(double temperature, double pressure); /* J/kg/K at constant pressure */

/*
 * Sea water of 35 g/kg at 101325 Pa, 271-313 K: the equation of state of 1980 (Millero and Poisson 1981, UNESCO 1983; from
 * memory, 1023.343 kg/m3 at 25 degC is its published check value), its salt added to the water of region 1.
 */
double water_sea_density(double temperature);

/* Region 2: steam, 273.15-1073.15 K, at most the saturation pressure (below 623.15 K). */
double water_steam_enthalpy(double temperature, double pressure);
double water_steam_density(double temperature, double pressure);

/* Latent heat at saturation, J/kg, up to 623.15 K: 2120.16 kJ/kg at 4.5 bar. */
double water_latent_heat(double temperature);

/* Liquid at saturation or 101325 Pa, whichever is more; 1-2 % of R12-08. */
double water_liquid_viscosity(double temperature);

#endif
