/*
 * Where the tables of a sheet are, by their headings, wherever these stand.
 *
 * A table has headings in one to four rows, with groups over several columns, and units in the headings or in a row of their
 * own; below it one record a row. A sheet whose headings stand in a column, with one record a column, is the same turned. In a
 * turned table a row of words alone is a section: its unit and its operating case hold for the rows below it; where the row of
 * tags comes again, another table begins.
 */
#ifndef LEANRICH_IMPORT_TABLE_H
#define LEANRICH_IMPORT_TABLE_H

#include "import/sheet.h"
#include "import/words.h"

struct table_column {
	size_t at;		   /* in the direction of headings */
	const char *heading;	   /* all its parts: "Design / Temp." */
	const char *known_as;	   /* the part of it that the reader knows, or NULL */
	const char *unit;	   /* from its heading, a row of units or its section; NULL: none */
	struct phase_units phases; /* where it has one unit for gases and one for liquids; else NULLs */
	const char *cases;	   /* "normal / max" of its heading, of which each cell has a value each; NULL: none */
	const char *of_case;	   /* the case that a group or a section names, as it is written; NULL: none */
	bool shared; /* known by a heading over other columns too, where the words of each own say nothing known */
	const char *section; /* the words alone that stand above it in a turned table; NULL: none */
};

struct table {
	const struct sheet *sheet;
	bool turned;
	size_t head, first, last; /* rows (columns, when turned): of the first heading; of records, the last excluded */
	struct table_column *columns;
	size_t count;
	size_t known; /* columns that are */
};

/* Who knows headings: a map, or the list of fields. `key`: it is the tag, and begins a block. */
struct heading_reader {
	bool (*knows)(void *context, const char *heading, bool *key);
	void *context;
	size_t least; /* so many known headings make a table */
};

enum table_direction { EITHER_WAY, UPRIGHT, TURNED };

size_t tables_find(struct arena *arena, const struct words *words, const struct sheet *sheet,
	enum table_direction direction, const struct heading_reader *reader, struct table **tables);

/* Do the cells hold the days of samples? */
bool table_names_days(struct arena *arena, const struct table *table, size_t at);

/* "P-101 A/B", "37-K-01 Mantel": does the text begin with the tag of an item? */
bool table_is_tag(const char *text);

/*
 * Do tags of the column stand with a name in one cell, "1 Sour gas", each name with a number of its own? Then the
 * number is the tag. `table_number`: the number of such a text, with what follows it in `name`; else the text itself.
 */
bool table_is_numbered(const struct table *table, size_t at);

/* Does the column hold the numbers of its rows, 1, 2, 3 to the last? Footnotes below are passed over. */
bool table_counts_rows(const struct table *table, size_t at);
const char *table_number(struct arena *arena, const char *text, const char **name);

/* A cell of a table: record and column are counted as in `struct table`. */
const struct sheet_cell *table_at(const struct table *table, size_t record, size_t at);
const char *table_cell_name(struct arena *arena, const struct table *table, size_t record, size_t at);
/* "C", or where records are columns "7": where a column of the table stands in its file. */
const char *table_where(struct arena *arena, const struct table *table, size_t at);
struct place table_place(const struct table *table, size_t record, size_t at);

#endif
