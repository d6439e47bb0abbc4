/*
 * Sheets that came by mail: the bytes are read as cells, as a sheet of replies to a review, and as a line list. A line of
 * "%%" parts a map (map.xsd) from its list; without one the map of the tests serves. What is read as cells and written again
 * must be read as the same cells, and a draft made from a list must be a description.
 */
#include <gsl/gsl_errno.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/cells.h"
#include "base/embedded.h"
#include "base/problem.h"
#include "command/commands.h"
#include "import/line_list.h"
#include "pipeline/stages.h"
#include "record/round.h"

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);

static const char design[] = "designs/heron-gate.xml", own_map[] = "tests/data/line_list_map.xml";

/* What lasts from one sheet to the next. */
static const struct vocabulary *units, *maps;
static const struct element *map;
static const struct review *review;

static void read_lasting(void)
{
	static struct arena arena;
	struct problems problems = {.arena = &arena};
	gsl_set_error_handler_off();
	const struct embedded_file *schema = embedded_find("checker/import/map.xsd");
	if (!schema)
		abort();
	maps = vocabulary_read(&arena, (const char *)schema->data, schema->size, "map");
	units = unit_vocabulary(&arena);
	map = element_read(&arena, own_map, maps, &problems);
	const struct catalogue *catalogue = load_catalogue(&arena, NULL, NULL, &problems);
	struct resolved_unit read;
	if (map && catalogue && stages_read_file(&arena, design, units, catalogue, &problems, &read)) {
		review = stages_review(&arena, design, &read, catalogue);
		return;
	}
	report_problems(&problems);
	abort(); /* to be run from the top of the repository */
}

static void show(struct problems *problems)
{
	problem_sort(problems);
	for (size_t i = 0; i < problems->count; i++)
		problem_line(problems, &problems->rows[i]);
}

static bool same_cells(const struct cells_line *a, const struct cells_line *b)
{
	bool same = a->count == b->count;
	for (size_t i = 0; same && i < a->count; i++)
		same = strcmp(a->cells[i], b->cells[i]) == 0;
	return same;
}

static void check_cells(struct arena *arena, const char *bytes)
{
	struct cells_file read = cells_read(arena, bytes, 0);
	if (read.unclosed)
		return;
	struct text text = text_in(arena);
	cells_begin(&text);
	for (size_t i = 0; i < read.count; i++)
		cells_row(&text, read.lines[i].cells, read.lines[i].count);
	struct cells_file again = cells_read(arena, text.data, ',');
	bool same = again.count == read.count && !again.unclosed;
	for (size_t i = 0; same && i < read.count; i++)
		same = same_cells(&read.lines[i], &again.lines[i]);
	if (!same)
		abort(); /* what was written is read as something else */
}

static void check_list(struct arena *arena, const char *bytes)
{
	struct problems faults = {.arena = arena}, doubts = {.arena = arena}, of_draft = {.arena = arena};
	const char *border = strstr(bytes, "\n%%\n");
	const struct element *chosen = map;
	if (border) {
		size_t length = (size_t)(border - bytes);
		chosen = element_parse(arena, "map.xml", arena_copy_span(arena, bytes, length), length, maps, &faults);
		bytes = border + strlen("\n%%\n");
	}
	if (chosen && !faults.count) {
		struct workbook workbook;
		struct line_list list = {.draft = NULL};
		if (workbook_parse(arena, "list.csv", bytes, strlen(bytes), &faults, &doubts, &workbook) &&
			workbook.count)
			list = line_list_read(arena, &workbook.sheets[0], chosen, units, &faults, &doubts);
		const struct element *unit = list.draft
			? element_parse(arena, "draft.xml", list.draft, strlen(list.draft), units, &of_draft)
			: NULL;
		if (unit)
			stages_table(arena, unit, ANALYSES_ALL, &of_draft);
	}
	show(&faults);
	show(&doubts);
	for (size_t i = 0; i < of_draft.count; i++) {
		fprintf(stderr, "%s\n", problem_line(&of_draft, &of_draft.rows[i]));
		if (i + 1 == of_draft.count)
			abort(); /* the draft is no description */
	}
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
	if (!review)
		read_lasting();
	struct arena arena = {0};
	struct problems odd = {.arena = &arena};
	const char *bytes = arena_copy_span(&arena, (const char *)data, size);
	if (document_is_text("fuzz.csv", bytes, size, &odd)) {
		check_cells(&arena, bytes);
		round_make(&arena, review, "replies.csv", bytes, &odd);
		check_list(&arena, bytes);
	}
	show(&odd);
	arena_release(&arena);
	return 0;
}
