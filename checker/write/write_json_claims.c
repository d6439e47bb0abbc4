#include "write/write_json.h"

#include "judge/answers.h"

static json_t *number_or_null(const struct answer *answer)
{
	bool number = answer->value && kind_is_number(answer->value->kind);
	return number ? json_real(quantity_in(answer->value->si, answer->value->kind, kind_unit(answer->value->kind)))
		      : json_null();
}

static json_t *answer_row(const struct review *review, const struct answer *answer)
{
	const struct quantity *value = answer->value;
	const char *unit = value && kind_is_number(value->kind) ? kind_unit(value->kind) : NULL;
	const char *one_case = answer->on && answer->operating_case != EVERY_CASE
		? table_case(review->table, answer->operating_case)->id
		: NULL;
	json_t *row = json_pack("{s:s, s:s, s:s, s:s, s:s?, s:s?, s:o, s:s?, s:s?, s:s?, s:s?, s:s, s:s?, s:i}", "kind",
		answer->claim->kind, "claim", answer->words, "answer", answer_word(answer->state), "found",
		answer->found, "item", answer->on ? answer->on->tag : NULL, "case", one_case, "value",
		number_or_null(answer), "unit", unit, "rule", answer->rule ? answer->rule->id : NULL, "rule_item",
		answer->rule ? answer->rule_on->tag : NULL, "because",
		table_word(review->table, answer->claim, EVERY_CASE, "because"), "beside_catalogue", answer->beside,
		"looser_than", *answer->looser_than ? answer->looser_than : NULL, "line", answer->claim->place.line);
	return row;
}

json_t *json_claims(const struct review *review)
{
	json_t *rows = json_array();
	for (size_t i = 0; rows && i < review->judgement.answer_count; i++)
		if (json_array_append_new(rows, answer_row(review, &review->judgement.answers[i])) != 0) {
			json_decref(rows);
			rows = NULL;
		}
	return rows;
}
