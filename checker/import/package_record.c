#include "import/package.h"

#include <string.h>

#include "base/count.h"
#include "import/package_columns.h"
#include "import/table_heading.h"

/* "do.", "dto.", or a mark of two strokes: as in the record before. */
static bool is_ditto(const struct sheet_cell *cell)
{
	static const char *const marks[] = {
		"\"", "''", "\u2033", "\u201d", "\u3003", "do.", "do", "dto.", "dto", "ditto", "dito", "idem", "id."};
	for (size_t i = 0; i < COUNT(marks) && cell->kind == SHEET_TEXT; i++)
		if (text_same_nocase(cell->text, marks[i]))
			return true;
	return false;
}

const struct sheet_cell *record_cell(const struct record *record, const struct field_column *column)
{
	const struct table *table = record->sheet->table;
	if (column->stands && column->stands_at == record->at)
		return column->stands;
	const struct sheet_cell *own = table_at(table, record->at, column->column->at), *cell = own;
	for (size_t at = record->at; is_ditto(cell) && at > table->first; at--)
		cell = table_at(table, at - 1, column->column->at);
	return cell->kind == SHEET_EMPTY ? own : cell;
}

void record_begin(const struct record *record)
{
	const struct table *table = record->sheet->table;
	for (size_t i = 0; i < table->count; i++) {
		struct field_column *column = &record->sheet->columns[i];
		const struct sheet_cell *own = table_at(table, record->at, column->column->at);
		/* a mark goes on from the cell before, which is a mark itself where nothing stands above */
		bool goes_on = column->stands && is_ditto(own) && column->stands->kind != SHEET_EMPTY &&
			!is_ditto(column->stands);
		column->stands = goes_on ? column->stands : own;
		column->stands_at = record->at;
	}
}

void record_say_ditto(const struct record *record)
{
	const struct table *table = record->sheet->table;
	struct package *package = record->sheet->package;
	for (size_t i = 0; i < table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		const struct sheet_cell *own = table_at(table, record->at, column->column->at);
		if (!column->map || !is_ditto(own) || record_cell(record, column) == own)
			continue;
		record_pass_at(record, column->column->at, OUTCOME_INTERPRETED);
		problem_add(package->doubts, PROBLEM_CELL_INTERPRETED,
			table_place(table, record->at, column->column->at),
			"%s: %s: %s stands for %s of the record before",
			table_cell_name(package->arena, table, record->at, column->column->at), column->column->heading,
			text_quoted(package->arena, own->text),
			text_quoted(package->arena, record_cell(record, column)->text));
	}
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

void record_pass_at(const struct record *record, size_t at, enum cell_outcome outcome)
{
	const struct table *table = record->sheet->table;
	size_t row = table->turned ? at : record->at, column = table->turned ? record->at : at;
	enum cell_outcome *there = &record->sheet->outcomes[row * table->sheet->columns + column];
	if (outcome > *there)
		*there = outcome;
}

void record_arrived(struct record *record, const struct field_column *column)
{
	record_pass_at(record, column->column->at, OUTCOME_ARRIVED);
}

void record_pass(struct record *record, const struct field_column *column, enum cell_outcome outcome)
{
	record_pass_at(record, column->column->at, outcome);
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
	record_pass_at(record, column->column->at, OUTCOME_INTERPRETED);
	problem_add(package->doubts, PROBLEM_CELL_INTERPRETED, cell_place(record, column),
		"%s: %s: %s read as '%s': %s", cell_name(record, column), column->column->heading,
		text_quoted(package->arena, record_cell(record, column)->text), as, why);
}

bool record_says_nothing(const struct record *record, const struct field_column *column)
{
	const char *text = record_cell(record, column)->text;
	return heading_is_dash(text) || list_says_nothing(record->sheet->package->arena, text);
}

const char *record_source(const struct record *record)
{
	return arena_join(record->sheet->package->arena, record->sheet->document, "!", record->cells, "");
}

/* What cannot be read as a value is kept with its item as it stands, but for what no one can read or nobody is to see. */
static bool keep_unread(struct record *record, const struct field_column *column, const char *why)
{
	struct package *package = record->sheet->package;
	const struct sheet_cell *cell = record_cell(record, column);
	struct draft_item *item = record->item;
	bool words = cell->kind == SHEET_TEXT || cell->kind == SHEET_NUMBER || cell->kind == SHEET_DATE;
	if (!item || !words || cell->hidden || record_is_done(record, column))
		return false;
	if (record_says_nothing(record, column)) {
		record_arrived(record, column);
		return true;
	}
	draft_add_note(&package->draft, vocabulary_child(item->element, "note") ? item : NULL,
		record_as_note(record, column, item), record_source(record));
	record_pass_at(record, column->column->at, OUTCOME_INTERPRETED);
	problem_add(package->doubts, PROBLEM_CELL_INTERPRETED, cell_place(record, column),
		"%s: %s: %s kept as a note: %s", cell_name(record, column), column->column->heading,
		text_quoted(package->arena, cell->text), why);
	return true;
}

const char *record_as_note(
	const struct record *record, const struct field_column *column, const struct draft_item *item)
{
	struct arena *arena = record->sheet->package->arena;
	const char *heading = column->column->heading, *text = record_cell(record, column)->text;
	const char *of_case = column->of_case ? NULL : record->of_case;
	const char *of_heading, *unit = column->column->unit;
	words_without_unit(arena, record->sheet->package->words, heading, &of_heading);
	unit = unit && !of_heading && record_cell(record, column)->kind == SHEET_NUMBER	  ? unit
		: unit && !of_heading && strspn(text, "0123456789.,<>~ ") == strlen(text) ? unit
											  : "";
	const char *whose = vocabulary_child(item->element, "note") ? "" : item->identity;
	return arena_format(arena, "%s%s%s%s%s%s%s%s%s%s", whose, *whose ? ", " : "", heading, of_case ? " (" : "",
		of_case ? of_case : "", of_case ? ")" : "", *heading || *whose || of_case ? ": " : "", text,
		*unit ? " " : "", unit);
}

void record_left(struct record *record, const struct field_column *column, const char *why)
{
	struct package *package = record->sheet->package;
	const struct sheet_cell *cell = record_cell(record, column);
	if (keep_unread(record, column, why))
		return;
	record_pass_at(record, column->column->at, OUTCOME_LEFT);
	problem_add(package->doubts, PROBLEM_CELL_LEFT_OUT, cell_place(record, column), "%s: %s: %s left out: %s",
		cell_name(record, column), column->column->heading, text_quoted(package->arena, cell->text), why);
	if (record->item)
		text_addf(&record->item->marks, "; %s %s left out", cell_name(record, column), cell->text);
}

bool map_names(struct arena *arena, const char *alternatives, const char *text)
{
	size_t length;
	const char *folded = words_fold(arena, text);
	for (const char *part; (part = text_alternative(&alternatives, &length));) {
		const char *name = arena_copy_span(arena, part, length);
		if (strcmp(name, text) == 0 || (*folded && strcmp(words_fold(arena, name), folded) == 0))
			return true;
	}
	return false;
}

static const char *meant(struct arena *arena, const struct element *map, const char *text)
{
	for (size_t i = 0; map && i < map->child_count; i++)
		if (map_names(arena, element_attribute(map->children[i], "written"), text))
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

/* "Mass flow" beside "Volume flow": does another column give a figure for the same in the case? */
static bool is_given_beside(const struct record *record, const struct field_column *column)
{
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *other = &record->sheet->columns[i];
		if (!other->map || other == column || !text_same(other->field, column->field) ||
			!text_same(other->of, column->of) || !text_same(other->of_case, column->of_case))
			continue;
		const struct sheet_cell *cell = record_cell(record, other);
		bool figure = *cell->text >= '0' && *cell->text <= '9' &&
			strspn(cell->text, "0123456789.,' ") == strlen(cell->text);
		if (cell->kind == SHEET_NUMBER || (cell->kind == SHEET_TEXT && figure))
			return true;
	}
	return false;
}

/* What a case is given and cannot be read is owed there: the figure of the first case is not taken for it. */
static void owe(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *attribute)
{
	static const char conditions[] = "temperature pressure flow loading h2s co2 strength duty";
	const struct draft *draft = &record->sheet->package->draft;
	const char *of_case = column->of_case ? column->of_case : record->of_case;
	bool first = !of_case || !draft->case_count || strcmp(draft->cases[0].id, of_case) == 0;
	if (!first && !record_cell(record, column)->hidden && text_has_word(conditions, attribute) &&
		!is_given_beside(record, column))
		record_state_value(record, column, item, attribute, "t.b.d.");
}

/* How many parts strokes separate; the part at `which`. */
static const char *part_at(struct arena *arena, const char *text, size_t which, size_t *count)
{
	const char *found = NULL, *at = text;
	for (*count = 0; at; ++*count) {
		size_t length = strcspn(at, "/|");
		if (*count == which)
			found = arena_copy_span(arena, at + strspn(at, " "), length - strspn(at, " "));
		at = at[length] ? at + length + 1 : NULL;
	}
	return found;
}

/* "45 / 52" under "normal / summer": each in its case; false where the parts are not as many, or not all can be read. */
static bool state_cases(struct record *record, const struct field_column *column, struct draft_item *item,
	const struct vocabulary_attribute *meaning)
{
	struct package *package = record->sheet->package;
	const struct sheet_cell *cell = record_cell(record, column);
	size_t cases, parts;
	part_at(package->arena, column->column->cases, 0, &cases);
	part_at(package->arena, cell->text, 0, &parts);
	if (cases != parts || cell->kind != SHEET_TEXT || cell->hidden)
		return false;
	struct cell_value *values = arena_alloc(package->arena, cases * sizeof *values);
	for (size_t i = 0; i < cases; i++) {
		const char *text = part_at(package->arena, cell->text, i, &parts);
		values[i] = list_cell(package->arena, text, meaning->type, &column->rules);
		if (values[i].fate != CELL_TAKEN && values[i].fate != CELL_INTERPRETED)
			return false;
	}
	for (size_t i = 0; i < cases; i++) {
		struct field_column of_case = *column;
		of_case.of_case = package_case(package, part_at(package->arena, column->column->cases, i, &parts));
		record_state_value(record, &of_case, item, meaning->name, values[i].value);
	}
	record_interpreted(record, column, cell->text, "one value for each case that its heading names");
	return true;
}

/* "O" is yes in French, where no stands as "N" in the same column; in German it is without. */
static bool is_o_for_without(
	const struct record *record, const struct field_column *column, const struct vocabulary_type *type)
{
	const struct table *table = record->sheet->table;
	const char *text = record_cell(record, column)->text;
	if (!*text || text[1] || (*text != 'o' && *text != 'O') || strcmp(type->name, "yes-no") != 0)
		return false;
	for (size_t i = table->first; i < table->last; i++) {
		const char *other = table_at(table, i, column->column->at)->text;
		if ((*other == 'N' || *other == 'n') && !other[1])
			return false;
	}
	return true;
}

bool record_state(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *attribute)
{
	const struct vocabulary_attribute *meaning = vocabulary_attribute(item->element, attribute);
	if (record_cell(record, column)->kind == SHEET_EMPTY)
		return false;
	if (meaning && column->column->cases && strpbrk(record_cell(record, column)->text, "/|")) {
		if (state_cases(record, column, item, meaning))
			return true;
		record_left(record, column, "not one value for each of the cases of its heading");
		return false;
	}
	if (!meaning) {
		record_left(record, column,
			arena_format(record->sheet->package->arena, "a %s has no %s", item->element->name, attribute));
		return false;
	}
	if (is_o_for_without(record, column, meaning->type)) {
		record_left(record, column, "\"o\" may be yes, or without");
		return false;
	}
	struct cell_value value = read_cell(record, column, meaning->type);
	if (value.fate == CELL_NOT_STATED)
		record_arrived(record, column);
	if (value.fate == CELL_LEFT_OUT) {
		record_left(record, column, value.why);
		owe(record, column, item, attribute);
	}
	if (value.fate != CELL_TAKEN && value.fate != CELL_INTERPRETED)
		return false;
	return take(record, column, item, attribute, &value);
}
