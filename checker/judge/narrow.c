#include "judge/narrow.h"

#include <math.h>

#include "compute/title.h"
#include "judge/domain.h"
#include "judge/evaluation.h"
#include "judge/late.h"

/* One finding that is met narrowly, and its value beyond the limit. */
struct narrow {
	struct assumption_list *list;
	struct arena *scratch;
	const struct finding *finding;
	const struct evaluation *evaluation; /* as it was judged */
	struct quantity beyond;
};

static bool is_narrow(const struct finding *finding)
{
	return finding->verdict == VERDICT_MEETS && !finding->remark && !finding->beneath && finding->governing &&
		finding->governing->borderline && finding->governing->margin < 0 && finding->rule->judged >= 0 &&
		!rule_is_late(finding->rule);
}

/* Unknown, decides the verdict, and can be answered by a word. */
static bool is_open_word(const struct evaluation *evaluation, size_t i)
{
	enum kind kind = evaluation->rule->inputs[i].accepted.kinds[0];
	return !evaluation->rule->inputs[i].constant && evaluation->values[i]->known == UNKNOWN &&
		(kind == KIND_YES_NO || kind == KIND_WORD) && (rule_decides(evaluation->rule) >> i & 1);
}

static void put_all(struct evaluation *evaluation, uint32_t inputs, const struct quantity *value)
{
	for (size_t i = 0; i < evaluation->rule->input_count; i++)
		if (inputs >> i & 1)
			evaluation->values[i] = value;
}

static void note(const struct narrow *narrow, size_t open, const struct quantity *answer, const struct finding *other)
{
	struct arena *arena = narrow->list->arena;
	const struct rule *rule = narrow->finding->rule;
	struct evaluation asking = *narrow->evaluation;
	const char *words = arena_format(arena, "%s at %s and %s %s",
		title_of(arena, rule->inputs[rule->judged].quantity), quantity_show(arena, &narrow->beyond, NULL),
		title_of(arena, rule->inputs[open].quantity), answer->word);
	asking.unknown = UINT32_C(1) << open;
	asking.missing = NULL;
	asking.missing_count = asking.missing_capacity = 0;
	evaluation_note_unknown(&asking);
	assumption_note_missing(narrow->list, asking.missing, asking.missing_count, words, narrow->finding, other);
}

static void try_answers(const struct narrow *narrow, const struct judge_context *tried, size_t open)
{
	const struct evaluation *first = narrow->evaluation;
	uint32_t judged = evaluation_same_quantity(first, (size_t)first->rule->judged),
		 answered = evaluation_same_quantity(first, open);
	const struct domain domain =
		domain_of(narrow->scratch, first, answered, answered | judged, -HUGE_VAL, HUGE_VAL);
	for (size_t i = 0; i < domain.count; i++) {
		struct variable variables[EXPRESSION_VARIABLES];
		struct evaluation one = *first;
		one.context = tried;
		one.missing = NULL;
		one.missing_count = one.missing_capacity = 0;
		put_all(&one, judged, &narrow->beyond);
		put_all(&one, answered, domain.rows[i]);
		evaluation_name_variables(&one, variables);
		enum truth selected = evaluation_selected(&one);
		if (domain_is_other(domain.rows[i]) || selected == NO ||
			judge_evaluation(&one, selected) != VERDICT_DEPARTS)
			continue;
		const struct finding other = judge_finding_of(&one, VERDICT_DEPARTS);
		note(narrow, open, domain.rows[i], &other);
	}
}

static void weigh_finding(struct narrow narrow, const struct judge_context *kept, const struct judge_context *tried)
{
	const struct finding *finding = narrow.finding;
	struct variable variables[EXPRESSION_VARIABLES];
	struct evaluation evaluation = {.context = kept, .rule = finding->rule, .item = finding->item};
	evaluation.operating_case = finding->operating_case == EVERY_CASE ? 0 : finding->operating_case;
	evaluation_bind_wordless(&evaluation);
	evaluation_name_variables(&evaluation, variables);
	narrow.evaluation = &evaluation;
	narrow.beyond = *evaluation.values[finding->rule->judged];
	narrow.beyond.si += 2 * (finding->governing->at - narrow.beyond.si);
	narrow.beyond.written = NULL;
	for (size_t i = 0; i < finding->rule->input_count; i++)
		if (is_open_word(&evaluation, i))
			try_answers(&narrow, tried, i);
}

void narrow_weigh(struct assumption_list *list, const struct catalogue *catalogue, const struct table *table,
	const struct finding *findings, size_t count, int only_case)
{
	struct judge_context kept = judge_context_open(list->arena, catalogue, table, only_case);
	kept.wordless = true;
	for (size_t i = 0; i < count; i++) {
		struct arena scratch = {0};
		const struct narrow narrow = {.list = list, .scratch = &scratch, .finding = &findings[i]};
		struct judge_context tried = kept;
		tried.arena = &scratch;
		if (is_narrow(&findings[i]))
			weigh_finding(narrow, &kept, &tried);
		arena_release(&scratch);
	}
	evaluator_release(kept.evaluator);
}
