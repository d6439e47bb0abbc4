/* What stands over one column of a table, of all the rows of its headings: its parts, its unit, its case. Used by table.c. */
#ifndef LEANRICH_IMPORT_TABLE_HEADING_H
#define LEANRICH_IMPORT_TABLE_HEADING_H

#include "import/table_key.h"

enum { MOST_HEAD = 4 };

/* The rows of the headings, and which of them hold units alone. */
struct band {
	size_t first, last;
	bool units[MOST_HEAD];
};

/* The column at `at` by its headings: what is known of them, with unit and case. */
struct table_column heading_compose(const struct finding *finding, const struct band *band, size_t at);

/* In table_heading_case.c. "Temperature normal / summer (degC)": the names of cases taken out of the heading. */
const char *heading_take_cases(const struct finding *finding, const char *text, const char **cases);
/* "Duty | Design | Turndown": the case that the heading of the row names beside those of others under one heading; NULL: none. */
const char *heading_among_cases(const struct finding *finding, const struct band *band, size_t row, size_t at);

/* Could what the heading gives differ from one operating case to another? A metal, a size or a remark could not. */
bool heading_varies(const struct finding *finding, const char *heading);

/* In table_heading_letter.c: columns headed by the letters of cases, "Flow A | B | C", are known by what stands before the letter. */
void heading_find_letters(const struct finding *finding, struct table *table);

bool heading_knows(const struct finding *finding, const char *heading);

/* "-", "[-]": nothing stands there. */
bool heading_is_dash(const char *text);

#endif
