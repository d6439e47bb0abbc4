/*
 * The regression as a program.
 *
 *   regress terms    > checker/chemistry/terms.def     the engine's own table
 *   regress measured > checker/chemistry/measured.def  what was measured, and how far partial pressures may be off
 *   regress report   > tests/data/regression.txt       errors and intervals per paper and system, constraints, comparison
 *   regress papers   > tests/data/regression_papers.txt  papers as a random effect
 *
 * Run at the top of the repository: it reads tests/data/vle.csv.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "../regression.h"
#include "../regression_spread.h"

static struct vle_row rows[VLE_ROWS], others[VLE_ROWS];
static struct fitted fitted, other;

static bool write_measured(size_t count)
{
	struct spread_fit fits[GAS_COUNT];

	if (!regression_fit(rows, count, FIT_LEAVE_OUT | FIT_CORRELATION, &fitted) ||
		!regression_fit(others, count, FIT_CORRELATION | FIT_PAPERS, &other) ||
		!regression_spread_fit(&fitted.terms, rows, count, fits))
		return false;
	/* Of systems of one paper what MEA and CO2, the one with seven, show. */
	regression_write_measured(rows, count, fits, other.between[AMINE_MEA][GAS_CO2], stdout);
	return true;
}

static bool write_papers(size_t count)
{
	if (!regression_fit(rows, count, FIT_LEAVE_OUT | FIT_CORRELATION, &fitted) ||
		!regression_fit(others, count, FIT_LEAVE_OUT | FIT_CORRELATION | FIT_PAPERS, &other))
		return false;
	regression_papers_report(rows, others, count, &fitted, &other, stdout);
	regression_nested_report(&fitted.terms, rows, count, stdout);
	return true;
}

static bool write_report(size_t count)
{
	if (!regression_fit(rows, count, 0, &other) ||
		!regression_fit(rows, count, FIT_LEAVE_OUT | FIT_CORRELATION, &fitted))
		return false;
	regression_report(rows, count, &fitted, &other.terms, stdout);
	regression_spread_report(rows, count, &fitted.terms, &other.terms, stdout);
	return true;
}

static bool write_terms(size_t count)
{
	if (!regression_fit(rows, count, FIT_CORRELATION, &fitted))
		return false;
	regression_write_terms(&fitted.terms, stdout);
	return true;
}

int main(int argc, char **argv)
{
	static const struct {
		const char *name;
		bool (*write)(size_t count);
	} tasks[] = {{"terms", write_terms}, {"measured", write_measured}, {"report", write_report},
		{"papers", write_papers}};
	size_t count = regression_read("tests/data/vle.csv", rows);

	if (count == 0 || regression_read("tests/data/vle.csv", others) != count) {
		fprintf(stderr, "tests/data/vle.csv cannot be read\n");
		return 4;
	}
	for (size_t k = 0; argc == 2 && k < sizeof tasks / sizeof *tasks; k++)
		if (strcmp(argv[1], tasks[k].name) == 0) {
			if (tasks[k].write(count))
				return 0;
			fprintf(stderr, "a system did not converge\n");
			return 1;
		}
	fprintf(stderr, "usage: %s terms|measured|report|papers\n", argv[0]);
	return 2;
}
