#include "command/commands.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/cells.h"
#include "base/count.h"
#include "base/text.h"
#include "command/options.h"
#include "revamp/figure_course.h"
#include "revamp/write_record.h"
#include "write/sheet.h"

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

/* ---- words ---- */

static const char *swept_value(struct arena *arena, const struct course *course, double x)
{
	return arena_format(arena, "%s%s%s", number_show(arena, x), *course->unit ? " " : "", course->unit);
}

static const char *shown(struct arena *arena, const struct quantity *quantity)
{
	if (!quantity || quantity->known == UNKNOWN)
		return "";
	return kind_is_number(quantity->kind)
		? number_show(arena, quantity_in(quantity->si, quantity->kind, kind_unit(quantity->kind)))
		: quantity->word;
}

/* ---- CSV: one row for each value, two columns for each finding that moves ---- */

static const char *with_unit(struct arena *arena, const char *what, enum kind kind)
{
	return *kind_unit(kind) ? arena_format(arena, "%s, %s", what, kind_unit(kind)) : what;
}

static bool write_csv_file(const void *data, FILE *out)
{
	const struct sweep_report *report = data;
	const struct course *course = &report->course;
	struct arena arena = {0};
	struct text text = text_in(&arena);
	size_t columns = 2 + course->show_count + 2 * course->track_count, at = 0;
	const char **cells = arena_alloc(&arena, columns * sizeof *cells);
	cells[at++] = *course->unit ? arena_format(&arena, "%s, %s", course->what, course->unit) : course->what;
	cells[at++] = "Fault";
	for (size_t s = 0; s < course->show_count; s++)
		cells[at++] =
			with_unit(&arena, arena_format(&arena, "%s.%s", course->shows[s].item, course->shows[s].name),
				course->shows[s].kind);
	for (size_t t = 0; t < course->track_count; t++) {
		const struct track *track = course->tracks[t];
		const char *title = arena_format(&arena, "%s %s", track->rule->id, track->item);
		enum kind kind = track->samples[0].has_value ? track->samples[0].kind : KIND_TEXT;
		cells[at++] = track->samples[0].has_value ? with_unit(&arena, title, kind) : title;
		cells[at++] = arena_format(&arena, "%s verdict", title);
	}
	cells_begin(&text);
	cells_row(&text, cells, columns);
	for (size_t i = 0; i < course->count; i++) {
		at = 0;
		cells[at++] = number_show(&arena, course->grid[i]);
		cells[at++] = course->scan.faults[i] ? course->scan.faults[i] : "";
		for (size_t s = 0; s < course->show_count; s++)
			cells[at++] = shown(&arena, course->shows[s].values[i]);
		for (size_t t = 0; t < course->track_count; t++) {
			const struct sample *sample = &course->tracks[t]->samples[i];
			cells[at++] = sample->has_value
				? number_show(&arena, quantity_in(sample->value, sample->kind, kind_unit(sample->kind)))
				: "";
			cells[at++] = course->scan.faults[i] ? "" : point_verdict_word(sample->verdict);
		}
		cells_row(&text, cells, columns);
	}
	bool whole = fwrite(text.data, 1, text.length, out) == text.length;
	arena_release(&arena);
	return whole;
}

/* ---- the page ---- */

static void add_turn(struct page *page, xmlNode *body, const struct course *course, const struct course_turn *row)
{
	xmlNode *line = html_add(body, "tr", NULL);
	html_set(html_add_text(line, "th", "tag value", swept_value(page->arena, course, row->turn->at)), "scope",
		"row");
	xmlNode *rule = html_add(line, "td", NULL);
	html_add_text(rule, "span", "rule", row->track->rule->id);
	html_say(rule, arena_format(page->arena, " %s", row->track->rule->title));
	html_name(html_add(line, "td", NULL), row->track->item);
	html_add_text(line, "td", "value",
		arena_format(page->arena, "%s → %s", point_verdict_word(row->turn->from),
			point_verdict_word(row->turn->to)));
	page_action(html_add(line, "td", NULL), row->track->action);
	html_add_text(line, "td", NULL, row->turn->limit);
}

static void add_turns(struct page *page, const struct course *course)
{
	static const char *const columns[] = {
		"At", "Rule", "Item", "Verdict below and above", "Action when it departs", "Governing limit", NULL};
	xmlNode *section = page_section(page, "turns", "Where verdicts turn");
	if (!course->turn_count) {
		html_add_text(section, "p", NULL, "No verdict turns in this range.");
		return;
	}
	xmlNode *body = html_add(page_table(section, NULL, "Lowest value first", columns), "tbody", NULL);
	for (size_t i = 0; i < course->turn_count; i++)
		add_turn(page, body, course, &course->turns[i]);
}

static void add_faults(struct page *page, const struct course *course)
{
	for (size_t i = 0; i < course->count; i++)
		if (course->scan.faults[i])
			html_add_text(page->main, "p", "aside",
				arena_format(page->arena, "At %s nothing could be computed: %s",
					swept_value(page->arena, course, course->grid[i]), course->scan.faults[i]));
}

static bool write_page(const void *data, FILE *out)
{
	const struct sweep_report *report = data;
	const struct course *course = &report->course;
	struct sheet sheet;
	sheet_open(&sheet, "Sweep of one value of an amine unit", report->unit.number, report->unit.name,
		(const struct sheet_fact[]){{"Revision", report->unit.revision}, {"Description", report->unit.file},
			{"Varied", course->what}, {NULL, NULL}});
	add_turns(&sheet.page, course);
	xmlNode *section = page_section(&sheet.page, "figure", "Along the sweep");
	figure_course(&sheet.page, section, course);
	add_faults(&sheet.page, course);
	xmlNode *set = page_section(&sheet.page, "set", "What was set");
	html_add_text(set, "p", NULL,
		arena_format(&sheet.arena, "From %s to %s in %zu points.",
			swept_value(&sheet.arena, course, course->grid[0]),
			swept_value(&sheet.arena, course, course->grid[course->count - 1]), course->count));
	xmlNode *list = html_add(set, "ul", NULL);
	for (size_t i = 0; i < course->target_count; i++) {
		xmlNode *line = html_add(list, "li", NULL);
		html_name(line, course->targets[i].item);
		html_say(line,
			arena_format(&sheet.arena, ": %s, in every operating case; all else as stated",
				course->targets[i].name));
	}
	return sheet_close(&sheet, out);
}

/* ---- text ---- */

static void print_text(const struct sweep_report *report)
{
	const struct course *course = &report->course;
	printf("%s %s: %s from %s to %s, %zu value%s set, %zu points\n\n", report->unit.number, report->unit.name,
		course->what, swept_value(report->arena, course, course->grid[0]),
		swept_value(report->arena, course, course->grid[course->count - 1]), course->target_count,
		course->target_count == 1 ? "" : "s", course->count);
	for (size_t i = 0; i < course->turn_count; i++) {
		const struct track *track = course->turns[i].track;
		const struct turn *turn = course->turns[i].turn;
		printf("%-14s %s -> %s  %s %s: %s%s%s\n", swept_value(report->arena, course, turn->at),
			point_verdict_word(turn->from), point_verdict_word(turn->to), track->rule->id, track->item,
			track->rule->title, *turn->limit ? ", " : "", turn->limit);
	}
	if (!course->turn_count)
		printf("No verdict turns in this range.\n");
	for (size_t i = 0; i < course->count; i++)
		if (course->scan.faults[i])
			printf("%-14s cannot be computed: %s\n", swept_value(report->arena, course, course->grid[i]),
				course->scan.faults[i]);
}

static int write_documents(struct sweep_report *report, const char *output, bool quiet)
{
	const char *folder = unit_folder(report->arena, output, report->unit.number);
	const char *page = arena_format(report->arena, "%s/sweep.html", folder);
	int status = write_whole(report->arena, page, write_page, report);
	if (status == STATUS_FINE)
		status = write_whole(
			report->arena, arena_format(report->arena, "%s/sweep.csv", folder), write_csv_file, report);
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
		print_text(&report);
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
