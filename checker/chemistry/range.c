#include "chemistry/range.h"

#include <math.h>
#include <stdbool.h>

#include "chemistry/constants.h"
#include "chemistry/reaction.h"
#include "chemistry/solution.h"

struct fitted_range {
	double strength[2], celsius[2], loading[2];
	double inside, outside; /* factors */
};

static const struct fitted_range ranges[AMINE_COUNT][GAS_COUNT] = {
#define RANGE(amine, gas, w0, w1, t0, t1, l0, l1, inside, outside)                                                     \
	[AMINE_##amine][GAS_##gas] = {{w0, w1}, {t0, t1}, {l0, l1}, inside, outside},
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

/* The factor of a gas's partial pressure: the worst amine's, and the unvalidated factor where no data speak. */
static double factor(const struct solution *solution, enum gas gas, bool fitted)
{
	double worst = 1;

	for (size_t p = 0; p < solution->amine_count; p++) {
		const struct fitted_range *range = &ranges[amine_rows[solution->amine[p]].terms_of][gas];

		worst = fmax(worst, fitted ? range->inside : range->outside);
	}
	return solution->validated ? worst : fmax(worst, UNVALIDATED_FACTOR);
}

void range_judge(struct solution *solution)
{
	bool both = solution->loading[GAS_H2S] > 0 && solution->loading[GAS_CO2] > 0, all = true;
	double worst = 1;

	solution->validated = solution->amine_count == 1 && amine_rows[solution->amine[0]].validated;
	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		bool present = solution->loading[gas] > 0;
		bool fitted = solution->validated && !both && solution->input.anion[0] == 0 &&
			solution->input.anion[1] == 0 && solution->input.cation == 0 && inside(solution, (enum gas)gas);
		double f = factor(solution, (enum gas)gas, fitted);
		double henry = gas == GAS_CO2 ? reaction_henry_co2_difference(solution->input.temperature) : 0;

		solution->uncertainty[gas] = hypot(f - 1, henry);
		if (present) {
			all = all && fitted;
			worst = fmax(worst, f);
		}
	}
	/* With no gas at all there is no data either: the amine's own constant decides. */
	solution->in_fitted_range = all && (solution->loading[GAS_H2S] > 0 || solution->loading[GAS_CO2] > 0);
	solution->uncertainty_ph = hypot(PK_UNCERTAINTY, log10(worst));
}
