/*
 * Judging a description with other values takes less than judging it anew, and comes to the same.
 *
 * What a run has solved before changes nothing but the time: random changes of designs (values scaled and dropped, items and
 * cases left out and doubled), each judged with the answers that were kept so far and again with every answer made anew.
 * Every cell of the two tables and every finding of the two judgements is the same, numbers to the last bit. So is every verdict
 * and every value that is taken over from the design as it was, and that of a rule on an item for which only what it asks for is
 * computed (lineage.h), after values were scaled as a scan does.
 *
 * `make changes` tries 2,000; the suite itself a sample.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/memo.h"
#include "base/text.h"
#include "judge/evaluation.h"
#include "judge/late.h"
#include "pipeline/lineage.h"
#include "pipeline/stages.h"
#include "review_support.h"
#include "resolve/alike.h"
#include "revamp/variant.h"

#ifdef __SANITIZE_ADDRESS__
enum { SAMPLE = 2 };
#else
enum { SAMPLE = 16 };
#endif

static const char *const designs[] = {
	"designs/cobble-hythe.xml", "designs/heron-gate.xml", "tests/designs/dunlin-fork.xml", "designs/tern-quay.xml"};

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

/* ---- random changes ---- */

static uint64_t seed = 2;

/* Below `count`; a linear congruence, the same numbers in every run. */
static size_t random_below(size_t count)
{
	seed = seed * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
	return (size_t)(seed >> 33) % count;
}

struct elements {
	const struct element **rows;
	size_t count, capacity;
};

static void gather(const struct element *element, void *data)
{
	struct elements *all = data;
	all->rows = arena_grow(&trial.arena, all->rows, all->count, &all->capacity, sizeof *all->rows);
	all->rows[all->count++] = element;
}

static void change_value(struct arena *arena, struct variant *variant, const struct element *element)
{
	static const double factors[] = {0.5, 0.8, 0.97, 1.03, 1.25, 2};
	if (!element->attribute_count)
		return;
	const struct attribute *attribute = &element->attributes[random_below(element->attribute_count)];
	const char *scaled = variant_scaled(arena, attribute->written, factors[random_below(COUNT(factors))]);
	if (scaled || random_below(4) == 0) /* else the value is dropped */
		variant_set(variant, element, attribute->meaning->name, scaled);
}

static const struct element *changed(struct arena *arena, const struct element *unit, const struct elements *all)
{
	enum { MOST_CHANGES = 3 };
	struct variant variant = variant_in(arena);
	for (size_t left = 1 + random_below(MOST_CHANGES); left; left--) {
		const struct element *element = all->rows[random_below(all->count)];
		size_t what = random_below(8);
		if (what == 0 && element->parent)
			variant_remove(&variant, element);
		else if (what == 1 && element->parent)
			variant_add(&variant, element->parent, element);
		else
			change_value(arena, &variant, element);
	}
	return variant_build(arena, &variant, unit);
}

/* ---- all that was found, as text ---- */

static void add_number(struct text *text, double number)
{
	uint64_t bits;
	memcpy(&bits, &number, sizeof bits);
	text_addf(text, " %llx", (unsigned long long)bits);
}

static void add_quantity(struct text *text, const struct quantity *quantity)
{
	text_addf(text, " %d %d %d %s %s", (int)quantity->known, (int)quantity->kind, (int)quantity->bound,
		quantity->word ? quantity->word : "-", quantity->reason ? quantity->reason : "-");
	add_number(text, quantity->si);
	add_number(text, quantity->uncertainty);
	for (size_t i = 0; i < quantity->input_count; i++)
		text_addf(text, " (%s %d)", input_name(text->arena, &quantity->inputs[i]),
			(int)quantity->inputs[i].effect);
}

static void add_cell(
	const struct item *item, int operating_case, const char *name, const struct quantity *quantity, void *data)
{
	struct text *text = data;
	text_addf(text, "%s %d %s:", item->tag, operating_case, name);
	add_quantity(text, quantity);
	text_add(text, "\n");
}

static const char *all_found(struct arena *arena, const struct element *unit)
{
	struct problems problems = {.arena = arena};
	struct assessed assessed = stages_judge(arena, unit, trial.catalogue, &problems);
	struct text text = text_in(arena);
	for (size_t i = 0; i < problems.count; i++)
		text_addf(&text, "%s\n", problems.rows[i].message);
	if (!assessed.table)
		return text.data;
	table_each_cell(assessed.table, add_cell, &text);
	for (size_t i = 0; i < assessed.judgement.count; i++) {
		const struct finding *finding = &assessed.judgement.findings[i];
		text_addf(&text, "%s %s %d %d %d %s %s", finding->rule->id, finding->item->tag, finding->operating_case,
			(int)finding->verdict, (int)finding->certainty, finding->message, finding->remedy);
		add_number(&text, finding->governing ? finding->governing->margin : 0);
		text_add(&text, "\n");
	}
	return text.data;
}

static const char *found_anew(struct arena *arena, const struct element *unit)
{
	memo_pause(true);
	const char *found = all_found(arena, unit);
	memo_pause(false);
	return found;
}

/* ---- what is taken over, and what is left out ---- */

/* A design as it is, judged. */
struct original {
	const struct element *unit;
	struct elements all;
	const struct table *table;
	struct judgement judgement;
	struct judged_before judged;
	struct lineage *lineage;
	size_t parts; /* judged on no more than was asked for */
};

static const char *verdicts(struct arena *arena, const struct judgement *judgement)
{
	struct text text = text_in(arena);
	for (size_t i = 0; i < judgement->count; i++) {
		const struct finding *finding = &judgement->findings[i];
		text_addf(&text, "%s %s %d %d %d %zu %s %s", finding->rule->id, finding->item->tag,
			finding->operating_case, (int)finding->verdict, (int)finding->force,
			(size_t)finding->missing_count, finding->deviation ? finding->deviation->tag : "-",
			finding->governing ? finding->governing->limit->clause : "-");
		add_number(&text, finding->value ? finding->value->si : 0);
		add_number(&text, finding->governing ? finding->governing->margin : 0);
		text_add(&text, "\n");
	}
	return text.data;
}

/* Values of one table that are others in the other, or not there. */
struct beside {
	const struct table *other;
	struct text *differ;
};

static void compare_cell(
	const struct item *item, int operating_case, const char *name, const struct quantity *quantity, void *data)
{
	struct beside *beside = data;
	const struct item *there = table_item(beside->other, item->index);
	const struct quantity *other = table_peek(beside->other, there, operating_case, name);
	if (!alike_values(quantity, other))
		text_addf(beside->differ, "%s of %s, ", name, item->tag);
}

static const char *differing(struct arena *arena, const struct table *one, const struct table *other)
{
	struct text text = text_in(arena);
	if (table_item_count(one) != table_item_count(other))
		return "items";
	table_each_cell(one, compare_cell, &(struct beside){other, &text});
	table_each_cell(other, compare_cell, &(struct beside){one, &text});
	return text.data;
}

static void compare_taken_over(
	struct arena *arena, const struct original *original, const struct element *variant, size_t change)
{
	struct problems problems = {.arena = arena};
	const struct table *resolved = stages_resolve(arena, variant, &problems);
	if (!resolved)
		return;
	const struct table *table = lineage_vary(original->lineage, arena, resolved);
	struct judgement over = judge_verdicts(arena, trial.catalogue, table, EVERY_CASE, &original->judged);
	lineage_rest(original->lineage);
	const struct table *whole = compute_table(arena, resolved, ANALYSES_SULFIDE);
	struct judgement anew = judge_verdicts(arena, trial.catalogue, whole, EVERY_CASE, NULL);
	cr_expect_str_eq(differing(arena, table, whole), "", "change %zu: a value was taken over: %s", change,
		differing(arena, table, whole));
	cr_expect(text_same(verdicts(arena, &over), verdicts(arena, &anew)), "change %zu: a verdict was taken over",
		change);
}

/* One value times the factor and times its square: both sides of what is asked. */
struct scaled {
	const struct element *element;
	const char *name, *written;
	double factor;
};

static struct table *resolved_with(
	struct arena *arena, const struct original *original, const struct scaled *scaled, double power)
{
	struct problems problems = {.arena = arena};
	struct variant variant = variant_in(arena);
	variant_set(&variant, scaled->element, scaled->name,
		variant_scaled(arena, scaled->written, pow(scaled->factor, power)));
	return stages_resolve(arena, variant_build(arena, &variant, original->unit), &problems);
}

static bool choose_scaled(struct arena *arena, const struct original *original, struct scaled *scaled)
{
	const struct element *element = original->all.rows[random_below(original->all.count)];
	if (!element->attribute_count)
		return false;
	const struct attribute *attribute = &element->attributes[random_below(element->attribute_count)];
	*scaled = (struct scaled){element, attribute->meaning->name, attribute->written, random_below(2) ? 0.9 : 1.2};
	return variant_scaled(arena, scaled->written, 1) && strcmp(scaled->name, "tag") != 0;
}

static const char *verdict_alone(
	struct arena *arena, const struct table *table, const struct rule *rule, const struct item *item)
{
	struct finding finding;
	struct judgement judgement = {.findings = &finding};
	judgement.count = judge_verdict(arena, trial.catalogue, table, rule, item, &finding);
	return verdicts(arena, &judgement);
}

/* Unless it is told that the part that was computed is not enough. */
static void compare_part(struct arena *arena, struct original *original, const struct scaled *scaled,
	const struct table *whole, const struct rule *rule, const struct item *item)
{
	lineage_ask_nothing(original->lineage);
	if (!lineage_ask(original->lineage, rule, item))
		return;
	const struct table *part = lineage_table(original->lineage, arena, resolved_with(arena, original, scaled, 1));
	if (!part || lineage_misled(original->lineage))
		return;
	const char *of_part = verdict_alone(arena, part, rule, table_item(part, item->index));
	if (lineage_misled(original->lineage))
		return;
	lineage_rest(original->lineage);
	original->parts++;
	const char *of_whole = verdict_alone(arena, whole, rule, table_item(whole, item->index));
	cr_expect(text_same(of_part, of_whole), "%s with %s %s times %g: %s", rule->id, scaled->name, scaled->written,
		scaled->factor, of_part);
}

static void compare_parts(struct arena *arena, struct original *original)
{
	enum { RULES = 4 };
	struct scaled scaled;
	if (!choose_scaled(arena, original, &scaled))
		return;
	struct table *resolved = resolved_with(arena, original, &scaled, 1),
		     *beyond = resolved_with(arena, original, &scaled, 2);
	if (!resolved || !beyond)
		return;
	lineage_vary(original->lineage, arena, beyond);
	lineage_rest(original->lineage);
	const struct table *whole = compute_table(arena, resolved, ANALYSES_SULFIDE);
	for (size_t i = 0; i < RULES; i++) {
		const struct finding *finding = &original->judgement.findings[random_below(original->judgement.count)];
		if (!rule_is_late(finding->rule) && finding->item->index < table_item_count(resolved))
			compare_part(arena, original, &scaled, whole, finding->rule, finding->item);
	}
}

/* ---- the test ---- */

static void compare(struct original *original, size_t change)
{
	struct arena arena = {0};
	const struct element *variant = changed(&arena, original->unit, &original->all);
	const char *kept = all_found(&arena, variant), *anew = found_anew(&arena, variant);
	cr_expect(text_same(kept, anew), "change %zu: what is found depends on what was solved before", change);
	compare_taken_over(&arena, original, variant, change);
	compare_parts(&arena, original);
	arena_release(&arena);
}

static struct original original_of(const char *path)
{
	struct original original = {.lineage = lineage_new(&trial.arena)};
	struct resolved_unit read;
	cr_assert(stages_read_file(&trial.arena, path, trial.vocabulary, trial.catalogue, &trial.problems, &read));
	original.unit = read.unit;
	element_each(read.unit, gather, &original.all);
	original.table =
		lineage_learn(original.lineage, &trial.arena, stages_resolve(&trial.arena, read.unit, &trial.problems));
	original.judgement = judge_verdicts(&trial.arena, trial.catalogue, original.table, EVERY_CASE, NULL);
	lineage_rest(original.lineage);
	original.judged = judgement_before(original.table, &original.judgement);
	return original;
}

Test(incremental, random_changes_are_judged_as_if_nothing_had_been_solved_before, .init = begin, .fini = end)
{
	const char *asked = getenv("CHANGES");
	size_t changes = asked ? (size_t)strtoul(asked, NULL, 10) : SAMPLE;
	size_t parts = 0;
	for (size_t d = 0; d < COUNT(designs); d++) {
		struct original original = original_of(designs[d]);
		for (size_t i = d; i < changes; i += COUNT(designs))
			compare(&original, i);
		parts += original.parts;
	}
	cr_expect_gt(parts, 0);
}

Test(incremental, a_memo_knows_the_last_answer_to_exactly_the_same_question)
{
	static struct memo memo = {.numbers = 2, .value = sizeof(int), .places = 4};
	const double zero[] = {0, 1}, minus_zero[] = {-0.0, 1};
	const int seven = 7, eight = 8;

	cr_expect_null(memo_find(&memo, zero));
	memo_keep(&memo, zero, &seven);
	cr_assert_not_null(memo_find(&memo, zero));
	cr_expect_eq(*(const int *)memo_find(&memo, zero), seven);
	cr_expect_null(memo_find(&memo, minus_zero), "another zero is another question");
	memo_keep(&memo, zero, &eight);
	cr_expect_eq(*(const int *)memo_find(&memo, zero), eight);
	memo_pause(true);
	cr_expect_null(memo_find(&memo, zero));
	memo_pause(false);
	for (int i = 0; i < 64; i++) { /* more than there are places: each is known until another takes its place */
		const double key[] = {i, 2};
		memo_keep(&memo, key, &i);
		cr_expect_eq(*(const int *)memo_find(&memo, key), i);
	}
	free(memo.memory);
	memo.memory = NULL;
}
