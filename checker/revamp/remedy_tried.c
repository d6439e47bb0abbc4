#include "revamp/remedy_tried.h"

#include <string.h>

#include "base/progress.h"
#include "base/text.h"
#include "record/review.h"

enum { ROUNDS = 4 }; /* of a value that is calculated anew where the change has moved what it is calculated from */

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

/* A value that is calculated from what it changes itself: the one part of the change. */
static bool may_follow(const struct tried *row)
{
	const struct rule_change *change = row->remedy.change;
	return !row->fault && !row->clears_own && change->part_count == 1 &&
		(change->parts[0].to || *change->parts[0].step);
}

/* The finding of the same rule and item, where it departs. */
static const struct finding *departing(const struct judgement *judgement, const struct finding *finding)
{
	for (size_t i = 0; i < judgement->count; i++)
		if (judgement->findings[i].rule == finding->rule && judgement->findings[i].verdict == VERDICT_DEPARTS &&
			strcmp(judgement->findings[i].item->tag, finding->item->tag) == 0)
			return &judgement->findings[i];
	return NULL;
}

/* The value that the variant itself asks for, where that is another; false: it asks for none. */
static bool follow(struct trying *trying, struct tried *row)
{
	struct arena another = {0};
	struct problems problems = {.arena = &another};
	const struct element *variant = variant_build(&another, &row->remedy.edits, trying->verdicts->unit);
	struct assessed_unit assessed = verdicts_review(&another, variant, trying->verdicts->catalogue, &problems);
	const struct finding *open = assessed.table ? departing(&assessed.judgement, row->finding) : NULL;
	struct remedy_site site = trying->site;
	site.table = assessed.table;
	struct remedy next = {.fault = "met"};
	if (open)
		next = remedy_make(trying->arena, &site, open, row->remedy.change);
	bool other = !next.fault && strcmp(next.says, row->remedy.says) != 0;
	if (other) {
		next.says = arena_copy(trying->arena, next.says);
		next.item = row->finding->item->tag;
		row->remedy = next;
	}
	arena_release(&another);
	return other;
}

/* What does not come to an end, or clears nothing in the end, stays as the remedy first said it. */
static void follow_on(struct trying *trying, struct tried *row, bool quick)
{
	const struct tried first = *row;
	for (int round = 0; round < ROUNDS && may_follow(row) && follow(trying, row); round++) {
		row->same_as = trying->count;
		judge_change(trying, row, quick);
		note_own(row);
	}
	if (!row->clears_own)
		*row = first;
}

static void try_one(struct trying *trying, size_t finding, const struct rule_change *change)
{
	const struct finding *of = &trying->verdicts->weighed.findings[finding];
	bool quick = verdicts_follows(trying->verdicts, finding);
	progress_step(arena_format(trying->arena, "trying the changes of %s on %s, verdict %zu of %zu", of->rule->id,
		of->item->tag, finding + 1, trying->verdicts->weighed.count));
	struct tried row = {.finding = of, .remedy = remedy_make(trying->arena, &trying->site, of, change)};
	row.fault = row.remedy.fault;
	row.same_as = row.fault ? trying->count : first_with(trying, row.remedy.says);
	if (row.same_as < trying->count)
		take_over(trying, &row, quick);
	else if (!row.fault)
		judge_change(trying, &row, quick);
	note_own(&row);
	follow_on(trying, &row, quick);
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

struct remedy_trial tried_record(const struct tried *tried)
{
	return (struct remedy_trial){.rule = tried->finding->rule,
		.item = tried->finding->item->tag,
		.change = tried->remedy.says,
		.fault = tried->fault,
		.clears_own = tried->clears_own,
		.turns = tried->turns.rows,
		.turn_count = tried->turns.count};
}

struct remedy_trials remedies_record(struct arena *arena, const struct tried_list *list)
{
	struct remedy_trial *rows = arena_alloc(arena, (list->count + 1) * sizeof *rows);
	for (size_t i = 0; i < list->count; i++)
		rows[i] = tried_record(&list->rows[i]);
	return (struct remedy_trials){.rows = rows, .count = list->count};
}
