#include "csv.h"

#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static size_t split(const char *line, char fields[CSV_COLUMNS][CSV_FIELD])
{
	size_t count = 0;
	const char *at = line;

	for (;;) {
		bool quoted = *at == '"';
		size_t length = quoted ? strcspn(++at, "\"") : strcspn(at, ",\r\n");

		cr_assert(count < CSV_COLUMNS && length < CSV_FIELD, "%s", line);
		memcpy(fields[count], at, length);
		fields[count++][length] = '\0';
		at += length + quoted;
		if (*at != ',')
			return count;
		at++;
	}
}

void csv_read(const char *path, struct csv *out)
{
	char line[2048];
	FILE *in = fopen(path, "r");

	cr_assert_not_null(in, "%s", path);
	out->columns = out->rows = 0;
	while (fgets(line, sizeof line, in)) {
		if (line[0] == '#')
			continue;
		if (out->columns == 0) {
			out->columns = split(line, out->names);
			continue;
		}
		cr_assert_lt(out->rows, CSV_ROWS);
		cr_assert_eq(split(line, out->fields[out->rows]), out->columns, "%s", line);
		out->rows++;
	}
	fclose(in);
	cr_assert_gt(out->rows, 0);
}

const char *csv_text(const struct csv *csv, size_t row, const char *name)
{
	for (size_t i = 0; i < csv->columns; i++)
		if (strcmp(csv->names[i], name) == 0)
			return csv->fields[row][i];
	cr_assert(false, "no column %s", name);
	return "";
}

double csv_number(const struct csv *csv, size_t row, const char *name)
{
	const char *text = csv_text(csv, row, name);
	char *end;
	double value = strtod(text, &end);

	return end != text && *end == '\0' ? value : (double)NAN;
}

size_t csv_row(const struct csv *csv, const char *first)
{
	for (size_t i = 0; i < csv->rows; i++)
		if (strcmp(csv->fields[i][0], first) == 0)
			return i;
	cr_assert(false, "no row %s", first);
	return 0;
}
