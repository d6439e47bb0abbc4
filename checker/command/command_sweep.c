#include "command/commands.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "command/options.h"
#include "revamp/write_record.h"

static const char help[] =
	"usage: leanrich sweep --vary WHAT --from VALUE --to VALUE [OPTION...] DESIGN.xml\n"
	"\n"
	"One stated value varied over a range, in every operating case, and the whole computation run anew at each "
	"value.\n"
	"Writes reports/<unit>/sweep.html, sweep.csv and sweep.json and the turns of verdicts to standard output.\n"
	"\n"
	"  --vary WHAT        TAG.NAME (lean-hot.h2s, E-225.steam-flow), or one of: lean-loading (H2S of all lean "
	"streams),\n"
	"                     strength, lean-temperature (at the absorbers), steam (to the reboilers), gas-h2s (of "
	"feed gases)\n"
	"  --from, --to       with their unit, the same for both: \"0.005\", \"20 wt%\"\n"
	"  --steps N          points along the range, 3 to 201 (default 25)\n"
	"  --show LIST        more quantities, TAG.NAME separated by commas\n"
	"  --profile NAME, --rules DIR, --output DIR   as for review\n"
	"  --json             print the JSON record instead and write no files (unless --output is given)\n"
	"  --quiet            no summary\n"
	"  --help             this text\n";

/* ---- what was asked ---- */

/* "20 wt%" into its number and its unit. */
static bool read_value(const char *text, double *number, const char **unit)
{
	char *end;
	*number = strtod(text, &end);
	*unit = end + strspn(end, " ");
	return end != text && isfinite(*number);
}

static void fill_grid(struct arena *arena, struct course *course, double from, double to)
{
	course->grid = arena_alloc(arena, course->count * sizeof *course->grid);
	for (size_t i = 0; i < course->count; i++)
		course->grid[i] = from + (to - from) * (double)i / (double)(course->count - 1);
}

static void read_shows(struct arena *arena, const char *list, struct course *course)
{
	size_t capacity = 0;
	for (const char *at = list; at && *at;) {
		size_t length = strcspn(at, ",");
		const char *one = arena_copy_span(arena, at, length), *dot = strrchr(one, '.');
		course->shows = arena_grow(arena, course->shows, course->show_count, &capacity, sizeof *course->shows);
		course->shows[course->show_count++] =
			(struct course_show){.item = dot ? arena_copy_span(arena, one, (size_t)(dot - one)) : one,
				.name = dot ? dot + 1 : ""};
		at += length + (at[length] == ',');
	}
}

/* ---- documents ---- */

static int write_documents(struct sweep_report *report, const char *output, bool quiet)
{
	const char *folder = unit_folder(report->arena, output, report->unit.number);
	const char *page = arena_format(report->arena, "%s/sweep.html", folder);
	int status = write_whole(report->arena, page, write_sweep_html, report);
	if (status == STATUS_FINE)
		status = write_whole(
			report->arena, arena_format(report->arena, "%s/sweep.csv", folder), write_sweep_csv, report);
	if (status == STATUS_FINE)
		status = write_whole(
			report->arena, arena_format(report->arena, "%s/sweep.json", folder), write_sweep_json, report);
	if (status == STATUS_FINE && !quiet)
		printf("%s\n", page);
	return status;
}

/* ---- the command ---- */

struct asked {
	const char *vary, *from_word, *to_word, *steps_word, *show, *profile, *rules, *output;
	double from, to;
	const char *unit; /* of both */
	size_t steps;
	bool json, quiet;
};

static bool ask_range(struct command_line *line, struct asked *asked)
{
	enum { FEWEST = 3, MOST = 201 };
	const char *other;
	asked->steps = 25;
	if (!read_value(asked->from_word, &asked->from, &asked->unit) ||
		!read_value(asked->to_word, &asked->to, &other))
		return options_fault(line, "--from and --to: a number with its unit is needed");
	if (*other && *asked->unit && strcmp(other, asked->unit) != 0)
		return options_fault(line, "--from is in %s and --to in %s: give both in one unit", asked->unit, other);
	if (!*asked->unit)
		asked->unit = other;
	if (!(asked->from < asked->to))
		return options_fault(line, "--to must be above --from");
	return !asked->steps_word || options_whole(asked->steps_word, FEWEST, MOST, &asked->steps) ||
		options_fault(line, "--steps %s: a number from 3 to 201 is needed", asked->steps_word);
}

static bool ask(struct command_line *line, struct asked *asked)
{
	*asked = (struct asked){.vary = NULL};
	const struct option_row rows[] = {{"vary", &asked->vary, NULL}, {"from", &asked->from_word, NULL},
		{"to", &asked->to_word, NULL}, {"steps", &asked->steps_word, NULL}, {"show", &asked->show, NULL},
		{"profile", &asked->profile, NULL}, {"rules", &asked->rules, NULL}, {"output", &asked->output, NULL},
		{"json", NULL, &asked->json}, {"quiet", NULL, &asked->quiet}};
	if (!options_read(line, rows, COUNT(rows)))
		return false;
	if (!asked->vary || !asked->from_word || !asked->to_word)
		return options_fault(line, "--vary, --from and --to are needed");
	if (line->first + 1 != line->argc)
		return options_fault(line, "one design is needed");
	return ask_range(line, asked);
}

bool sweep_can_run(struct command_line *line)
{
	struct asked asked;
	return ask(line, &asked);
}

static int run(struct workspace *workspace, const struct asked *asked, const char *path)
{
	const struct table *table;
	struct sweep_report report = {
		.arena = &workspace->arena, .course = {.unit = asked->unit, .count = asked->steps}};
	const struct element *unit = workspace_read(workspace, path, &table);
	if (!unit)
		return report_problems(&workspace->problems);
	fill_grid(&workspace->arena, &report.course, asked->from, asked->to);
	read_shows(&workspace->arena, asked->show, &report.course);
	if (!course_find(&workspace->arena, unit, table, asked->vary, &report.course))
		return usage_fault("sweep", "--vary %s: the description states no such value", asked->vary);
	for (size_t i = 0; i < report.course.show_count; i++) {
		const struct course_show *show = &report.course.shows[i];
		const struct item *item = table_find(table, show->item);
		if (!item || !table_get(table, item, 0, show->name))
			return usage_fault("sweep", "--show %s%s%s: %s", show->item, *show->name ? "." : "", show->name,
				item ? "the item has no such quantity" : "no such item");
	}
	course_run(&workspace->arena, unit, workspace->catalogue, &report.course);
	report.unit = record_unit_of(table, path);
	if (asked->json && !write_sweep_json(&report, stdout))
		return STATUS_IO;
	if (!asked->json && !asked->quiet)
		write_sweep_text(&report, stdout);
	return asked->json && !asked->output ? STATUS_FINE
					     : write_documents(&report, asked->output, asked->json || asked->quiet);
}

int command_sweep(int argc, char **argv)
{
	struct command_line line = {.argc = argc, .argv = argv};
	struct asked asked;
	struct workspace workspace;
	if (!ask(&line, &asked))
		return options_end(&line, help);
	int status = workspace_open(&workspace, asked.rules, asked.profile) ? run(&workspace, &asked, argv[line.first])
									    : report_problems(&workspace.problems);
	workspace_close(&workspace);
	return finish_output(status);
}
