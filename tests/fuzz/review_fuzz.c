/*
 * The path of a unit description through the program, from bytes to what is written, on whatever bytes come. A fault of
 * the input is a problem; anything a sanitizer objects to, an abort or a hang is a fault of the program.
 */
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/arena.h"
#include "base/problem.h"
#include "command/commands.h"
#include "judge/judge.h"
#include "pipeline/compute_unit.h"
#include "pipeline/stages.h"
#include "read/element.h"
#include "record/review.h"
#include "resolve/resolve.h"
#include "write/write.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* What the program too reads once for a thousand designs. */
static const struct vocabulary *vocabulary;
static const struct catalogue *catalogue;

static void read_lasting(void)
{
	static struct arena arena;
	struct problems problems = {.arena = &arena};
	vocabulary = unit_vocabulary(&arena);
	catalogue = load_catalogue(&arena, NULL, NULL, &problems);
	if (catalogue)
		return;
	report_problems(&problems);
	abort(); /* the program's own rules are faulty: nothing to fuzz */
}

static void write_all(const struct review *review)
{
	FILE *out = fopen("/dev/null", "w");
	if (!out || !write_html(review, out) || !write_json(review, out) || !write_csv(review, out) ||
		!write_text(review, out, 80, true))
		abort(); /* a writer refuses what was accepted as a design */
	fclose(out);
}

/* Samples cost more than all the rest and take no other path: few inputs have them. */
static void review(struct arena *arena, const struct table *resolved, bool samples)
{
	struct computed_unit computed = compute_unit(arena, resolved, (struct compute_options){.no_samples = !samples});
	struct judgement judgement = judge(arena, catalogue, computed.table, EVERY_CASE);
	write_all(review_make(
		arena, "fuzz.xml", computed.table, computed.lean_side, computed.reconciled, catalogue, judgement));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	if (!catalogue)
		read_lasting();
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	const struct text bytes = {.data = arena_copy_span(&arena, (const char *)data, size), .length = size};
	struct resolved_unit read;
	if (stages_read(&arena, "fuzz.xml", &bytes, vocabulary, catalogue, &problems, &read))
		review(&arena, read.table, size % 16 == 0);
	problem_sort(&problems);
	for (size_t i = 0; i < problems.count; i++)
		problem_line(&problems, &problems.rows[i]);
	arena_release(&arena);
	return 0;
}
