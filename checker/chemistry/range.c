#include "chemistry/range.h"

#include <math.h>
#include <stdbool.h>

#include "chemistry/constants.h"
#include "chemistry/solution.h"
#include "chemistry/spread.h"

struct fitted_range {
	double strength[2], celsius[2], loading[2];
};

static const struct fitted_range ranges[AMINE_COUNT][GAS_COUNT] = {
#define RANGE(amine, gas, w0, w1, t0, t1, l0, l1) [AMINE_##amine][GAS_##gas] = {{w0, w1}, {t0, t1}, {l0, l1}},
#include "chemistry/range.def"
#undef RANGE
};

static bool within(double value, const double *range)
{
	return value >= range[0] && value <= range[1];
}

static bool inside(const struct solution *solution, enum gas gas)
{
	const struct solution_input *input = &solution->input;
	enum amine amine = solution->amine[0];
	const struct fitted_range *range = &ranges[amine][gas];

	return within(input->mass_fraction[amine], range->strength) &&
		within(input->temperature - ZERO_CELSIUS, range->celsius) &&
		within(solution->loading[gas], range->loading);
}

void range_judge(struct solution *solution)
{
	bool both = solution->loading[GAS_H2S] > 0 && solution->loading[GAS_CO2] > 0, all = true;
	bool salts = solution->input.anion[0] > 0 || solution->input.anion[1] > 0 || solution->input.cation > 0;

	solution->validated = solution->amine_count == 1 && amine_rows[solution->amine[0]].validated;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		if (solution->loading[gas] > 0)
			all = all && solution->validated && !both && !salts && inside(solution, (enum gas)gas);
	/* With no gas at all there is no data either: the amine's own constant decides. */
	solution->in_fitted_range = all && (solution->loading[GAS_H2S] > 0 || solution->loading[GAS_CO2] > 0);
}

/* Of the first gas that is loaded and lies outside. */
static const char *outside_of(const struct solution *solution)
{
	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		const struct fitted_range *range = &ranges[solution->amine[0]][gas];

		if (!(solution->loading[gas] > 0))
			continue;
		if (!within(solution->input.mass_fraction[solution->amine[0]], range->strength))
			return "data of this amine were read, of other strengths: the ends lie wider apart";
		if (!within(solution->input.temperature - ZERO_CELSIUS, range->celsius))
			return "data of this amine were read, at other temperatures: the ends lie wider apart";
		if (!within(solution->loading[gas], range->loading))
			return "data of this amine were read, at other loadings: the ends lie wider apart";
	}
	return "no gas is loaded, and the data are of one gas";
}

const char *range_outside(const struct solution *solution)
{
	bool salts = solution->input.anion[0] > 0 || solution->input.anion[1] > 0 || solution->input.cation > 0;

	if (solution->fault != SOLUTION_FINE || solution->in_fitted_range)
		return "";
	if (solution->amine_count > 1)
		return "no data of blends were read: the ends are a factor of two or more from the value";
	if (!solution->validated)
		return "no data of this amine were read: the ends are a factor of two or more from the value";
	if (salts)
		return "data of this amine were read, without salts: the ends lie wider apart";
	if (solution->loading[GAS_H2S] > 0 && solution->loading[GAS_CO2] > 0)
		return "data of this amine were read, of one gas at a time: the ends lie wider apart";
	return outside_of(solution);
}

/* d ln p/d ln loading, from a little less of the gas; NaN where there is none. */
static double slope_of(const struct solution *solution, enum gas gas)
{
	struct solution_input less = solution->input;
	struct solution with_less;

	if (!(solution->loading[gas] > 0))
		return (double)NAN;
	for (size_t g = 0; g < GAS_COUNT; g++)
		less.loading[g] = solution->loading[g];
	less.loading[gas] *= 1 - SPREAD_NUDGE;
	if (!solution_solve(&terms_own, &less, &with_less))
		return (double)NAN;
	return log(with_less.partial_pressure[gas] / solution->partial_pressure[gas]) / log1p(-SPREAD_NUDGE);
}

static struct spread_place place_of(const struct solution *solution, enum gas gas, size_t amine)
{
	const struct solution_input *input = &solution->input;

	return (struct spread_place){.amine = amine_rows[solution->amine[amine]].terms_of,
		.gas = gas,
		.molality = solution->amine_molality,
		.temperature = input->temperature,
		.loading = solution->loading[gas],
		.other = solution->loading[1 - gas],
		.salts = input->anion[0] + 2 * input->anion[1] + input->cation,
		.slope = (double)NAN};
}

double range_factor(const struct solution *solution, enum gas gas)
{
	double least_error = solution->validated ? 0 : log(UNVALIDATED_FACTOR) / SPREAD_DEVIATIONS, worst = 0;
	double slope;

	if (solution->fault != SOLUTION_FINE)
		return (double)NAN;
	slope = slope_of(solution, gas);
	/* That of the amine whose data are furthest. */
	for (size_t p = 0; p < solution->amine_count; p++) {
		struct spread_place place = place_of(solution, gas, p);

		place.slope = slope;
		worst = fmax(worst, spread_ln_factor(least_error, &place));
	}
	return exp(worst);
}

struct interval range_pressure(const struct solution *solution, enum gas gas)
{
	double factor = range_factor(solution, gas), pressure = solution->partial_pressure[gas];

	return (struct interval){pressure / factor, pressure * factor};
}

double range_loading_factor(const struct solution *solution, enum gas gas)
{
	double slope = slope_of(solution, gas);

	return slope > 0 ? pow(range_factor(solution, gas), 1 / slope) : 1;
}

/* D of the amine and gas furthest from data. */
static double furthest(const struct solution *solution)
{
	double distance = 0;

	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		for (size_t p = 0; p < solution->amine_count && solution->loading[gas] > 0; p++) {
			struct spread_place place = place_of(solution, (enum gas)gas, p);

			distance = fmax(distance, spread_nearest(&place));
		}
	return distance;
}

double range_ph(const struct solution *solution)
{
	double total = solution->loading[GAS_H2S] + solution->loading[GAS_CO2];
	bool lean = total <= PH_LEAN_LOADING && solution->input.temperature - ZERO_CELSIUS < PH_LEAN_BELOW;

	if (solution->fault != SOLUTION_FINE)
		return (double)NAN;
	return hypot(lean ? PH_ERROR_LEAN : PH_ERROR,
		SPREAD_DEVIATIONS * spread_own[GAS_H2S].growth * furthest(solution) / LN10);
}
