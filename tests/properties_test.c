#include <criterion/criterion.h>
#include <math.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"

static const double no_gas[GAS_COUNT] = {0, 0};

/* Weiland, Dingman, Cronin & Browning 1998, J. Chem. Eng. Data 43:378, 30 wt% MEA at 25 C, kg/m3. */
Test(properties, density_of_loaded_mea)
{
	static const double rows[][3] = {/* loading, by the equation, measured */
		{0.1, 1031, 1028.0}, {0.3, 1075, 1070.0}, {0.5, 1118, 1121.1}};
	const double mea[AMINE_COUNT] = {[AMINE_MEA] = 0.30};

	for (size_t i = 0; i < COUNT(rows); i++) {
		const double loading[GAS_COUNT] = {[GAS_CO2] = rows[i][0]};
		struct property density = property_density(mea, 298.15, loading);

		cr_expect_float_eq(density.value, rows[i][1], 1.5);
		cr_expect_float_eq(density.value, rows[i][2], density.uncertainty * rows[i][2]);
		cr_expect_not(density.relative);
	}
}

/* Haji-Sulaiman, Aroua & Benamor 1998, Chem. Eng. Res. Des. 76:961; 50 wt%: Karunarathne et al. 2020 (about). */
Test(properties, density_of_dea_and_mdea)
{
	static const struct {
		enum amine amine;
		double molar, density;
	} rows[] = {
		{AMINE_DEA, 2000, 1020}, {AMINE_DEA, 4000, 1048}, {AMINE_MDEA, 2000, 1016}, {AMINE_MDEA, 4000, 1038}};
	const double half[AMINE_COUNT] = {[AMINE_MDEA] = 0.5};

	for (size_t i = 0; i < COUNT(rows); i++) {
		double mass_fraction[AMINE_COUNT] = {0};

		mass_fraction[rows[i].amine] = rows[i].molar * amine_rows[rows[i].amine].molar_mass / rows[i].density;
		cr_expect_float_eq(property_density(mass_fraction, 298.15, no_gas).value, rows[i].density, 2.7);
		cr_expect_float_eq(property_mass_fraction(rows[i].amine, rows[i].molar), mass_fraction[rows[i].amine],
			0.003 * mass_fraction[rows[i].amine]);
	}
	cr_expect_float_eq(property_density(half, 298.15, no_gas).value, 1040, 3);
}

/* Weiland et al. 1998: measured 30 wt% MEA; 50 wt% MDEA about 5 mPa s at 40 C. */
Test(properties, viscosity)
{
	static const double rows[][2] = {{25, 2.48e-3}, {40, 1.67e-3}, {80, 0.77e-3}};
	const double mea[AMINE_COUNT] = {[AMINE_MEA] = 0.30}, mdea[AMINE_COUNT] = {[AMINE_MDEA] = 0.5};

	for (size_t i = 0; i < COUNT(rows); i++) {
		struct property viscosity = property_viscosity(mea, rows[i][0] + ZERO_CELSIUS, no_gas);

		cr_expect_float_eq(viscosity.value, rows[i][1], viscosity.uncertainty * rows[i][1]);
	}
	cr_expect_float_eq(property_viscosity(mdea, 313.15, no_gas).value, 5e-3, 0.3e-3);
}

/* From memory of the ranges: 30 wt% DEA 3.8-3.9, 50 wt% MDEA 3.4-3.5, 60 wt% DGA 3.2-3.4 kJ/kg/K at 60-80 C. */
Test(properties, heat_capacity)
{
	static const struct {
		enum amine amine;
		double strength, low, high;
	} rows[] = {{AMINE_DEA, 0.30, 3800, 3900}, {AMINE_MDEA, 0.50, 3400, 3500}, {AMINE_DGA, 0.60, 3200, 3400}};

	for (size_t i = 0; i < COUNT(rows); i++)
		for (int celsius = 60; celsius <= 80; celsius += 5) {
			double mass_fraction[AMINE_COUNT] = {0}, value;

			mass_fraction[rows[i].amine] = rows[i].strength;
			value = property_heat_capacity(mass_fraction, celsius + ZERO_CELSIUS).value;
			cr_expect(value > rows[i].low && value < rows[i].high, "%s %d degC: %g",
				amine_rows[rows[i].amine].name, celsius, value);
		}
}

Test(properties, relatives_are_marked)
{
	const double dga[AMINE_COUNT] = {[AMINE_DGA] = 0.5}, dea[AMINE_COUNT] = {[AMINE_DEA] = 0.3};

	cr_expect(property_density(dga, 313.15, no_gas).relative);
	cr_expect_float_eq(property_density(dga, 313.15, no_gas).uncertainty, 0.03, 1e-12);
	cr_expect(property_viscosity(dea, 313.15, no_gas).relative);
	cr_expect_float_eq(property_viscosity(dea, 313.15, no_gas).uncertainty, 0.3, 1e-12);
	cr_expect_not(property_density(dea, 313.15, no_gas).relative);
}

Test(properties, outside_there_is_no_number)
{
	const double mea[AMINE_COUNT] = {[AMINE_MEA] = 0.30}, pure[AMINE_COUNT] = {[AMINE_MEA] = 1};

	cr_expect(isnan(property_density(mea, 500, no_gas).value));
	cr_expect(isnan(property_viscosity(mea, 200, no_gas).value));
	cr_expect(isnan(property_heat_capacity(pure, 313.15).value));
	cr_expect(isnan(property_mass_fraction(AMINE_MEA, 20e3)));
}
