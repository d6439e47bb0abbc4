#include <math.h>

#include "base/count.h"
#include "revamp/write_cases.h"

enum { VERSION = 1 };

static json_t *value_object(const struct solved_value *value, bool base)
{
	const char *unit = kind_unit(value->kind);
	const double numbers[] = {value->stated, value->base, value->value, value->asserted, value->solved};
	json_t *shown[COUNT(numbers)];
	for (size_t i = 0; i < COUNT(numbers); i++)
		shown[i] =
			isfinite(numbers[i]) ? record_number(quantity_in(numbers[i], value->kind, unit)) : json_null();
	if (base) {
		for (size_t i = 2; i < COUNT(numbers); i++)
			json_decref(shown[i]);
		return json_pack("{s:s, s:s, s:s, s:o, s:o}", "item", value->of->tag, "name", value->name, "unit", unit,
			"stated", shown[0], "solved", shown[1]);
	}
	return json_pack("{s:s, s:s, s:s, s:o, s:o, s:o, s:o, s:o}", "item", value->of->tag, "name", value->name,
		"unit", unit, "base", shown[0], "solved_base", shown[1], "solved", shown[4], "calculated", shown[2],
		"stated", shown[3]);
}

static json_t *value_rows(const struct solved_value *values, size_t count, const struct solved_case *row)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < count; i++)
		if (!row || cases_is_shown(row, &values[i]))
			json_array_append_new(rows, value_object(&values[i], !row));
	return rows;
}

static json_t *off_rows(const struct solved_case *row)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < row->off_count; i++)
		json_array_append_new(rows,
			json_pack("{s:s, s:s, s:s, s:f, s:f, s:f}", "item", row->off[i].gas->tag, "name",
				row->off[i].name, "unit", "mol/mol", "base", row->off[i].before, "calculated",
				row->off[i].value, "limit", row->off[i].limit));
	return rows;
}

static json_t *turn_rows(const struct solved_case *row)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < row->turn_count; i++) {
		const struct case_turn *turn = &row->turns[i];
		json_array_append_new(rows,
			json_pack("{s:s, s:s, s:s, s:s, s:s, s:s, s:s, s:s, s:s, s:s, s:s?, s:s, s:s, s:s}", "rule",
				turn->rule->id, "title", turn->rule->title, "item", turn->item, "from",
				verdict_word(turn->from), "to", verdict_word(turn->to), "action",
				action_word(turn->action), "before", turn->before, "after", turn->after, "limit",
				turn->limit, "message", turn->message, "already", turn->already, "moved", turn->moved,
				"base", turn->base, "certainty", "screening"));
	}
	return rows;
}

static json_t *case_rows(const struct cases *cases)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < cases->count; i++) {
		const struct solved_case *row = &cases->rows[i];
		json_array_append_new(rows,
			json_pack("{s:s, s:s, s:s, s:b, s:s?, s:o, s:o, s:o}", "id", row->id, "title", row->title,
				"what", row->what, "stated", (int)row->stated, "not_solved", row->why, "values",
				value_rows(row->values, row->value_count, row), "off_specification", off_rows(row),
				"turns", turn_rows(row)));
	}
	return rows;
}

static json_t *equipment_rows(struct arena *arena, const struct cases *cases)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < cases->circuit.count; i++) {
		const struct circuit_unit *unit = &cases->circuit.units[i];
		json_array_append_new(rows,
			json_pack("{s:s, s:b, s:s}", "item", unit->item->tag, "held", unit->held != NULL, "says",
				cases_equipment(arena, unit)));
	}
	return rows;
}

static json_t *word_rows(const char *const *words, size_t count)
{
	json_t *rows = json_array();
	for (size_t i = 0; i < count; i++)
		json_array_append_new(rows, json_string(words[i]));
	return rows;
}

bool write_cases_json(const void *data, FILE *out)
{
	const struct cases_report *report = data;
	const struct cases *cases = report->cases;
	return record_save(json_pack("{s:s, s:i, s:o, s:s, s:s?, s:o, s:o, s:o, s:o, s:o}", "record", "leanrich cases",
				   "version", VERSION, "unit", record_unit(&report->unit), "base", cases->base,
				   "not_solved", cases->fault, "equipment", equipment_rows(report->arena, cases),
				   "values", value_rows(cases->values, cases->value_count, NULL), "cases",
				   case_rows(cases), "not_made", word_rows(cases->left_out, cases->left_out_count),
				   "notes", word_rows(cases->circuit.notes, cases->circuit.note_count)),
		out);
}
