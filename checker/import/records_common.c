/* What records of all lists share: their items, notes and what is left. Part of records.h. */
#include "import/records.h"

#include <string.h>

#include "base/count.h"
#include "import/remarks.h"
#include "import/table_heading.h"

struct arena *record_arena(const struct record *record)
{
	return record->sheet->package->arena;
}

struct draft *record_draft(const struct record *record)
{
	return &record->sheet->package->draft;
}

void record_note(struct record *record, struct draft_item *item, const struct field_column *column, bool headed)
{
	const struct sheet_cell *cell = record_cell(record, column);
	const char *text = headed ? record_as_note(record, column, item) : cell->text;
	if (cell->hidden && strcmp(element_attribute_or(record->sheet->map, "hidden", "left out"), "read") != 0) {
		record_left(record, column, "in a hidden row, column or sheet");
		return;
	}
	if (headed ? record_says_nothing(record, column) : heading_is_dash(cell->text)) {
		record_arrived(record, column);
		return;
	}
	draft_add_note(record_draft(record), vocabulary_child(item->element, "note") ? item : NULL, text,
		record_source(record));
	record_arrived(record, column);
	if (strcmp(column->field, "remark") == 0)
		remark_read(record, column, item);
}

/* The cells of a record that are left with its first, so that each of them can be found. */
static void say_left(
	struct record *record, const struct field_column *from, const struct field_column *to, size_t count)
{
	struct arena *arena = record_arena(record);
	const struct table *table = record->sheet->table;
	if (count)
		problem_add(record->sheet->package->doubts, PROBLEM_CELL_LEFT_OUT,
			table_place(table, record->at, from->column->at),
			"%s to %s: %zu cell%s of the same record left out with it",
			table_cell_name(arena, table, record->at, from->column->at),
			table_cell_name(arena, table, record->at, to->column->at), count, count == 1 ? "" : "s");
}

void record_leave(struct record *record, const char *why)
{
	const struct field_column *first = NULL, *from = NULL, *to = NULL;
	size_t others = 0;
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		if (record_cell(record, column)->kind == SHEET_EMPTY || record_is_done(record, column))
			continue;
		if (!first) {
			record_left(record, first = column, why);
			continue;
		}
		record_pass(record, column, OUTCOME_LEFT);
		from = others++ ? from : column;
		to = column;
	}
	say_left(record, from, to, others);
}

/* Is the cell one whose words a note can keep? */
static bool is_kept(const struct record *record, const struct field_column *column)
{
	const struct sheet_cell *cell = record_cell(record, column);
	return cell->kind != SHEET_EMPTY && cell->kind != SHEET_FAULT && cell->kind != SHEET_UNCALCULATED &&
		!cell->hidden && !cell->merged && !record_is_done(record, column) &&
		!(column->field && strcmp(column->field, "-") == 0);
}

void record_keep(struct record *record, const char *why)
{
	struct package *package = record->sheet->package;
	const struct table *table = record->sheet->table;
	struct text words = text_in(package->arena);
	const struct field_column *first = NULL, *last = NULL;
	for (size_t i = 0; i < table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		if (!is_kept(record, column))
			continue;
		const char *heading = column->column->heading;
		text_addf(&words, "%s%s%s%s", words.length ? "; " : "", heading, *heading ? ": " : "",
			record_cell(record, column)->text);
		first = first ? first : column;
		last = column;
		record_pass(record, column, OUTCOME_INTERPRETED);
	}
	if (first) {
		draft_add_note(&package->draft, NULL, words.data, record_source(record));
		problem_add(package->doubts, PROBLEM_CELL_INTERPRETED,
			table_place(table, record->at, first->column->at), "%s to %s: kept as a note: of the unit; %s",
			table_cell_name(package->arena, table, record->at, first->column->at),
			table_cell_name(package->arena, table, record->at, last->column->at), why);
	}
	record_leave(record, why);
}

/* Every column that the map knows and whose cell nobody has dealt with yet. */
const struct field_column *record_pending(const struct record *record, size_t *at)
{
	while (*at < record->sheet->table->count) {
		const struct field_column *column = &record->sheet->columns[(*at)++];
		if (column->map && strcmp(column->field, "-") != 0 &&
			record_cell(record, column)->kind != SHEET_EMPTY && !record_is_done(record, column))
			return column;
	}
	return NULL;
}

void record_remarks(struct record *record, struct draft_item *item)
{
	size_t at = 0;
	for (const struct field_column *column; (column = record_pending(record, &at));)
		if (strcmp(column->field, "remark") == 0)
			record_note(record, item, column, false);
}
