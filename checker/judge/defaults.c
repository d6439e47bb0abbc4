#include "judge/defaults.h"

#include <math.h>
#include <string.h>

#include "compute/title.h"
#include "judge/domain.h"
#include "judge/evaluation.h"
#include "judge/late.h"

struct weighing {
	struct assumption_list *list;
	struct arena scratch;
	struct judge_context kept, tried; /* in the arena of the list; in the scratch arena, with another value */
};

/* One input of one rule on one item that stands for what nobody states. */
struct silent_input {
	const struct finding *finding;
	const struct evaluation *evaluation;
	size_t input;
};

/* ---- what may be otherwise ---- */

/* Its verdict is settled and its own; of what is told with another, or set aside, nobody acts on this. */
static bool is_weighed(const struct finding *finding)
{
	return !finding->remark && !finding->beneath && finding->verdict != VERDICT_NOT_JUDGED &&
		finding->verdict != VERDICT_ACCEPTED && finding->verdict != VERDICT_OUT_OF_RANGE &&
		!rule_is_late(finding->rule);
}

static bool is_word(enum kind kind)
{
	return kind == KIND_YES_NO || kind == KIND_WORD || kind == KIND_TEXT;
}

/* Is it calculated, and not known for want of something? That is no silence about it. */
static bool is_open(const struct evaluation *evaluation, size_t i)
{
	const struct quantity *found = table_peek(evaluation->context->table, evaluation->holders[i],
		evaluation->operating_case, evaluation->rule->inputs[i].quantity);
	return found && found->known == UNKNOWN;
}

/* Departs by what a calculation read silence as, and the rule says what to ask? */
static bool is_read_from_silence(const struct finding *finding, const struct evaluation *evaluation, size_t i)
{
	const struct rule_input *input = &finding->rule->inputs[i];
	const struct quantity *value = evaluation->values[i];
	return !input->constant && value != input->absent && value->silent && value->known == ASSUMED &&
		value->kind == KIND_YES_NO && *input->as && finding->verdict == VERDICT_DEPARTS;
}

/* Taken by default, and nothing says why it may be, or the verdict goes against the item for want of an answer. */
static bool is_asked(const struct finding *finding, const struct evaluation *evaluation, size_t i)
{
	const struct rule_input *input = &finding->rule->inputs[i];
	return input->absent && evaluation->values[i] == input->absent && evaluation->holders[i] &&
		is_word(input->accepted.kinds[0]) &&
		(!*input->absent_why || (finding->verdict == VERDICT_DEPARTS && is_open(evaluation, i)));
}

/* ---- what it moves ---- */

/* What is to be done: of a departure by its force; of what may depart likewise; else nothing. */
static int action_of(const struct finding *finding)
{
	bool may = finding->verdict == VERDICT_NOT_JUDGED && !finding->idle;
	return finding->verdict == VERDICT_DEPARTS || may ? (int)finding->force : FORCE_ADVISORY + 1;
}

static const char *in_words(struct weighing *weighing, const struct silent_input *silent, const struct quantity *value)
{
	struct arena *arena = weighing->list->arena;
	const char *title = title_of(arena, silent->finding->rule->inputs[silent->input].quantity);
	const char *taken = silent->evaluation->values[silent->input]->word;
	return domain_is_other(value) ? arena_format(arena, "%s other than %s", title, taken)
				      : arena_format(arena, "%s %s", title, value->word);
}

static void note(struct weighing *weighing, const struct silent_input *silent, const struct quantity *value,
	const struct finding *other)
{
	struct evaluation asking = *silent->evaluation;
	asking.context = &weighing->kept;
	asking.missing = NULL;
	asking.missing_count = asking.missing_capacity = 0;
	evaluation_note_default(&asking, silent->input);
	assumption_note_missing(weighing->list, asking.missing, asking.missing_count, in_words(weighing, silent, value),
		silent->finding, other);
}

static void try_values(struct weighing *weighing, const struct silent_input *silent)
{
	const struct evaluation *evaluation = silent->evaluation;
	const struct rule *rule = silent->finding->rule;
	const struct domain domain = domain_of(&weighing->scratch, evaluation,
		evaluation_same_quantity(evaluation, silent->input), 0, -HUGE_VAL, HUGE_VAL);
	for (size_t i = 0; i < domain.count; i++) {
		struct finding other = {.verdict = VERDICT_NOT_APPLICABLE};
		weighing->tried.instead = (struct instead_of_default){
			evaluation->holders[silent->input], rule->inputs[silent->input].quantity, domain.rows[i]};
		judge_item(&weighing->tried, rule, silent->finding->item, &other);
		if (action_of(&other) != action_of(silent->finding))
			note(weighing, silent, domain.rows[i], &other);
	}
}

static void weigh_finding(struct weighing *weighing, const struct finding *finding)
{
	struct variable variables[EXPRESSION_VARIABLES];
	struct evaluation evaluation = {.context = &weighing->kept, .rule = finding->rule, .item = finding->item};
	evaluation.operating_case = finding->operating_case == EVERY_CASE ? 0 : finding->operating_case;
	evaluation_bind_wordless(&evaluation);
	evaluation_name_variables(&evaluation, variables);
	uint32_t decide = rule_decides(finding->rule);
	for (size_t i = 0; i < finding->rule->input_count; i++)
		if ((decide >> i & 1) &&
			(is_asked(finding, &evaluation, i) || is_read_from_silence(finding, &evaluation, i)))
			try_values(weighing, &(struct silent_input){finding, &evaluation, i});
}

void defaults_weigh(struct assumption_list *list, const struct catalogue *catalogue, const struct table *table,
	const struct finding *findings, size_t count, int only_case)
{
	struct weighing weighing = {.list = list};
	weighing.kept = judge_context_open(list->arena, catalogue, table, only_case);
	weighing.kept.wordless = true;
	for (size_t i = 0; i < count; i++)
		if (is_weighed(&findings[i])) {
			weighing.tried = weighing.kept;
			weighing.tried.arena = &weighing.scratch;
			weighing.tried.by_case =
				arena_alloc(&weighing.scratch, table_case_count(table) * sizeof(struct finding));
			weigh_finding(&weighing, &findings[i]);
			arena_release(&weighing.scratch);
		}
	evaluator_release(weighing.kept.evaluator);
}
