/* Published points in tests/data: comma-separated, a first line of names, lines that start with # are comment. */
#ifndef LEANRICH_CSV_H
#define LEANRICH_CSV_H

#include <stddef.h>

enum { CSV_COLUMNS = 40, CSV_ROWS = 64, CSV_FIELD = 200 };

struct csv {
	char names[CSV_COLUMNS][CSV_FIELD];
	char fields[CSV_ROWS][CSV_COLUMNS][CSV_FIELD];
	size_t columns, rows;
};

void csv_read(const char *path, struct csv *out); /* fails the test when it cannot */
const char *csv_text(const struct csv *csv, size_t row, const char *name);
double csv_number(const struct csv *csv, size_t row, const char *name); /* NaN for NA */
size_t csv_row(const struct csv *csv, const char *first);		/* the row whose first field is this */

#endif
