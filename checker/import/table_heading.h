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

/* Of a table whose headings are composed: which of them are of inlets, by those of the outlets beside them. */
void heading_tell_inlets(const struct finding *finding, struct table *table);

/* The column at `at` by its headings: what is known of them, with unit and case. */
struct table_column heading_compose(const struct finding *finding, const struct band *band, size_t at);

bool heading_knows(const struct finding *finding, const char *heading);

/* "-", "[-]": nothing stands there. */
bool heading_is_dash(const char *text);

#endif
