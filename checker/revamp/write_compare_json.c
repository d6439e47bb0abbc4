#include "revamp/write_compare.h"
#include "revamp/write_record.h"

enum { VERSION = 2 };

static json_t *text_or_null(const char *text)
{
	return text && *text ? json_string(text) : json_null();
}

/* In the unit the kind shows first. */
static json_t *number(double si, enum kind kind)
{
	return json_real(quantity_in(si, kind, kind_unit(kind)));
}

static enum kind difference_kind(enum kind kind)
{
	return kind == KIND_TEMPERATURE ? KIND_TEMPERATURE_DIFFERENCE
		: kind == KIND_PRESSURE ? KIND_PRESSURE_DIFFERENCE
					: kind;
}

static json_t *finding_object(const struct finding *finding)
{
	if (!finding)
		return json_null();
	bool known = finding->value && finding->value->known != UNKNOWN && kind_is_number(finding->value->kind);
	return json_pack("{s:s, s:s, s:o, s:o, s:s}", "verdict", verdict_word(finding->verdict), "action",
		action_word(finding_action(finding)), "value",
		known ? number(finding->value->si, finding->value->kind) : json_null(), "unit",
		known ? json_string(kind_unit(finding->value->kind)) : json_null(), "message",
		finding->message ? finding->message : "");
}

static json_t *difference_object(const struct difference *difference)
{
	const struct place place = difference->after ? difference->after_place : difference->before_place;
	return json_pack("{s:s, s:s, s:o, s:o, s:o, s:o, s:s, s:i}", "group", group_word(difference->group), "item",
		difference->item, "case", text_or_null(difference->operating_case), "name",
		text_or_null(difference->name), "before", text_or_null(difference->before), "after",
		text_or_null(difference->after), "file", place.file ? place.file : "", "line", place.line);
}

static json_t *part_rows(const struct change_row *row)
{
	json_t *rows = json_array();
	for (int g = 0; g < INPUT_GROUPS; g++) {
		const struct part *part = &row->parts[g];
		if (!part->tried)
			continue;
		enum kind kind = part->has_value ? row->after->value->kind : KIND_TEXT;
		json_array_append_new(rows,
			json_pack("{s:s, s:b, s:o, s:b, s:o, s:o}", "group", group_word((enum input_group)g),
				"computed", !part->failed, "verdict",
				part->failed ? json_null() : json_string(verdict_word(part->verdict)), "turns",
				(int)part->turns, "value", part->has_value ? number(part->value, kind) : json_null(),
				"part", part->has_value ? number(part->moved, difference_kind(kind)) : json_null()));
	}
	return rows;
}

static json_t *instead_object(const struct change_row *row)
{
	return row->instead ? json_pack("{s:s, s:s}", "rule", row->instead->rule->id, "verdict",
				      verdict_word(row->instead->verdict))
			    : json_null();
}

static json_t *row_object(const struct change_row *row)
{
	json_t *inputs = json_array();
	enum kind kind = difference_kind(row->kind);
	for (size_t i = 0; i < row->input_count; i++)
		json_array_append_new(inputs, difference_object(row->inputs[i]));
	return json_pack("{s:s, s:s, s:s, s:s, s:s, s:s, s:o, s:o, s:o, s:o, s:o, s:o, s:o, s:b, s:o}", "change",
		change_word(row->change), "rule", row->rule->id, "title", row->rule->title, "item", row->item, "was",
		row->item_before, "action", action_word(change_action(row)), "before", finding_object(row->before),
		"after", finding_object(row->after), "inputs", inputs, "parts", part_rows(row), "difference_unit",
		row->has_total ? json_string(kind_unit(kind)) : json_null(), "moved",
		row->has_total ? number(row->total, kind) : json_null(), "left_over",
		row->has_total ? number(row->remainder, kind) : json_null(), "only_together", (int)row->together,
		"instead", instead_object(row));
}

static json_t *kept_object(const struct kept_row *row)
{
	json_t *changes = json_array();
	for (size_t i = 0; i < row->change_count; i++)
		json_array_append_new(changes,
			json_pack("{s:s, s:o, s:o, s:s}", "name", row->changes[i].name, "before",
				number(row->changes[i].before, row->changes[i].kind), "after",
				number(row->changes[i].after, row->changes[i].kind), "unit",
				kind_unit(row->changes[i].kind)));
	return json_pack("{s:s, s:s, s:i, s:o, s:s}", "item", row->item->tag, "material", row->material, "findings",
		(int)row->findings, "conditions", changes, "crossed", row->crossed);
}

static json_t *unit_object(const struct review *review)
{
	const struct record_unit unit = {review->number, review->name, review->revision, review->file};
	return record_unit(&unit);
}

bool write_compare_json(const void *data, FILE *out)
{
	const struct comparison *comparison = data;
	json_t *rows = json_array(), *counts = json_object(), *inputs = json_array(), *kept = json_array();
	json_t *faults = json_object();
	for (int c = 0; c < CHANGES; c++)
		json_object_set_new(
			counts, change_word((enum change)c), json_integer((json_int_t)comparison->counts[c]));
	for (size_t i = 0; i < comparison->count; i++)
		json_array_append_new(rows, row_object(&comparison->rows[i]));
	for (size_t i = 0; i < comparison->differences->count; i++)
		json_array_append_new(inputs, difference_object(&comparison->differences->rows[i]));
	for (size_t i = 0; i < comparison->kept_count; i++)
		json_array_append_new(kept, kept_object(&comparison->kept[i]));
	for (int g = 0; g < INPUT_GROUPS; g++)
		if (comparison->faults[g])
			json_object_set_new(
				faults, group_word((enum input_group)g), json_string(comparison->faults[g]));
	return record_save(json_pack("{s:s, s:i, s:o, s:o, s:o, s:o, s:o, s:o, s:o}", "record", "leanrich comparison",
				   "version", VERSION, "base", unit_object(comparison->base), "revamp",
				   unit_object(comparison->revamp), "counts", counts, "findings", rows, "inputs",
				   inputs, "metals_kept", kept, "not_put_back", faults),
		out);
}
