/* Results of a laboratory, one a row, with what stands beside them. Part of records.h. */
#include "import/records.h"

#include <string.h>

#include "import/guess.h"

static const char *text_of(const struct record *record, const char *field)
{
	const char *text = record_text(record, field);
	return text ? text : "";
}

static void pass_field(struct record *record, const char *field, enum cell_outcome outcome)
{
	const struct field_column *column = record_column(record, field);
	if (column && record_cell(record, column)->kind != SHEET_EMPTY)
		record_pass(record, column, outcome);
}

/* A result as a note of its sample: "Foam height: 120 ml". */
static void note_result(struct record *record, struct draft_item *item, const struct field_column *value)
{
	struct arena *arena = record_arena(record);
	const char *unit = text_of(record, "unit");
	draft_add_note(record_draft(record), item,
		arena_join(arena, text_of(record, "parameter"), ": ", text_of(record, "sign"),
			arena_join(arena, record_cell(record, value)->text, *unit ? " " : "", unit, "")),
		record_source(record));
	record_arrived(record, value);
}

/* The column of the results as that of the parameter of this row, in the unit of this row. */
static struct field_column as_parameter(
	struct record *record, const struct field_column *value, struct table_column *headed)
{
	struct package *package = record->sheet->package;
	struct field_column column = *value;
	const char *parameter = text_of(record, "parameter"), *unit = text_of(record, "unit");
	struct field field = fields_find(package->arena, package->words, LISTS_LABORATORY, parameter);
	*headed = *value->column;
	headed->heading = arena_join(package->arena, parameter, *unit ? ", " : "", unit, "");
	if (!field.name) /* "H2S" in mol/mol is a loading */
		field = fields_find(package->arena, package->words, LISTS_LABORATORY,
			arena_join(package->arena, parameter, " ", unit, ""));
	column.column = headed;
	column.field = field.name;
	column.of = NULL;
	if (*unit)
		column.rules.unit = words_unit(package->arena, package->words, unit, true);
	if (!column.rules.unit && *unit && strchr(unit, ' ')) /* "wt% as MDEA" */
		column.rules.unit = words_unit(package->arena, package->words,
			arena_copy_span(package->arena, unit, strcspn(unit, " ")), false);
	if (!*unit)
		column.rules.unit = field.unit;
	return column;
}

/* "Limit | < 0.01" beside a result of the lean solution; false: it is none that is certain. */
static bool state_limit(struct record *record, const struct field_column *beside, const struct field_column *result)
{
	const struct field_column *point = record_sample_point(record);
	const char *service = point ? record_solution_of(record, point) : NULL, *heading = beside->column->heading;
	const char *bound = guess_bound(record_arena(record), heading);
	if (!bound || !service || strcmp(service, "lean") != 0 || !result->field ||
		record_is_other_amine(record, result))
		return false;
	if (text_has_word("strength ph", result->field))
		bound = ""; /* too little is bad as well: a figure alone does not say which */
	struct table_column headed = *result->column;
	struct field_column column = *result;
	headed.at = beside->column->at;
	headed.section = NULL;
	column.column = &headed;
	column.stands = beside->stands;
	column.stands_at = beside->stands_at;
	return record_state_limit_of_lean(record, &column, bound);
}

/* What stands beside a result, with what it is of: "Iron, Method: ICP". */
static void note_beside(struct record *record, struct draft_item *item, const struct field_column *column)
{
	struct arena *arena = record_arena(record);
	const struct sheet_cell *cell = record_cell(record, column);
	bool remark = strcmp(column->field, "remark") == 0;
	if (cell->hidden || record_says_nothing(record, column)) {
		record_note(record, item, column, !remark);
		return;
	}
	draft_add_note(record_draft(record), item,
		arena_format(arena, "%s%s%s: %s", text_of(record, "parameter"), remark ? "" : ", ",
			remark ? "" : column->column->heading, cell->text),
		record_source(record));
	record_arrived(record, column);
	if (guess_bound(arena, column->column->heading))
		record_interpreted(record, column, "a note", "no certain limit of the lean solution");
}

void record_read_result(struct record *record)
{
	static const char no_parameter[] = "date stream case remark name tag";
	const struct field_column *value = record_column(record, "value");
	const char *date = record_text(record, "date"), *sign = text_of(record, "sign");
	if (!value || record_cell(record, value)->kind == SHEET_EMPTY || !*text_of(record, "parameter")) {
		record_leave(record, "a result is missing, or what it is of");
		return;
	}
	if (!date || !*date) {
		record_leave(record, "no date");
		return;
	}
	struct draft_item *item = record->item = record_analysis(record, date);
	if (!item)
		return;
	struct table_column headed;
	struct field_column column = as_parameter(record, value, &headed);
	const char *unit = text_of(record, "unit");
	bool signed_apart = *sign && strcmp(sign, "=") != 0 && record_cell(record, value)->text[0] != *sign;
	bool unit_unknown = strpbrk(unit, "abcdefghijklmnopqrstuvwxyz%") && !column.rules.unit;
	const struct field_column *sample = record_column(record, "sample");
	if (sample && record_cell(record, sample)->kind != SHEET_EMPTY)
		record_note(record, item, sample, true);
	pass_field(record, "parameter", OUTCOME_STRUCTURE);
	pass_field(record, "unit", OUTCOME_STRUCTURE);
	pass_field(record, "sign", OUTCOME_STRUCTURE);
	if (!column.field || text_has_word(no_parameter, column.field) || signed_apart ||
		(unit_unknown && strcmp(column.field, "ph") != 0))
		note_result(record, item, value);
	else
		record_state_found(record, &column, item);
	size_t at = 0;
	for (const struct field_column *other; (other = record_pending(record, &at));)
		if (!state_limit(record, other, &column))
			note_beside(record, item, other);
}
