/*
 * A rule pack or a profile from a stranger, as whatever bytes: read, checked and compiled beside the program's own sources,
 * its examples run, a unit judged by it and the findings written. A profile is laid over one family of the program.
 */
#include <gsl/gsl_errno.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/embedded.h"
#include "base/problem.h"
#include "command/commands.h"
#include "judge/citation.h"
#include "judge/examples.h"
#include "judge/judge.h"
#include "pipeline/compute_unit.h"
#include "record/review.h"
#include "resolve/resolve.h"
#include "write/write.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char design[] = "designs/heron-gate.xml";

/* What lasts from one pack to the next. */
static const struct vocabulary *units, *rules;
static struct computed_unit computed; /* the unit that is judged */

static void read_lasting(void)
{
	static struct arena arena;
	struct problems problems = {.arena = &arena};
	gsl_set_error_handler_off();
	units = unit_vocabulary(&arena);
	rules = rules_vocabulary(&arena);
	const struct element *unit = element_read(&arena, design, units, &problems);
	const struct table *resolved = unit ? resolve(&arena, unit, &problems) : NULL;
	if (resolved && !problems.count) {
		computed = compute_unit(&arena, resolved, (struct compute_options){0});
		return;
	}
	report_problems(&problems);
	abort(); /* to be run from the top of the repository */
}

static struct rule_file built_in(const char *name)
{
	const struct embedded_file *file = embedded_find(name);
	if (!file)
		abort();
	return (struct rule_file){
		.name = name, .bytes = (const char *)file->data, .size = file->size, .built_in = true};
}

static void judge_by(struct arena *arena, const struct catalogue *catalogue)
{
	struct judgement judgement = judge(arena, catalogue, computed.table, EVERY_CASE);
	const struct review *review = review_make(
		arena, design, computed.table, computed.lean_side, computed.reconciled, catalogue, judgement);
	FILE *out = fopen("/dev/null", "w");
	if (!out || !write_json(review, out) || !write_csv(review, out) || !write_text(review, out, 80, true) ||
		!write_catalogue(catalogue, out))
		abort(); /* a writer refuses what was accepted as a pack */
	fclose(out);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	if (!computed.table)
		read_lasting();
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	const char *bytes = arena_copy_span(&arena, (const char *)data, size);
	struct rule_file stranger = {.name = "fuzz.xml", .bytes = bytes, .size = size};
	struct rule_file files[] = {built_in("rules/sources.xml"), built_in("rules/velocity.xml")};
	bool is_profile = strstr(bytes, "<profile") != NULL;
	if (!is_profile)
		files[1] = stranger;
	const struct catalogue *catalogue =
		catalogue_read(&arena, files, 2, is_profile ? &stranger : NULL, rules, &problems);
	if (catalogue) {
		citations_check(catalogue, units, &problems);
		examples_run(&arena, catalogue, &problems);
		judge_by(&arena, catalogue);
	}
	problem_sort(&problems);
	for (size_t i = 0; i < problems.count; i++)
		problem_line(&problems, &problems.rows[i]);
	catalogue_release(catalogue);
	arena_release(&arena);
	return 0;
}
