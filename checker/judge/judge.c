#include "judge/judge.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "judge/deviation.h"
#include "judge/outcomes.h"
#include "judge/sitting.h"
#include "judge/weigh.h"
#include "judge/wording.h"

/* ---- one sitting ---- */

static enum truth all_hold(struct sitting *sitting, struct expressions expressions)
{
	enum truth all = YES;
	for (size_t i = 0; i < expressions.count; i++)
		all = truth_and(all,
			expression_evaluate(sitting->bench->evaluator, &expressions.rows[i], &sitting->binding, NULL));
	for (size_t i = 0; all == PERHAPS && i < expressions.count; i++)
		expression_evaluate(
			sitting->bench->evaluator, &expressions.rows[i], &sitting->binding, &sitting->unknown);
	return all;
}

static enum truth any_holds(struct sitting *sitting, struct expressions expressions, uint32_t *unknown)
{
	enum truth any = NO;
	for (size_t i = 0; i < expressions.count; i++)
		any = truth_or(any,
			expression_evaluate(
				sitting->bench->evaluator, &expressions.rows[i], &sitting->binding, unknown));
	return any;
}

static uint32_t not_known(const struct sitting *sitting)
{
	uint32_t inputs = 0;
	for (size_t i = 0; i < sitting->rule->input_count; i++)
		inputs |= sitting->values[i]->known == UNKNOWN ? UINT32_C(1) << i : 0;
	return inputs;
}

/* A rule that speaks only where something is stated: what it would take for it to speak is noted, if nothing else bars it. */
static void note_not_stated(struct sitting *sitting, enum truth selected)
{
	const struct expressions *when = &sitting->rule->when;
	uint32_t wanting = 0;
	for (size_t i = 0; i < when->count; i++)
		if (expression_evaluate(sitting->bench->evaluator, &when->rows[i], &sitting->binding, NULL) == NO) {
			uint32_t asked = when->rows[i].asks_for & not_known(sitting);
			if (!asked)
				return;
			wanting |= asked;
		}
	if (selected != YES)
		return;
	sitting->unknown = wanting;
	sitting_note_unknown(sitting);
}

static void take_limits(struct sitting *sitting)
{
	const struct rule *rule = sitting->rule;
	sitting->limits = arena_alloc(sitting->bench->arena, rule->limit_count * sizeof *sitting->limits);
	for (size_t i = 0; i < rule->limit_count; i++)
		sitting->limits[i] = (struct limit_result){
			.limit = &rule->limits[i], .met = PERHAPS, .at = rule->limits[i].value.si, .aside = ""};
	sitting->limit_count = rule->limit_count;
}

/* A value that holds under a condition only says nothing while the condition is open: liquid velocity of what may be a mixture. */
static bool comes_too_early(const struct sitting *sitting)
{
	const struct expressions *when = &sitting->rule->when;
	bool early = false;
	for (size_t i = 0; i < when->count && !early; i++)
		early = when->rows[i].first &&
			expression_evaluate(sitting->bench->evaluator, &when->rows[i], &sitting->binding, NULL) ==
				PERHAPS;
	return early;
}

/* ---- what is met by silence ---- */

/* The inputs by which a rule is met: of a condition that meets it, else of what it asserts or judges. */
static uint32_t met_by(struct sitting *sitting, enum truth by_condition)
{
	const struct rule *rule = sitting->rule;
	uint32_t inputs = 0;
	if (by_condition != YES)
		return rule->assertion ? rule->assertion->cites : UINT32_C(1) << rule->judged;
	for (size_t i = 0; i < rule->met_if.count; i++)
		if (expression_evaluate(sitting->bench->evaluator, &rule->met_if.rows[i], &sitting->binding, NULL) ==
			YES)
			inputs |= rule->met_if.rows[i].cites;
	return inputs;
}

/*
 * Nothing is met by silence alone: of the inputs by which a rule is met one at least is known, or each of them is taken as the
 * rule declares, with the reason why silence may be taken so. False: it is not so, and those without a reason are noted.
 */
static bool has_evidence(struct sitting *sitting, uint32_t inputs)
{
	bool silent = false, declared = true;
	for (size_t i = 0; i < sitting->rule->input_count; i++) {
		const struct quantity *value = sitting->values[i];
		const struct rule_input *input = &sitting->rule->inputs[i];
		if (!(inputs >> i & 1) || input->constant || value->known == UNKNOWN)
			continue;
		if (!value->silent)
			return true;
		silent = true;
		declared = declared && value == input->absent && *input->absent_why;
	}
	sitting->on_silence = silent && declared;
	if (!silent || declared)
		return true;
	sitting_note_silent(sitting, inputs);
	return false;
}

/* The verdict of a rule that applies as far as `applies` says. Everything unknown that matters is noted. */
static enum verdict hear(struct sitting *sitting, enum truth applies)
{
	enum truth selected = applies;
	applies = truth_and(applies, all_hold(sitting, sitting->rule->when));
	if (applies == NO) {
		note_not_stated(sitting, selected);
		return VERDICT_NOT_APPLICABLE;
	}
	take_limits(sitting);
	uint32_t unknown_met = 0;
	enum truth met = any_holds(sitting, sitting->rule->met_if, &unknown_met);
	uint32_t before = sitting->unknown;
	size_t missing_before = sitting->missing_count;
	enum truth judged = sitting->rule->assertion ? weigh_assertion(sitting) : weigh_limits(sitting);
	sitting->result = truth_or(met, judged);
	if (sitting->result == YES) {
		sitting->unknown = before;
		sitting->missing_count = missing_before;
	} else {
		sitting->unknown |= unknown_met; /* of what could have met it */
	}
	if (sitting->result == YES && !(applies == PERHAPS && comes_too_early(sitting)))
		return has_evidence(sitting, met_by(sitting, met)) ? VERDICT_MEETS : VERDICT_NOT_JUDGED;
	if (sitting->result == NO && applies == YES)
		return VERDICT_DEPARTS;
	sitting_note_unknown(sitting);
	return VERDICT_NOT_JUDGED;
}

/* ---- findings ---- */

static bool claims_code(const struct table *table, const char *code)
{
	struct items codes = table_of_kind(table, "code");
	for (size_t i = 0; i < codes.count; i++)
		if (strstr(codes.rows[i]->text, code)) {
			if (codes.rows[i]->text_read)
				*codes.rows[i]->text_read = true;
			return true;
		}
	return false;
}

static void set_force(const struct bench *bench, struct finding *finding)
{
	const struct rule *rule = finding->rule;
	finding->force = rule->force;
	finding->why_force = rule->why_force;
	for (size_t i = 0; i < rule->force_change_count; i++)
		if (rule->force_changes[i].force < finding->force &&
			claims_code(bench->table, rule->force_changes[i].code)) {
			finding->force = rule->force_changes[i].force;
			finding->why_force = rule->force_changes[i].why;
		}
}

/* Does the rule hold two sides against each other, so that it is worth no more than the lesser known of them? */
static bool is_balance(const struct rule *rule)
{
	return strcmp(rule->family, "balance") == 0 ||
		(rule->judged >= 0 && text_ends(rule->inputs[rule->judged].quantity, "-apart"));
}

/* The first condition at the root of a value that is stated for the normal case only: "flow of rich". */
static const char *assumed_in(const struct input *input)
{
	const struct quantity *quantity = input->quantity;
	if (!quantity || !quantity->of_normal)
		return NULL;
	for (size_t i = 0; i < quantity->input_count; i++) {
		const char *deeper = assumed_in(&quantity->inputs[i]);
		if (deeper)
			return deeper;
	}
	return input->name;
}

/*
 * A case that states nothing for a condition takes the normal one. A balance of such with what the case does state may fail to
 * close for that reason alone.
 */
static const char *assumed_by(const struct sitting *sitting)
{
	const struct table *table = sitting->bench->table;
	for (size_t i = 0; is_balance(sitting->rule) && sitting->operating_case > 0 && i < sitting->rule->input_count;
		i++) {
		const struct quantity *value = sitting->values[i];
		if (!quantity_is_mixed(value))
			continue;
		return arena_format(sitting->bench->arena, "%s is assumed as in %s, since %s states none",
			assumed_in(&(struct input){.name = sitting->rule->inputs[i].quantity, .quantity = value}),
			table_case(table, 0)->id, table_case(table, sitting->operating_case)->id);
	}
	return NULL;
}

/*
 * Does an input name a slip that would explain the value judged? Then that is under suspicion, and nothing firm rests on it. That two
 * sides of a balance disagree stays as sure as it was.
 */
static bool names_a_slip(const struct sitting *sitting)
{
	for (size_t i = 0; i < sitting->rule->input_count; i++) {
		const struct rule_input *input = &sitting->rule->inputs[i];
		bool slip = strcmp(input->quantity, "slip") == 0 || text_ends(input->quantity, "-slip");
		if (slip && input->accepted.kinds[0] == KIND_TEXT && sitting->values[i]->known != UNKNOWN &&
			sitting->values[i] != input->absent)
			return true;
	}
	return false;
}

/* A finding that is met by silence alone, or rests on secondary, remembered or unsourced text, or on an unnamed source, alone is never firm. */
static enum certainty certainty_of(const struct sitting *sitting)
{
	const struct rule *rule = sitting->rule;
	if (rule->capped && rule->certainty == CERTAINTY_DISPUTED)
		return CERTAINTY_DISPUTED;
	if (sitting->governing && sitting->governing->borderline)
		return CERTAINTY_BORDERLINE;
	if (rule->capped)
		return rule->certainty;
	if (sitting->on_silence || (!is_balance(rule) && names_a_slip(sitting)))
		return CERTAINTY_SCREENING;
	bool any_limit = false, rests_on_read = false;
	for (size_t i = 0; i < sitting->limit_count; i++) {
		const struct limit_result *row = &sitting->limits[i];
		if (!row->applied || row->limit->context)
			continue;
		any_limit = true;
		bool read = row->limit->reading == READING_READ && row->limit->source && row->limit->source->named;
		rests_on_read = rests_on_read || (read && row->met == sitting->result);
	}
	return any_limit && !rests_on_read ? CERTAINTY_SCREENING : CERTAINTY_FIRM;
}

static void copy_inputs(const struct sitting *sitting, struct finding *finding)
{
	struct arena *arena = sitting->bench->arena;
	struct input *inputs = arena_alloc(arena, sitting->rule->input_count * sizeof *inputs);
	for (size_t i = 0; i < sitting->rule->input_count; i++) {
		const struct rule_input *input = &sitting->rule->inputs[i];
		const struct item *holder = sitting->holders[i];
		const char *name = input->constant ? "a constant of the rule"
			: holder		   ? arena_format(arena, "%s of %s", input->quantity, holder->tag)
						   : input->quantity;
		inputs[i] = (struct input){.symbol = input->name,
			.name = name,
			.item = holder,
			.property = holder ? input->quantity : NULL,
			.quantity = sitting->values[i]};
	}
	finding->inputs = inputs;
	finding->input_count = sitting->rule->input_count;
}

static struct finding finding_of(const struct sitting *sitting, enum verdict verdict)
{
	struct finding finding = {
		.rule = sitting->rule,
		.item = sitting->item,
		.operating_case = sitting->operating_case,
		.verdict = verdict,
		.limits = sitting->limits,
		.limit_count = sitting->limit_count,
		.governing = sitting->governing,
		.missing = sitting->missing,
		.missing_count = sitting->missing_count,
	};
	if (sitting->rule->judged >= 0 && sitting->values[sitting->rule->judged]->known != UNKNOWN)
		finding.value = sitting->values[sitting->rule->judged];
	finding.certainty = certainty_of(sitting);
	finding.assumed = assumed_by(sitting);
	if (finding.assumed && finding.certainty < CERTAINTY_SCREENING)
		finding.certainty = CERTAINTY_SCREENING;
	copy_inputs(sitting, &finding);
	set_force(sitting->bench, &finding);
	return finding;
}

/* What a rule says speaks of a departure; of one that is met or not judged its title does. Only what is open has a remedy. */
static void put_in_words(const struct bench *bench, struct finding *finding)
{
	finding->message = finding->rule->title;
	finding->remedy = "";
	if (finding->verdict == VERDICT_NOT_APPLICABLE)
		return;
	struct text text = text_in(bench->arena);
	if (finding->verdict == VERDICT_DEPARTS || finding->verdict == VERDICT_OUT_OF_RANGE) {
		const char *message = wording_fill(bench->arena, finding->rule->message, finding, bench->table);
		finding->message = *message ? message
					    : arena_format(bench->arena, "%s: %s %s.", finding->rule->title,
						      finding->item->tag, verdict_word(finding->verdict));
	} else if (finding->verdict == VERDICT_NOT_JUDGED) {
		text_addf(&text, "%s: not judged, since", finding->rule->title);
		for (size_t i = 0; i < finding->missing_count; i++)
			text_addf(&text, "%s %s", i ? ";" : "", finding->missing[i].reason);
		finding->message = text.data;
	} else {
		text_addf(&text, "%s: %s", finding->rule->title, verdict_word(finding->verdict));
		if (finding->value && finding->governing)
			text_addf(&text, "; %s, %s", quantity_show_both(bench->arena, finding->value),
				wording_limit(bench->arena, finding->governing->limit));
		finding->message = text.data;
	}
	if (finding->verdict == VERDICT_MEETS)
		return;
	finding->remedy = wording_fill(bench->arena, finding->rule->remedy, finding, bench->table);
	if (!*finding->remedy)
		finding->remedy =
			arena_format(bench->arena, "Answer for %s: %s.", finding->item->tag, finding->rule->title);
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
static bool case_counts(const struct bench *bench, const struct rule *rule, int operating_case)
{
	const struct table *table = bench->table;
	if (bench->only_case != EVERY_CASE)
		return operating_case == bench->only_case;
	bool any_steady = false;
	for (int c = 0; c < (int)table_case_count(table); c++)
		any_steady = any_steady || !table_case(table, c)->upset;
	return rule->upsets || !any_steady || !table_case(table, operating_case)->upset;
}

/* In a case in which the rule does not look at the item. */
static struct finding not_selected(const struct sitting *sitting)
{
	return (struct finding){.rule = sitting->rule,
		.item = sitting->item,
		.operating_case = sitting->operating_case,
		.verdict = VERDICT_NOT_APPLICABLE};
}

static void repeat(struct finding *by_case, size_t *count, int operating_case)
{
	by_case[*count] = by_case[*count - 1];
	by_case[(*count)++].operating_case = operating_case;
}

/* One rule on one item over all cases. False: the rule does not select the item in any. */
static bool judge_item(
	const struct bench *bench, const struct rule *rule, const struct item *item, struct finding *worst)
{
	struct variable variables[EXPRESSION_VARIABLES];
	struct sitting sitting, last;
	bool heard = false, alike = true;
	size_t count = 0;
	bool all = bench->only_case == EVERY_CASE, begun = false;
	for (int c = 0; c < (int)table_case_count(bench->table); c++) {
		if (!case_counts(bench, rule, c))
			continue;
		sitting = (struct sitting){.bench = bench, .rule = rule, .item = item, .operating_case = c};
		sitting_bind(&sitting);
		sitting_name_variables(&sitting, variables);
		if (begun && sitting_sees_the_same(&sitting, &last)) {
			repeat(bench->by_case, &count, c);
			continue;
		}
		enum truth applies = sitting_selected(&sitting);
		if (applies != NO) {
			sitting_read(&sitting);
			enum verdict verdict = hear(&sitting, applies);
			struct finding finding = finding_of(&sitting, verdict);
			alike = alike && (heard ? says_the_same(&finding, worst) : !begun);
			if (!heard || is_worse(&finding, worst))
				*worst = finding;
			heard = true;
			bench->by_case[count++] = finding;
		} else {
			alike = alike && !heard;
			bench->by_case[count++] = not_selected(&sitting);
		}
		last = sitting;
		begun = true;
	}
	if (heard && alike && all)
		worst->operating_case = EVERY_CASE;
	if (heard)
		outcomes_keep(bench->arena, bench->by_case, count, alike, worst);
	if (heard)
		put_in_words(bench, worst);
	return heard;
}

/* ---- the whole unit ---- */

/* Findings as they come, each at the end. */
struct heard {
	struct finding *findings;
	size_t count, capacity;
};

/* False: the rule selects nothing in this unit. */
static bool judge_rule(const struct bench *bench, const struct rule *rule, struct heard *heard)
{
	size_t before = heard->count;
	for (size_t i = 0; i < table_item_count(bench->table); i++) {
		struct finding finding = {0};
		const struct item *item = table_item(bench->table, i);
		if (!rule_selects_kind(rule, item->kind) || !judge_item(bench, rule, item, &finding))
			continue;
		deviation_accept(bench->table, &finding);
		heard->findings = arena_grow(
			bench->arena, heard->findings, heard->count, &heard->capacity, sizeof *heard->findings);
		heard->findings[heard->count++] = finding;
	}
	return heard->count > before;
}

/* The rules that ask for the state of deviations, or all others. */
static void judge_rules(const struct bench *bench, bool late, struct heard *heard, struct judgement *judgement)
{
	for (size_t i = 0; i < bench->catalogue->rule_count; i++) {
		const struct rule *rule = &bench->catalogue->rules[i];
		if (deviation_is_asked_by(rule) == late && !judge_rule(bench, rule, heard))
			judgement->idle[judgement->idle_count++] = rule;
	}
	judgement->findings = heard->findings;
	judgement->count = heard->count;
}

/* By rule and then item. The early ones and the late ones behind them are in order each, and of other rules. */
static const struct finding *in_order(struct arena *arena, const struct heard *heard, size_t early)
{
	struct finding *merged = arena_alloc(arena, heard->count * sizeof *merged);
	size_t i = 0, j = early;
	for (size_t k = 0; k < heard->count; k++) {
		bool first = j == heard->count || (i != early && heard->findings[i].rule < heard->findings[j].rule);
		merged[k] = heard->findings[first ? i++ : j++];
	}
	return merged;
}

struct judgement judge(struct arena *arena, const struct catalogue *catalogue, const struct table *table, int only_case)
{
	struct bench bench = {.arena = arena,
		.catalogue = catalogue,
		.table = table,
		.evaluator = evaluator_new(),
		.by_case = arena_alloc(arena, table_case_count(table) * sizeof(struct finding)),
		.only_case = only_case};
	struct judgement judgement = {.considered = catalogue->rule_count};
	struct heard heard = {.count = 0};
	judgement.idle = arena_alloc(arena, catalogue->rule_count * sizeof *judgement.idle);
	judge_rules(&bench, false, &heard, &judgement);
	/* What asks for the state of deviations waits until everything they could be for is judged. */
	const size_t early = heard.count;
	bench.table = deviations_told(arena, table, &judgement);
	judge_rules(&bench, true, &heard, &judgement);
	judgement.findings = in_order(arena, &heard, early);
	evaluator_release(bench.evaluator);
	return judgement;
}

bool judge_one(struct arena *arena, const struct catalogue *catalogue, const struct table *table,
	const struct rule *rule, const struct item *item, struct finding *finding)
{
	struct bench bench = {.arena = arena,
		.catalogue = catalogue,
		.table = table,
		.evaluator = evaluator_new(),
		.by_case = arena_alloc(arena, table_case_count(table) * sizeof(struct finding)),
		.only_case = EVERY_CASE};
	bool selected = rule_selects_kind(rule, item->kind) && judge_item(&bench, rule, item, finding);
	evaluator_release(bench.evaluator);
	return selected;
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
	struct bench bench = {.arena = arena, .catalogue = catalogue, .table = table, .evaluator = evaluator_new()};
	struct sitting sitting = {.bench = &bench, .rule = rule, .item = item, .operating_case = 0};
	struct variable variables[EXPRESSION_VARIABLES];
	const struct accepted word = {.kinds = {KIND_WORD}, .count = 1};
	for (size_t k = 0; k < example->count; k++)
		table_put(table, item, EVERY_CASE, example->values[k].name,
			rule_value(arena, example->values[k].words, example->values[k].name, word, example->place,
				problems));
	for (size_t i = 0; i < rule->input_count; i++) {
		const struct rule_input *input = &rule->inputs[i];
		sitting.holders[i] = item;
		sitting.values[i] = input->constant ? input->constant : input->absent;
		for (size_t k = 0; k < example->count; k++)
			if (strcmp(example->values[k].name, input->name) == 0)
				sitting.values[i] = rule_value(arena, example->values[k].words, input->name,
					input->accepted, example->place, problems);
		if (!sitting.values[i])
			sitting.values[i] = quantity_unknown(
				arena, input->accepted.kinds[0], arena_format(arena, "%s is not given", input->name));
	}
	sitting_name_variables(&sitting, variables);
	enum verdict verdict = hear(&sitting, YES);
	struct finding finding = finding_of(&sitting, verdict);
	put_in_words(&bench, &finding);
	evaluator_release(bench.evaluator);
	return finding;
}
