#include "write/write_json.h"

#include <math.h>

#include "judge/answers.h"

static double number_of(const struct quantity *value)
{
	bool number = value && kind_is_number(value->kind);
	return number ? quantity_in(value->si, value->kind, kind_unit(value->kind)) : (double)NAN;
}

static void answer_row(struct json_out *out, const struct review *review, const struct answer *answer)
{
	const struct quantity *value = answer->value;
	const char *one_case = answer->on && answer->operating_case != EVERY_CASE
		? table_case(review->table, answer->operating_case)->id
		: NULL;
	json_out_object(out, NULL);
	json_out_words(out, "kind", answer->claim->kind);
	json_out_words(out, "claim", answer->words);
	json_out_words(out, "answer", answer_word(answer->state));
	json_out_words(out, "found", answer->found);
	json_out_given(out, "item", answer->on ? answer->on->tag : NULL);
	json_out_given(out, "case", one_case);
	json_out_number(out, "value", number_of(value));
	json_out_given(out, "unit", value && kind_is_number(value->kind) ? kind_unit(value->kind) : NULL);
	json_out_given(out, "rule", answer->rule ? answer->rule->id : NULL);
	json_out_given(out, "rule_item", answer->rule ? answer->rule_on->tag : NULL);
	json_out_given(out, "because", table_word(review->table, answer->claim, EVERY_CASE, "because"));
	json_out_words(out, "beside_catalogue", answer->beside);
	json_out_words_or_null(out, "looser_than", answer->looser_than);
	json_out_whole(out, "line", answer->claim->place.line);
	json_out_end(out);
}

void json_claims(struct json_out *out, const struct review *review)
{
	json_out_array(out, "claims");
	for (size_t i = 0; i < review->judgement.answer_count; i++)
		answer_row(out, review, &review->judgement.answers[i]);
	json_out_end(out);
}
