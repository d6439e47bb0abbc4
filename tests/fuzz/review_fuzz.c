/*
 * The path of a unit description through the program, from bytes to the resolved table, on whatever bytes come. A fault
 * of the input is a problem; anything a sanitizer objects to, an abort or a hang is a fault of the program.
 */
#include <stddef.h>
#include <stdint.h>

#include "arena.h"
#include "element.h"
#include "embedded.h"
#include "problem.h"
#include "resolve.h"
#include "vocabulary.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

/* Read once; the program too reads its schema once for a thousand designs. */
static const struct vocabulary *unit_vocabulary(void)
{
	static struct arena arena;
	static const struct vocabulary *vocabulary;
	if (!vocabulary) {
		const struct embedded_file *xsd = embedded_find("checker/unit.xsd");
		vocabulary = vocabulary_read(&arena, (const char *)xsd->data, xsd->size, "unit");
	}
	return vocabulary;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	const char *bytes = arena_copy_span(&arena, (const char *)data, size);
	const struct element *unit = element_parse(&arena, "fuzz.xml", bytes, size, unit_vocabulary(), &problems);
	if (unit)
		resolve(&arena, unit, &problems);
	problem_sort(&problems);
	for (size_t i = 0; i < problems.count; i++)
		problem_line(&problems, &problems.rows[i]);
	arena_release(&arena);
	return 0;
}
