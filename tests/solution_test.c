#include <criterion/criterion.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "check_terms.h"
#include "chemistry/constants.h"
#include "chemistry/range.h"
#include "chemistry/solution.h"
#include "first_terms.h"
#include "solution_states.h"

#ifdef __SANITIZE_ADDRESS__
enum { RANDOM_STATES = 10000 };
#else
enum { RANDOM_STATES = 100000 };
#endif

/* Computed with the terms of check_terms.def by a program independent of this one; kPa; 0: not given. */
static const struct {
	enum amine amine;
	double strength, celsius, h2s, co2;
	double p_h2s, p_co2, ph, ionic_strength;
} computed_independently[] = {
	{AMINE_MDEA, 0.45, 122, 0.015, 0.004, 1.2518, 3.4603, 8.773, 0.1310},
	{AMINE_MDEA, 0.45, 44.85, 0.30, 0.10, 12.383, 7.579, 8.731, 2.897},
	{AMINE_MDEA, 0.45, 45, 0, 0.01, 0, 0.0405, 10.158, 0.1148},
	{AMINE_MEA, 0.20, 121.85, 0.08, 0.05, 6.883, 1.0626, 8.369, 0.5333},
	{AMINE_MEA, 0.30, 40, 0, 0.45, 0, 0.6291, 8.911, 3.540},
	{AMINE_DEA, 0.30, 121.85, 0.03, 0.01, 2.113, 0.9779, 8.557, 0.1652},
};

static void expect_states(const struct terms *terms, double relative, double ph)
{
	for (size_t i = 0; i < COUNT(computed_independently); i++) {
		struct solution_input input = state(computed_independently[i].amine, computed_independently[i].strength,
			computed_independently[i].celsius, computed_independently[i].h2s,
			computed_independently[i].co2);
		struct solution s;
		const double kpa = 1000;

		cr_assert(solution_solve(terms, &input, &s));
		cr_expect(close_to(s.partial_pressure[GAS_H2S], kpa * computed_independently[i].p_h2s, relative),
			"%zu: %.5g", i, s.partial_pressure[GAS_H2S]);
		cr_expect(close_to(s.partial_pressure[GAS_CO2], kpa * computed_independently[i].p_co2, relative),
			"%zu: %.5g", i, s.partial_pressure[GAS_CO2]);
		cr_expect(close_to(s.ionic_strength, computed_independently[i].ionic_strength, relative));
		cr_expect_float_eq(s.ph, computed_independently[i].ph, ph, "%zu: %.4f", i, s.ph);
	}
}

Test(solution, states_with_the_terms_of_another_fit)
{
	expect_states(&terms_check, 0.002, 0.001);
}

/* The engine's own terms lie within the standard errors of the others: the states within two per cent. */
Test(solution, states_with_the_own_terms)
{
	expect_states(&terms_own, 0.02, 0.005);
}

/*
 * Computed with the terms of a first regression by two solvers independent of this one, which agreed to 0.02 %. Their water
 * activity was -M_w sum m, without what the ions add: up to 1.4 % on the water, and on CO2 with it.
 */
static const struct {
	enum amine amine;
	double strength, celsius, h2s, co2;
	double p_h2s, p_co2, p_h2o, ph; /* kPa */
} computed_first[] = {
	{AMINE_MDEA, 0.45, 122, 0.015, 0.004, 1.019, 2.557, 186.4, 8.800},
	{AMINE_MDEA, 0.45, 44.85, 0.30, 0.10, 9.289, 10.085, 8.034, 8.803},
	{AMINE_MEA, 0.20, 121.85, 0.08, 0.05, 6.466, 1.344, 194.2, 8.404},
	{AMINE_DEA, 0.30, 121.85, 0.03, 0.01, 2.077, 0.639, 195.0, 8.562},
};

Test(solution, states_with_the_first_terms)
{
	const double kpa = 1000;

	for (size_t i = 0; i < COUNT(computed_first); i++) {
		struct solution_input input = state(computed_first[i].amine, computed_first[i].strength,
			computed_first[i].celsius, computed_first[i].h2s, computed_first[i].co2);
		struct solution s;

		cr_assert(solution_solve(&terms_first, &input, &s));
		cr_expect(close_to(s.partial_pressure[GAS_H2S], kpa * computed_first[i].p_h2s, 0.001));
		cr_expect(close_to(s.partial_pressure[GAS_CO2], kpa * computed_first[i].p_co2, 0.02));
		cr_expect(close_to(s.water_pressure, kpa * computed_first[i].p_h2o, 0.015));
		cr_expect_float_eq(s.ph, computed_first[i].ph, 0.001);
	}
}

/* Against tests/external/solution_check.py, a solver of another kind written independently of this one. */
Test(solution, five_hundred_states_of_the_independent_solver)
{
	FILE *in = fopen("tests/data/solution_check.csv", "r");
	char line[1024];
	size_t count = 0;
	double worst = 0;

	cr_assert_not_null(in);
	cr_assert_not_null(fgets(line, sizeof line, in));
	while (fgets(line, sizeof line, in) != NULL) {
		double v[22];
		char *at = line;
		struct solution_input input = {.temperature = 0};
		struct solution s;

		for (size_t i = 0; i < COUNT(v); i++) {
			v[i] = strtod(at, &at);
			at += *at == ',';
		}
		input.mass_fraction[AMINE_MEA] = v[0];
		input.mass_fraction[AMINE_DEA] = v[1];
		input.mass_fraction[AMINE_MDEA] = v[2];
		input.mass_fraction[AMINE_DGA] = v[3];
		input.mass_fraction[AMINE_DIPA] = v[4];
		input.temperature = v[5];
		input.loading[GAS_H2S] = v[6];
		input.loading[GAS_CO2] = v[7];
		input.anion[0] = v[8];
		input.anion[1] = v[9];
		input.cation = v[10];
		count++;
		cr_assert(
			solution_solve(&terms_own, &input, &s), "state %zu: %s", count, solution_fault_words(s.fault));
		const double ours[] = {s.ph, s.ionic_strength, s.partial_pressure[GAS_H2S], s.partial_pressure[GAS_CO2],
			s.water_pressure, s.molality[SPECIES_H2S], s.molality[SPECIES_HS], s.molality[SPECIES_HCO3],
			s.molality[SPECIES_CO3], s.molality[SPECIES_AMCOO] + s.molality[SPECIES_AMCOO_2],
			s.molality[SPECIES_AMH] + s.molality[SPECIES_AMH_2]};
		for (size_t i = 0; i < COUNT(ours); i++) {
			cr_expect(close_to(ours[i], v[11 + i], 1e-6), "state %zu, column %zu: %.9g, independent %.9g",
				count, 12 + i, ours[i], v[11 + i]);
			if (v[11 + i] != 0)
				worst = fmax(worst, fabs(ours[i] / v[11 + i] - 1));
		}
	}
	fclose(in);
	cr_expect_eq(count, 500);
	cr_log_info("independent solver: largest relative difference %.1e", worst);
}

/* Largest relative miss of the mass and charge balances. */
static double imbalance(const struct solution *s)
{
	const double *m = s->molality;
	double amine = 0, charge = 0, positive = 0, most;

	for (size_t i = 0; i < SPECIES_COUNT; i++) {
		charge += species_rows[i].charge * m[i];
		if (species_rows[i].charge > 0)
			positive += m[i];
		if (i >= SPECIES_AM && i <= SPECIES_AMCOO_2)
			amine += m[i];
	}
	most = fmax(fabs(charge / positive), fabs(amine / s->amine_molality - 1));
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		if (s->input.loading[gas] > 0)
			most = fmax(most, fabs(s->loading[gas] / s->input.loading[gas] - 1));
	return most;
}

/* What must hold when more gas is taken up or the solution is heated; counts what does not. */
static int exceptions(const struct solution_input *input, const struct solution *s)
{
	const double more = 1e-4, hotter = 0.01;
	struct solution_input changed = *input;
	struct solution after;
	int count = 0;

	changed.loading[GAS_H2S] += more;
	cr_assert(solution_solve(&terms_own, &changed, &after));
	count += !(after.ph < s->ph) + !(after.partial_pressure[GAS_H2S] > s->partial_pressure[GAS_H2S]);
	changed = *input;
	changed.loading[GAS_CO2] += more;
	cr_assert(solution_solve(&terms_own, &changed, &after));
	count += !(after.ph < s->ph);
	changed = *input;
	changed.temperature += hotter;
	cr_assert(solution_solve(&terms_own, &changed, &after));
	if (input->loading[GAS_H2S] > 0)
		count += !(after.partial_pressure[GAS_H2S] > s->partial_pressure[GAS_H2S]);
	return count;
}

Test(solution, every_state_of_the_domain_converges_and_balances)
{
	static const double strength[] = {0.01, 0.70}, celsius[] = {25, 149.99};
	uint64_t seed = 20240611;
	int failed = 0, odd = 0;
	double worst = 0;

	for (int i = 0; i < RANDOM_STATES; i++) {
		struct solution_input input = draw_state(&seed, strength, celsius, 1.2, 1.2999);
		struct solution s;

		if (!solution_solve(&terms_own, &input, &s)) {
			failed++;
			continue;
		}
		worst = fmax(worst, imbalance(&s));
		odd += exceptions(&input, &s) > 0;
	}
	cr_expect_eq(failed, 0, "%d of %d states did not converge", failed, RANDOM_STATES);
	cr_expect(worst < 1e-9, "largest imbalance %.1e", worst);
	cr_log_info("whole domain: %d states, largest imbalance %.1e, %d do not follow loading or temperature",
		RANDOM_STATES, worst, odd);
}

Test(solution, ph_falls_and_pressure_rises_every_time_in_the_usual_range)
{
	static const double strength[] = {0.15, 0.50}, celsius[] = {25, 124.99};
	uint64_t seed = 7;

	for (int i = 0; i < RANDOM_STATES; i++) {
		struct solution_input input = draw_state(&seed, strength, celsius, 0.6999, 0.6999);
		struct solution s;

		cr_assert(solution_solve(&terms_own, &input, &s));
		cr_expect_eq(exceptions(&input, &s), 0, "%d: %.4f K, loadings %.6f and %.6f", i, input.temperature,
			input.loading[GAS_H2S], input.loading[GAS_CO2]);
	}
}

/* Distance of ln p at the middle of three points from their straight line, against how far they reach. */
static double bend(const double *low, const double *middle, const double *high, size_t i)
{
	return fabs(low[i] - 2 * middle[i] + high[i]);
}

/*
 * No kink and no jump: along loading, temperature and salts the pressures and the pH at three near points lie on a
 * straight line to what a smooth function of that reach can bend, and rise with loading. STATES=300000 in the
 * environment tries as many.
 */
Test(solution, random_states_without_a_kink_or_a_jump)
{
	static const double strength[] = {0.15, 0.60}, celsius[] = {10, 149};
	const char *asked = getenv("STATES");
	int states = asked ? (int)strtol(asked, NULL, 10) : RANDOM_STATES / 10, bent = 0, fallen = 0;
	const double reach = 1e-3;
	uint64_t seed = 300;

	for (int i = 0; i < states; i++) {
		struct solution_input at = draw_state(&seed, strength, celsius, 1.1, 1.1);
		double low[3] = {0}, middle[3] = {0}, high[3] = {0}, *to[] = {low, middle, high};
		int along = (int)draw(&seed, 0, 4);

		at.loading[GAS_H2S] = fmax(at.loading[GAS_H2S], 1e-6);
		at.loading[GAS_CO2] = fmax(at.loading[GAS_CO2], 1e-6);
		for (int k = 0; k < 3; k++) {
			struct solution_input input = at;
			struct solution s;
			double by = (k - 1) * reach;

			if (along < 2)
				input.loading[along] *= 1 + by;
			else if (along == 2)
				input.temperature *= 1 + by;
			else
				input.anion[0] += reach * 0.01 * k;
			cr_assert(solution_solve(&terms_own, &input, &s), "%d", i);
			to[k][0] = log(s.partial_pressure[GAS_H2S]);
			to[k][1] = log(s.partial_pressure[GAS_CO2]);
			to[k][2] = s.ph;
			cr_assert(isfinite(to[k][0]) && isfinite(to[k][1]) && isfinite(to[k][2]), "%d", i);
		}
		for (size_t k = 0; k < 3; k++)
			bent += bend(low, middle, high, k) > 1e-4 + 0.02 * fabs(high[k] - low[k]);
		if (along < 2)
			fallen += high[along] < low[along];
	}
	cr_expect_eq(bent, 0, "%d of %d", bent, states);
	cr_expect_eq(fallen, 0, "%d of %d", fallen, states);
}

/*
 * The first terms are linear in molality and reach far larger coefficients: the solver must hold with them too, to
 * 60 wt% (above, two of 100,000 states of MEA are not found with them).
 */
Test(solution, the_first_terms_converge_over_the_domain)
{
	static const double strength[] = {0.01, 0.60}, celsius[] = {25, 150};
	uint64_t seed = 99;

	for (int i = 0; i < RANDOM_STATES / 5; i++) {
		struct solution_input input = draw_state(&seed, strength, celsius, 1.2, 1.3);
		struct solution s;

		cr_expect(solution_solve(&terms_first, &input, &s));
	}
}

Test(solution, without_gases_the_amine_alone_makes_the_ph)
{
	/* 30 wt% MEA: pH near (pKw + pKa + log m)/2 at 25 C */
	struct solution_input input = state(AMINE_MEA, 0.30, 25, 0, 0);
	struct solution s;

	cr_assert(solution_solve(&terms_own, &input, &s));
	cr_expect_float_eq(s.ph, (13.998 + 9.496 + log10(s.amine_molality)) / 2, 0.1);
	cr_expect_eq(s.partial_pressure[GAS_H2S], 0);
	cr_expect_eq(s.partial_pressure[GAS_CO2], 0);
	cr_expect_eq(s.molality[SPECIES_HS], 0);
	cr_expect_eq(s.molality[SPECIES_AMCOO], 0);
	cr_expect(s.water_pressure < 3170 && s.water_pressure > 2500);
}

Test(solution, an_absent_gas_is_the_limit_of_a_trace)
{
	struct solution_input none = state(AMINE_DEA, 0.30, 60, 0.3, 0), trace = state(AMINE_DEA, 0.30, 60, 0.3, 1e-12);
	struct solution a, b;

	cr_assert(solution_solve(&terms_own, &none, &a) && solution_solve(&terms_own, &trace, &b));
	cr_expect(close_to(a.ph, b.ph, 1e-10));
	cr_expect(close_to(a.partial_pressure[GAS_H2S], b.partial_pressure[GAS_H2S], 1e-9));
	cr_expect_eq(a.partial_pressure[GAS_CO2], 0);
	cr_expect(b.partial_pressure[GAS_CO2] > 0);
}

Test(solution, anions_take_amine_away_from_the_gases)
{
	struct solution_input clean = state(AMINE_MDEA, 0.45, 45, 0.01, 0.005), salted = clean;
	struct solution a, b, c;

	salted.anion[0] = 0.05;
	cr_assert(solution_solve(&terms_own, &clean, &a) && solution_solve(&terms_own, &salted, &b));
	cr_expect(b.ph < a.ph);
	cr_expect(b.ionic_strength > a.ionic_strength);
	cr_expect(b.molality[SPECIES_AM] < a.molality[SPECIES_AM]);
	cr_expect(b.partial_pressure[GAS_H2S] > a.partial_pressure[GAS_H2S]);
	/* A doubly charged anion binds twice the amine. */
	salted.anion[0] = 0;
	salted.anion[1] = 0.025;
	cr_assert(solution_solve(&terms_own, &salted, &c));
	cr_expect(close_to(c.molality[SPECIES_AMH], b.molality[SPECIES_AMH], 0.05));
	cr_expect(c.ionic_strength > b.ionic_strength);
}

Test(solution, a_blend_lies_at_its_ends)
{
	struct solution_input alone = state(AMINE_MDEA, 0.45, 50, 0.2, 0.1), with_trace = alone;
	struct solution a, b;

	with_trace.mass_fraction[AMINE_DEA] = 1e-9;
	cr_assert(solution_solve(&terms_own, &alone, &a) && solution_solve(&terms_own, &with_trace, &b));
	cr_expect(close_to(a.partial_pressure[GAS_CO2], b.partial_pressure[GAS_CO2], 1e-6));
	cr_expect(close_to(a.ph, b.ph, 1e-7));
	cr_expect(a.validated);
	cr_expect_not(b.validated, "no data of blends were read");
}

Test(solution, equilibrium_with_a_gas_returns_the_loading)
{
	struct solution_input input = state(AMINE_MDEA, 0.45, 45, 0.25, 0.12);
	struct solution s, back;
	double both[GAS_COUNT], only_h2s[GAS_COUNT];

	cr_assert(solution_solve(&terms_own, &input, &s));
	memcpy(both, s.partial_pressure, sizeof both);
	only_h2s[GAS_H2S] = both[GAS_H2S];
	only_h2s[GAS_CO2] = (double)NAN;
	cr_assert(solution_absorb(&terms_own, &input, only_h2s, &back));
	cr_expect(close_to(back.loading[GAS_H2S], 0.25, 1e-9));
	cr_expect(close_to(back.loading[GAS_CO2], 0.12, 1e-9));
	memset(input.loading, 0, sizeof input.loading);
	cr_assert(solution_absorb(&terms_own, &input, both, &back));
	cr_expect(close_to(back.loading[GAS_H2S], 0.25, 1e-9));
	cr_expect(close_to(back.loading[GAS_CO2], 0.12, 1e-9));
	/* No gas is no loading. */
	both[GAS_H2S] = 0;
	cr_assert(solution_absorb(&terms_own, &input, both, &back));
	cr_expect_eq(back.loading[GAS_H2S], 0);
}

/* Any two of loading and partial pressure, from nearly nothing to 3 MPa, find a state that has both. */
Test(solution, every_gas_finds_its_loading)
{
	static const double strength[] = {0.01, 0.70}, celsius[] = {25, 150};
	uint64_t seed = 3;

	for (int i = 0; i < RANDOM_STATES / 10; i++) {
		struct solution_input input = draw_state(&seed, strength, celsius, 0.6, 1.2);
		double pressure[GAS_COUNT];
		struct solution s, back;

		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			pressure[gas] = draw(&seed, 0, 1) < 0.25 ? (double)NAN : exp(draw(&seed, log(1e-6), log(3e6)));
		cr_assert(solution_absorb(&terms_own, &input, pressure, &s));
		memcpy(input.loading, s.loading, sizeof input.loading);
		if (input.loading[GAS_H2S] + input.loading[GAS_CO2] > 1.5)
			continue;
		cr_assert(solution_solve(&terms_own, &input, &back));
		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			cr_expect(close_to(s.partial_pressure[gas], back.partial_pressure[gas], 1e-8));
	}
}

Test(solution, fitted_range)
{
	struct solution_input input = state(AMINE_MEA, 0.30, 40, 0, 0.3);
	struct solution s;

	cr_assert(solution_solve(&terms_own, &input, &s));
	cr_expect(s.in_fitted_range && s.validated);
	input.loading[GAS_H2S] = 0.01;
	cr_assert(solution_solve(&terms_own, &input, &s));
	cr_expect_not(s.in_fitted_range, "both gases");
	input = state(AMINE_DIPA, 0.35, 45, 0.1, 0);
	cr_assert(solution_solve(&terms_own, &input, &s));
	cr_expect_not(s.in_fitted_range);
	cr_expect_not(s.validated);
}

/* Of an amine whose data were read, but outside of them: why; in the range, and without a state, no word. */
Test(solution, why_a_state_is_outside_the_data)
{
	struct solution_input salts = state(AMINE_MEA, 0.30, 40, 0, 0.3), blend = state(AMINE_MDEA, 0.4, 60, 0, 0.1);
	const struct {
		struct solution_input input;
		const char *says;
	} rows[] = {{state(AMINE_MEA, 0.30, 40, 0, 0.3), NULL},
		{state(AMINE_MEA, 0.30, 40, 0.01, 0.3), "one gas at a time"},
		{state(AMINE_MEA, 0.60, 40, 0, 0.3), "of other strengths"},
		{state(AMINE_MEA, 0.30, 140, 0, 0.3), "at other temperatures"},
		{state(AMINE_MEA, 0.30, 40, 0, 0.9), "at other loadings"}, {state(AMINE_MEA, 0.30, 40, 0, 0), "no gas"},
		{state(AMINE_DIPA, 0.35, 45, 0.1, 0), "no data of this amine"}, {salts, "without salts"},
		{blend, "no data of blends"}, {state(AMINE_MEA, 0.30, -40, 0, 0.3), NULL}};

	for (size_t i = 0; i < COUNT(rows); i++) {
		struct solution_input input = rows[i].input;
		struct solution s;

		if (i == 7)
			input.anion[0] = 0.05;
		if (i == 8)
			input.mass_fraction[AMINE_DEA] = 0.05;
		solution_solve(&terms_own, &input, &s);
		const char *says = range_outside(&s);
		cr_expect(rows[i].says ? strstr(says, rows[i].says) && !s.in_fitted_range : *says == '\0', "%zu: %s", i,
			says);
	}
}

static void expect_fault(struct solution_input input, enum solution_fault fault)
{
	struct solution s;

	cr_expect_not(solution_solve(&terms_own, &input, &s));
	cr_expect_eq(s.fault, fault, "%s", solution_fault_words(s.fault));
	cr_expect(isnan(s.ph) && isnan(s.partial_pressure[GAS_H2S]) && isnan(s.water_pressure) &&
		isnan(s.molality[SPECIES_HS]));
	cr_expect_not(s.in_fitted_range);
	cr_expect(strlen(solution_fault_words(fault)) > 0);
}

Test(solution, input_outside_the_domain_makes_no_number)
{
	struct solution_input blend = state(AMINE_MEA, 0.2, 40, 0.1, 0.1);
	const double nan = (double)NAN;

	expect_fault(state(AMINE_MEA, 0, 40, 0.1, 0.1), SOLUTION_NO_AMINE);
	expect_fault(state(AMINE_MEA, 0.8, 40, 0.1, 0.1), SOLUTION_STRENGTH_RANGE);
	expect_fault(state(AMINE_MEA, -0.1, 40, 0.1, 0.1), SOLUTION_STRENGTH_RANGE);
	expect_fault(state(AMINE_MEA, nan, 40, 0.1, 0.1), SOLUTION_STRENGTH_RANGE);
	expect_fault(state(AMINE_MEA, 0.2, -1, 0.1, 0.1), SOLUTION_TEMPERATURE_RANGE);
	expect_fault(state(AMINE_MEA, 0.2, 181, 0.1, 0.1), SOLUTION_TEMPERATURE_RANGE);
	expect_fault(state(AMINE_MEA, 0.2, nan, 0.1, 0.1), SOLUTION_TEMPERATURE_RANGE);
	expect_fault(state(AMINE_MEA, 0.2, 40, -0.1, 0.1), SOLUTION_LOADING_RANGE);
	expect_fault(state(AMINE_MEA, 0.2, 40, 0.1, nan), SOLUTION_LOADING_RANGE);
	expect_fault(state(AMINE_MEA, 0.2, 40, 0.8, 0.8), SOLUTION_LOADING_RANGE);
	blend.mass_fraction[AMINE_DEA] = 0.2;
	expect_fault(blend, SOLUTION_NO_AMINE);
	blend = state(AMINE_MEA, 0.2, 40, 0.1, 0.1);
	blend.anion[1] = 0.5;
	expect_fault(blend, SOLUTION_ANION_RANGE);
	blend.anion[1] = 0;
	blend.cation = -0.01;
	expect_fault(blend, SOLUTION_ANION_RANGE);
	blend.cation = 0.95;
	expect_fault(blend, SOLUTION_ANION_RANGE);
	blend.cation = nan;
	expect_fault(blend, SOLUTION_ANION_RANGE);
}

/* A set of terms that no solution satisfies: non-convergence must come out as a fault, never as a number. */
Test(solution, no_convergence_makes_no_number)
{
	struct terms absurd = terms_own;
	struct solution_input input = state(AMINE_MDEA, 0.6, 120, 0.5, 0.3);
	struct solution s;

	absurd.pairs[0] = (struct pair_term){AMINE_MDEA, SPECIES_AMH, SPECIES_HS, -1e6, 0, 0, 0};
	cr_expect_not(solution_solve(&absurd, &input, &s));
	cr_expect_eq(s.fault, SOLUTION_NOT_CONVERGED);
	cr_expect(isnan(s.partial_pressure[GAS_H2S]) && isnan(s.ph));
	absurd.pairs[0].at_centre = (double)NAN;
	cr_expect_not(solution_solve(&absurd, &input, &s));
	cr_expect_eq(s.fault, SOLUTION_NOT_CONVERGED);
}

/* As a column steps: from a state to one nearby, and from one too far off for the search, by the same equations. */
Test(solution, a_state_found_from_one_nearby_is_the_same)
{
	enum { STATES = 1000 };
	const double strength[] = {0.1, 0.5}, celsius[] = {30, 130}, rounding = 1e-9;
	uint64_t seed = 31;

	for (size_t i = 0; i < STATES; i++) {
		struct solution_input input = draw_state(&seed, strength, celsius, 0.8, 0.9), moved = input;
		struct solution from, anew, near;
		double far = i % 4 == 0 ? 1 : 0.02;

		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			moved.loading[gas] *= exp(draw(&seed, -far, 0));
		moved.temperature += draw(&seed, -50 * far, 50 * far);
		if (!solution_solve(&terms_own, &input, &from) || !solution_solve(&terms_own, &moved, &anew))
			continue;
		cr_assert(solution_near(&terms_own, &moved, &from, &near));
		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			cr_expect(close_to(near.partial_pressure[gas], anew.partial_pressure[gas], rounding),
				"%zu: %.12g is not %.12g", i, near.partial_pressure[gas], anew.partial_pressure[gas]);
		cr_expect_float_eq(near.ph, anew.ph, rounding);
	}
}

/* Good for the guess of a column, which is improved on: pressures within a per cent on average, a third at the worst. */
Test(solution, a_rough_state_is_near_the_whole)
{
	enum { STATES = 1000 };
	const double strength[] = {0.1, 0.5}, celsius[] = {30, 130};
	double worst = 0, sum = 0;
	size_t count = 0;
	uint64_t seed = 32;

	for (size_t i = 0; i < STATES; i++) {
		const struct solution_input input = draw_state(&seed, strength, celsius, 0.5, 0.6);
		struct solution rough, whole;

		if (!solution_solve(&terms_own, &input, &whole))
			continue;
		cr_assert(solution_rough(&terms_own, &input, &rough));
		for (size_t gas = 0; gas < GAS_COUNT; gas++) {
			double apart = whole.partial_pressure[gas] > 0
				? fabs(log(rough.partial_pressure[gas] / whole.partial_pressure[gas]))
				: 0;
			worst = fmax(worst, apart);
			sum += apart;
			count++;
		}
	}
	cr_expect_lt(worst, 0.3);
	cr_expect_lt(sum / (double)count, 0.01);
}
