/* Which column of a table holds the tags, where its headings do not say it plainly. Used by table.c alone. */
#ifndef LEANRICH_IMPORT_TABLE_KEY_H
#define LEANRICH_IMPORT_TABLE_KEY_H

#include "import/table.h"

struct finding {
	struct arena *arena;
	const struct words *words;
	const struct heading_reader *reader;
	struct table view; /* sheet and direction */
	size_t rows, columns;
	size_t best;
};

/* Is the heading (NULL: none) one that the reader takes for a tag? */
bool table_is_key(const struct finding *finding, const char *heading);

/* Gives the column of tags the name that the reader has for it, where none of them has one that it knows. */
void table_join_keys(const struct finding *finding, struct table *table);
void table_find_key(const struct finding *finding, struct table *table);

/* Does a heading that is a key begin another block of a table whose first block began with `first`? */
bool table_begins_block(
	const struct finding *finding, const struct table *table, const struct table_column *column, const char *first);

/* In table.c. */
const char *table_concepts_of(const struct finding *finding, const char *text);
bool table_is_unit(const struct finding *finding, const struct sheet_cell *cell);

#endif
