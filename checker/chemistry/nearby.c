#include "chemistry/nearby.h"

#include <math.h>
#include <string.h>

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

/* Adds, or takes away, what a species has more of because there is more of its gas. */
static void add_amounts(const double ln_ratio[GAS_COUNT], double times, double *x)
{
	for (size_t i = 0; i < SPECIES_COUNT; i++)
		for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
			if (equilibrium_carries((enum species)i, gas))
				x[i] += times * ln_ratio[gas];
}

static void set(struct offset *offset, size_t direction, double by)
{
	*(direction == NEARBY_TEMPERATURE ? &offset->temperature : &offset->loading[direction]) = by;
}

/* How far ln m departs at an offset, the amounts left out. False: no state of the same species is there. */
static bool departs(const struct nearby *nearby, struct offset offset, double *departure)
{
	const struct solution *at = &nearby->at;
	const struct solution_input input = input_at(at, offset);
	struct solution there;
	double ln_ratio[GAS_COUNT];

	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		if ((input.loading[gas] > 0) != (at->input.loading[gas] > 0))
			return false;
	if (!solution_near(nearby->terms, &input, at, &there))
		return false;
	for (size_t i = 0; i < SPECIES_COUNT; i++)
		departure[i] = at->molality[i] > 0 ? log(there.molality[i]) - nearby->x[i] : 0;
	amounts(&at->input, &input, ln_ratio);
	add_amounts(ln_ratio, -1, departure);
	return true;
}

/* By what there is on both sides, or above alone. */
static void fill_direction(struct nearby *nearby, size_t direction, double step)
{
	struct offset offset = {0};
	double above[SPECIES_COUNT], below[SPECIES_COUNT];

	set(&offset, direction, step);
	if (!(step > 0) || !departs(nearby, offset, above))
		return;
	set(&offset, direction, -step);
	bool both = departs(nearby, offset, below);
	for (size_t i = 0; i < SPECIES_COUNT; i++) {
		nearby->slope[direction][i] = both ? (above[i] - below[i]) / (2 * step) : above[i] / step;
		nearby->bend[direction][direction][i] = both ? (above[i] + below[i]) / (2 * step * step) : 0;
	}
}

/* What the two do together beyond what each does alone. */
static void fill_pair(struct nearby *nearby, size_t first, double by_first, size_t second, double by_second)
{
	struct offset offset = {0};
	double together[SPECIES_COUNT];

	set(&offset, first, by_first);
	set(&offset, second, by_second);
	if (!(by_first > 0) || !(by_second > 0) || !departs(nearby, offset, together))
		return;
	for (size_t i = 0; i < SPECIES_COUNT; i++)
		nearby->bend[first][second][i] =
			(together[i] - by_first * (nearby->slope[first][i] + by_first * nearby->bend[first][first][i]) -
				by_second * (nearby->slope[second][i] + by_second * nearby->bend[second][second][i])) /
			(by_first * by_second);
}

void nearby_open(struct nearby *nearby, const struct terms *terms, const struct solution *at, struct offset usual)
{
	const double step[] = {usual.loading[0], usual.loading[1], usual.temperature};

	memset(nearby, 0, sizeof *nearby);
	nearby->terms = terms;
	nearby->at = *at;
	for (size_t i = 0; i < SPECIES_COUNT; i++)
		nearby->x[i] = at->molality[i] > 0 ? log(at->molality[i]) : 0;
	for (size_t k = 0; k < NEARBY_DIRECTIONS; k++)
		fill_direction(nearby, k, step[k]);
	for (size_t k = 0; k < NEARBY_DIRECTIONS; k++)
		for (size_t l = 0; l < k; l++)
			fill_pair(nearby, k, step[k], l, step[l]);
	nearby->has_inverse = solution_inverse(terms, at, &nearby->inverse);
}

/* Whether the state holds every gas that the other one does. */
static bool holds(const struct solution *at, const struct solution_input *input)
{
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		if (input->loading[gas] > 0 && !(at->input.loading[gas] > 0))
			return false;
	return true;
}

static void add_times(double *to, double times, const double *from)
{
	for (size_t i = 0; i < SPECIES_COUNT; i++)
		to[i] += times * from[i];
}

/* ln m where the series leads. */
static void lead(const struct nearby *nearby, const struct solution_input *input, double *x)
{
	const struct solution_input *at = &nearby->at.input;
	double by[NEARBY_DIRECTIONS], ln_ratio[GAS_COUNT];

	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		by[gas] = input->loading[gas] - at->loading[gas];
	by[NEARBY_TEMPERATURE] = input->temperature - at->temperature;
	memcpy(x, nearby->x, sizeof nearby->x);
	for (size_t k = 0; k < NEARBY_DIRECTIONS; k++) {
		add_times(x, by[k], nearby->slope[k]);
		for (size_t l = 0; l <= k; l++)
			add_times(x, by[k] * by[l], nearby->bend[k][l]);
	}
	amounts(at, input, ln_ratio);
	add_amounts(ln_ratio, 1, x);
}

bool nearby_solve(const struct nearby *nearby, struct offset offset, struct solution *out)
{
	const struct solution *at = &nearby->at;
	const struct solution_input input = input_at(at, offset);
	struct solution start;
	double x[SPECIES_COUNT];

	if (!holds(at, &input))
		return solution_solve(nearby->terms, &input, out);
	lead(nearby, &input, x);
	if (nearby->has_inverse && solution_chord(nearby->terms, &input, &nearby->inverse, x, out))
		return true;
	for (size_t i = 0; i < SPECIES_COUNT; i++)
		start.molality[i] = at->molality[i] > 0 ? exp(x[i]) : 0;
	return solution_near(nearby->terms, &input, &start, out);
}
