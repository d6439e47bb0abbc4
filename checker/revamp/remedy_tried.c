#include "revamp/remedy_tried.h"

#include <string.h>

#include "base/progress.h"
#include "base/text.h"
#include "record/review.h"

bool turn_clears(const struct verdict_turn *turn)
{
	return turn->before <= ACTION_CONSIDER && turn->after == ACTION_NONE;
}

bool turn_breaks(const struct verdict_turn *turn)
{
	return turn->after <= ACTION_CONSIDER && turn->after < turn->before;
}

struct trying {
	struct arena *arena;
	struct verdicts *verdicts;
	struct remedy_site site;
	struct tried *rows;
	size_t count, capacity;
};

static bool is_own(const struct verdict_turn *turn, const struct finding *finding)
{
	return turn->rule == finding->rule && strcmp(turn->item, finding->item->tag) == 0;
}

static void note_own(struct tried *row)
{
	for (size_t i = 0; i < row->turns.count; i++)
		row->clears_own = row->clears_own ||
			(is_own(&row->turns.rows[i], row->finding) && turn_clears(&row->turns.rows[i]));
}

static size_t first_with(const struct trying *trying, const char *says)
{
	size_t i = 0;
	while (i < trying->count && (trying->rows[i].fault || strcmp(trying->rows[i].remedy.says, says) != 0))
		i++;
	return i;
}

static void judge_change(struct trying *trying, struct tried *row, bool quick)
{
	struct arena another = {0};
	const struct element *variant = variant_build(&another, &row->remedy.edits, trying->verdicts->unit);
	if (quick)
		row->turns = verdicts_quickly(trying->verdicts, trying->arena, variant);
	row->in_full = !quick || (row->turns.contradicts && !row->turns.fault);
	if (row->in_full)
		row->turns = verdicts_in_full(trying->verdicts, trying->arena, variant);
	row->fault = row->turns.fault;
	arena_release(&another);
}

/* What was tried already with the same words, in full where this finding asks for that. */
static void take_over(struct trying *trying, struct tried *row, bool quick)
{
	struct tried *first = &trying->rows[row->same_as];
	if (!quick && !first->in_full)
		judge_change(trying, first, false);
	row->turns = first->turns;
	row->in_full = first->in_full;
	row->fault = first->fault;
}

static void try_one(struct trying *trying, size_t finding, const struct rule_change *change)
{
	const struct finding *of = &trying->verdicts->weighed.findings[finding];
	bool quick = verdicts_follows(trying->verdicts, finding);
	struct tried row = {.finding = of, .remedy = remedy_make(trying->arena, &trying->site, of, change)};
	row.fault = row.remedy.fault;
	row.same_as = row.fault ? trying->count : first_with(trying, row.remedy.says);
	if (row.same_as < trying->count)
		take_over(trying, &row, quick);
	else if (!row.fault)
		judge_change(trying, &row, quick);
	note_own(&row);
	trying->rows = arena_grow(trying->arena, trying->rows, trying->count, &trying->capacity, sizeof *trying->rows);
	trying->rows[trying->count++] = row;
}

struct tried_list remedies_try(struct arena *arena, struct verdicts *verdicts, enum action least)
{
	struct trying trying = {.arena = arena,
		.verdicts = verdicts,
		.site = {.unit = verdicts->unit, .table = verdicts->weighed_table, .evaluator = evaluator_new()}};
	struct tried_list list = {.rows = NULL};
	for (size_t i = 0; i < verdicts->weighed.count; i++) {
		const struct finding *finding = &verdicts->weighed.findings[i];
		if (finding->verdict != VERDICT_DEPARTS || finding_action(finding) > least)
			continue;
		list.words_only += finding->rule->change_count == 0;
		for (size_t k = 0; k < finding->rule->change_count; k++)
			try_one(&trying, i, &finding->rule->changes[k]);
	}
	evaluator_release(trying.site.evaluator);
	list.rows = trying.rows;
	list.count = trying.count;
	return list;
}
