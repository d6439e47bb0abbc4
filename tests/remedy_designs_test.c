/*
 * Remedies tried on the shipped designs: judged quickly as in full, plans that clear what they say, and what each change does.
 */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "pipeline/stages.h"
#include "resolve/resolve.h"
#include "review_support.h"
#include "revamp/plan.h"

static struct trial trial;
static const struct element *unit;

static void end(void)
{
	trial_close(&trial);
}

TestSuite(remedy_designs, .fini = end);

static struct verdicts *verdicts_of_file(const char *path)
{
	trial_open(&trial, NULL);
	struct resolved_unit read;
	cr_assert(stages_read_file(&trial.arena, path, trial.vocabulary, trial.catalogue, &trial.problems, &read));
	unit = read.unit;
	return verdicts_open(&trial.arena, unit, trial.catalogue);
}

static bool has_turn(const struct verdict_turns *turns, const struct verdict_turn *turn)
{
	for (size_t i = 0; i < turns->count; i++)
		if (turns->rows[i].rule == turn->rule && strcmp(turns->rows[i].item, turn->item) == 0 &&
			turns->rows[i].after == turn->after)
			return true;
	return false;
}

/* Judged quickly a change turns what it turns in a full review, of the findings that are followed. */
Test(remedy_designs, judged_quickly_a_change_turns_what_it_turns_in_full)
{
	struct verdicts *verdicts = verdicts_of_file("designs/marram-point.xml");
	struct tried_list list = remedies_try(&trial.arena, verdicts, ACTION_CONSIDER);
	cr_assert_gt(list.count, 5);
	for (size_t i = 0; i < list.count; i++) {
		const struct tried *tried = &list.rows[i];
		if (tried->fault || tried->in_full || tried->same_as != i)
			continue;
		const struct element *variant = variant_build(&trial.arena, &tried->remedy.edits, unit);
		struct verdict_turns full = verdicts_in_full(verdicts, &trial.arena, variant);
		for (size_t k = 0; k < tried->turns.count; k++)
			cr_expect(has_turn(&full, &tried->turns.rows[k]), "%s: %s on %s", tried->remedy.says,
				tried->turns.rows[k].rule->id, tried->turns.rows[k].item);
		cr_expect_eq(full.count, tried->turns.count, "%s", tried->remedy.says);
	}
}

/* The sets of a plan, reviewed again from the description that they make: as much is left as the plan says. */
static void expect_as_said(const struct plan *plan)
{
	cr_assert_gt(plan->set_count, 0);
	for (size_t s = 0; s < plan->set_count; s++) {
		struct arena another = {0};
		struct problems problems = {.arena = &another};
		const struct plan_set *set = &plan->sets[s];
		const struct element *variant = variant_build(&another, &set->edits, plan->verdicts->unit);
		struct assessed_unit assessed = verdicts_review(&another, variant, trial.catalogue, &problems);
		size_t open[ACTION_KINDS + 1] = {0};
		cr_assert_not_null(assessed.table);
		for (size_t i = 0; i < assessed.judgement.count; i++)
			open[finding_action(&assessed.judgement.findings[i])]++;
		for (int action = 0; action < ACTION_STATE; action++)
			cr_expect_eq(open[action], set->left[action], "set %zu leaves %zu %s, not %zu", s, open[action],
				action_word((enum action)action), set->left[action]);
		cr_expect(!set->clears || open[ACTION_RESOLVE] <= plan->left_out);
		arena_release(&another);
	}
}

Test(remedy_designs, the_sets_of_a_plan_clear_what_they_say)
{
	const struct verdicts *verdicts = verdicts_of_file("designs/curlew-spit.xml");
	struct plan plan = plan_make(&trial.arena, verdicts->unit, trial.catalogue, ACTION_JUSTIFY);
	cr_expect_eq(plan.goal_count, 5);
	expect_as_said(&plan);
	cr_expect(plan.sets[0].clears);
	cr_expect_eq(plan.sets[0].left[ACTION_RESOLVE] + plan.sets[0].left[ACTION_JUSTIFY], plan.left_out);
}

/* The changes that break something, and those that do not clear their own finding, of the designs that are small. */
static void list_design(struct text *out, const char *path)
{
	struct verdicts *verdicts = verdicts_of_file(path);
	struct tried_list list = remedies_try(&trial.arena, verdicts, ACTION_JUSTIFY);
	size_t made = 0, cleared = 0;
	for (size_t i = 0; i < list.count; i++) {
		const struct tried *tried = &list.rows[i];
		const struct remedy_trial record = tried_record(tried);
		bool breaks = false;
		for (size_t k = 0; k < tried->turns.count; k++)
			breaks = breaks || turn_breaks(&tried->turns.rows[k]);
		made += !tried->fault;
		cleared += tried->clears_own;
		if (breaks || !tried->clears_own)
			text_addf(out, "%s on %s: %s\n", tried->finding->rule->id, tried->finding->item->tag,
				trial_words(out->arena, &record));
	}
	text_addf(out,
		"%s: %zu changes, %zu of them tried, %zu clear their own finding; %zu remedies are words only\n\n",
		path, list.count, made, cleared, list.words_only);
}

static void expect_table(const char *const *designs, size_t count, const char *table)
{
	struct arena arena = {0};
	struct text out = text_in(&arena);
	for (size_t i = 0; i < count; i++)
		list_design(&out, designs[i]);
	expect_listed(&arena, out.data, table);
	arena_release(&arena);
}

Test(remedy_designs, printed_tried_table)
{
	static const char *const designs[] = {
		"designs/curlew-spit.xml", "designs/marram-point.xml", "designs/cobble-hythe.xml"};
	expect_table(designs, COUNT(designs), "tests/data/tried_table.txt");
}

/* The demo, with make plans: what breaks something, and the plans. */
Test(remedy_designs, the_plan_of_the_demo)
{
	static const char *const designs[] = {"designs/tern-quay.xml"};
	if (!getenv("PLANS"))
		return;
	expect_table(designs, COUNT(designs), "tests/data/tried_demo_table.txt");
	for (int least = ACTION_RESOLVE; least <= ACTION_JUSTIFY; least++) {
		const struct verdicts *verdicts = verdicts_of_file("designs/tern-quay.xml");
		struct plan plan = plan_make(&trial.arena, verdicts->unit, trial.catalogue, (enum action)least);
		expect_as_said(&plan);
		cr_expect(plan.sets[0].clears == (least == ACTION_RESOLVE));
	}
}
