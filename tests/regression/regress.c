/*
 * The regression as a program.
 *
 *   regress terms  > checker/chemistry/terms.def    the engine's own table
 *   regress report > tests/data/regression.txt                errors per paper and system, constraints, comparison
 *
 * Run at the top of the repository: it reads tests/data/vle.csv.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "../regression.h"

int main(int argc, char **argv)
{
	static struct vle_row rows[VLE_ROWS];
	struct fitted fitted, without;
	size_t count = regression_read("tests/data/vle.csv", rows);
	bool report = argc == 2 && strcmp(argv[1], "report") == 0;

	if (argc != 2 || (!report && strcmp(argv[1], "terms") != 0)) {
		fprintf(stderr, "usage: %s terms|report\n", argv[0]);
		return 2;
	}
	if (count == 0) {
		fprintf(stderr, "tests/data/vle.csv cannot be read\n");
		return 4;
	}
	if (!regression_fit(rows, count, false, false, &without) ||
		!regression_fit(rows, count, report, true, &fitted)) {
		fprintf(stderr, "a system did not converge\n");
		return 1;
	}
	if (!report) {
		regression_write_terms(&fitted.terms, stdout);
		return 0;
	}
	regression_report(rows, count, &fitted, &without.terms, stdout);
	return 0;
}
