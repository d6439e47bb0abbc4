/*
 * What the `solution` command tells about one state: a list of named values, the same for text, JSON and CSV.
 */
#ifndef LEANRICH_SOLUTION_ROWS_H
#define LEANRICH_SOLUTION_ROWS_H

#include <stdbool.h>
#include <stddef.h>

#include "chemistry/solution.h"

/* One state as asked for. */
struct solution_request {
	struct solution_input input;
	double gas_pressure[GAS_COUNT]; /* Pa of a gas it is in equilibrium with; NaN: the loading holds */
	double film_age;		/* s: the scale on carbon steel after so long */
	double pressure;		/* Pa, for bubble temperature and flash; NaN: not asked for */
};

enum row_kind { ROW_NUMBER, ROW_YES_NO, ROW_WORD };

struct solution_row {
	const char *group; /* heading in the text; NULL: only in JSON and CSV */
	const char *name;  /* in JSON and CSV; ends in the unit; "a.b" is member b of object a in JSON */
	const char *label; /* in the text */
	const char *unit;
	enum row_kind kind;
	double value; /* NaN: there is none */
	const char *word;
};

enum { SOLUTION_ROWS = 96 };

/*
 * Solves the state and fills `rows`; returns how many. `state` tells whether it converged: where it did not, the rows
 * are those of the input alone and the numbers NaN.
 */
size_t solution_rows(const struct solution_request *request, struct solution *state, struct solution_row *rows);

#endif
