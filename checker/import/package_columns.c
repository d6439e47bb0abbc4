#include "import/package_columns.h"

#include <string.h>

#include "import/guess.h"

/* ---- cases ---- */

/* "A" over a column is "CASE A (summer)" over a block, where just one case of the map has that letter. */
static const char *case_by_letter(const struct package *package, const char *text)
{
	const char *letter = fields_case_letter(package->arena, text), *found = NULL;
	for (size_t i = 0; letter && i < package->map->child_count; i++) {
		const struct element *child = package->map->children[i];
		const char *other = element_is(child, "case")
			? fields_case_letter(package->arena, element_attribute(child, "written"))
			: NULL;
		if (!other || strcmp(other, letter) != 0)
			continue;
		if (found)
			return NULL;
		found = element_attribute(child, "id");
	}
	return found;
}

const char *package_case(struct package *package, const char *text)
{
	for (size_t i = 0; i < package->map->child_count; i++) {
		const struct element *child = package->map->children[i];
		if (element_is(child, "case") &&
			(map_names(package->arena, element_attribute(child, "written"), text) ||
				strcmp(element_attribute(child, "id"), text) == 0))
			return element_attribute(child, "id");
	}
	const char *lettered = case_by_letter(package, text);
	if (lettered)
		return lettered;
	const char *id = fields_case(package->arena, text);
	id = id ? id : fields_id(package->arena, text);
	if (!*id)
		return NULL;
	draft_add_case(&package->draft, id, text);
	return id;
}

void package_open_cases(struct package *package)
{
	for (size_t i = 0; i < package->map->child_count; i++) {
		const struct element *child = package->map->children[i];
		if (element_is(child, "case"))
			draft_add_case(
				&package->draft, element_attribute(child, "id"), element_attribute(child, "title"));
	}
}

const char *map_case_letters(const struct package *package)
{
	struct text letters = text_in(package->arena);
	for (size_t i = 0; i < package->map->child_count; i++) {
		const struct element *child = package->map->children[i];
		const char *written = element_is(child, "case") ? element_attribute(child, "written") : "";
		size_t length;
		for (const char *part; (part = text_alternative(&written, &length));) {
			const char *letter =
				fields_case_letter(package->arena, arena_copy_span(package->arena, part, length));
			if (letter && strlen(letter) == 1)
				text_addf(&letters, "%s%s", letters.length ? " " : "", letter);
		}
	}
	return letters.data;
}

/* ---- columns ---- */

static struct map_sheet columns_of(const struct package *package, const struct element *map)
{
	for (size_t i = 0; i < package->map->child_count; i++)
		if (package->map->children[i] == map)
			return package->map_sheets[i];
	return (struct map_sheet){.count = 0};
}

static const struct element *column_called(struct arena *arena, struct map_sheet sheet, const char *heading)
{
	for (size_t i = 0; i < sheet.count; i++)
		if (map_names(arena, element_attribute(sheet.columns[i], "heading"), heading))
			return sheet.columns[i];
	return NULL;
}

/* The column of the map for a heading; one in another unit than when the map was made is the same. */
const struct element *map_column(const struct package *package, const struct element *map, const char *heading)
{
	const struct map_sheet sheet = columns_of(package, map);
	const struct element *exact = column_called(package->arena, sheet, heading);
	const char *unit, *bare = words_without_unit(package->arena, package->words, heading, &unit);
	for (size_t i = 0; !exact && unit && i < sheet.count; i++) {
		const char *at = element_attribute(sheet.columns[i], "heading");
		size_t length;
		for (const char *part; (part = text_alternative(&at, &length));) {
			const char *other,
				*known = words_without_unit(package->arena, package->words,
					arena_copy_span(package->arena, part, length), &other);
			if (strcmp(words_fold(package->arena, known), words_fold(package->arena, bare)) == 0)
				return sheet.columns[i];
		}
	}
	return exact;
}

static bool is_key(const struct element *column)
{
	const char *field = element_attribute(column, "field");
	return strcmp(field, "tag") == 0 || strcmp(field, "date") == 0;
}

bool map_knows(void *context, const char *heading, bool *key)
{
	const struct known_headings *known = context;
	struct arena scratch = {NULL, 0}; /* every cell of a sheet is asked for */
	struct package package = *known->package;
	package.arena = &scratch;
	const struct element *column = map_column(&package, known->map, heading);
	arena_release(&scratch);
	*key = column && is_key(column);
	return column != NULL;
}

size_t columns_find(
	const struct package *package, const struct element *map, const struct sheet *sheet, struct table **tables)
{
	struct known_headings known = {.package = package, .map = map};
	const char *records = element_attribute_or(map, "records", "");
	struct heading_reader reader = {.knows = map_knows, .context = &known, .least = 2};
	size_t columns = 0;
	for (size_t i = 0; i < map->child_count; i++)
		columns += element_is(map->children[i], "column");
	reader.least = columns < reader.least ? columns : reader.least;
	enum table_direction direction = strcmp(records, "rows") == 0 ? UPRIGHT
		: strcmp(records, "columns") == 0		      ? TURNED
								      : EITHER_WAY;
	size_t count = tables_find(package->arena, package->words, sheet, direction, &reader, tables);
	if (count || reader.least < 2)
		return count;
	reader.least = 1; /* the map knows most headings by two rows together, "Lean / MDEA" */
	return tables_find(package->arena, package->words, sheet, direction, &reader, tables);
}

static struct cell_rules rules_of(const struct reading_sheet *sheet, const struct element *column)
{
	const char *decimal = element_attribute_or(
		sheet->map, "decimal", element_attribute_or(sheet->package->map, "decimal", "point"));
	const char *thousands = element_attribute_or(sheet->map, "thousands", ""),
		   *dates = element_attribute_or(sheet->map, "dates", "");
	return (struct cell_rules){.decimal_comma = strcmp(decimal, "comma") == 0,
		.lowest = column && strcmp(element_attribute_or(column, "of-range", "highest"), "lowest") == 0,
		.unit = column ? element_attribute(column, "unit") : NULL,
		.ambient = element_attribute(sheet->package->map, "ambient"),
		.words = sheet->package->words,
		.thousands = strcmp(thousands, "point") == 0 ? '.'
			: strcmp(thousands, "comma") == 0    ? ','
							     : '\0',
		.dates = strcmp(dates, "day") == 0    ? DAY_FIRST
			: strcmp(dates, "month") == 0 ? MONTH_FIRST
						      : DATES_UNDECIDED};
}

static const char *where(const struct reading_sheet *sheet, size_t at)
{
	struct arena *arena = sheet->package->arena;
	return table_where(arena, sheet->table, at);
}

/* What has changed since the map was made: where the column stands, and its unit. The sheet is right. */
static void say_changes(const struct reading_sheet *sheet, struct field_column *column)
{
	const char *at = element_attribute(column->map, "at"), *now = where(sheet, column->column->at);
	struct place place = table_place(sheet->table, sheet->table->head, column->column->at);
	const char *name = table_cell_name(sheet->package->arena, sheet->table, sheet->table->head, column->column->at);
	if (at && !text_has_word(at, now))
		problem_add(sheet->package->doubts, PROBLEM_CELL_INTERPRETED, place,
			"%s: %s stood at %s when the map was made, and is at %s", name, column->column->heading, at,
			now);
	if (column->column->unit && column->rules.unit && !strchr(column->rules.unit, ' ') &&
		!text_same(column->column->unit, column->rules.unit) && !text_has_word("NPS DN", column->rules.unit) &&
		!strchr(column->rules.unit, '?') &&
		!text_same(words_unit(sheet->package->arena, sheet->package->words, column->rules.unit, true),
			column->column->unit)) {
		if (!text_has_word("% ppm bar psi kPa MPa kg/cm2 mbar", column->column->unit))
			problem_add(sheet->package->doubts, PROBLEM_CELL_INTERPRETED, place,
				"%s: %s is in %s in the sheet, where the map has %s: the sheet's is taken", name,
				column->column->heading, column->column->unit, column->rules.unit);
		if (!text_has_word("% ppm bar psi kPa MPa kg/cm2 mbar", column->column->unit))
			column->rules.unit = column->column->unit;
	}
}

struct field_column columns_bind(struct reading_sheet *sheet, const struct table_column *at)
{
	struct package *package = sheet->package;
	struct field_column column = {.column = at};
	if (at->known_as)
		column.map = map_column(package, sheet->map, at->known_as);
	if (!column.map)
		return column;
	const char *of_case = element_attribute(column.map, "case");
	column.field = element_attribute(column.map, "field");
	column.of = element_attribute(column.map, "of");
	column.of_case = of_case ? package_case(package, of_case)
		: at->of_case	 ? package_case(package, at->of_case)
				 : NULL;
	if (sheet->lists == LISTS_BASIS && !column.of_case && strcmp(column.field, "value") == 0 &&
		fields_case(package->arena, at->known_as))
		column.of_case = package_case(package, at->known_as);
	column.rules = rules_of(sheet, column.map);
	say_changes(sheet, &column);
	if (!column.rules.unit)
		column.rules.unit = at->unit;
	return column;
}

/* ---- what no column of the map gives ---- */

void columns_leave(struct reading_sheet *sheet, const struct field_column *column)
{
	const struct table *table = sheet->table;
	struct package *package = sheet->package;
	size_t count = 0, first = 0, last = 0;
	bool sum = words_are_one_of(package->arena, words_fold(package->arena, column->column->heading),
		"total|sum|summe|somme|suma|totaal|gesamt|totals");
	for (size_t i = table->first; i < table->last; i++) {
		const struct record record = {.sheet = sheet, .at = i};
		const struct sheet_cell *cell = table_at(table, i, column->column->at);
		if (cell->kind == SHEET_EMPTY || cell->merged)
			continue;
		first = count++ ? first : i;
		last = i;
		record_pass_at(&record, column->column->at, sum ? OUTCOME_STRUCTURE : OUTCOME_LEFT);
	}
	if (count && !sum)
		problem_add(package->doubts, PROBLEM_CELL_LEFT_OUT, table_place(table, first, column->column->at),
			"%s to %s: %zu cell%s left out: %s%s%s",
			table_cell_name(package->arena, table, first, column->column->at),
			table_cell_name(package->arena, table, last, column->column->at), count, count == 1 ? "" : "s",
			*column->column->heading ? "the map does not know the heading '"
						 : "no heading stands over them",
			text_plain(package->arena, column->column->heading), *column->column->heading ? "'" : "");
}

void columns_say_noted(struct reading_sheet *sheet, const struct field_column *column)
{
	const struct table *table = sheet->table;
	struct package *package = sheet->package;
	size_t count = 0, first = 0, last = 0;
	if (sheet->lists == LISTS_RESULTS && guess_bound(package->arena, column->column->heading))
		return; /* each may be a limit */
	for (size_t i = table->first; i < table->last; i++) {
		const struct record record = {.sheet = sheet, .at = i};
		const struct sheet_cell *cell = table_at(table, i, column->column->at);
		if (cell->kind == SHEET_EMPTY || cell->merged || cell->hidden || record_says_nothing(&record, column))
			continue;
		first = count++ ? first : i;
		last = i;
	}
	if (count)
		problem_add(package->doubts, PROBLEM_CELL_INTERPRETED, table_place(table, first, column->column->at),
			"%s to %s: %zu cell%s kept as notes: '%s' has no attribute in the map",
			table_cell_name(package->arena, table, first, column->column->at),
			table_cell_name(package->arena, table, last, column->column->at), count, count == 1 ? "" : "s",
			text_plain(package->arena, column->column->heading));
}

void columns_pass(struct reading_sheet *sheet, const struct field_column *column)
{
	for (size_t i = sheet->table->first; i < sheet->table->last; i++) {
		const struct record record = {.sheet = sheet, .at = i};
		if (table_at(sheet->table, i, column->column->at)->kind != SHEET_EMPTY)
			record_pass_at(&record, column->column->at, OUTCOME_STRUCTURE);
	}
}
