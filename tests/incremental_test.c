/*
 * What a run has solved before changes nothing but the time: random changes of designs (values scaled and dropped, items and
 * cases left out and doubled), each judged with the answers that were kept so far and again with every answer made anew.
 * Every cell of the two tables and every finding of the two judgements is the same, numbers to the last bit.
 *
 * `make changes` tries 2,000; the suite itself a sample.
 */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/memo.h"
#include "base/text.h"
#include "pipeline/stages.h"
#include "review_support.h"
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
		text_addf(text, " (%s %d)", quantity->inputs[i].name, (int)quantity->inputs[i].effect);
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

/* ---- the test ---- */

static void compare(const struct element *unit, const struct elements *all, size_t change)
{
	struct arena arena = {0};
	const struct element *variant = changed(&arena, unit, all);
	const char *kept = all_found(&arena, variant), *anew = found_anew(&arena, variant);
	cr_expect(text_same(kept, anew), "change %zu: what is found depends on what was solved before", change);
	arena_release(&arena);
}

Test(incremental, random_changes_are_judged_as_if_nothing_had_been_solved_before, .init = begin, .fini = end)
{
	const char *asked = getenv("CHANGES");
	size_t changes = asked ? (size_t)strtoul(asked, NULL, 10) : SAMPLE;
	for (size_t d = 0; d < COUNT(designs); d++) {
		struct resolved_unit read;
		struct elements all = {.count = 0};
		cr_assert(stages_read_file(
			&trial.arena, designs[d], trial.vocabulary, trial.catalogue, &trial.problems, &read));
		element_each(read.unit, gather, &all);
		for (size_t i = d; i < changes; i += COUNT(designs))
			compare(read.unit, &all, i);
	}
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
