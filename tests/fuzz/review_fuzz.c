/*
 * The path of a unit description through the program, from bytes to the finished review, on whatever bytes come. A
 * fault of the input is a problem; anything a sanitizer objects to, an abort or a hang is a fault of the program.
 */
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "arena.h"
#include "catalogue.h"
#include "element.h"
#include "embedded.h"
#include "judge.h"
#include "problem.h"
#include "resolve.h"
#include "review.h"
#include "state.h"
#include "vocabulary.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* What the program reads once for a thousand designs. */
static struct arena lasting;

static const struct vocabulary *vocabulary_embedded(const char *name, const char *root)
{
	const struct embedded_file *xsd = embedded_find(name);
	return vocabulary_read(&lasting, (const char *)xsd->data, xsd->size, root);
}

static const struct catalogue *catalogue_embedded(void)
{
	struct rule_file *files = arena_alloc(&lasting, embedded_count * sizeof *files);
	size_t count = 0;
	for (const struct embedded_file *file = embedded_files; file->name; file++)
		if (strncmp(file->name, "rules/", 6) == 0 && strncmp(file->name, "rules/profiles/", 15) != 0)
			files[count++] = (struct rule_file){file->name, (const char *)file->data, file->size};
	struct problems problems = {.arena = &lasting};
	const struct vocabulary *vocabulary = vocabulary_embedded("checker/rules.xsd", "rules sources profile");
	const struct catalogue *catalogue = catalogue_read(&lasting, files, count, NULL, vocabulary, &problems);
	for (size_t i = 0; i < problems.count; i++)
		fprintf(stderr, "%s\n", problem_line(&problems, &problems.rows[i]));
	if (!catalogue)
		abort(); /* the program's own rules are faulty: nothing to fuzz */
	return catalogue;
}

static void review(struct arena *arena, const struct element *unit, struct problems *problems)
{
	static const struct catalogue *catalogue;
	if (!catalogue)
		catalogue = catalogue_embedded();
	const struct table *resolved = resolve(arena, unit, problems);
	if (!resolved)
		return;
	const struct table *table = state_compute(arena, resolved);
	review_make(arena, "fuzz.xml", table, catalogue, judge(arena, catalogue, table));
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	static const struct vocabulary *vocabulary;
	if (!vocabulary)
		vocabulary = vocabulary_embedded("checker/unit.xsd", "unit");
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	const char *bytes = arena_copy_span(&arena, (const char *)data, size);
	const struct element *unit = element_parse(&arena, "fuzz.xml", bytes, size, vocabulary, &problems);
	if (unit)
		review(&arena, unit, &problems);
	problem_sort(&problems);
	for (size_t i = 0; i < problems.count; i++)
		problem_line(&problems, &problems.rows[i]);
	arena_release(&arena);
	return 0;
}
