/*
 * What a value on one basis reads on another, where it stands: by mass for by moles, of the amine for of the solution,
 * m3 of gas in m3 of solution for mol/mol. The factors follow from molar masses, strength and density of the item;
 * slips.def names the slips.
 */
#ifndef LEANRICH_BASIS_H
#define LEANRICH_BASIS_H

#include "compute/slips.h"
#include "resolve/table.h"

/*
 * For the attribute `name` of an item in a case, or in the first for every case: barometric pressure of the site, and
 * the factors that may befall it. A factor that needs what is not known, or that befalls other attributes, is NaN.
 * Reads nothing: what is looked at is no input of a verdict.
 */
struct slip_site basis_at(const struct table *table, const struct item *item, int operating_case, const char *name);

/* m3 of gas at 0 degC and 1 atm in 1 m3 of solution for each mol/mol: strength kg/kg, density kg/m3, molar mass kg/mol. */
double basis_gas_volume(double strength, double density, double molar_mass);

#endif
