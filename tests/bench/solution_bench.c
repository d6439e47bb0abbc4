/*
 * What one state of the solution chemistry costs: median over batches of random states, states per second, and the
 * ratio to the exp and log calls that a single evaluation of the equations cannot avoid (one exp for each of ten
 * molalities, one log each for the temperature and the Debye-Hueckel term).
 */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "base/memo.h"
#include "chemistry/constants.h"
#include "chemistry/solution.h"

enum { BATCHES = 201, STATES = 500, EXPONENTIALS = 10, LOGARITHMS = 2 };

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

static double median(double *times)
{
	qsort(times, BATCHES, sizeof *times, by_size);
	return times[BATCHES / 2] / STATES;
}

/* Seconds of the calls alone. The sum is returned through `sink`, so that they are not optimised away. */
static double bare_calls(uint64_t *seed, double *sink)
{
	static double times[BATCHES];

	for (int b = 0; b < BATCHES; b++) {
		double start = now(), sum = 0, x = draw(seed, 0, 1);

		for (int i = 0; i < STATES; i++) {
			for (int k = 0; k < EXPONENTIALS; k++)
				sum += exp(x - k);
			for (int k = 0; k < LOGARITHMS; k++)
				sum += log(x + 1 + k);
			x = x * 0.999 + 1e-6;
		}
		times[b] = now() - start;
		*sink += sum;
	}
	return median(times);
}

static double whole_states(uint64_t *seed, double *sink)
{
	static double times[BATCHES];
	static struct solution_input inputs[STATES];

	for (int i = 0; i < STATES; i++) {
		enum amine amine = (enum amine)draw(seed, 0, AMINE_COUNT);

		inputs[i] = (struct solution_input){
			.temperature = draw(seed, 298.15, 398.15), .loading = {draw(seed, 0, 0.4), draw(seed, 0, 0.3)}};
		inputs[i].mass_fraction[amine] = draw(seed, 0.15, 0.5);
	}
	for (int b = 0; b < BATCHES; b++) {
		double start = now();

		for (int i = 0; i < STATES; i++) {
			struct solution solution;

			solution_solve(&terms_own, &inputs[i], &solution);
			*sink += solution.ph;
		}
		times[b] = now() - start;
	}
	return median(times);
}

int main(void)
{
	uint64_t seed = 1;
	double sink = 0;

	memo_pause(true); /* the batches are of the same states: each is solved anew */
	double state = whole_states(&seed, &sink), bare = bare_calls(&seed, &sink);

	if (!isfinite(sink))
		return 1;
	printf("%-32s %8.2f us (%.0f a second)\n", "one state of solution chemistry", 1e6 * state, 1 / state);
	printf("%-32s %8.2f\n", "ratio to its exp and log calls", state / bare);
	return 0;
}
