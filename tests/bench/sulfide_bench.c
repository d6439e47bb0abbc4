/*
 * What the whole sulfide analysis of one design costs, all cases, sweeps and samples included: the median of some runs
 * on one core. The ratio to a state of solution chemistry travels between machines.
 */
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "command/commands.h"
#include "pipeline/compute_unit.h"
#include "read/element.h"
#include "resolve/resolve.h"
#include "sulfide/lean_side.h"

enum { RUNS = 11 };

static double now(void)
{
	struct timespec t;
	clock_gettime(CLOCK_MONOTONIC, &t);
	return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;
	return x < y ? -1 : x > y;
}

int main(int argc, char **argv)
{
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	double times[RUNS];
	if (argc < 2)
		return EXIT_FAILURE;
	const struct element *unit = element_read(&arena, argv[1], unit_vocabulary(&arena), &problems);
	const struct table *resolved = unit ? resolve(&arena, unit, &problems) : NULL;
	if (!resolved || problems.count)
		return EXIT_FAILURE;
	const struct table *table = compute_unit(&arena, resolved, (struct compute_options){0}).table;
	const struct lean_side *all = NULL;
	for (size_t i = 0; i < RUNS; i++) {
		struct table *over = table_overlay(&arena, table);
		double start = now();
		all = lean_side_compute(over, true);
		times[i] = now() - start;
	}
	qsort(times, RUNS, sizeof *times, by_size);
	printf("%-32s %8.2f ms (%zu places in %zu cases)\n", "whole sulfide analysis", 1e3 * times[RUNS / 2],
		all->circuit->location_count, all->circuit->case_count);
	int status = all->shares ? EXIT_SUCCESS : EXIT_FAILURE;
	arena_release(&arena);
	return status;
}
