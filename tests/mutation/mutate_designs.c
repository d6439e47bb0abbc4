/*
 * mutate_designs STEP OFFSET DESIGN...: spoils every STEP-th element and attribute of each description (mutation.h), prints what
 * became of them, and fails when one passed in silence. A mutation that hangs ends the program.
 */
#include <gsl/gsl_errno.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "../mutation.h"
#include "command/commands.h"

int main(int argc, char **argv)
{
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	struct mutation_counts counts = {.faults = 0};
	gsl_set_error_handler_off();
	setvbuf(stdout, NULL, _IOLBF, 0); /* a run of an hour is read while it goes */
	if (argc < 4 || strtoul(argv[1], NULL, 10) == 0)
		return STATUS_USAGE;
	const struct catalogue *catalogue = load_catalogue(&arena, NULL, NULL, &problems);
	if (!catalogue)
		return report_problems(&problems);
	for (int i = 3; i < argc; i++)
		mutate_design(argv[i], strtoul(argv[1], NULL, 10), strtoul(argv[2], NULL, 10), unit_vocabulary(&arena),
			catalogue, &counts, stdout);
	mutation_print(&counts, stdout);
	catalogue_release(catalogue);
	arena_release(&arena);
	return counts.faults ? EXIT_FAILURE : EXIT_SUCCESS;
}
