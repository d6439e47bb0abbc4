/*
 * What reconciling the demo costs: one solution, every case with eliminations, and that as a share of reading, resolving,
 * computing and judging the same file. Median of processor times.
 */
#include <gsl/gsl_errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <time.h>

#include "command/commands.h"
#include "reconcile/reconcile.h"
#include "resolve/resolve.h"
#include "pipeline/compute_unit.h"

enum { TIMES = 31 };

static const char design[] = "designs/tern-quay.xml";

static double now(void)
{
	struct timespec t;

	clock_gettime(CLOCK_PROCESS_CPUTIME_ID, &t);
	return 1e3 * (double)t.tv_sec + 1e-6 * (double)t.tv_nsec;
}

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;

	return x < y ? -1 : x > y;
}

static double median(double *times)
{
	qsort(times, TIMES, sizeof *times, by_size);
	return times[TIMES / 2];
}

int main(void)
{
	double first[TIMES], every[TIMES], state[TIMES];
	size_t suspects = 0;

	gsl_set_error_handler_off();
	for (int i = 0; i < TIMES; i++) {
		struct arena arena = {0};
		struct problems problems = {.arena = &arena};
		double begun = now();
		const struct element *unit = element_read(&arena, design, unit_vocabulary(&arena), &problems);
		const struct table *resolved = unit ? resolve(&arena, unit, &problems) : NULL;
		if (!resolved) {
			fprintf(stderr, "%s was not read\n", design);
			return 1;
		}
		struct computed_unit made =
			compute_unit(&arena, resolved, (struct compute_options){.no_samples = true});
		state[i] = now() - begun;
		struct table *over = table_overlay(&arena, made.table);
		begun = now();
		suspects = reconcile_case(&arena, over, 0).accusation_count;
		first[i] = now() - begun;
		begun = now();
		reconcile_all(&arena, over);
		every[i] = now() - begun;
		arena_release(&arena);
	}
	printf("%-32s %8.2f ms, with %zu eliminations\n", "first case of the demo", median(first), suspects);
	printf("%-32s %8.2f ms\n", "every steady case of the demo", median(every));
	printf("%-32s %8.2f of all that is read and computed\n", "share", median(every) / median(state));
	return 0;
}
