#include <criterion/criterion.h>
#include <math.h>
#include <stdint.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"
#include "compute/column.h"
#include "first_terms.h"
#include "printed.h"

/* Of heating steam at 4.5 bar, J/kg: IAPWS-IF97, 2120.16 kJ/kg. */
static double latent(void)
{
	return water_latent_heat(water_saturation_temperature(450e3));
}

/* Steam in kg per litre of lean at 40 C into J per mol of amine. */
static double duty_of(const double *mass_fraction, double steam)
{
	static const double none[GAS_COUNT] = {0, 0};
	double density = property_density(mass_fraction, 313.15, none).value;
	const double litres = 1000;

	return steam * litres * latent() * property_mass_per_amine(mass_fraction) / density;
}

static struct column_input tower(enum amine amine, double strength, double h2s, double co2, double steam)
{
	struct column_input input = {.feed = {.temperature = 99 + ZERO_CELSIUS, .loading = {h2s, co2}},
		.feed_pressure = 170e3,
		.stages = 9,
		.bottom_pressure = 190e3,
		.top_pressure = 170e3,
		.drum_temperature = 45 + ZERO_CELSIUS,
		.drum_pressure = 150e3};

	input.feed.mass_fraction[amine] = strength;
	input.duty = duty_of(input.feed.mass_fraction, steam);
	return input;
}

/* 9 stages, feed 99 C after the valve, 1.9/1.7 bar. Practice: Gas Processors Suppliers Association, Engineering Data
 * Book, and Kohl & Nielsen, Gas Purification, from memory. */
static const struct {
	enum amine amine;
	double strength, h2s, co2;
	const char *practice;
	struct {
		double steam, independent; /* kg/L; lean loading by an independent column with the first set of terms */
	} points[4];
} checks[] = {
	{AMINE_MDEA, 0.45, 0.35, 0.05, "0.003-0.01", {{0.10, 0.020}, {0.12, 0.0155}, {0.14, 0.013}, {0.18, 0.0097}}},
	{AMINE_DEA, 0.30, 0.30, 0.10, "0.01-0.07", {{0.10, 0.029}, {0.12, 0.022}, {0.14, 0.018}}},
	{AMINE_MEA, 0.18, 0.25, 0.15, "0.10-0.15", {{0.10, 0.125}, {0.12, 0.104}, {0.14, 0.090}}},
};

enum { CHECKS = COUNT(checks), POINTS = 4 };

static double lean_of(const struct terms *terms, size_t i, size_t k)
{
	struct column_input input =
		tower(checks[i].amine, checks[i].strength, checks[i].h2s, checks[i].co2, checks[i].points[k].steam);
	struct column column;

	return column_solve(terms, &input, &column) ? column_lean_loading(&column) : (double)NAN;
}

/* Another column of this kind, written independently of this one with the first set of terms: within 25 %. */
Test(column, lean_loadings_of_an_independent_column)
{
	for (size_t i = 0; i < CHECKS; i++)
		for (size_t k = 0; k < POINTS && checks[i].points[k].steam > 0; k++) {
			double lean = lean_of(&terms_first, i, k), other = checks[i].points[k].independent;

			cr_expect(fabs(lean - other) <= 0.25 * other, "%s at %g kg/L: %g, %g",
				amine_rows[checks[i].amine].name, checks[i].points[k].steam, lean, other);
		}
}

Test(column, printed_table_of_lean_loadings)
{
	struct arena arena = {0};
	struct text text = text_in(&arena);

	text_add(&text,
		"Lean loading that a duty reaches, mol/mol: 9 equilibrium stages with the reboiler, feed 99 degC after "
		"the valve,\n"
		"1.9 bar at the bottom and 1.7 bar at the top, reflux at 45 degC. Columns: amine and wt%; rich H2S + "
		"CO2; steam, kg per\n"
		"litre of lean; the program with its own terms; with the first set of terms; an independent column "
		"with the first\n"
		"set; practice (data book and handbook, from memory).\n\n");
	for (size_t i = 0; i < CHECKS; i++)
		for (size_t k = 0; k < POINTS && checks[i].points[k].steam > 0; k++)
			text_addf(&text, "%-4s %2.0f   %.2f + %.2f   %.2f   %.4f   %.4f   %.4f   %s\n",
				amine_rows[checks[i].amine].name, 100 * checks[i].strength, checks[i].h2s,
				checks[i].co2, checks[i].points[k].steam, lean_of(&terms_own, i, k),
				lean_of(&terms_first, i, k), checks[i].points[k].independent, checks[i].practice);
	cr_expect(printed_holds("tests/data/column_table.txt", text.data), "make tables, and look at what moved");
	arena_release(&arena);
}

Test(column, balances_close)
{
	for (size_t a = 0; a < AMINE_COUNT; a++) {
		struct column_input input = tower((enum amine)a, 0.35, 0.25, 0.12, 0.12);
		struct column column;
		double stripped = 0;

		cr_assert(column_solve(&terms_own, &input, &column));
		for (size_t i = 0; i < GAS_COUNT + 2; i++)
			cr_expect(fabs(column.imbalance[i]) < 1e-8, "%s %zu: %g", amine_rows[a].name, i,
				column.imbalance[i]);
		/* And stage by stage, from what is reported. */
		for (int j = 1; j + 1 < column.stages; j++)
			for (size_t gas = 0; gas < GAS_COUNT; gas++) {
				const struct column_stage *s = &column.stage[j];
				double in = s[1].loading[gas] + s[-1].gas[gas], out = s->loading[gas] + s->gas[gas];

				cr_expect(fabs(in - out) < 1e-8 * in);
			}
		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			stripped += column.stage[column.stages - 1].gas[gas];
		cr_expect_float_eq(stripped, 0.37 - column_lean_loading(&column), 1e-9);
		cr_expect_float_eq(column.reflux_ratio, column.reflux / stripped, 1e-12);
	}
}

/* Every stage is at its bubble point. */
Test(column, stages_boil)
{
	struct column_input input = tower(AMINE_DEA, 0.30, 0.30, 0.10, 0.12);
	struct column column;

	cr_assert(column_solve(&terms_own, &input, &column));
	for (int j = 0; j < column.stages; j++) {
		const struct column_stage *s = &column.stage[j];
		double mass = property_mass_per_amine(input.feed.mass_fraction) * 0.30;
		struct solution_input liquid = {
			.temperature = s->temperature, .loading = {s->loading[GAS_H2S], s->loading[GAS_CO2]}};

		liquid.mass_fraction[AMINE_DEA] = mass / (mass + s->water * MOLAR_MASS_WATER);
		cr_expect_float_eq(phase_bubble_pressure(&terms_own, &liquid), s->pressure, 1e-7 * s->pressure);
	}
}

Test(column, more_duty_and_more_stages_strip_more)
{
	for (size_t i = 0; i < CHECKS; i++) {
		double before = (double)INFINITY;

		for (int k = 8; k <= 20; k++) {
			double steam = k / 100.0;
			struct column_input input =
				tower(checks[i].amine, checks[i].strength, checks[i].h2s, checks[i].co2, steam);
			struct column column;

			cr_assert(column_solve(&terms_own, &input, &column), "%g", steam);
			cr_expect(column_lean_loading(&column) < before, "%g kg/L", steam);
			before = column_lean_loading(&column);
		}
		before = (double)INFINITY;
		for (int stages = 1; stages <= 20; stages++) {
			struct column_input input =
				tower(checks[i].amine, checks[i].strength, checks[i].h2s, checks[i].co2, 0.12);
			struct column column;

			input.stages = stages;
			cr_assert(column_solve(&terms_own, &input, &column), "%d stages", stages);
			cr_expect(column_lean_loading(&column) < before, "%d stages", stages);
			before = column_lean_loading(&column);
		}
	}
}

/* One stage and nothing returned: a flash at the temperature found, and the duty is what it takes. */
Test(column, one_stage_is_a_flash)
{
	for (size_t a = 0; a < AMINE_COUNT; a++) {
		struct column_input input = tower((enum amine)a, 0.35, 0.25, 0.12, 0.10);
		struct solution_input at = input.feed;
		struct column column;
		struct flash flash;

		input.stages = 1;
		input.drum_temperature = (double)NAN;
		cr_assert(column_solve(&terms_own, &input, &column));
		at.temperature = column.stage[0].temperature;
		cr_assert(phase_flash(&terms_own, &at, 0, input.bottom_pressure, &flash));
		for (size_t gas = 0; gas < GAS_COUNT; gas++) {
			cr_expect_float_eq(flash.liquid.loading[gas], column.stage[0].loading[gas], 1e-7);
			cr_expect_float_eq(flash.gas[gas], column.stage[0].gas[gas], 1e-7);
		}
		cr_expect_float_eq(flash.water, column.stage[0].steam, 1e-6);
		cr_expect_float_eq(enthalpy_flash(&flash) - enthalpy_at(&terms_own, &input.feed, input.feed_pressure),
			input.duty, 1e-5 * input.duty);
	}
}

static double draw(uint64_t *seed, double low, double high)
{
	*seed = *seed * 6364136223846793005u + 1442695040888963407u;
	return low + (high - low) * ((double)(*seed >> 11) / 9007199254740992.0);
}

/* Any amine at its usual strength, rich total 0.2-0.6, feed 85-108 C before or after the valve, 1.5-2.3 bar, 4-16 stages,
 * steam 0.08-0.20 kg/L. */
static struct column_input random_tower(uint64_t *seed, int i)
{
	static const double usual[AMINE_COUNT][2] = {[AMINE_MEA] = {0.15, 0.30},
		[AMINE_DEA] = {0.25, 0.40},
		[AMINE_MDEA] = {0.35, 0.55},
		[AMINE_DGA] = {0.50, 0.65},
		[AMINE_DIPA] = {0.30, 0.45}};
	enum amine amine = (enum amine)draw(seed, 0, AMINE_COUNT);
	double rich = draw(seed, 0.2, 0.6), share = i % 10 == 0 ? 0 : i % 10 == 1 ? 1 : draw(seed, 0, 1);
	struct column_input input = tower(amine, draw(seed, usual[amine][0], usual[amine][1]), rich * share,
		rich * (1 - share), draw(seed, 0.08, 0.20));

	input.feed.temperature = draw(seed, 85, 108) + ZERO_CELSIUS;
	input.top_pressure = draw(seed, 150e3, 230e3);
	input.bottom_pressure = input.top_pressure + draw(seed, 5e3, 25e3);
	input.drum_pressure = input.top_pressure - 20e3;
	input.feed_pressure = draw(seed, 0, 1) < 0.5 ? 700e3 : input.top_pressure;
	input.stages = (int)draw(seed, 4, 17);
	return input;
}

Test(column, random_cases_converge_or_say_so)
{
#ifdef __SANITIZE_ADDRESS__
	enum { CASES = 150, MAY_FAIL = 1 };
#else
	enum { CASES = 1000, MAY_FAIL = 10 };
#endif
	uint64_t seed = 20260914;
	int failed = 0;

	for (int i = 0; i < CASES; i++) {
		struct column_input input = random_tower(&seed, i);
		struct column column;

		if (!column_solve(&terms_own, &input, &column)) {
			failed++;
			cr_expect_eq(column.fault, COLUMN_NOT_CONVERGED);
			cr_expect(isnan(column_lean_loading(&column)) && isnan(column.reflux_ratio));
			continue;
		}
		for (size_t k = 0; k < GAS_COUNT + 2; k++)
			cr_expect(fabs(column.imbalance[k]) < 1e-8, "case %d: %g", i, column.imbalance[k]);
		for (int j = 0; j < column.stages; j++)
			cr_expect(column.stage[j].steam > 0 && column.stage[j].temperature > 300);
	}
	cr_expect_leq(failed, MAY_FAIL, "%d of %d did not converge", failed, CASES);
}

Test(column, impossible_input_is_refused)
{
	struct column_input input = tower(AMINE_MDEA, 0.45, 0.35, 0.05, 0.12), bad;
	struct column column;

	bad = input;
	bad.stages = 0;
	cr_expect_not(column_solve(&terms_own, &bad, &column));
	bad.stages = COLUMN_STAGES_AT_MOST + 1;
	cr_expect_not(column_solve(&terms_own, &bad, &column));
	bad = input;
	bad.duty = (double)NAN;
	cr_expect_not(column_solve(&terms_own, &bad, &column));
	bad = input;
	bad.top_pressure = 2 * bad.bottom_pressure;
	cr_expect_not(column_solve(&terms_own, &bad, &column));
	bad = input;
	bad.feed.loading[GAS_H2S] = -0.1;
	cr_expect_not(column_solve(&terms_own, &bad, &column));
	cr_expect_eq(column.fault, COLUMN_INPUT);
	bad = input;
	bad.drum_temperature = 500;
	cr_expect_not(column_solve(&terms_own, &bad, &column));
	/* Hardly any heat: there is no column. */
	bad = input;
	bad.duty /= 1000;
	cr_expect_not(column_solve(&terms_own, &bad, &column));
	cr_expect(isnan(column.stage[0].temperature));
}

/* ---- heat lost, and water above the feed ---- */

/* One stage is one balance: what it loses is made up by the same heat more. */
Test(column, heat_lost_by_one_stage_is_duty)
{
	struct column_input input = tower(AMINE_MDEA, 0.45, 0.30, 0.10, 0.12), lossy;
	struct column column, other;

	input.stages = 1;
	lossy = input;
	lossy.heat_loss = 0.05 * input.duty;
	lossy.duty += lossy.heat_loss;
	cr_assert(column_solve(&terms_own, &input, &column));
	cr_assert(column_solve(&terms_own, &lossy, &other));
	cr_expect_float_eq(column_lean_loading(&column), column_lean_loading(&other), 1e-9);
	cr_expect_float_eq(column.condenser_duty, other.condenser_duty, 1e-5 * column.condenser_duty);
}

/* Heat lost on the way up strips less than it would have, and more than if the reboiler had never put it in. */
Test(column, heat_lost_strips_less)
{
	for (size_t i = 0; i < CHECKS; i++) {
		struct column_input input = tower(
					    checks[i].amine, checks[i].strength, checks[i].h2s, checks[i].co2, 0.12),
				    lossy = input, less = input;
		struct column column, other, least;

		lossy.heat_loss = 0.05 * input.duty;
		less.duty = input.duty - lossy.heat_loss;
		cr_assert(column_solve(&terms_own, &input, &column));
		cr_assert(column_solve(&terms_own, &lossy, &other));
		cr_assert(column_solve(&terms_own, &less, &least));
		cr_expect(column_lean_loading(&other) > column_lean_loading(&column));
		cr_expect(column_lean_loading(&other) < column_lean_loading(&least));
		cr_expect(other.condenser_duty < column.condenser_duty);
		for (size_t k = 0; k < GAS_COUNT + 2; k++)
			cr_expect(fabs(other.imbalance[k]) < 1e-8, "%g", other.imbalance[k]);
	}
}

static double heat_over(const struct column_stage *stage, double steam, double temperature)
{
	double sum = steam * enthalpy_steam(temperature);

	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		sum += stage->gas[gas] * enthalpy_gas(gas, temperature);
	return sum;
}

/*
 * One stage of water above the feed, by the balances that a hand would write: its vapour is saturated with water at the
 * pressure of the top; water in (steam of the feed stage, reflux) is water out; so is heat.
 */
Test(column, one_stage_of_water_above_the_feed)
{
	struct column_input input = tower(AMINE_MDEA, 0.45, 0.30, 0.10, 0.12);
	struct column without, column;

	cr_assert(column_solve(&terms_own, &input, &without));
	input.wash_stages = 1;
	cr_assert(column_solve(&terms_own, &input, &column));
	const struct column_stage *below = &column.stage[column.stages - 1];
	double gas = below->gas[GAS_H2S] + below->gas[GAS_CO2], t = column.top_temperature;
	double falls = below->steam + column.reflux - column.top_steam;
	double in = heat_over(below, below->steam, below->temperature) +
		column.reflux * enthalpy_water(input.drum_temperature);
	double out = heat_over(below, column.top_steam, t) + falls * enthalpy_water(t);

	cr_expect_float_eq(column.top_steam / (column.top_steam + gas) * input.top_pressure,
		water_saturation_pressure(t), 1e-6 * input.top_pressure);
	cr_expect_float_eq(in, out, 1e-7 * in);
	for (size_t k = 0; k < GAS_COUNT + 2; k++)
		cr_expect(fabs(column.imbalance[k]) < 1e-8, "%g", column.imbalance[k]);
	/* The reflux is heated by the vapour, which leaves colder; the feed stage is spared that, sends up more and strips more. */
	cr_expect(t < without.top_temperature && below->temperature > without.top_temperature);
	cr_expect(column.top_steam < below->steam && below->steam > without.top_steam);
	cr_expect(column_lean_loading(&column) < column_lean_loading(&without));
	/* What the reboiler puts in and what leaves decide what is condensed: that hardly moves. */
	cr_expect_float_eq(column.condenser_duty, without.condenser_duty, 0.01 * without.condenser_duty);
	cr_expect_float_eq(column.reflux_ratio, without.reflux_ratio, 0.02 * without.reflux_ratio);
}

/* Each further stage of water brings the reflux nearer to the feed stage: it strips a little more, and less each time. */
Test(column, more_stages_of_water_approach_a_limit)
{
	for (size_t i = 0; i < CHECKS; i++) {
		double before = 0, gain = (double)INFINITY;

		for (int stages = 0; stages <= 3; stages++) {
			struct column_input input =
				tower(checks[i].amine, checks[i].strength, checks[i].h2s, checks[i].co2, 0.12);
			struct column column;

			input.wash_stages = stages;
			cr_assert(column_solve(&terms_own, &input, &column), "%d", stages);
			double lean = column_lean_loading(&column), now = before - lean;

			cr_expect(stages == 0 || (now > (stages < 3 ? 0 : -1e-9) && now < gain), "%d: %g after %g",
				stages, now, gain);
			gain = stages ? now : gain;
			before = lean;
			cr_expect(fabs(column.imbalance[GAS_COUNT + 1]) < 1e-8);
		}
		cr_expect(gain < 1e-5, "%g", gain);
	}
}

Test(column, washed_random_cases_converge_or_say_so)
{
	enum { CASES = 100 };
	uint64_t seed = 7;
	int failed = 0;

	for (int i = 0; i < CASES; i++) {
		struct column_input input = random_tower(&seed, i);
		struct column column;

		input.wash_stages = 1 + i % 4;
		input.heat_loss = 0.03 * input.duty * (i % 3);
		if (!column_solve(&terms_own, &input, &column)) {
			failed++;
			continue;
		}
		for (size_t k = 0; k < GAS_COUNT + 2; k++)
			cr_expect(fabs(column.imbalance[k]) < 1e-8, "case %d: %g", i, column.imbalance[k]);
		cr_expect(column.top_temperature > input.drum_temperature &&
			column.top_temperature <= column.stage[column.stages - 1].temperature);
	}
	cr_expect_leq(failed, 1, "%d of %d did not converge", failed, CASES);
}
