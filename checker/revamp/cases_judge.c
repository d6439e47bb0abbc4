#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "judge/judge.h"
#include "judge/wording.h"
#include "pipeline/stages.h"
#include "resolve/table.h"
#include "revamp/cases.h"

struct judging {
	struct arena *arena;
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
	return strcmp(finding->rule->family, "balance") != 0 && stages_analyses_of(finding->rule) != ANALYSES_ALL &&
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
		.already = standing(now->verdict) == 2 ? already(judging, now, hint) : NULL};
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

void cases_judge(struct arena *arena, const struct catalogue *catalogue, struct cases *cases)
{
	struct problems problems = {.arena = arena};
	struct judging judging = {.arena = arena, .catalogue = catalogue};
	judging.table = stages_table(arena, cases->unit, ANALYSES_SULFIDE, &problems);
	judging.base = judge_verdicts(arena, catalogue, judging.table, 0, NULL);
	judge_stated(&judging, cases);
	for (size_t i = 0; i < cases->count; i++)
		if (cases->rows[i].variant)
			judge_row(&judging, &cases->rows[i], i == 0 && cases->filled);
}
