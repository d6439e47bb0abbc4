#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/enthalpy.h"
#include "chemistry/phase.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"
#include "heat_taken_up.h"
#include "regression.h"

static struct solution_input state(enum amine amine, double mass_fraction, double celsius, double h2s, double co2)
{
	struct solution_input input = {.temperature = celsius + ZERO_CELSIUS, .loading = {h2s, co2}};

	input.mass_fraction[amine] = mass_fraction;
	return input;
}

Test(phase, bubble_temperature_is_where_the_pressures_sum)
{
	static const double pressures[] = {20e3, 101325, 195e3, 400e3};

	for (size_t a = 0; a < AMINE_COUNT; a++)
		for (size_t i = 0; i < COUNT(pressures); i++) {
			struct solution_input input = state((enum amine)a, 0.35, 0, 0.02, 0.01);

			input.temperature = phase_bubble_temperature(&terms_own, &input, pressures[i]);
			cr_expect_float_eq(
				phase_bubble_pressure(&terms_own, &input), pressures[i], 1e-8 * pressures[i]);
		}
}

/* A dilute amine boils near water: IAPWS-IF97, raised by its own lowering of the water activity. */
Test(phase, bubble_temperature_of_nearly_water)
{
	struct solution_input input = state(AMINE_MDEA, 0.001, 0, 0, 0);
	double t = phase_bubble_temperature(&terms_own, &input, 195e3);

	cr_expect(t > water_saturation_temperature(195e3));
	cr_expect_float_eq(t, water_saturation_temperature(195e3), 0.01);
}

Test(phase, no_bubble_temperature_makes_no_number)
{
	struct solution_input input = state(AMINE_MDEA, 0.45, 0, 0.4, 0.4);

	cr_expect(isnan(phase_bubble_temperature(&terms_own, &input, 50e6)), "beyond 180 degC");
	cr_expect(isnan(phase_bubble_temperature(&terms_own, &input, 1)), "below 0 degC");
	cr_expect(isnan(phase_bubble_temperature(&terms_own, &input, (double)NAN)));
	input.loading[GAS_H2S] = -1;
	cr_expect(isnan(phase_bubble_temperature(&terms_own, &input, 1e5)));
}

static void expect_flash(struct solution_input feed, double inert, double pressure)
{
	struct flash f;
	double vapour, water;

	cr_assert(phase_flash(&terms_own, &feed, inert, pressure, &f), "%s", solution_fault_words(f.fault));
	if (!f.vapour) {
		cr_expect(solution_pressure(&f.liquid) <= pressure);
		return;
	}
	vapour = f.gas[GAS_H2S] + f.gas[GAS_CO2] + f.water + f.inert;
	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		cr_expect_float_eq(f.gas[gas] + f.liquid.loading[gas], feed.loading[gas], 1e-9);
		cr_expect_float_eq(f.liquid.partial_pressure[gas], f.gas[gas] / vapour * pressure, 1e-7 * pressure);
	}
	cr_expect_float_eq(f.liquid.water_pressure, f.water / vapour * pressure, 1e-7 * pressure);
	/* Water: mol per mol amine in the feed, less what left */
	water = 1 / MOLAR_MASS_WATER / f.liquid.amine_molality + f.water;
	cr_expect_float_eq(water, (1 - 0.45) / MOLAR_MASS_WATER / (0.45 / amine_rows[AMINE_MDEA].molar_mass), 1e-8);
}

Test(phase, flash_conserves_and_is_in_equilibrium)
{
	for (int i = 0; i < 15; i++)
		for (int k = 0; k < 3; k++)
			expect_flash(state(AMINE_MDEA, 0.45, 65, 0.35, 0.15), 0.02 * k, 1e6 * pow(1.3, -i));
	expect_flash(state(AMINE_MDEA, 0.45, 65, 0.35, 0), 0, 60e3);
	expect_flash(state(AMINE_MDEA, 0.45, 65, 0, 0), 0.01, 200e3);
	expect_flash(state(AMINE_MDEA, 0.45, 127, 0.3, 0.1), 0, 300e3);
}

Test(phase, flash_that_boils_dry_makes_no_number)
{
	struct solution_input feed = state(AMINE_MDEA, 0.45, 127, 0.3, 0.1);
	struct flash f;

	cr_expect_not(phase_flash(&terms_own, &feed, 0, 50e3, &f));
	cr_expect_eq(f.fault, SOLUTION_BOILS_DRY);
	cr_expect(strstr(solution_fault_words(f.fault), "boils dry") != NULL);
	cr_expect(isnan(f.water) && isnan(f.gas[GAS_H2S]));
	cr_expect_not(phase_flash(&terms_own, &feed, -1, 500e3, &f));
	cr_expect_eq(f.fault, SOLUTION_PRESSURE_RANGE);
	feed.temperature = 0;
	cr_expect_not(phase_flash(&terms_own, &feed, 0, 500e3, &f));
	cr_expect_eq(f.fault, SOLUTION_TEMPERATURE_RANGE);
}

/*
 * Kohl & Nielsen 5th ed. 1997 p. 99 (DIPA from memory), loading 0.1 at 40-120 C: held within 10 kJ/mol, DGA's CO2 within
 * 11, which rests on MEA's terms; at 40 C, where the figures are from, within 8 % (DGA H2S 11 %).
 */
Test(phase, heats_against_calorimetry)
{
	for (size_t a = 0; a < AMINE_COUNT; a++)
		for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
			for (int celsius = 40; celsius <= 120; celsius += 10) {
				struct solution_input input = state(
					(enum amine)a, regression_usual_strength((enum amine)a, gas), celsius, 0, 0);
				double measured = calorimetric_heat((enum amine)a, gas), heat;

				input.loading[gas] = 0.1;
				heat = phase_heat_of_desorption(&terms_own, &input, gas);
				cr_expect(fabs(heat - measured) < (a == AMINE_DGA ? 11e3 : 10e3),
					"%s gas %d at %d degC: %.1f, %.1f kJ/mol", amine_rows[a].name, gas, celsius,
					heat / 1000, measured / 1000);
				if (celsius == 40)
					cr_expect(fabs(heat - measured) < (a == AMINE_DGA ? 0.11 : 0.08) * measured,
						"%s gas %d: %.1f, %.1f kJ/mol", amine_rows[a].name, gas, heat / 1000,
						measured / 1000);
			}
}

/*
 * The heat in closed form equals the sum of q = R T^2 d ln p/dT over the loading: equilibrium, coefficients, water and
 * enthalpy belong together. What is left is the water the reactions use up (40 J per mol of amine).
 */
Test(phase, heat_of_absorption_is_the_sum_of_its_differentials)
{
	static const struct {
		enum amine amine;
		double strength, h2s, co2;
	} rows[] = {{AMINE_MEA, 0.30, 0.4, 0}, {AMINE_MEA, 0.30, 0, 0.4}, {AMINE_MEA, 0.20, 0.15, 0.25},
		{AMINE_DEA, 0.30, 0.4, 0}, {AMINE_DEA, 0.30, 0, 0.4}, {AMINE_DEA, 0.30, 0.2, 0.1},
		{AMINE_MDEA, 0.45, 0.4, 0}, {AMINE_MDEA, 0.45, 0, 0.4}, {AMINE_MDEA, 0.45, 0.3, 0.1},
		{AMINE_DGA, 0.50, 0.1, 0.2}, {AMINE_DIPA, 0.35, 0.1, 0.2}};

	for (size_t i = 0; i < COUNT(rows); i++)
		for (int celsius = 40; celsius <= 120; celsius += 40) {
			struct solution_input input =
				state(rows[i].amine, rows[i].strength, celsius, rows[i].h2s, rows[i].co2);
			double sum = heat_taken_up(&input);
			struct solution s;

			cr_assert(solution_solve(&terms_own, &input, &s));
			cr_expect_float_eq(enthalpy_absorbed(&terms_own, &s), sum, 60, "%s %d degC: %.1f, sum %.1f J",
				amine_rows[rows[i].amine].name, celsius, enthalpy_absorbed(&terms_own, &s), sum);
		}
}

/* A function of state: what is given off hot and carried up cold is what is carried up hot and given off cold. */
Test(phase, enthalpy_is_a_function_of_state)
{
	for (enum amine amine = AMINE_MEA; amine <= AMINE_MDEA; amine++) {
		struct solution_input rich = state(amine, 0.35, 40, 0.2, 0.15),
				      lean = state(amine, 0.35, 40, 0.01, 0.02), hot_rich = rich, hot_lean = lean;
		double cold_up, hot_up, gas_heat = 0;

		hot_rich.temperature = hot_lean.temperature = 383.15;
		for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
			gas_heat += (rich.loading[gas] - lean.loading[gas]) *
				(enthalpy_gas(gas, 383.15) - enthalpy_gas(gas, rich.temperature));
		cold_up = enthalpy_of_pick_up(&lean, &rich);
		hot_up = enthalpy_of_pick_up(&hot_lean, &hot_rich);
		cr_expect_float_eq(enthalpy_liquid(&hot_rich) - enthalpy_liquid(&rich),
			enthalpy_liquid(&hot_lean) - enthalpy_liquid(&lean) + gas_heat - (hot_up - cold_up), 1e-6);
	}
}

/* The heat capacity is the enthalpy's slope, and loading takes some of it away: at most 6 % at 0.4 (MEA, 40-80 C). */
Test(phase, heat_capacity_counts_loading)
{
	for (int celsius = 40; celsius <= 120; celsius += 20)
		for (enum amine amine = AMINE_MEA; amine <= AMINE_MDEA; amine++) {
			struct solution_input bare = state(amine, 0.30, celsius, 0, 0),
					      loaded = state(amine, 0.30, celsius, 0.1, 0.3), above = loaded,
					      below = loaded;
			double capacity = enthalpy_heat_capacity(&loaded);

			above.temperature += 2;
			below.temperature -= 2;
			cr_expect_float_eq(
				capacity, (enthalpy_liquid(&above) - enthalpy_liquid(&below)) / 4, 1e-3 * capacity);
			cr_expect_float_eq(enthalpy_heat_capacity(&bare),
				property_mass_per_amine(bare.mass_fraction) *
					property_heat_capacity(bare.mass_fraction, bare.temperature).value,
				0.01 * capacity);
			cr_expect(capacity < 1.03 * enthalpy_heat_capacity(&bare) &&
					capacity > 0.90 * enthalpy_heat_capacity(&bare),
				"%s %d degC: %.3f", amine_rows[amine].name, celsius,
				capacity / enthalpy_heat_capacity(&bare));
		}
}

Test(phase, heat_of_an_absent_gas_is_that_of_a_trace)
{
	struct solution_input none = state(AMINE_MEA, 0.2, 80, 0, 0.1), trace = state(AMINE_MEA, 0.2, 80, 1e-6, 0.1);

	cr_expect_float_eq(phase_heat_of_desorption(&terms_own, &none, GAS_H2S),
		phase_heat_of_desorption(&terms_own, &trace, GAS_H2S), 10);
	none.temperature = 1;
	cr_expect(isnan(phase_heat_of_desorption(&terms_own, &none, GAS_H2S)));
}
