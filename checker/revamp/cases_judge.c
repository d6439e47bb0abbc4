#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/scene.h"
#include "judge/judge.h"
#include "judge/wording.h"
#include "pipeline/stages.h"
#include "resolve/table.h"
#include "revamp/cases.h"

struct judging {
	struct arena *arena;
	const struct cases *cases;
	const struct catalogue *catalogue;
	const struct table *table; /* of the unit as it is */
	struct judgement base;	   /* what a case is compared with */
	struct judgement *stated;  /* of the steady cases that the package states beside the first */
	const char **ids;
	size_t stated_count;
};

static const struct finding *finding_of(const struct judgement *judgement, const struct finding *like, size_t hint)
{
	for (size_t k = 0; k < judgement->count; k++) {
		const struct finding *finding = &judgement->findings[(hint + k) % judgement->count];
		if (finding->rule == like->rule && strcmp(finding->item->tag, like->item->tag) == 0)
			return finding;
	}
	return NULL;
}

/* A rule that does not select the item in one of the two has nothing against it there. */
static enum verdict verdict_of(const struct finding *finding)
{
	return finding ? finding->verdict : VERDICT_NOT_APPLICABLE;
}

static int standing(enum verdict verdict)
{
	switch (verdict) {
	case VERDICT_DEPARTS:
	case VERDICT_ACCEPTED:
		return 2;
	case VERDICT_NOT_JUDGED:
	case VERDICT_OUT_OF_RANGE:
		return 1;
	default:
		return 0;
	}
}

/*
 * Does it hold a statement against another, or against what follows from others? In a made case one side is the
 * program's. The kind of such rules: their mechanism is the data, and a difference is judged.
 */
static bool is_of_statements(const struct rule *rule)
{
	return strcmp(rule->family, "balance") == 0 ||
		(strcmp(rule->mechanism, "data") == 0 && rule->judged >= 0 &&
			text_ends(rule->inputs[rule->judged].quantity, "-difference"));
}

/*
 * What the package says of itself and of its cases, and claims, are not of the case; a rule on what a failure reaches
 * is not for a case that is a failure already, or it would be judged on two at once.
 */
static bool is_compared(const struct solved_case *row, const struct finding *finding)
{
	static const char *const of_package[] = {"covers-every-case", "case-stated", "cases-left-out"};
	if (row->failure && rule_reads(finding->rule, "upset-reach"))
		return false;
	for (size_t i = 0; i < COUNT(of_package); i++)
		if (rule_reads(finding->rule, of_package[i]))
			return false;
	return !is_of_statements(finding->rule) && stages_analyses_of(finding->rule) != ANALYSES_ALL &&
		!item_is_any(finding->item, "contradiction claim operating-limit deviation case");
}

static const char *value_words(struct arena *arena, const struct finding *finding)
{
	return finding && finding->value && finding->value->known != UNKNOWN
		? quantity_show_first(arena, finding->value)
		: "";
}

static const char *already(const struct judging *judging, const struct finding *finding, size_t hint)
{
	for (size_t i = 0; i < judging->stated_count; i++) {
		const struct finding *there = finding_of(&judging->stated[i], finding, hint);
		if (there && standing(there->verdict) == 2)
			return judging->ids[i];
	}
	return NULL;
}

/* ---- what a turn rests on ---- */

/* By what the solved base misses the stated one, over what is let pass; 0: within that, or nothing is stated. */
static double missed(const struct solved_value *value)
{
	const double kelvin = 3, share = 0.1;
	double apart = fabs(value->base - value->stated);
	double passes = value->kind == KIND_TEMPERATURE ? kelvin : share * fabs(value->stated);
	return passes > 0 && apart > passes ? apart / passes : 0;
}

static const struct solved_value *base_value(const struct cases *cases, const struct input *input)
{
	for (size_t i = 0; input->item && input->whose && i < cases->value_count; i++)
		if (strcmp(cases->values[i].name, input->name) == 0 &&
			strcmp(cases->values[i].of->tag, input->item->tag) == 0)
			return &cases->values[i];
	return NULL;
}

/* The value of the circuit that it goes back to and that the base misses most; or NULL. */
static const struct solved_value *most_missed(
	const struct cases *cases, const struct input *inputs, size_t count, int depth)
{
	const struct solved_value *worst = NULL;
	for (size_t i = 0; depth > 0 && i < count; i++) {
		const struct quantity *value = inputs[i].quantity;
		const struct solved_value *found[] = {base_value(cases, &inputs[i]),
			value && value->known == COMPUTED
				? most_missed(cases, value->inputs, value->input_count, depth - 1)
				: NULL};
		for (size_t k = 0; k < COUNT(found); k++)
			if (found[k] && missed(found[k]) > (worst ? missed(worst) : 0))
				worst = found[k];
	}
	return worst;
}

/* "" where the base does not miss what it rests on. */
static const char *base_words(struct arena *arena, const struct cases *cases, const struct finding *finding)
{
	enum { DEPTH = 6 };
	const struct solved_value *worst = NULL;
	for (size_t i = 0; i < finding->input_count; i++) {
		const struct input input = finding_input(finding, i);
		const struct solved_value *found = most_missed(cases, &input, 1, DEPTH);
		if (found && missed(found) > (worst ? missed(worst) : 0))
			worst = found;
	}
	if (!worst)
		return "";
	double apart = fabs(worst->base - worst->stated);
	if (worst->kind == KIND_TEMPERATURE)
		return arena_format(arena, "the base itself is solved %.1f K from what is stated (%s of %s)", apart,
			worst->name, worst->of->tag);
	return arena_format(arena, "the base itself is solved %.0f %% from what is stated (%s of %s)",
		100 * apart / fabs(worst->stated), worst->name, worst->of->tag);
}

static bool differ(const struct quantity *a, const struct quantity *b)
{
	const double alike = 1e-6;
	return is_number(a) && is_number(b) && fabs(a->si - b->si) > alike * fabs(a->si);
}

/* What moved, where the value judged did not: other inputs of the rule; else "". */
static const char *moved_words(struct arena *arena, const struct finding *before, const struct finding *now)
{
	struct text words = text_in(arena);
	if (!before || !is_number(before->value) || !is_number(now->value) || differ(before->value, now->value))
		return "";
	for (size_t i = 0; i < now->input_count; i++)
		for (size_t k = 0; k < before->input_count; k++) {
			const struct input was = finding_input(before, k), is = finding_input(now, i);
			if (is.whose && input_same_name(&was, &is) && differ(was.quantity, is.quantity))
				text_addf(&words, "%s%s %s -> %s", words.length ? ", " : "", input_name(arena, &is),
					quantity_show_first(arena, was.quantity),
					quantity_show_first(arena, is.quantity));
		}
	return words.length ? words.data : "";
}

/* No slip of the package explains a value that the program calculated. */
static const struct table *without_slips(struct arena *arena, const struct table *table, int operating_case)
{
	struct table *over = table_overlay(arena, table);
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct quantity *slip = table_peek(table, table_item(table, i), operating_case, "slip");
		if (slip && slip->kind == KIND_TEXT && slip->known != UNKNOWN)
			table_put(over, table_item(table, i), operating_case, "slip",
				quantity_unknown(arena, KIND_TEXT, "values of a made case are calculated"));
	}
	return over;
}

static struct case_turn turn_of(const struct judging *judging, const struct judgement *judgement,
	const struct table *table, const struct finding *before, const struct finding *now, size_t hint)
{
	struct arena *arena = judging->arena;
	const struct finding *departs = standing(verdict_of(now)) == 2 ? now : before;
	bool said = departs == now && now->verdict != VERDICT_ACCEPTED;
	return (struct case_turn){.rule = now->rule,
		.item = now->item->tag,
		.from = verdict_of(before),
		.to = now->verdict,
		.action = (enum action)now->force,
		.before = value_words(arena, before),
		.after = value_words(arena, now),
		.message = said ? judge_said(arena, judgement, table, now).message : "",
		.limit = departs && departs->governing ? wording_limit(arena, departs->governing->limit) : "",
		.already = standing(now->verdict) == 2 ? already(judging, now, hint) : NULL,
		.moved = moved_words(arena, before, now),
		.base = base_words(arena, judging->cases, now)};
}

static int turn_before(const void *left, const void *right)
{
	const struct case_turn *a = left, *b = right;
	int order = standing(b->to) - standing(a->to);
	if (!order)
		order = (int)a->action - (int)b->action;
	if (!order)
		order = strcmp(a->rule->id, b->rule->id);
	return order ? order : strcmp(a->item, b->item);
}

/* The variant is of a description without faults: what cannot be written into it is a fault of the case. */
static const struct table *table_of(struct arena *arena, struct solved_case *row)
{
	struct problems problems = {.arena = arena};
	const struct table *table = stages_table(arena, row->variant, ANALYSES_SULFIDE, &problems);
	if (!table)
		row->why = arena_format(arena, "its values cannot be written into the description: %s",
			problems.count ? problems.rows[0].message : "no reason");
	return table;
}

static void fill_turns(const struct judging *judging, const struct judgement *judgement, const struct table *table,
	struct solved_case *row)
{
	struct case_turn *turns = NULL;
	size_t capacity = 0, count = 0;
	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *now = &judgement->findings[i], *before = finding_of(&judging->base, now, i);
		if (standing(verdict_of(before)) == standing(now->verdict) || !is_compared(row, now))
			continue;
		turns = arena_grow(judging->arena, turns, count, &capacity, sizeof *turns);
		turns[count++] = turn_of(judging, judgement, table, before, now, i);
	}
	if (count)
		qsort(turns, count, sizeof *turns, turn_before);
	row->turns = turns;
	row->turn_count = count;
}

static void judge_row(struct judging *judging, struct solved_case *row, bool becomes_base)
{
	const struct table *table = table_of(judging->arena, row);
	if (!table)
		return;
	table = without_slips(judging->arena, table, row->operating_case);
	struct judgement judgement =
		judge_verdicts(judging->arena, judging->catalogue, table, row->operating_case, NULL);
	fill_turns(judging, &judgement, table, row);
	if (becomes_base)
		judging->base = judgement;
}

static void judge_stated(struct judging *judging, const struct cases *cases)
{
	judging->stated = arena_alloc(judging->arena, (cases->count + 1) * sizeof *judging->stated);
	judging->ids = arena_alloc(judging->arena, (cases->count + 1) * sizeof *judging->ids);
	for (size_t i = 0; i < cases->count; i++) {
		if (!cases->rows[i].stated)
			continue;
		judging->ids[judging->stated_count] = cases->rows[i].id;
		judging->stated[judging->stated_count++] = judge_verdicts(
			judging->arena, judging->catalogue, judging->table, cases->rows[i].operating_case, NULL);
	}
}

static void say_relief(struct cases *cases)
{
	bool any = false;
	for (size_t i = 0; i < cases->count; i++)
		for (size_t k = 0; k < cases->rows[i].turn_count; k++)
			any = any || strcmp(cases->rows[i].turns[k].rule->matter, "relief") == 0;
	if (any)
		circuit_note(&cases->circuit,
			"relief loads are held as stated in every case: one of more heat or flow may ask for more");
}

void cases_judge(struct arena *arena, const struct catalogue *catalogue, struct cases *cases)
{
	struct problems problems = {.arena = arena};
	struct judging judging = {.arena = arena, .cases = cases, .catalogue = catalogue};
	judging.table = stages_table(arena, cases->unit, ANALYSES_SULFIDE, &problems);
	judging.base = judge_verdicts(arena, catalogue, judging.table, 0, NULL);
	judge_stated(&judging, cases);
	for (size_t i = 0; i < cases->count; i++)
		if (cases->rows[i].variant)
			judge_row(&judging, &cases->rows[i], i == 0 && cases->filled);
	say_relief(cases);
}
