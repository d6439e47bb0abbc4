/*
 * What one regenerator column costs: the nine stages of a usual design, and 500 random feasible ones (any amine at its usual
 * strength, 4-16 stages): median and the slowest of a hundred. Every one is solved anew.
 */
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "base/memo.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"
#include "compute/column.h"

enum { CASES = 500, USUAL = 101 };

static double now(void)
{
	struct timespec t;

	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static double draw(uint64_t *seed, double low, double high)
{
	*seed = *seed * 6364136223846793005u + 1442695040888963407u;
	return low + (high - low) * ((double)(*seed >> 11) / 9007199254740992.0);
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;

	return x < y ? -1 : x > y;
}

static struct column_input tower(enum amine amine, double strength, double h2s, double co2, double steam)
{
	static const double none[GAS_COUNT] = {0, 0};
	struct column_input input = {.feed = {.temperature = 372.15, .loading = {h2s, co2}},
		.feed_pressure = 500e3,
		.stages = 9,
		.bottom_pressure = 190e3,
		.top_pressure = 170e3,
		.drum_temperature = 318.15,
		.drum_pressure = 150e3};

	input.feed.mass_fraction[amine] = strength;
	input.duty = steam * 1000 * water_latent_heat(421) * property_mass_per_amine(input.feed.mass_fraction) /
		property_density(input.feed.mass_fraction, 313.15, none).value;
	return input;
}

static double timed(const struct column_input *input, int *failed)
{
	struct column column;
	double start = now();

	*failed += !column_solve(&terms_own, input, &column);
	return now() - start;
}

static struct column_input random_tower(uint64_t *seed)
{
	static const double usual[AMINE_COUNT][2] = {[AMINE_MEA] = {0.15, 0.30},
		[AMINE_DEA] = {0.25, 0.40},
		[AMINE_MDEA] = {0.35, 0.55},
		[AMINE_DGA] = {0.50, 0.65},
		[AMINE_DIPA] = {0.30, 0.45}};
	enum amine amine = (enum amine)draw(seed, 0, AMINE_COUNT);
	double rich = draw(seed, 0.2, 0.6), share = draw(seed, 0, 1);
	struct column_input input = tower(amine, draw(seed, usual[amine][0], usual[amine][1]), rich * share,
		rich * (1 - share), draw(seed, 0.08, 0.20));

	input.feed.temperature = draw(seed, 358.15, 381.15);
	input.top_pressure = draw(seed, 150e3, 230e3);
	input.bottom_pressure = input.top_pressure + 15e3;
	input.stages = (int)draw(seed, 4, 17);
	return input;
}

int main(void)
{
	static double usual[USUAL], times[CASES];
	struct column_input design = tower(AMINE_MDEA, 0.45, 0.30, 0.10, 0.12);
	uint64_t seed = 1;
	int failed = 0;

	memo_pause(true); /* a column that was solved before costs nothing */
	for (int i = 0; i < USUAL; i++)
		usual[i] = timed(&design, &failed);
	for (int i = 0; i < CASES; i++) {
		struct column_input input = random_tower(&seed);

		times[i] = timed(&input, &failed);
	}
	qsort(usual, USUAL, sizeof *usual, by_size);
	qsort(times, CASES, sizeof *times, by_size);
	printf("%-32s %8.2f ms\n", "regenerator column, 9 stages", 1e3 * usual[USUAL / 2]);
	printf("%-32s %8.2f ms (slowest of a hundred %.0f ms, %d of %d not found)\n", "random columns, median",
		1e3 * times[CASES / 2], 1e3 * times[CASES * 99 / 100], failed, CASES);
	return 0;
}
