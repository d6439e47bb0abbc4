/*
 * Both ends of partial pressures and pH: their shape. How they hold against data is in regression_test.c.
 */
#include <criterion/criterion.h>
#include <math.h>

#include "chemistry/constants.h"
#include "chemistry/range.h"
#include "chemistry/spread.h"
#include "solution_states.h"

static struct solution solved(struct solution_input input)
{
	struct solution solution;

	cr_assert(solution_solve(&terms_own, &input, &solution));
	return solution;
}

static double factor_of(struct solution_input input, enum gas gas)
{
	struct solution solution = solved(input);

	return range_factor(&solution, gas);
}

Test(range, the_ends_are_as_many_times_below_as_above)
{
	struct solution s = solved(state(AMINE_MDEA, 0.45, 45, 0.1, 0.05));

	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		struct interval ends = range_pressure(&s, (enum gas)gas);
		double pressure = s.partial_pressure[gas];

		cr_expect(ends.low > 0 && ends.low < pressure && pressure < ends.high);
		cr_expect_float_eq(ends.low * ends.high / pressure / pressure, 1, 1e-12);
		cr_expect_float_eq(ends.high / pressure, range_factor(&s, (enum gas)gas), 1e-12);
	}
}

Test(range, it_grows_with_the_distance_from_the_data)
{
	/* DEA and CO2 are measured from 30 to 50 degC (Haji-Sulaiman and others 1998); hotter, stronger and weaker is further. */
	struct solution_input at = state(AMINE_DEA, 0.3, 40, 0, 0.3);
	double first = factor_of(at, GAS_CO2), last = 0;

	/* With the slope of 40 degC kept: hotter, a loading that is off matters less, which is apart from the distance. */
	for (int celsius = 50; celsius <= 160; celsius += 10) {
		const struct spread_place place = {.amine = AMINE_DEA,
			.gas = GAS_CO2,
			.molality = 0.3 / 0.7 / amine_rows[AMINE_DEA].molar_mass,
			.temperature = celsius + ZERO_CELSIUS,
			.loading = 0.3,
			.slope = 3};
		double factor = exp(spread_ln_factor(0, &place));

		cr_expect(factor > last, "%d degC: %g after %g", celsius, factor, last);
		last = factor;
	}
	last = factor_of(state(AMINE_DEA, 0.3, 160, 0, 0.3), GAS_CO2);
	cr_expect(last > 1.5 * first, "%g from %g", last, first);
	cr_expect(factor_of(state(AMINE_DEA, 0.6, 40, 0, 0.3), GAS_CO2) > 1.1 * first, "stronger");
	cr_expect(factor_of(state(AMINE_DEA, 0.05, 40, 0, 0.3), GAS_CO2) > 1.1 * first, "weaker");
	cr_expect(factor_of(state(AMINE_DEA, 0.3, 40, 0.3, 0.3), GAS_CO2) > 1.05 * first, "with the other gas");
	at.anion[0] = 0.1;
	cr_expect(factor_of(at, GAS_CO2) > first, "with salts");
	/* In loading, where the slope of the pressure is the same: H2S over MEA, measured to 0.94 mol/mol. */
	cr_expect(factor_of(state(AMINE_MEA, 0.152, 40, 1.2, 0), GAS_H2S) >
		1.02 * factor_of(state(AMINE_MEA, 0.152, 40, 0.8, 0), GAS_H2S));
}

/* CO2 over MEA at 40 degC: d ln p/d ln loading is 2 at 0.2 and 12 at 0.5 mol/mol, and so much more a loading 2 % off matters. */
Test(range, it_grows_with_the_slope_of_the_pressure)
{
	double lean = factor_of(state(AMINE_MEA, 0.30, 40, 0, 0.2), GAS_CO2);
	double rich = factor_of(state(AMINE_MEA, 0.30, 40, 0, 0.5), GAS_CO2);

	cr_expect(lean > 1.4 && lean < 1.7, "%g", lean);
	cr_expect(rich > 1.8 && rich < 2.5, "%g", rich);
}

Test(range, without_data_it_is_a_factor_of_two_at_least)
{
	cr_expect(factor_of(state(AMINE_DGA, 0.5, 60, 0.1, 0), GAS_H2S) >= UNVALIDATED_FACTOR);
	cr_expect(factor_of(state(AMINE_DIPA, 0.35, 60, 0, 0.1), GAS_CO2) >= UNVALIDATED_FACTOR);
	struct solution_input blend = state(AMINE_MDEA, 0.4, 60, 0.1, 0.1);

	blend.mass_fraction[AMINE_DEA] = 0.05;
	cr_expect(factor_of(blend, GAS_H2S) >= UNVALIDATED_FACTOR);
}

/* A loading that moves the pressure as its tenth power is known ten times better, in ln, than the pressure. */
Test(range, a_loading_at_a_given_pressure_is_known_by_the_slope)
{
	struct solution rich = solved(state(AMINE_MEA, 0.30, 40, 0, 0.5));
	double slope = log(range_factor(&rich, GAS_CO2)) / log(range_loading_factor(&rich, GAS_CO2));

	cr_expect(slope > 8 && slope < 20, "%g", slope);
	cr_expect_float_eq(range_loading_factor(&rich, GAS_H2S), 1, 1e-15, "none of that gas");
}

Test(range, an_absent_gas_and_no_state)
{
	struct solution s = solved(state(AMINE_MDEA, 0.45, 45, 0, 0.1)), failed;
	struct solution_input cold = state(AMINE_MDEA, 0.45, -40, 0, 0.1);

	cr_expect_float_eq(range_pressure(&s, GAS_H2S).low, 0, 1e-300);
	cr_expect_float_eq(range_pressure(&s, GAS_H2S).high, 0, 1e-300);
	cr_expect_not(solution_solve(&terms_own, &cold, &failed));
	cr_expect(isnan(range_factor(&failed, GAS_CO2)) && isnan(range_ph(&failed)) &&
		isnan(range_pressure(&failed, GAS_CO2).high));
}

Test(range, ph)
{
	struct solution near = solved(state(AMINE_MEA, 0.152, 100, 0.2, 0));
	struct solution lean = solved(state(AMINE_MDEA, 0.45, 45, 0.01, 0)),
			far = solved(state(AMINE_DEA, 0.3, 122, 0, 0.2));

	cr_expect_float_eq(range_ph(&near), PH_ERROR, 0.02);
	cr_expect_geq(range_ph(&lean), PH_ERROR_LEAN);
	cr_expect(range_ph(&far) > 0.2 && range_ph(&far) < 0.5, "%g", range_ph(&far));
}

/* CO2 over a solution of 30 wt%, loaded 0.3. */
static struct spread_place place_of(enum amine amine, double celsius)
{
	return (struct spread_place){.amine = amine,
		.gas = GAS_CO2,
		.molality = 0.3 / 0.7 / amine_rows[amine].molar_mass,
		.temperature = celsius + ZERO_CELSIUS,
		.loading = 0.3,
		.slope = 2};
}

/* What a paper's loadings are uncertain by counts most where little is loaded, and no more below the least loading. */
Test(range, it_grows_towards_little_loading_and_then_no_further)
{
	struct spread_place place = place_of(AMINE_MEA, 100);
	double rich = spread_ln_factor(0, &place), little, less;

	place.loading = SPREAD_LEAST_LOADING_CO2;
	little = spread_ln_factor(0, &place);
	place.loading = SPREAD_LEAST_LOADING_CO2 / 2; /* measured there too: no nearer, no further */
	less = spread_ln_factor(0, &place);
	cr_expect(little > 1.2 * rich, "%g, %g", little, rich);
	cr_expect_float_eq(less, little, 1e-3);
}

/* An e_k, and the e and f of the one paper, make wider what rests on them alone. */
Test(range, evidence_of_one_paper_has_that_papers_spread)
{
	const struct spread_place place = {
		.amine = AMINE_MDEA, .gas = GAS_CO2, .temperature = 313.15, .loading = 0.3, .slope = 2};
	const struct spread spread = {0.2, 0.2, 0.005, 1}, careless = {0.2, 0.2, 0.02, 1},
			    wide = {0.2, 0.2, 0.005, 1.5};
	double plain = spread_ln_factor_at(&spread, 0, 0, &place);

	/* 1.645 sqrt(0.2^2 + (0.018 2)^2 + (0.005 2/0.3)^2), with the Henry constant's two forms beside */
	cr_expect_float_eq(
		plain, 1.645 * sqrt(0.04 + pow(SPREAD_OF_SLOPE * 2, 2) + pow(0.01 / 0.3, 2)), 2e-3, "%g", plain);
	cr_expect_gt(spread_ln_factor_at(&spread, 0.15, 0, &place), plain);
	cr_expect_gt(spread_ln_factor_at(&careless, 0, 0, &place), plain);
	cr_expect_gt(spread_ln_factor_at(&spread, 0, 1, &place), plain);
	cr_expect_float_eq(spread_ln_factor_at(&wide, 0, 0, &place), 1.5 * plain, 1e-12);
}

/* Inside the range of a correlation that is for mixtures both gases are no distance; in the rows of a paper the other gas is one. */
Test(range, distance)
{
	const struct evidence paper = {AMINE_MDEA, GAS_CO2, 0, 1, 1, {0.3, 0.3}, {40, 40}, {0.1, 0.5}, false};
	struct evidence both = paper;
	struct spread_place place = place_of(AMINE_MDEA, 40);

	cr_expect_float_eq(spread_distance(&paper, &place), 0, 1e-9);
	place.temperature += SPREAD_KELVIN_CO2;
	cr_expect_float_eq(spread_distance(&paper, &place), 1, 1e-9);
	place.loading = 0.5 + SPREAD_LOADING_CO2;
	cr_expect_float_eq(spread_distance(&paper, &place), sqrt(2), 1e-9);
	place.molality *= exp(SPREAD_LN_STRENGTH);
	cr_expect_float_eq(spread_distance(&paper, &place), sqrt(3), 1e-9);
	place.other = SPREAD_OTHER;
	cr_expect_float_eq(spread_distance(&paper, &place), 2, 1e-9);
	both.mixtures = true;
	cr_expect_float_eq(spread_distance(&both, &place), sqrt(3), 1e-9);
	place.salts = SPREAD_OTHER;
	cr_expect_float_eq(spread_distance(&both, &place), 2, 1e-9);
	place.gas = GAS_H2S;
	cr_expect(isinf(spread_distance(&paper, &place)));
}
