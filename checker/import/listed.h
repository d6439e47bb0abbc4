/* What a sheet, or a block of one, lists by its headings, and where: the kind of list whose fields it has most of. */
#ifndef LEANRICH_IMPORT_LISTED_H
#define LEANRICH_IMPORT_LISTED_H

#include "import/fields.h"
#include "import/table.h"

struct proposed {
	enum sheet_lists lists;
	struct table *tables;
	size_t count, score;
	bool key;
};

/* LISTS_NOTHING: no kind of list has two of its fields there and what names its records. */
struct proposed listed_find(struct arena *arena, const struct words *words, const struct sheet *sheet);

/* The first column that gives the field of that name; NULL: none. */
const struct table_column *listed_column(struct arena *arena, const struct words *words,
	const struct proposed *proposed, const struct table *table, const char *name);

/* Does the heading say which record it is: a tag, or the day of a sample? */
bool listed_is_key(struct arena *arena, const struct words *words, enum sheet_lists lists, const char *heading);

#endif
