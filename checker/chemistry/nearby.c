#include "chemistry/nearby.h"

#include <math.h>

#include "chemistry/equilibrium.h"

/* Which slope: the temperature, or a loading. */
enum { OF_TEMPERATURE = GAS_COUNT };

static struct solution_input input_at(const struct solution *at, struct offset offset)
{
	struct solution_input input = at->input;

	input.temperature += offset.temperature;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		input.loading[gas] = fmax(0, input.loading[gas] + offset.loading[gas]);
	return input;
}

/* The logarithm of how many times as much of each gas there is; 0 where there is none. */
static void amounts(const struct solution_input *from, const struct solution_input *to, double ln_ratio[GAS_COUNT])
{
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		ln_ratio[gas] =
			to->loading[gas] > 0 && from->loading[gas] > 0 ? log(to->loading[gas] / from->loading[gas]) : 0;
}

/* What a species has more of because there is more of its gas; 0 for those of none. */
static double by_amount(const double ln_ratio[GAS_COUNT], enum species species)
{
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		if (equilibrium_carries(species, gas))
			return ln_ratio[gas];
	return 0;
}

static void fill_slope(const struct nearby *nearby, int direction, double step, double *slope)
{
	struct offset offset = {0};
	struct solution there;
	double ln_ratio[GAS_COUNT];

	*(direction == OF_TEMPERATURE ? &offset.temperature : &offset.loading[direction]) = step;
	const struct solution_input input = input_at(&nearby->at, offset);
	bool taken = step > 0 && solution_solve(nearby->terms, &input, &there);
	amounts(&nearby->at.input, &input, ln_ratio);
	for (size_t i = 0; i < SPECIES_COUNT; i++) {
		double from = nearby->at.molality[i];

		slope[i] = taken && from > 0 && there.molality[i] > 0
			? (log(there.molality[i] / from) - by_amount(ln_ratio, (enum species)i)) / step
			: 0;
	}
}

void nearby_open(struct nearby *nearby, const struct terms *terms, const struct solution *at, struct offset usual)
{
	nearby->terms = terms;
	nearby->at = *at;
	fill_slope(nearby, OF_TEMPERATURE, usual.temperature, nearby->by_temperature);
	for (int gas = 0; gas < GAS_COUNT; gas++)
		fill_slope(nearby, gas, usual.loading[gas], nearby->by_loading[gas]);
}

/* Whether the state holds every gas that the other one does. */
static bool holds(const struct solution *at, const struct solution_input *input)
{
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		if (input->loading[gas] > 0 && !(at->input.loading[gas] > 0))
			return false;
	return true;
}

bool nearby_solve(const struct nearby *nearby, struct offset offset, struct solution *out)
{
	const struct solution *at = &nearby->at;
	const struct solution_input input = input_at(at, offset);
	struct solution start;
	double ln_ratio[GAS_COUNT];

	if (!holds(at, &input))
		return solution_solve(nearby->terms, &input, out);
	amounts(&at->input, &input, ln_ratio);
	for (size_t i = 0; i < SPECIES_COUNT; i++) {
		double rise = by_amount(ln_ratio, (enum species)i) + nearby->by_temperature[i] * offset.temperature;

		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			rise += nearby->by_loading[gas][i] * (input.loading[gas] - at->input.loading[gas]);
		start.molality[i] = at->molality[i] > 0 ? at->molality[i] * exp(rise) : 0;
	}
	return solution_near(nearby->terms, &input, &start, out);
}
