#include "revamp/reply_tried.h"

#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "pipeline/stages.h"
#include "revamp/reply_edits.h"
#include "revamp/watched.h"

struct trying {
	struct arena *arena;
	const struct element *unit;
	const struct review *review;
	struct watched watched; /* from the first reply on that is tried */
};

static bool is_stated(
	const struct trying *trying, const struct reply_subject *subject, const struct reply_changes *changes)
{
	const struct table *table = trying->review->table;
	int operating_case = subject->operating_case == EVERY_CASE ? 0 : subject->operating_case;
	for (size_t i = 0; i < changes->count; i++) {
		const struct reply_change *change = &changes->rows[i];
		size_t items = change->item ? 1 : subject->request_count;
		for (size_t k = 0; k < items; k++) {
			const struct item *item = change->item ? change->item : subject->requests[k]->item;
			if (!item || !reply_change_is_stated(trying->arena, table, item, change, operating_case))
				return false;
		}
	}
	return true;
}

/* "the description says NPS 6 of size": what it says now of each that the reply changes. */
static const char *says_now(
	const struct trying *trying, const struct reply_subject *subject, const struct reply_changes *changes)
{
	struct text text = text_in(trying->arena);
	int operating_case = subject->operating_case == EVERY_CASE ? 0 : subject->operating_case;
	for (size_t i = 0; i < changes->count; i++) {
		const struct reply_change *change = &changes->rows[i];
		const struct item *item = change->item ? change->item : subject->item;
		const struct quantity *value =
			item ? table_stated(trying->review->table, item, operating_case, change->name) : NULL;
		text_addf(&text, "%s%s %s", i ? ", " : "the description says ", change->name,
			value && value->known != UNKNOWN ? quantity_show_first(trying->arena, value) : "not yet");
	}
	return text.data ? text.data : "";
}

/* ---- judging ---- */

static const struct finding *same_finding(const struct finding *rows, size_t count, const struct finding *finding)
{
	for (size_t i = 0; i < count; i++)
		if (rows[i].rule == finding->rule && text_same(rows[i].item->tag, finding->item->tag))
			return &rows[i];
	return NULL;
}

static bool is_about(const struct reply_subject *subject, const struct finding *finding)
{
	bool about = subject->own && same_finding(finding, 1, subject->own);
	for (size_t i = 0; i < subject->request_count; i++)
		for (size_t k = 0; k < subject->requests[i]->finding_count; k++)
			about = about || same_finding(finding, 1, subject->requests[i]->findings[k]);
	return about;
}

/* What departs with the reply and did not before, but what the reply is about. */
static const char *broken_words(
	const struct trying *trying, const struct reply_subject *subject, const struct judgement *judgement)
{
	enum { NAMED_MOST = 4 };
	const struct judged_before before = watched_before(&trying->watched);
	struct text text = text_in(trying->arena);
	size_t count = 0;
	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		if (finding->verdict != VERDICT_DEPARTS || finding->remark)
			continue;
		const struct finding *was = same_finding(before.findings, before.count, finding);
		if (is_about(subject, finding) || (was && was->verdict == VERDICT_DEPARTS))
			continue;
		if (count++ < NAMED_MOST)
			text_addf(&text, "%s%s on %s", count > 1 ? ", " : "", finding->rule->id, finding->item->tag);
	}
	if (count > NAMED_MOST)
		text_addf(&text, " and %zu more", count - NAMED_MOST);
	return count ? text.data : NULL;
}

struct tally {
	size_t clears, departs, open;
	const char *departing; /* the first: "VEL-002 on P-1: message" */
};

static void count_one(struct trying *trying, struct tally *tally, const struct judgement *judgement,
	const struct table *table, const struct finding *finding)
{
	const struct finding *now = same_finding(judgement->findings, judgement->count, finding);
	if (now && now->verdict == VERDICT_DEPARTS) {
		const struct finding said = judge_said(trying->arena, judgement, table, now);
		if (!tally->departs++)
			tally->departing = said.message;
	} else if (now && (now->verdict == VERDICT_NOT_JUDGED || now->verdict == VERDICT_OUT_OF_RANGE)) {
		tally->open++;
	} else {
		tally->clears++;
	}
}

static struct tally tally_of(struct trying *trying, const struct reply_subject *subject,
	const struct judgement *judgement, const struct table *table)
{
	struct tally tally = {.departing = NULL};
	if (subject->own)
		count_one(trying, &tally, judgement, table, subject->own);
	for (size_t i = 0; i < subject->request_count; i++)
		for (size_t k = 0; k < subject->requests[i]->finding_count; k++)
			count_one(trying, &tally, judgement, table, subject->requests[i]->findings[k]);
	return tally;
}

static const char *tally_words(struct arena *arena, const struct reply_subject *subject, const struct tally *tally)
{
	if (!subject->request_count)
		return "";
	return arena_format(arena, " (of what waits %zu met or no longer looked at, %zu depart, %zu open)",
		tally->clears, tally->departs, tally->open);
}

static void conclude(struct trying *trying, const struct reply_subject *subject, struct reply_applied *applied,
	const struct tally *tally, const char *broken)
{
	struct arena *arena = trying->arena;
	const char *changes = reply_changes_words(arena, &applied->changes),
		   *now = says_now(trying, subject, &applied->changes);
	applied->outcome = tally->departs ? REPLY_DEPARTS
		: tally->open		  ? REPLY_OPEN
		: broken		  ? REPLY_BREAKS
					  : REPLY_CLEARS;
	applied->words = arena_format(arena, "%s: %s%s%s%s%s%s; %s", changes, reply_outcome_word(applied->outcome),
		tally_words(arena, subject, tally), tally->departing ? ": " : "",
		tally->departing ? tally->departing : "", broken ? "; new: " : "", broken ? broken : "", now);
}

static void try_changes(struct trying *trying, const struct reply_subject *subject, struct reply_applied *applied)
{
	struct arena another = {0};
	struct problems problems = {.arena = &another};
	struct variant variant = variant_in(&another);
	if (!trying->watched.lineage)
		trying->watched = watched_open(trying->arena, trying->unit, trying->review->catalogue);
	restate_in(&variant, reply_edits_of(&another, trying->unit, trying->review->table, subject, &applied->changes));
	struct assessed_unit varied =
		watched_vary(&trying->watched, &another, variant_build(&another, &variant, trying->unit), &problems);
	if (varied.table) {
		struct tally tally = tally_of(trying, subject, &varied.judgement, varied.table);
		conclude(trying, subject, applied, &tally, broken_words(trying, subject, &varied.judgement));
	} else {
		applied->outcome = REPLY_NOT_UNDERSTOOD;
		applied->words = arena_format(trying->arena, "%s cannot be: %s",
			reply_changes_words(trying->arena, &applied->changes), problems.rows[0].message);
		applied->changes.count = 0;
	}
	arena_release(&another);
}

/* ---- one reply ---- */

static const char *not_understood(struct arena *arena, const char *fault)
{
	return arena_format(arena, "not understood, it stays open: %s",
		fault ? fault : "no attribute and value are recognised in the words; fill in Attribute and New value");
}

static const struct reply_applied *applied_of(struct trying *trying, const struct round_row *row)
{
	const struct reply_subject subject = reply_subject_of(row);
	struct arena *arena = trying->arena;
	if (!row->cells.words)
		return NULL;
	struct reply_applied *applied = arena_alloc(arena, sizeof *applied);
	applied->changes = reply_changes_read(
		arena, trying->review->table, subject.item, subject.rule, subject.wanted, &row->cells);
	if (!applied->changes.count) {
		applied->words = not_understood(arena, applied->changes.fault);
		return applied->changes.asked || applied->changes.fault ? applied : NULL;
	}
	if (is_stated(trying, &subject, &applied->changes)) {
		applied->outcome = REPLY_STATED;
		applied->words =
			arena_format(arena, "%s: stated by now", reply_changes_words(arena, &applied->changes));
	} else {
		try_changes(trying, &subject, applied);
	}
	return applied;
}

static const struct round_row *moved(const struct round_row *row, const struct round_row *from, struct round_row *to)
{
	return row ? to + (row - from) : NULL;
}

/* Who writes of a finding finds its row by place: these lead to the new rows. */
static void lead_to(struct arena *arena, const struct review *review, struct round *round, const struct round_row *from,
	struct round_row *to)
{
	size_t findings = review->judgement.count, questions = review->questions.count;
	const struct round_row **of_finding = arena_alloc(arena, (findings + 1) * sizeof(struct round_row *)),
			       **of_question = arena_alloc(arena, (questions + 1) * sizeof(struct round_row *));
	for (size_t i = 0; i < findings; i++)
		of_finding[i] = moved(round->of_finding[i], from, to);
	for (size_t i = 0; i < questions; i++)
		of_question[i] = moved(round->of_question[i], from, to);
	round->of_finding = of_finding;
	round->of_question = of_question;
	round->rows = to;
}

const struct round *replies_try(
	struct arena *arena, const struct element *unit, const struct review *review, const struct round *round)
{
	struct trying trying = {.arena = arena, .unit = unit, .review = review};
	struct round *tried = arena_alloc(arena, sizeof *tried);
	struct round_row *rows = arena_alloc(arena, (round->count + 1) * sizeof *rows);
	*tried = *round;
	for (size_t i = 0; i < round->count; i++) {
		rows[i] = round->rows[i];
		rows[i].applied = rows[i].line ? applied_of(&trying, &rows[i]) : NULL;
		if (!rows[i].applied)
			continue;
		rows[i].why = arena_format(arena, "%s; as replied, %s", rows[i].why, rows[i].applied->words);
		tried->outcomes[rows[i].applied->outcome]++;
	}
	lead_to(arena, review, tried, round->rows, rows);
	return tried;
}
