#include "judge/judge.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "compute/no_data.h"
#include "judge/answers.h"
#include "judge/before.h"
#include "judge/both_ways.h"
#include "judge/deviation.h"
#include "judge/force.h"
#include "judge/late.h"
#include "judge/outcomes.h"
#include "judge/screening.h"
#include "judge/selected.h"
#include "judge/evaluation.h"
#include "judge/weigh.h"

/* ---- one evaluation ---- */

static enum truth all_hold(struct evaluation *evaluation, struct expressions expressions)
{
	enum truth all = YES;
	for (size_t i = 0; i < expressions.count; i++)
		all = truth_and(all,
			expression_evaluate(
				evaluation->context->evaluator, &expressions.rows[i], &evaluation->binding, NULL));
	for (size_t i = 0; all == PERHAPS && i < expressions.count; i++)
		expression_evaluate(evaluation->context->evaluator, &expressions.rows[i], &evaluation->binding,
			&evaluation->unknown);
	return all;
}

static enum truth any_holds(struct evaluation *evaluation, struct expressions expressions, uint32_t *unknown)
{
	enum truth any = NO;
	for (size_t i = 0; i < expressions.count; i++)
		any = truth_or(any,
			expression_evaluate(
				evaluation->context->evaluator, &expressions.rows[i], &evaluation->binding, unknown));
	return any;
}

static uint32_t not_known(const struct evaluation *evaluation)
{
	uint32_t inputs = 0;
	for (size_t i = 0; i < evaluation->rule->input_count; i++)
		inputs |= evaluation->values[i]->known == UNKNOWN ? UINT32_C(1) << i : 0;
	return inputs;
}

/* A rule that speaks only where something is stated: what it would take for it to speak is noted, if nothing else bars it. */
static void note_not_stated(struct evaluation *evaluation, enum truth selected)
{
	const struct expressions *when = &evaluation->rule->when;
	uint32_t wanting = 0;
	for (size_t i = 0; i < when->count; i++)
		if (expression_evaluate(evaluation->context->evaluator, &when->rows[i], &evaluation->binding, NULL) ==
			NO) {
			uint32_t asked = when->rows[i].asks_for & not_known(evaluation);
			if (!asked)
				return;
			wanting |= asked;
		}
	if (selected != YES)
		return;
	evaluation->unknown = wanting;
	evaluation_note_unknown(evaluation);
}

static void take_limits(struct evaluation *evaluation)
{
	const struct rule *rule = evaluation->rule;
	evaluation->limits = arena_alloc(evaluation->context->arena, rule->limit_count * sizeof *evaluation->limits);
	for (size_t i = 0; i < rule->limit_count; i++)
		evaluation->limits[i] = (struct limit_result){
			.limit = &rule->limits[i], .met = PERHAPS, .at = rule->limits[i].value.si, .aside = ""};
	evaluation->limit_count = rule->limit_count;
}

/* A value that holds under a condition only says nothing while the condition is open: liquid velocity of what may be a mixture. */
static bool comes_too_early(const struct evaluation *evaluation)
{
	const struct expressions *when = &evaluation->rule->when;
	bool early = false;
	for (size_t i = 0; i < when->count && !early; i++)
		early = when->rows[i].first &&
			expression_evaluate(
				evaluation->context->evaluator, &when->rows[i], &evaluation->binding, NULL) == PERHAPS;
	return early;
}

/* ---- what is met by silence ---- */

/* The inputs by which a rule is met: of a condition that meets it, else of what it asserts or judges. */
static uint32_t met_by(struct evaluation *evaluation, enum truth by_condition)
{
	const struct rule *rule = evaluation->rule;
	uint32_t inputs = 0;
	if (by_condition != YES)
		return rule->assertion ? rule->assertion->cites : UINT32_C(1) << rule->judged;
	for (size_t i = 0; i < rule->met_if.count; i++)
		if (expression_evaluate(
			    evaluation->context->evaluator, &rule->met_if.rows[i], &evaluation->binding, NULL) == YES)
			inputs |= rule->met_if.rows[i].cites;
	return inputs;
}

/*
 * Nothing is met by silence alone: of the inputs by which a rule is met one at least is known, or each of them is taken as the
 * rule declares, with the reason why silence may be taken so. False: it is not so, and those without a reason are noted.
 */
static bool has_evidence(struct evaluation *evaluation, uint32_t inputs)
{
	bool silent = false, declared = true;
	for (size_t i = 0; i < evaluation->rule->input_count; i++) {
		const struct quantity *value = evaluation->values[i];
		const struct rule_input *input = &evaluation->rule->inputs[i];
		if (!(inputs >> i & 1) || input->constant || value->known == UNKNOWN)
			continue;
		if (!value->silent)
			return true;
		silent = true;
		declared = declared && value == input->absent && *input->absent_why;
	}
	evaluation->on_silence = silent && declared;
	if (!silent || declared)
		return true;
	evaluation_note_silent(evaluation, inputs);
	return false;
}

/* The verdict of a rule that applies as far as `applies` says. Everything unknown that matters is noted. */
enum verdict judge_evaluation(struct evaluation *evaluation, enum truth applies)
{
	enum truth selected = applies;
	applies = truth_and(applies, all_hold(evaluation, evaluation->rule->when));
	if (applies == NO) {
		note_not_stated(evaluation, selected);
		return VERDICT_NOT_APPLICABLE;
	}
	evaluation_put_lacking(evaluation, UINT32_MAX);
	take_limits(evaluation);
	uint32_t unknown_met = 0;
	enum truth met = any_holds(evaluation, evaluation->rule->met_if, &unknown_met);
	uint32_t before = evaluation->unknown;
	size_t missing_before = evaluation->missing_count;
	enum truth judged = evaluation->rule->assertion ? weigh_assertion(evaluation) : weigh_limits(evaluation);
	evaluation->result = truth_or(met, judged);
	if (evaluation->result == YES) {
		evaluation->unknown = before;
		evaluation->missing_count = missing_before;
	} else {
		evaluation->unknown |= unknown_met; /* of what could have met it */
	}
	if (evaluation->result == YES && !(applies == PERHAPS && comes_too_early(evaluation)))
		return has_evidence(evaluation, met_by(evaluation, met)) ? VERDICT_MEETS : VERDICT_NOT_JUDGED;
	if (evaluation->result == NO && applies == YES)
		return VERDICT_DEPARTS;
	evaluation_note_unknown(evaluation);
	return VERDICT_NOT_JUDGED;
}

/* ---- findings ---- */

/* A finding that is met by silence alone, or that a text which was not read could turn, is not firm. */
static enum certainty certainty_of(const struct evaluation *evaluation)
{
	const struct rule *rule = evaluation->rule;
	if (rule->capped && rule->certainty == CERTAINTY_DISPUTED)
		return CERTAINTY_DISPUTED;
	if (evaluation->governing && evaluation->governing->borderline)
		return CERTAINTY_BORDERLINE;
	if (rule->capped)
		return rule->certainty;
	if (evaluation->on_silence || screening_names_slip(evaluation))
		return CERTAINTY_SCREENING;
	return screening_text_could_turn(evaluation) ? CERTAINTY_SCREENING : CERTAINTY_FIRM;
}

/* A departure that rests on such figures is not one that must be resolved. */
static void soften(struct finding *finding)
{
	if (finding->force == FORCE_REQUIRED) {
		finding->force = FORCE_RECOMMENDED;
		finding->why_force = "it uses estimates for a solvent without measured data";
	}
}

struct input finding_input(const struct finding *finding, size_t k)
{
	size_t at = 0;
	for (size_t before = 0; before < k || !(finding->seen >> at & 1); at++)
		before += finding->seen >> at & 1;
	const struct rule_input *input = &finding->rule->inputs[at];
	const struct seen_input *seen = &finding->inputs[k];
	return (struct input){.symbol = input->name,
		.name = input->constant ? "a constant of the rule" : input->quantity,
		.whose = seen->item ? seen->item->tag : NULL,
		.item = seen->item,
		.quantity = seen->quantity};
}

/* An unknown that neither a place of the description nor a calculation stands behind. */
static bool says_nothing(const struct quantity *value)
{
	return value->known == UNKNOWN && !value->place.line && !value->input_count;
}

/* Of a rule that does not apply only values are asked for: what says nothing takes no memory. */
void judge_show_inputs(const struct evaluation *evaluation, struct finding *finding)
{
	finding->seen = 0;
	finding->input_count = 0;
	const struct rule *rule = evaluation->rule;
	bool applies = finding->verdict != VERDICT_NOT_APPLICABLE;
	size_t count = 0;
	for (size_t i = 0; i < rule->input_count; i++)
		if (applies || !says_nothing(evaluation->values[i])) {
			finding->seen |= UINT32_C(1) << i;
			count++;
		}
	struct seen_input *inputs = arena_alloc(evaluation->context->arena, count * sizeof *inputs);
	for (size_t i = 0; i < rule->input_count; i++)
		if (finding->seen >> i & 1)
			inputs[finding->input_count++] = (struct seen_input){
				rule->inputs[i].constant ? NULL : evaluation->holders[i], evaluation->values[i]};
	finding->inputs = inputs;
}

struct finding judge_finding_of(const struct evaluation *evaluation, enum verdict verdict)
{
	struct finding finding = {
		.rule = evaluation->rule,
		.item = evaluation->item,
		.operating_case = evaluation->operating_case,
		.verdict = verdict,
		.limits = evaluation->limits,
		.limit_count = (uint32_t)evaluation->limit_count,
		.governing = evaluation->governing,
		.missing = evaluation->missing,
		.missing_count = (uint32_t)evaluation->missing_count,
	};
	if (evaluation->rule->judged >= 0 && evaluation->values[evaluation->rule->judged]->known != UNKNOWN)
		finding.value = evaluation->values[evaluation->rule->judged];
	finding.certainty = certainty_of(evaluation);
	finding.assumed = screening_assumed(evaluation);
	if (finding.assumed && finding.certainty < CERTAINTY_SCREENING)
		finding.certainty = CERTAINTY_SCREENING;
	judge_show_inputs(evaluation, &finding);
	force_set(evaluation->context->table, &finding);
	const char *estimated = screening_without_data(evaluation);
	if (estimated && (verdict == VERDICT_DEPARTS || verdict == VERDICT_MEETS)) {
		finding.assumed = finding.assumed ? finding.assumed : estimated;
		finding.certainty = finding.certainty < CERTAINTY_SCREENING ? CERTAINTY_SCREENING : finding.certainty;
		soften(&finding);
	}
	return finding;
}

/* ---- at another correlation ---- */

/* The same rule with the values of the other correlation: what departs by both departs; by one only it is not firm. */
static struct finding beside_second(const struct evaluation *first, struct finding own)
{
	struct variable variables[EXPRESSION_VARIABLES];
	struct evaluation other = {.context = first->context,
		.rule = first->rule,
		.item = first->item,
		.operating_case = first->operating_case,
		.taken = first->taken};
	evaluation_bind(&other);
	for (size_t i = 0; i < other.rule->input_count; i++)
		other.values[i] = other.values[i]->second ? other.values[i]->second : other.values[i];
	evaluation_name_variables(&other, variables);
	enum truth applies = evaluation_selected(&other);
	enum verdict verdict = applies == NO ? VERDICT_NOT_APPLICABLE : judge_evaluation(&other, applies);
	bool departs = own.verdict == VERDICT_DEPARTS;
	if (departs == (verdict == VERDICT_DEPARTS))
		return own;
	struct finding unsettled = departs ? own : judge_finding_of(&other, verdict);
	unsettled.assumed = screening_by_one_only(first);
	if (unsettled.certainty < CERTAINTY_SCREENING)
		unsettled.certainty = CERTAINTY_SCREENING;
	return unsettled;
}

/* Beyond which of two results of the same rule on the same item the review should speak of. */
static bool is_worse(const struct finding *a, const struct finding *b)
{
	if (a->verdict != b->verdict)
		return a->verdict < b->verdict;
	if (!a->assumed !=
		!b->assumed) /* what is known of the normal case is not hidden by what is assumed of another */
		return !a->assumed;
	if (a->governing && b->governing)
		return a->governing->margin > b->governing->margin;
	return false;
}

/* The same verdict on the same value: naming one case would mislead. */
static bool says_the_same(const struct finding *a, const struct finding *b)
{
	if (a->verdict != b->verdict || (a->value == NULL) != (b->value == NULL))
		return false;
	return !a->value || (!(a->value->si < b->value->si) && !(a->value->si > b->value->si));
}

/* A rule of process practice is not held against a steam-out; if the unit has nothing but upsets, they are judged. */
static bool case_counts(const struct judge_context *context, const struct rule *rule, int operating_case)
{
	const struct table *table = context->table;
	if (context->only_case != EVERY_CASE)
		return operating_case == context->only_case;
	bool any_steady = false;
	for (int c = 0; c < (int)table_case_count(table); c++)
		any_steady = any_steady || !table_case(table, c)->upset;
	return rule->upsets || !any_steady || !table_case(table, operating_case)->upset;
}

/* In a case in which the rule does not look at the item. */
static struct finding not_selected(const struct evaluation *evaluation)
{
	return (struct finding){.rule = evaluation->rule,
		.item = evaluation->item,
		.operating_case = evaluation->operating_case,
		.verdict = VERDICT_NOT_APPLICABLE};
}

static void repeat(struct finding *by_case, size_t *count, int operating_case)
{
	by_case[*count] = by_case[*count - 1];
	by_case[(*count)++].operating_case = operating_case;
}

bool judge_item(
	const struct judge_context *context, const struct rule *rule, const struct item *item, struct finding *worst)
{
	struct variable variables[EXPRESSION_VARIABLES];
	struct evaluation evaluation, last;
	bool evaluated = false, alike = true;
	size_t count = 0;
	bool all = context->only_case == EVERY_CASE, begun = false;
	for (int c = 0; c < (int)table_case_count(context->table); c++) {
		if (!case_counts(context, rule, c))
			continue;
		evaluation = (struct evaluation){.context = context,
			.rule = rule,
			.item = item,
			.operating_case = c,
			.taken = begun ? last.taken : 0};
		evaluation_bind_wordless(&evaluation);
		evaluation_name_variables(&evaluation, variables);
		if (begun && evaluation_has_same_inputs(&evaluation, &last)) {
			repeat(context->by_case, &count, c);
			continue;
		}
		enum truth applies = evaluation_selected(&evaluation);
		if (applies != NO) {
			evaluation_read(&evaluation);
			enum verdict verdict = judge_evaluation(&evaluation, applies);
			struct finding finding = judge_finding_of(&evaluation, verdict);
			if (screening_has_second(&evaluation))
				finding = beside_second(&evaluation, finding);
			finding = both_ways(&evaluation, finding);
			alike = alike && (evaluated ? says_the_same(&finding, worst) : !begun);
			if (!evaluated || is_worse(&finding, worst))
				*worst = finding;
			evaluated = true;
			context->by_case[count++] = finding;
		} else {
			alike = alike && !evaluated;
			context->by_case[count++] = not_selected(&evaluation);
		}
		last = evaluation;
		begun = true;
	}
	if (evaluated && alike && all)
		worst->operating_case = EVERY_CASE;
	if (evaluated)
		outcomes_keep(context->arena, context->by_case, count, alike, worst);
	if (evaluated && !context->wordless)
		judge_put_in_words(context, worst);
	return evaluated;
}

/* ---- the whole unit ---- */

/* Findings as they come, each at the end. */
struct finding_list {
	struct arena *arena;
	struct finding *findings;
	size_t count, capacity;
	size_t expected; /* about as many as there will be; 0: nobody knows */
};

static void add_finding(struct finding_list *list, struct finding finding)
{
	if (list->count == list->capacity) {
		list->capacity = list->capacity ? 2 * list->capacity : list->expected + 256;
		list->findings = arena_resize(list->arena, list->findings, list->capacity * sizeof *list->findings);
	}
	list->findings[list->count++] = finding;
}

/* As it was judged before, where nothing moved that the rule looks at. */
static void take_over(const struct judge_context *context, const struct rule *rule, const struct item *item,
	struct finding_list *list)
{
	const struct judged_before *before = context->before;
	for (size_t i = before_first(before, rule, item); before_is_of(before, i, rule, item); i++)
		add_finding(list, before_renewed(context, i));
}

static void judge_again(const struct judge_context *context, const struct rule *rule, const struct item *item,
	struct finding_list *list)
{
	struct finding finding = {0};
	if (!judge_item(context, rule, item, &finding))
		return;
	deviation_accept(context->table, &finding);
	add_finding(list, finding);
}

/* What computing adds, contradictions, may be others than before; so may what judging makes, which late rules ask for. */
static bool rests_on_added(const struct rule *rule)
{
	bool rests = rule_is_late(rule) || rule_selects_kind(rule, "contradiction");
	for (size_t i = 0; i < rule->input_count; i++)
		rests = rests || strcmp(rule->inputs[i].of, "contradiction") == 0;
	return rests;
}

static void judge_items(const struct judge_context *context, const struct rule *rule, struct selected *selected,
	struct finding_list *list)
{
	const bool told = !rests_on_added(rule);
	if (told && !table_pass(context->table, (uintptr_t)rule) && context->before) {
		take_over(context, rule, NULL, list);
	} else {
		const struct items items = selected_items(selected, rule);
		for (size_t i = 0; i < items.count; i++) {
			const struct item *item = items.rows[i];
			if (!told || table_visits(context->table, item) || !context->before)
				judge_again(context, rule, item, list);
			else
				take_over(context, rule, item, list);
		}
	}
	if (told)
		table_pass(context->table, 0);
}

/* False: the rule selects nothing in this unit. */
static bool judge_rule(const struct judge_context *context, const struct rule *rule, struct selected *selected,
	struct finding_list *list)
{
	size_t before = list->count;
	judge_items(context, rule, selected, list);
	return list->count > before;
}

/* The rules that ask for what judging makes, or all others. */
static void judge_rules(
	const struct judge_context *context, bool late, struct finding_list *list, struct judgement *judgement)
{
	struct selected selected = selected_open(context->arena, context->table);
	for (size_t i = 0; i < context->catalogue->rule_count; i++) {
		const struct rule *rule = &context->catalogue->rules[i];
		if (rule_is_late(rule) == late && !judge_rule(context, rule, &selected, list))
			judgement->idle[judgement->idle_count++] = rule;
	}
	judgement->findings = list->findings;
	judgement->count = list->count;
}

/*
 * By rule and then item. The early ones and the late ones after them are in order each, and of other rules: the late ones, which are
 * few, are put where they belong from the end on.
 */
static struct finding *in_order(const struct finding_list *list, size_t early)
{
	if (!list->count)
		return NULL;
	size_t i = early, j = list->count - early;
	struct finding *late = checked_malloc(j * sizeof *late), *rows = list->findings;
	memcpy(late, rows + early, j * sizeof *late);
	while (j > 0) {
		bool take_late = i == 0 || rows[i - 1].rule < late[j - 1].rule;
		rows[i + j - 1] = take_late ? late[j - 1] : rows[i - 1];
		if (take_late)
			j--;
		else
			i--;
	}
	free(late);
	return arena_resize(list->arena, rows, list->count * sizeof *rows);
}

struct judge_context judge_context_open(
	struct arena *arena, const struct catalogue *catalogue, const struct table *table, int only_case)
{
	return (struct judge_context){.arena = arena,
		.catalogue = catalogue,
		.table = table,
		.evaluator = evaluator_new(),
		.only_case = only_case,
		.unstated = unstated_new(arena),
		.no_data = no_data_of(arena, table)};
}

static struct judge_context with_room(
	struct arena *arena, const struct catalogue *catalogue, const struct table *table, int only_case)
{
	struct judge_context context = judge_context_open(arena, catalogue, table, only_case);
	context.by_case = arena_alloc(arena, table_case_count(table) * sizeof(struct finding));
	return context;
}

static struct judgement judge_all(struct arena *arena, const struct catalogue *catalogue, const struct table *table,
	int only_case, bool wordless, const struct judged_before *before)
{
	struct judge_context context = with_room(arena, catalogue, table, only_case);
	context.wordless = wordless;
	/* Why there are no data is part of what rests on them, and no value of an item. */
	bool comparable = before && before->table && !context.no_data && !no_data_of(arena, before->table);
	context.before = comparable ? before : NULL;
	struct judgement judgement = {.considered = catalogue->rule_count};
	struct finding_list list = {.arena = arena, .expected = before ? before->count : 0};
	judgement.idle = arena_alloc(arena, catalogue->rule_count * sizeof *judgement.idle);
	judge_rules(&context, false, &list, &judgement);
	/* What asks for the state of deviations or the answer to a claim waits until everything they could be for is judged. */
	const size_t early = list.count;
	struct table *told = deviations_in_table(arena, table, &judgement);
	struct answers answers = answers_make(table, &judgement);
	answers_put(told, &answers);
	context.table = judgement.told = told;
	judge_rules(&context, true, &list, &judgement);
	for (size_t i = early; i < list.count; i++)
		answers_raise(&answers, &list.findings[i]);
	judgement.answers = answers.rows;
	judgement.answer_count = answers.count;
	judgement.findings = judgement.own = in_order(&list, early);
	judgement.as_judged = arena_alloc(arena, judgement.count * sizeof *judgement.as_judged);
	evaluator_release(context.evaluator);
	return judgement;
}

struct judgement judge(struct arena *arena, const struct catalogue *catalogue, const struct table *table, int only_case)
{
	return judge_all(arena, catalogue, table, only_case, false, NULL);
}

struct judgement judge_verdicts(struct arena *arena, const struct catalogue *catalogue, const struct table *table,
	int only_case, const struct judged_before *before)
{
	return judge_all(arena, catalogue, table, only_case, true, before);
}

bool judge_verdict(struct arena *arena, const struct catalogue *catalogue, const struct table *table,
	const struct rule *rule, const struct item *item, struct finding *finding)
{
	struct judge_context context = with_room(arena, catalogue, table, EVERY_CASE);
	context.wordless = true;
	table_pass(table, (uintptr_t)rule);
	table_visits(table, item);
	bool selected = rule_selects_kind(rule, item->kind) && judge_item(&context, rule, item, finding);
	if (selected)
		deviation_accept(table, finding);
	table_pass(table, 0);
	evaluator_release(context.evaluator);
	return selected;
}

bool judge_one(struct arena *arena, const struct catalogue *catalogue, const struct table *table,
	const struct rule *rule, const struct item *item, struct finding *finding)
{
	struct judge_context context = with_room(arena, catalogue, table, EVERY_CASE);
	bool selected = rule_selects_kind(rule, item->kind) && judge_item(&context, rule, item, finding);
	evaluator_release(context.evaluator);
	return selected;
}

struct judged_before judgement_before(const struct table *table, const struct judgement *judgement)
{
	return (struct judged_before){table, judgement->findings, judgement->as_judged, judgement->count};
}

const struct finding *judged_finding(const struct judged_before *before, size_t i)
{
	return before->as_judged[i] ? before->as_judged[i] : &before->findings[i];
}

struct finding *judgement_change(struct arena *arena, const struct judgement *judgement, size_t i)
{
	if (!judgement->as_judged[i]) {
		struct finding *kept = arena_alloc(arena, sizeof *kept);
		*kept = judgement->findings[i];
		judgement->as_judged[i] = kept;
	}
	return &judgement->own[i];
}
