/* What a map says of the headings of a sheet, and of what it calls cases. Used by package.c alone. */
#ifndef LEANRICH_IMPORT_PACKAGE_COLUMNS_H
#define LEANRICH_IMPORT_PACKAGE_COLUMNS_H

#include "import/package.h"

/* Is the text one of "Normal|Case 1", as it stands or folded? */
bool map_names(struct arena *arena, const char *alternatives, const char *text);

/* The id of the operating case that the text names, which the draft then declares; NULL: the text names nothing. */
const char *package_case(struct package *package, const char *text);
void package_open_cases(struct package *package);

/* The letters and numbers by which the map knows cases, "a b c"; "": none. */
const char *map_case_letters(const struct package *package);

/* The column of the map for a heading; one in another unit than when the map was made is the same. NULL: it has none. */
const struct element *map_column(const struct package *package, const struct element *map, const char *heading);

/* Of `struct heading_reader`; the context is one of these. */
struct known_headings {
	const struct package *package;
	const struct element *map;
};

bool map_knows(void *context, const char *heading, bool *key);

/* The tables of the sheet with headings that the map knows. */
size_t columns_find(
	const struct package *package, const struct element *map, const struct sheet *sheet, struct table **tables);

/* What the map says of a column of the table at hand; what has changed since it was made is reported. */
struct field_column columns_bind(struct reading_sheet *sheet, const struct table_column *at);

/* All cells of a column that the map does not know are left, in one report; those of one that it passes over have no meaning. */
void columns_leave(struct reading_sheet *sheet, const struct field_column *column);
/* Says of a column whose cells become notes where these stand: once, and not by each. */
void columns_say_noted(struct reading_sheet *sheet, const struct field_column *column);

void columns_pass(struct reading_sheet *sheet, const struct field_column *column);

#endif
