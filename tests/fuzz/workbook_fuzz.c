/*
 * Workbooks and CSV as they come by mail, through all of importing: the sheets are read, a map is proposed for them, and they
 * are imported by it. Whatever the sheets hold, the map proposed is a map and the draft is a description.
 */
#include <gsl/gsl_errno.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/embedded.h"
#include "command/commands.h"
#include "import/package.h"
#include "import/propose.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const struct vocabulary *units, *maps;

static void read_lasting(void)
{
	static struct arena arena;
	const struct embedded_file *schema = embedded_find("checker/import/map.xsd");
	if (!schema)
		abort();
	gsl_set_error_handler_off();
	maps = vocabulary_read(&arena, (const char *)schema->data, schema->size, "map");
	units = unit_vocabulary(&arena);
}

static void show(struct problems *problems)
{
	problem_sort(problems);
	for (size_t i = 0; i < problems->count; i++)
		problem_line(problems, &problems->rows[i]);
}

static const struct element *parsed(
	struct arena *arena, const char *name, const char *text, const struct vocabulary *language)
{
	struct problems faults = {.arena = arena};
	const struct element *root = element_parse(arena, name, text, strlen(text), language, &faults);
	for (size_t i = 0; i < faults.count; i++)
		fprintf(stderr, "%s\n", problem_line(&faults, &faults.rows[i]));
	if (faults.count)
		abort(); /* what was written is not of its language */
	return root;
}

static void import(
	struct arena *arena, const struct workbook *workbook, struct problems *faults, struct problems *doubts)
{
	const char *proposed = propose_map(arena, units, workbook, 1, doubts);
	const struct element *map = parsed(arena, "map.xml", proposed, maps);
	struct package package = {.arena = arena,
		.vocabulary = units,
		.words = words_open(arena),
		.map = map,
		.faults = faults,
		.doubts = doubts,
		.draft = {.arena = arena,
			.unit = vocabulary_root(units, "unit"),
			.number = "draft",
			.name = "draft",
			.amine = element_attribute(map, "amine"),
			.files = "sheets"}};
	package_read(&package, workbook, 1);
	parsed(arena, "draft.xml", draft_write(&package.draft), units);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	if (!units)
		read_lasting();
	struct arena arena = {0};
	struct problems faults = {.arena = &arena}, doubts = {.arena = &arena};
	struct workbook workbook;
	enum { MOST_CELLS = 20000 }; /* more take seconds each under sanitizers, and show nothing else */
	size_t cells = 0;
	const char *bytes = arena_copy_span(&arena, (const char *)data, size);
	bool read = workbook_parse(&arena, "fuzz", bytes, size, &faults, &doubts, &workbook);
	for (size_t i = 0; read && i < workbook.count; i++)
		cells += workbook.sheets[i].rows * workbook.sheets[i].columns;
	if (read && cells <= MOST_CELLS)
		import(&arena, &workbook, &faults, &doubts);
	show(&faults);
	show(&doubts);
	arena_release(&arena);
	return 0;
}
