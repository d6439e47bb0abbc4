#include "judge/judge.h"

#include <string.h>

#include "base/text.h"
#include "judge/evaluation.h"
#include "judge/late.h"
#include "judge/wording.h"

/* Why it is not judged; what is met, with its value and the limit. */
static const char *plain_words(struct arena *arena, const struct finding *finding)
{
	struct text text = text_in(arena);
	if (finding->verdict == VERDICT_NOT_JUDGED) {
		text_addf(&text, "%s: not judged, since", finding->rule->title);
		for (size_t i = 0; i < finding->missing_count; i++)
			text_addf(&text, "%s %s", i ? ";" : "", finding->missing[i].reason);
		return text.data;
	}
	text_addf(&text, "%s: %s", finding->rule->title, verdict_word(finding->verdict));
	if (finding->value && finding->governing)
		text_addf(&text, "; %s, %s", quantity_show_both(arena, finding->value),
			wording_limit(arena, finding->governing->limit));
	return text.data;
}

/* What a rule says speaks of a departure; of one that is met or not judged its title does. */
static const char *message_of(struct arena *arena, const struct table *table, const struct finding *finding)
{
	bool departs = finding->verdict == VERDICT_DEPARTS || finding->verdict == VERDICT_OUT_OF_RANGE;
	const char *message =
		departs ? wording_fill(arena, finding->rule->message, finding, table) : plain_words(arena, finding);
	if (!*message)
		message = arena_format(
			arena, "%s: %s %s.", finding->rule->title, finding->item->tag, verdict_word(finding->verdict));
	if (finding->whatever)
		message = arena_format(arena, "%s%s It %s %s.", message, text_ends(message, ".") ? "" : ".",
			verdict_word(finding->verdict), finding->whatever);
	return finding->unsettled ? arena_format(arena, "%s %s", message, finding->unsettled) : message;
}

/* Only what is open has a remedy. */
static const char *remedy_of(struct arena *arena, const struct table *table, const struct finding *finding)
{
	const char *remedy = wording_fill(arena, finding->rule->remedy, finding, table);
	return *remedy ? remedy : arena_format(arena, "Answer for %s: %s.", finding->item->tag, finding->rule->title);
}

void judge_put_in_words(const struct judge_context *context, struct finding *finding)
{
	finding->message = finding->rule->title;
	finding->remedy = "";
	if (finding->verdict == VERDICT_NOT_APPLICABLE)
		return;
	struct arena scratch = {0};
	finding->message = arena_copy(context->arena, message_of(&scratch, context->table, finding));
	if (finding->verdict != VERDICT_MEETS)
		finding->remedy = arena_copy(context->arena, remedy_of(&scratch, context->table, finding));
	arena_release(&scratch);
}

struct finding judge_said(struct arena *arena, const struct judgement *judgement, const struct table *table,
	const struct finding *finding)
{
	const struct judge_context context = {
		.arena = arena, .table = rule_is_late(finding->rule) ? judgement->told : table};
	struct finding said = *finding;
	judge_put_in_words(&context, &said);
	return said;
}

/* ---- examples ---- */

static const char *first_kind(struct arena *arena, const struct rule *rule)
{
	const char *kinds = rule->selections[0].kinds;
	return arena_copy_span(arena, kinds, strcspn(kinds, "|"));
}

struct finding judge_example(struct arena *arena, const struct rule *rule, const struct catalogue *catalogue,
	const struct example *example, struct problems *problems)
{
	static const struct operating_case normal = {.id = "normal", .title = "normal"};
	struct table *table = table_new(arena, &normal, 1);
	struct item entry = {.kind = first_kind(arena, rule), .tag = "example", .text = "", .place = example->place};
	for (size_t k = 0; k < example->count; k++)
		if (strcmp(example->values[k].name, "item") == 0)
			entry.kind = example->values[k].words;
	const struct item *item = table_add_item(table, entry);
	struct judge_context context = {
		.arena = arena, .catalogue = catalogue, .table = table, .evaluator = evaluator_new()};
	struct evaluation evaluation = {.context = &context, .rule = rule, .item = item, .operating_case = 0};
	struct variable variables[EXPRESSION_VARIABLES];
	const struct accepted word = {.kinds = {KIND_WORD}, .count = 1};
	for (size_t k = 0; k < example->count; k++)
		table_put(table, item, EVERY_CASE, example->values[k].name,
			rule_value(arena, example->values[k].words, example->values[k].name, word, example->place,
				problems));
	for (size_t i = 0; i < rule->input_count; i++) {
		const struct rule_input *input = &rule->inputs[i];
		evaluation.holders[i] = item;
		evaluation.values[i] = input->constant ? input->constant : input->absent;
		for (size_t k = 0; k < example->count; k++)
			if (strcmp(example->values[k].name, input->name) == 0)
				evaluation.values[i] = rule_value(arena, example->values[k].words, input->name,
					input->accepted, example->place, problems);
		if (!evaluation.values[i])
			evaluation.values[i] = quantity_unknown(
				arena, input->accepted.kinds[0], arena_format(arena, "%s is not given", input->name));
	}
	evaluation_name_variables(&evaluation, variables);
	enum verdict verdict = judge_evaluation(&evaluation, YES);
	struct finding finding = judge_finding_of(&evaluation, verdict);
	judge_put_in_words(&context, &finding);
	evaluator_release(context.evaluator);
	return finding;
}
