#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/water.h"

/* Nine digits are printed: half of the last, relative. */
static const double PRINTED = 5e-9;

static void expect_close(double value, double published, double relative, const char *what)
{
	cr_expect_float_eq(
		value, published, relative * fabs(published), "%s: %.9g, published %.9g", what, value, published);
}

/* IAPWS R7-97(2012), tables 35 and 36. */
Test(water, saturation_is_the_release_to_its_digits)
{
	expect_close(water_saturation_pressure(300), 3536.58941, PRINTED, "300 K");
	expect_close(water_saturation_pressure(500), 2.63889776e6, PRINTED, "500 K");
	expect_close(water_saturation_pressure(600), 12.3443146e6, PRINTED, "600 K");
	expect_close(water_saturation_temperature(0.1e6), 372.755919, PRINTED, "0.1 MPa");
	expect_close(water_saturation_temperature(1e6), 453.035632, PRINTED, "1 MPa");
	expect_close(water_saturation_temperature(10e6), 584.149488, PRINTED, "10 MPa");
}

Test(water, saturation_is_its_own_inverse)
{
	for (int t = 274; t < 647; t += 7)
		cr_expect_float_eq(water_saturation_temperature(water_saturation_pressure(t)), t, 1e-7);
}

/* The same release, tables 5 (liquid) and 15 (steam). */
Test(water, liquid_and_steam_are_the_release)
{
	expect_close(water_liquid_enthalpy(300, 3e6), 115.331273e3, PRINTED, "h of liquid, 300 K");
	expect_close(water_liquid_enthalpy(300, 80e6), 184.142828e3, PRINTED, "h of liquid, 80 MPa");
	expect_close(water_liquid_enthalpy(500, 3e6), 975.542239e3, PRINTED, "h of liquid, 500 K");
	expect_close(1 / water_liquid_density(300, 3e6), 0.100215168e-2, PRINTED, "v of liquid, 300 K");
	expect_close(1 / water_liquid_density(500, 3e6), 0.120241800e-2, PRINTED, "v of liquid, 500 K");
	expect_close(water_liquid_heat_capacity(300, 3e6), 4.17301218e3, PRINTED, "cp of liquid, 300 K");
	expect_close(water_steam_enthalpy(300, 3500), 2549.91145e3, PRINTED, "h of steam, 300 K");
	expect_close(water_steam_enthalpy(700, 3500), 3335.68375e3, PRINTED, "h of steam, 700 K");
	expect_close(1 / water_steam_density(300, 3500), 39.4913866, PRINTED, "v of steam, 300 K");
	expect_close(1 / water_steam_density(700, 3500), 92.3015898, PRINTED, "v of steam, 700 K");
}

/* 4.5 bar, from the steam tables: 147.908 C and 2120.16 kJ/kg (IAPWS-IF97). */
Test(water, latent_heat_of_reboiler_steam)
{
	double t = water_saturation_temperature(4.5e5);

	cr_expect_float_eq(t - ZERO_CELSIUS, 147.908, 0.0005);
	cr_expect_float_eq(water_latent_heat(t), 2120.16e3, 5);
}

/* What a series gives up to 200 degC is the difference of both enthalpies there, and what follows beyond its end joins it. */
Test(water, latent_heat_is_the_difference_of_enthalpies)
{
	for (double t = 273.15; t < 500; t += 0.37) {
		double p = water_saturation_pressure(t);
		expect_close(water_latent_heat(t), water_steam_enthalpy(t, p) - water_liquid_enthalpy(t, p), 1e-14,
			"latent heat");
	}
	expect_close(water_latent_heat(473.15), water_latent_heat(nextafter(473.15, 500)), 1e-14, "end of the series");
	cr_expect(isnan(water_latent_heat(273.1)));
}

/* IAPWS R12-08, table 4: 298.15 K, 998 kg/m3: 889.735100 uPa s; here at 997.05. At 100 C 0.2818 mPa s. */
Test(water, viscosity)
{
	cr_expect_float_eq(water_liquid_viscosity(298.15), 889.7e-6, 1e-6);
	cr_expect_float_eq(water_liquid_viscosity(373.15), 281.8e-6, 1e-6);
}

/* Against python3-iapws, an implementation independent of this one (tests/external/water_check.py). */
Test(water, saturation_line_of_the_independent_implementation)
{
	FILE *in = fopen("tests/data/water_check.csv", "r");
	char line[256];
	size_t count = 0;

	cr_assert_not_null(in);
	cr_assert_not_null(fgets(line, sizeof line, in));
	while (fgets(line, sizeof line, in) != NULL) {
		double v[8];
		char *at = line;

		for (size_t i = 0; i < COUNT(v); i++) {
			v[i] = strtod(at, &at);
			at += *at == ',';
		}
		count++;
		expect_close(water_saturation_pressure(v[0]), v[1], 1e-8, "saturation pressure");
		expect_close(water_saturation_temperature(v[1]), v[0], 1e-8, "saturation temperature");
		expect_close(water_liquid_enthalpy(v[0], v[1]), v[2], 1e-8, "enthalpy of liquid");
		expect_close(water_steam_enthalpy(v[0], v[1]), v[3], 1e-8, "enthalpy of steam");
		expect_close(water_latent_heat(v[0]), v[3] - v[2], 1e-8, "latent heat");
		expect_close(water_liquid_density(v[0], fmax(ATMOSPHERE, v[1])), v[4], 1e-8, "density of liquid");
		expect_close(water_steam_density(v[0], v[1]), v[5], 1e-8, "density of steam");
		expect_close(water_liquid_heat_capacity(v[0], v[1]), v[6], 1e-8, "heat capacity of liquid");
		expect_close(water_liquid_viscosity(v[0]), v[7], 1e-7, "viscosity of liquid");
	}
	fclose(in);
	cr_expect_eq(count, 37);
}

Test(water, outside_its_range_there_is_no_number)
{
	cr_expect(isnan(water_saturation_pressure(273)));
	cr_expect(isnan(water_saturation_pressure(648)));
	cr_expect(isnan(water_saturation_pressure((double)NAN)));
	cr_expect(isnan(water_saturation_temperature(600)));
	cr_expect(isnan(water_saturation_temperature(23e6)));
	cr_expect(isnan(water_liquid_enthalpy(400, 1e5)), "steam at 1 bar, not liquid");
	cr_expect(isnan(water_steam_enthalpy(350, 1e5)), "liquid at 1 bar, not steam");
	cr_expect(isnan(water_liquid_density(630, 50e6)));
	cr_expect(isnan(water_latent_heat(640)));
}
