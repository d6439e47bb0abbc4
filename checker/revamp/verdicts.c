#include "revamp/verdicts.h"

#include <string.h>

#include "base/text.h"
#include "pipeline/assumed.h"
#include "pipeline/stages.h"
#include "pipeline/unsettled.h"

struct assessed_unit verdicts_review(
	struct arena *arena, const struct element *unit, const struct catalogue *catalogue, struct problems *problems)
{
	const struct table *resolved = stages_resolve(arena, unit, problems);
	struct assessed_unit assessed = {.table = NULL};
	if (!resolved)
		return assessed;
	struct compute_options asked = {.no_samples = true, .lineage = lineage_new(arena)};
	struct computed_unit computed = compute_unit(arena, resolved, asked);
	struct judgement judgement = judge(arena, catalogue, computed.table, EVERY_CASE);
	judgement = unsettled_weigh(arena, unit, catalogue, computed.table, asked.lineage, judgement, EVERY_CASE);
	judgement = assumed_weigh(arena, unit, catalogue, computed.table, asked.lineage, judgement, EVERY_CASE);
	lineage_rest(asked.lineage);
	return (struct assessed_unit){.table = computed.table, .judgement = judgement};
}

/* ---- two judgements ---- */

/* Departures that ask for something, and what cannot be judged; all else is none. */
static enum action asked(const struct finding *finding)
{
	if (!finding || (finding->verdict == VERDICT_NOT_JUDGED && finding->idle))
		return ACTION_NONE;
	return finding->verdict == VERDICT_OUT_OF_RANGE ? ACTION_STATE : finding_action(finding);
}

/* Is it told by weighing alone, so that judging quickly does not see it? */
static bool is_of_weighing(const struct finding *finding)
{
	return item_is(finding->item, "contradiction") || unsettled_of_circuit(finding->rule);
}

/* The finding of the same rule and item in another judgement, or NULL; asked for in the order of rules. */
static const struct finding *same_of(const struct judgement *judgement, const struct finding *finding, size_t *from)
{
	return unsettled_same_finding(judgement, finding, from);
}

/* Pairs the two judgements of the unit as it is, which differ by what weighing and the circuit add. */
static void lay_beside(struct verdicts *verdicts)
{
	const struct judgement *quick = &verdicts->watched.as_it_is.judgement, *full = &verdicts->weighed;
	size_t from = 0;
	verdicts->beside = arena_alloc(verdicts->arena, (quick->count + 1) * sizeof *verdicts->beside);
	verdicts->followed = arena_alloc(verdicts->arena, (full->count + 1) * sizeof *verdicts->followed);
	for (size_t i = 0; i < quick->count; i++) {
		const struct finding *raw = &quick->findings[i], *weighed = same_of(full, raw, &from);
		verdicts->beside[i] = weighed;
		if (weighed)
			verdicts->followed[weighed - full->findings] =
				!is_of_weighing(raw) && asked(raw) == asked(weighed);
	}
}

struct verdicts *verdicts_open(struct arena *arena, const struct element *unit, const struct catalogue *catalogue)
{
	struct verdicts *verdicts = arena_alloc(arena, sizeof *verdicts);
	struct problems problems = {.arena = arena};
	struct assessed_unit weighed = verdicts_review(arena, unit, catalogue, &problems);
	*verdicts = (struct verdicts){.arena = arena,
		.unit = unit,
		.catalogue = catalogue,
		.watched = watched_open(arena, unit, catalogue),
		.weighed_table = weighed.table,
		.weighed = weighed.judgement};
	lay_beside(verdicts);
	return verdicts;
}

struct turning {
	struct arena *arena;
	struct verdict_turn *rows;
	size_t count, capacity;
};

static void note(struct turning *turning, const struct finding *finding, enum action before, enum action after)
{
	turning->rows =
		arena_grow(turning->arena, turning->rows, turning->count, &turning->capacity, sizeof *turning->rows);
	turning->rows[turning->count++] = (struct verdict_turn){.rule = finding->rule,
		.item = arena_copy(turning->arena, finding->item->tag),
		.before = before,
		.after = after};
}

/*
 * What is asked of the unit as it is, where the variant asks for something else. `beside`: the finding that says what is asked, of each
 * of `before`; NULL: itself.
 */
static void note_turned(struct turning *turning, const struct judgement *before, const struct finding *const *beside,
	const struct judgement *variant)
{
	size_t from = 0;
	for (size_t i = 0; i < before->count; i++) {
		const struct finding *was = &before->findings[i];
		if (beside && is_of_weighing(was))
			continue;
		enum action asked_before = asked(beside ? beside[i] : was),
			    asked_now = asked(same_of(variant, was, &from));
		if (asked_now != asked(was) && asked_now != asked_before)
			note(turning, was, asked_before, asked_now);
	}
}

/* What the variant asks of an item or by a rule where the unit as it is had no finding at all. True: a contradiction is among it. */
static bool note_new(
	struct turning *turning, const struct judgement *before, const struct judgement *variant, bool quick)
{
	size_t from = 0;
	bool contradicts = false;
	for (size_t i = 0; i < variant->count; i++) {
		const struct finding *now = &variant->findings[i];
		if (asked(now) == ACTION_NONE || same_of(before, now, &from))
			continue;
		contradicts = contradicts || item_is(now->item, "contradiction");
		if (!quick || !is_of_weighing(now))
			note(turning, now, ACTION_NONE, asked(now));
	}
	return contradicts;
}

static struct verdict_turns turns_of(struct arena *arena, const struct judgement *before,
	const struct finding *const *beside, const struct judgement *variant)
{
	struct turning turning = {.arena = arena};
	note_turned(&turning, before, beside, variant);
	bool contradicts = note_new(&turning, before, variant, beside != NULL);
	return (struct verdict_turns){.rows = turning.rows, .count = turning.count, .contradicts = contradicts};
}

static const char *fault_of(struct arena *arena, const struct problems *problems)
{
	return problems->count ? arena_copy(arena, problems->rows[0].message) : "the variant cannot be computed";
}

struct verdict_turns verdicts_quickly(struct verdicts *verdicts, struct arena *arena, const struct element *variant)
{
	struct arena another = {0};
	struct problems problems = {.arena = &another};
	struct verdict_turns turns = {.rows = NULL};
	struct assessed_unit varied = watched_vary(&verdicts->watched, &another, variant, &problems);
	verdicts->quick++;
	if (varied.table)
		turns = turns_of(arena, &verdicts->watched.as_it_is.judgement, verdicts->beside, &varied.judgement);
	else
		turns.fault = fault_of(arena, &problems);
	arena_release(&another);
	return turns;
}

struct verdict_turns verdicts_in_full(struct verdicts *verdicts, struct arena *arena, const struct element *variant)
{
	struct arena another = {0};
	struct problems problems = {.arena = &another};
	struct assessed_unit assessed = verdicts_review(&another, variant, verdicts->catalogue, &problems);
	struct verdict_turns turns = {.rows = NULL};
	verdicts->full++;
	if (assessed.table)
		turns = turns_of(arena, &verdicts->weighed, NULL, &assessed.judgement);
	else
		turns.fault = fault_of(arena, &problems);
	arena_release(&another);
	return turns;
}

bool verdicts_follows(const struct verdicts *verdicts, size_t finding)
{
	return verdicts->followed[finding];
}
