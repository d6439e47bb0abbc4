#include "import/package.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/progress.h"
#include "import/records.h"

/* ---- one cell of a record ---- */

const struct sheet_cell *record_cell(const struct record *record, const struct field_column *column)
{
	return table_at(record->sheet->table, record->at, column->column->at);
}

const struct field_column *record_column(const struct record *record, const char *field)
{
	const struct reading_sheet *sheet = record->sheet;
	const struct field_column *empty = NULL;
	for (size_t i = 0; i < sheet->table->count; i++) {
		const struct field_column *column = &sheet->columns[i];
		if (!column->field || strcmp(column->field, field) != 0 || column->of)
			continue;
		if (record_cell(record, column)->kind != SHEET_EMPTY)
			return column;
		empty = empty ? empty : column;
	}
	return empty;
}

const char *record_text(const struct record *record, const char *field)
{
	const struct field_column *column = record_column(record, field);
	return column ? record_cell(record, column)->text : NULL;
}

static void note_outcome(const struct record *record, size_t at, enum cell_outcome outcome)
{
	const struct table *table = record->sheet->table;
	size_t row = table->turned ? at : record->at, column = table->turned ? record->at : at;
	enum cell_outcome *there = &record->sheet->outcomes[row * table->sheet->columns + column];
	if (outcome > *there)
		*there = outcome;
}

void record_arrived(struct record *record, const struct field_column *column)
{
	note_outcome(record, column->column->at, OUTCOME_ARRIVED);
}

void record_pass(struct record *record, const struct field_column *column, enum cell_outcome outcome)
{
	note_outcome(record, column->column->at, outcome);
}

bool record_is_done(const struct record *record, const struct field_column *column)
{
	const struct table *table = record->sheet->table;
	size_t row = table->turned ? column->column->at : record->at,
	       at = table->turned ? record->at : column->column->at;
	return record->sheet->outcomes[row * table->sheet->columns + at] != OUTCOME_NONE;
}

static const char *cell_name(const struct record *record, const struct field_column *column)
{
	return table_cell_name(record->sheet->package->arena, record->sheet->table, record->at, column->column->at);
}

static struct place cell_place(const struct record *record, const struct field_column *column)
{
	return table_place(record->sheet->table, record->at, column->column->at);
}

void record_interpreted(struct record *record, const struct field_column *column, const char *as, const char *why)
{
	struct package *package = record->sheet->package;
	note_outcome(record, column->column->at, OUTCOME_INTERPRETED);
	problem_add(package->doubts, PROBLEM_CELL_INTERPRETED, cell_place(record, column),
		"%s: %s: %s read as '%s': %s", cell_name(record, column), column->column->heading,
		text_quoted(package->arena, record_cell(record, column)->text), as, why);
}

void record_left(struct record *record, const struct field_column *column, const char *why)
{
	struct package *package = record->sheet->package;
	const struct sheet_cell *cell = record_cell(record, column);
	note_outcome(record, column->column->at, OUTCOME_LEFT);
	problem_add(package->doubts, PROBLEM_CELL_LEFT_OUT, cell_place(record, column), "%s: %s: %s left out: %s",
		cell_name(record, column), column->column->heading, text_quoted(package->arena, cell->text), why);
	if (record->item)
		text_addf(&record->item->marks, "; %s %s left out", cell_name(record, column), cell->text);
}

static bool names(struct arena *arena, const char *alternatives, const char *text)
{
	size_t length;
	for (const char *part; (part = text_alternative(&alternatives, &length));)
		if (strlen(text) == length && strncmp(part, text, length) == 0)
			return true;
		else if (strcmp(words_fold(arena, arena_copy_span(arena, part, length)), words_fold(arena, text)) ==
				0 &&
			*words_fold(arena, text))
			return true;
	return false;
}

static const char *meant(struct arena *arena, const struct element *map, const char *text)
{
	for (size_t i = 0; map && i < map->child_count; i++)
		if (names(arena, element_attribute(map->children[i], "written"), text))
			return element_attribute(map->children[i], "means");
	return text;
}

/* What the cell says as a value of the type; a cell that cannot be read is left, with the reason. */
static struct cell_value read_cell(
	struct record *record, const struct field_column *column, const struct vocabulary_type *type)
{
	struct arena *arena = record->sheet->package->arena;
	const struct sheet_cell *cell = record_cell(record, column);
	struct cell_value left = {.fate = CELL_LEFT_OUT};
	struct cell_rules rules = column->rules;
	enum kind kind = type->accepted.kinds[0];
	rules.exact = cell->kind == SHEET_NUMBER;
	left.why = cell->kind == SHEET_FAULT	   ? "an error of the spreadsheet"
		: cell->kind == SHEET_UNCALCULATED ? "a formula without its value: open the workbook and save it"
		: cell->kind == SHEET_DATE && kind != KIND_DATE ? "the spreadsheet made a date of it"
								: NULL;
	if (!left.why && cell->hidden &&
		strcmp(element_attribute_or(record->sheet->map, "hidden", "left out"), "read") != 0)
		left.why = "in a hidden row, column or sheet";
	if (left.why)
		return left;
	return list_cell(arena, meant(arena, column->map, cell->text), type, &rules);
}

bool record_state_value(struct record *record, const struct field_column *column, struct draft_item *item,
	const char *attribute, const char *value)
{
	const struct vocabulary_attribute *meaning = vocabulary_attribute(item->element, attribute);
	struct package *package = record->sheet->package;
	if (!meaning)
		return false;
	struct draft_value said = {.attribute = attribute,
		.value = value,
		.of_case = column->of_case ? column->of_case : record->of_case,
		.document = record->sheet->document,
		.cells = record->cells,
		.reference = strncmp(meaning->type->name, "reference", strlen("reference")) == 0,
		.place = cell_place(record, column),
		.cell = cell_name(record, column)};
	return draft_state(&package->draft, item, &said);
}

static bool take(struct record *record, const struct field_column *column, struct draft_item *item,
	const char *attribute, const struct cell_value *value)
{
	if (!record_state_value(record, column, item, attribute, value->value)) {
		record_left(record, column,
			arena_format(record->sheet->package->arena,
				"another %s of %s stands already, and it can be said only once", attribute,
				item->identity));
		return false;
	}
	if (value->vacuum && vocabulary_attribute(item->element, "vacuum-design"))
		record_state_value(record, column, item, "vacuum-design", "yes");
	if (value->fate == CELL_INTERPRETED)
		record_interpreted(record, column, value->value, value->why);
	else
		record_arrived(record, column);
	return true;
}

bool record_state(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *attribute)
{
	const struct vocabulary_attribute *meaning = vocabulary_attribute(item->element, attribute);
	if (record_cell(record, column)->kind == SHEET_EMPTY)
		return false;
	if (!meaning) {
		record_left(record, column,
			arena_format(record->sheet->package->arena, "a %s has no %s", item->element->name, attribute));
		return false;
	}
	struct cell_value value = read_cell(record, column, meaning->type);
	if (value.fate == CELL_NOT_STATED)
		record_arrived(record, column);
	if (value.fate == CELL_LEFT_OUT)
		record_left(record, column, value.why);
	if (value.fate != CELL_TAKEN && value.fate != CELL_INTERPRETED)
		return false;
	return take(record, column, item, attribute, &value);
}

const char *record_quantity(
	struct record *record, const struct field_column *column, const struct vocabulary_type *type)
{
	if (record_cell(record, column)->kind == SHEET_EMPTY)
		return NULL;
	struct cell_value value = read_cell(record, column, type);
	if (value.fate == CELL_LEFT_OUT)
		record_left(record, column, value.why);
	else if (value.fate == CELL_INTERPRETED)
		record_interpreted(record, column, value.value, value.why);
	else
		record_arrived(record, column);
	return value.fate == CELL_TAKEN || value.fate == CELL_INTERPRETED ? value.value : NULL;
}

/* ---- cases ---- */

static const char *case_id(struct package *package, const char *text)
{
	for (size_t i = 0; i < package->map->child_count; i++) {
		const struct element *child = package->map->children[i];
		if (element_is(child, "case") &&
			(names(package->arena, element_attribute(child, "written"), text) ||
				strcmp(element_attribute(child, "id"), text) == 0))
			return element_attribute(child, "id");
	}
	const char *id = fields_id(package->arena, text);
	if (!*id)
		return NULL;
	draft_add_case(&package->draft, id, text);
	return id;
}

static void open_cases(struct package *package)
{
	for (size_t i = 0; i < package->map->child_count; i++) {
		const struct element *child = package->map->children[i];
		if (element_is(child, "case"))
			draft_add_case(
				&package->draft, element_attribute(child, "id"), element_attribute(child, "title"));
	}
}

/* ---- columns ---- */

struct known_headings {
	const struct package *package;
	const struct element *map;
};

static const struct element *column_called(struct arena *arena, const struct element *map, const char *heading)
{
	for (size_t i = 0; i < map->child_count; i++)
		if (element_is(map->children[i], "column") &&
			names(arena, element_attribute(map->children[i], "heading"), heading))
			return map->children[i];
	return NULL;
}

/* The column of the map for a heading; one in another unit than when the map was made is the same. */
static const struct element *column_for(const struct package *package, const struct element *map, const char *heading)
{
	const struct element *exact = column_called(package->arena, map, heading);
	const char *unit, *bare = words_without_unit(package->arena, package->words, heading, &unit);
	for (size_t i = 0; !exact && unit && i < map->child_count; i++) {
		const char *at =
			element_is(map->children[i], "column") ? element_attribute(map->children[i], "heading") : "";
		size_t length;
		for (const char *part; (part = text_alternative(&at, &length));) {
			const char *other,
				*known = words_without_unit(package->arena, package->words,
					arena_copy_span(package->arena, part, length), &other);
			if (other && strcmp(words_fold(package->arena, known), words_fold(package->arena, bare)) == 0)
				return map->children[i];
		}
	}
	return exact;
}

static bool is_key(const struct element *column)
{
	const char *field = element_attribute(column, "field");
	return strcmp(field, "tag") == 0 || strcmp(field, "date") == 0;
}

static bool knows(void *context, const char *heading, bool *key)
{
	const struct known_headings *known = context;
	const struct element *column = column_for(known->package, known->map, heading);
	*key = column && is_key(column);
	return column != NULL;
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
	return sheet->table->turned ? arena_format(arena, "%zu", at + 1) : sheet_column_name(arena, at);
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
	if (column->column->unit && column->rules.unit && !text_same(column->column->unit, column->rules.unit) &&
		!text_has_word("NPS DN", column->rules.unit) && !strchr(column->rules.unit, '?') &&
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

static struct field_column bind(struct reading_sheet *sheet, const struct table_column *at)
{
	struct package *package = sheet->package;
	struct field_column column = {.column = at};
	if (at->known_as)
		column.map = column_for(package, sheet->map, at->known_as);
	if (!column.map)
		return column;
	const char *of_case = element_attribute(column.map, "case");
	column.field = element_attribute(column.map, "field");
	column.of = element_attribute(column.map, "of");
	column.of_case = of_case ? case_id(package, of_case) : at->of_case ? case_id(package, at->of_case) : NULL;
	column.rules = rules_of(sheet, column.map);
	say_changes(sheet, &column);
	if (!column.rules.unit)
		column.rules.unit = at->unit;
	return column;
}

/* ---- what no column of the map gives ---- */

static void leave_column(struct reading_sheet *sheet, const struct field_column *column)
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
		note_outcome(&record, column->column->at, sum ? OUTCOME_STRUCTURE : OUTCOME_LEFT);
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

static void pass_column(struct reading_sheet *sheet, const struct field_column *column)
{
	for (size_t i = sheet->table->first; i < sheet->table->last; i++) {
		const struct record record = {.sheet = sheet, .at = i};
		if (table_at(sheet->table, i, column->column->at)->kind != SHEET_EMPTY)
			note_outcome(&record, column->column->at, OUTCOME_STRUCTURE);
	}
}

/* ---- records ---- */

static const char *cells_of(const struct reading_sheet *sheet, size_t at)
{
	struct arena *arena = sheet->package->arena;
	const struct table *table = sheet->table;
	const char *first = NULL, *last = NULL;
	for (size_t i = 0; i < table->count; i++)
		if (table_at(table, at, table->columns[i].at)->kind != SHEET_EMPTY) {
			last = table_cell_name(arena, table, at, table->columns[i].at) + strlen(table->sheet->name) + 1;
			first = first ? first : last;
		}
	return !first ? "" : strcmp(first, last) == 0 ? first : arena_join(arena, first, ":", last, "");
}

/* The one cell of a row that holds nothing else; NULL: it holds more, or nothing. */
static const struct field_column *only_cell(const struct record *record)
{
	const struct field_column *only = NULL;
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		const struct sheet_cell *cell = record_cell(record, column);
		if (cell->kind == SHEET_EMPTY || (only && strcmp(cell->text, record_cell(record, only)->text) == 0))
			continue;
		if (only)
			return NULL;
		only = column;
	}
	return only;
}

static bool is_sentence(const char *text)
{
	enum { LONGEST_TAG = 24, MOST_WORDS = 3 };
	size_t blanks = 0;
	for (const char *c = text; *c; c++)
		blanks += *c == ' ';
	return strlen(text) > LONGEST_TAG || blanks >= MOST_WORDS || !strpbrk(text, "0123456789");
}

/* A row of words: a heading within the list, the name of a case, or a note below it. */
static bool is_remark(struct record *record, const char **of_case)
{
	const struct field_column *only = only_cell(record);
	struct package *package = record->sheet->package;
	if (!only || record->sheet->table->turned || !is_sentence(record_cell(record, only)->text))
		return false;
	const char *text = record_cell(record, only)->text, *named = fields_case(package->arena, text);
	if (named) {
		*of_case = case_id(package, text);
		note_outcome(record, only->column->at, OUTCOME_STRUCTURE);
		return true;
	}
	draft_add_note(&package->draft, NULL, text,
		arena_join(package->arena, record->sheet->document, "!", record->cells, ""));
	record_arrived(record, only);
	return true;
}

/* Whether the tag that stands above holds for a record without one. */
static bool continues(const struct record *record)
{
	static const char *const fields[] = {"case", "part", "name", "required"};
	for (size_t i = 0; i < COUNT(fields); i++) {
		const char *text = record_text(record, fields[i]);
		if (text && *text)
			return true;
	}
	return false;
}

static void read_records(struct reading_sheet *sheet)
{
	const char *section = NULL, *tag = NULL, *sheet_case = element_attribute(sheet->map, "case");
	struct package *package = sheet->package;
	for (size_t i = sheet->table->first; i < sheet->table->last; i++) {
		struct record record = {.sheet = sheet, .at = i, .cells = cells_of(sheet, i)};
		progress_design(
			i - sheet->table->first + 1, sheet->table->last - sheet->table->first, sheet->sheet->name);
		if (!*record.cells || is_remark(&record, &section))
			continue;
		const struct field_column *of_case = record_column(&record, "case");
		record.of_case = section ? section : sheet_case ? case_id(package, sheet_case) : NULL;
		if (of_case && *record_cell(&record, of_case)->text && sheet->lists != LISTS_RELIEF) {
			record.of_case = case_id(package, record_cell(&record, of_case)->text);
			record_arrived(&record, of_case);
		}
		const char *own = record_text(&record, "tag");
		if (own && *own)
			tag = own;
		record_read(&record, own && *own ? own : tag && continues(&record) ? tag : NULL);
	}
}

static void say_missing(const struct reading_sheet *sheet, const struct table *tables, size_t count)
{
	for (size_t i = 0; i < sheet->map->child_count; i++) {
		const struct element *column = sheet->map->children[i];
		bool found = false;
		for (size_t t = 0; t < count && !found; t++)
			for (size_t k = 0; k < tables[t].count && !found; k++)
				found = tables[t].columns[k].known_as &&
					column_for(sheet->package, sheet->map, tables[t].columns[k].known_as) == column;
		if (element_is(column, "column") && !found && strcmp(element_attribute(column, "field"), "-") != 0)
			problem_add(sheet->package->doubts, PROBLEM_CELL_LEFT_OUT, sheet_place(sheet->sheet, 0, 0),
				"%s: no heading '%s': the column is gone, or is called otherwise now",
				sheet->sheet->name, element_attribute(column, "heading"));
	}
}

static void read_table(struct reading_sheet *sheet, const struct table *table)
{
	sheet->table = table;
	sheet->columns = arena_alloc(sheet->package->arena, (table->count + 1) * sizeof *sheet->columns);
	for (size_t k = 0; k < table->count; k++) {
		sheet->columns[k] = bind(sheet, &table->columns[k]);
		if (sheet->columns[k].field && strcmp(sheet->columns[k].field, "-") == 0)
			pass_column(sheet, &sheet->columns[k]);
	}
	read_records(sheet);
	for (size_t k = 0; k < table->count; k++)
		if (!sheet->columns[k].map)
			leave_column(sheet, &sheet->columns[k]);
}

/* Sentences outside of the tables, below the first heading, are notes; figures there are left. */
static void read_around(struct reading_sheet *sheet, const struct table *tables, size_t count)
{
	size_t from = tables[0].head + 1;
	for (size_t t = 0; t < count && tables[t].turned; t++)
		for (size_t k = 0; k < tables[t].count; k++)
			from = t == 0 && k == 0			  ? tables[t].columns[k].at + 1
				: tables[t].columns[k].at >= from ? tables[t].columns[k].at + 1
								  : from;

	struct package *package = sheet->package;
	for (size_t i = from; i < sheet->sheet->rows; i++)
		for (size_t k = 0; k < sheet->sheet->columns; k++) {
			const struct sheet_cell *cell = sheet_at(sheet->sheet, i, k);
			enum cell_outcome *outcome = &sheet->outcomes[i * sheet->sheet->columns + k];
			if (*outcome || cell->kind != SHEET_TEXT || cell->merged || cell->hidden ||
				!is_sentence(cell->text) || !strchr(cell->text, ' '))
				continue;
			*outcome = OUTCOME_ARRIVED;
			draft_add_note(&package->draft, NULL, cell->text,
				arena_join(package->arena, sheet->document, "!",
					sheet_cell_name(package->arena, sheet->sheet, i, k) +
						strlen(sheet->sheet->name) + 1,
					""));
		}
}

static void mark_headings(struct reading_sheet *sheet, const struct table *table)
{
	for (size_t row = 0; row < table->first; row++)
		for (size_t k = 0; k < (table->turned ? sheet->sheet->rows : sheet->sheet->columns); k++) {
			size_t i = table->turned ? k : row, c = table->turned ? row : k;
			enum cell_outcome *outcome = &sheet->outcomes[i * sheet->sheet->columns + c];
			bool known = !table->turned && row >= table->head;
			for (size_t at = 0; table->turned && at < table->count; at++)
				known = known || (table->columns[at].at == k && table->columns[at].known_as);
			if (known && !*outcome)
				*outcome = OUTCOME_STRUCTURE;
		}
}

static void count_outcomes(struct reading_sheet *sheet)
{
	for (size_t i = 0; i < sheet->sheet->rows * sheet->sheet->columns; i++) {
		if (sheet->sheet->cells[i].merged || sheet->sheet->cells[i].kind == SHEET_EMPTY)
			continue;
		sheet->package->arrived += sheet->outcomes[i] == OUTCOME_ARRIVED;
		sheet->package->interpreted += sheet->outcomes[i] == OUTCOME_INTERPRETED;
		sheet->package->left += sheet->outcomes[i] == OUTCOME_LEFT;
	}
}

static void read_sheet(
	struct package *package, const struct sheet *sheet, const struct element *map, enum sheet_lists lists)
{
	struct arena *arena = package->arena;
	struct reading_sheet reading = {.package = package, .sheet = sheet, .map = map, .lists = lists};
	struct known_headings known = {.package = package, .map = map};
	const char *records = element_attribute_or(map, "records", ""), *document = element_attribute(map, "document");
	struct heading_reader reader = {.knows = knows, .context = &known, .least = 2};
	struct table *tables;
	reading.document = arena_join(
		arena, document ? document : sheet->file, sheet->csv ? "" : ", ", sheet->csv ? "" : sheet->name, "");
	reading.outcomes = arena_alloc(arena, (sheet->rows * sheet->columns + 1) * sizeof *reading.outcomes);
	size_t columns = 0;
	for (size_t i = 0; i < map->child_count; i++)
		columns += element_is(map->children[i], "column");
	reader.least = columns < reader.least ? columns : reader.least;
	size_t count = tables_find(arena, package->words, sheet,
		strcmp(records, "rows") == 0		  ? UPRIGHT
			: strcmp(records, "columns") == 0 ? TURNED
							  : EITHER_WAY,
		&reader, &tables);
	if (!count)
		problem_add(package->faults, PROBLEM_MISSING, sheet_place(sheet, 0, 0),
			"%s: no row or column holds headings that the map knows", sheet->name);
	for (size_t i = 0; i < count; i++) {
		mark_headings(&reading, &tables[i]);
		read_table(&reading, &tables[i]);
	}
	say_missing(&reading, tables, count);
	if (count)
		read_around(&reading, tables, count);
	count_outcomes(&reading);
}

/* ---- sheets ---- */

static const struct element *map_of(const struct package *package, const struct sheet *sheet)
{
	for (size_t i = 0; i < package->map->child_count; i++) {
		const struct element *child = package->map->children[i];
		if (element_is(child, "sheet") && names(package->arena, element_attribute(child, "name"), sheet->name))
			return child;
	}
	return NULL;
}

static void say_unmapped(struct package *package, const struct sheet *sheet)
{
	size_t count = 0;
	for (size_t i = 0; i < sheet->rows * sheet->columns; i++)
		count += sheet->cells[i].kind != SHEET_EMPTY && !sheet->cells[i].merged;
	package->left += count;
	problem_add(package->doubts, PROBLEM_CELL_LEFT_OUT, sheet_place(sheet, 0, 0),
		"%s: the map has no sheet of this name; its %zu cells are left out", sheet->name, count);
}

void package_read(struct package *package, const struct workbook *workbooks, size_t count)
{
	static const enum sheet_lists order[] = {
		LISTS_EQUIPMENT, LISTS_STREAMS, LISTS_LINES, LISTS_NOZZLES, LISTS_RELIEF, LISTS_LABORATORY};
	open_cases(package);
	for (size_t k = 0; k < 2 * COUNT(order); k++)
		for (size_t i = 0; i < count; i++)
			for (size_t s = 0; s < workbooks[i].count; s++) {
				const struct sheet *sheet = &workbooks[i].sheets[s];
				const struct element *map = map_of(package, sheet);
				enum sheet_lists lists =
					map ? lists_named(element_attribute(map, "lists")) : LISTS_NOTHING;
				if (!map && k == 0)
					say_unmapped(package, sheet);
				bool first = map &&
					element_child(map,
						"item"); /* what says what the items are, before what adds to them */
				if (map && lists == order[k / 2] && first == (k % 2 == 0))
					read_sheet(package, sheet, map, lists);
			}
	progress_wipe();
	size_t dropped = draft_resolve(&package->draft, package->doubts);
	package->left += dropped;
	package->arrived -= dropped < package->arrived ? dropped : package->arrived;
}
