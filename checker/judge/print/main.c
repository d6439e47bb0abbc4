/*
 * Run once while the program is built: writes the C that holds the catalogue for each profile (judge/built.h) and the vocabulary
 * of units (read/built_vocabulary.h), to standard output. It is the program's own reader with neither built in. Exit 3 after telling every fault of the rules.
 */
#include <stdio.h>
#include <string.h>

#include "base/embedded.h"
#include "command/commands.h"
#include "judge/built.h"
#include "read/built_vocabulary.h"

const struct built_catalogue built_catalogues[] = {{.profile = NULL}};
const struct vocabulary built_units = {.element_count = 0};

static const char folder[] = "rules/profiles/";

static bool is_profile(const struct embedded_file *file)
{
	return strncmp(file->name, folder, sizeof folder - 1) == 0;
}

static const char *profile_of(struct arena *arena, const struct embedded_file *file)
{
	const char *name = file->name + sizeof folder - 1;
	return arena_copy_span(arena, name, strlen(name) - strlen(".xml"));
}

int main(void)
{
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	struct built_catalogue *rows = arena_alloc(&arena, embedded_count * sizeof *rows);
	size_t count = 0;
	for (size_t i = 0; i < embedded_count; i++) {
		if (!is_profile(&embedded_files[i]))
			continue;
		rows[count].profile = embedded_files[i].name;
		rows[count++].catalogue =
			load_catalogue(&arena, NULL, profile_of(&arena, &embedded_files[i]), &problems);
	}
	int status = problems.count ? report_problems(&problems) : STATUS_FINE;
	if (status == STATUS_FINE) {
		struct text out = text_in(&arena);
		built_print(&arena, rows, count, &out);
		built_vocabulary_print(&arena, unit_vocabulary(&arena), &out);
		fputs(out.data, stdout);
		status = finish_output(status);
	}
	for (size_t i = 0; i < count; i++)
		catalogue_release(rows[i].catalogue);
	arena_release(&arena);
	return status;
}
