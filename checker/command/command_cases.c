#include "command/commands.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "command/options.h"
#include "revamp/write_cases.h"

static const char help[] =
	"usage: leanrich cases [OPTION...] DESIGN.xml\n"
	"\n"
	"Operating cases that the package leaves out, the circuit solved in each by the program, and the verdicts "
	"that\n"
	"turn: hottest site, lean cooling or condenser lost, exchanger fouled, turndown, richer feed, absorbers at "
	"their\n"
	"worst at once, 10 % more flow. Cases that the package states are solved beside what it states. Screening.\n"
	"Writes reports/<unit>/cases.html and cases.json and a summary to standard output. More: leanrich help cases.\n"
	"\n"
	"  --air TEMPERATURE, --water TEMPERATURE\n"
	"                     of the site in the hottest case: \"45 degC\" (default: 10 K and 5 K over the first "
	"case)\n"
	"  --profile NAME, --rules DIR, --output DIR   as for review\n"
	"  --json             print the JSON record instead and write no files (unless --output is given)\n"
	"  --quiet            no summary\n"
	"  --help             this text\n";

struct asked {
	const char *air, *water, *profile, *rules, *output;
	bool json, quiet;
	struct cases_asked site;
};

/* K; NaN: not asked for. Faults go to the problems. */
static double temperature(struct arena *arena, const char *written, const char *option, struct problems *problems)
{
	const struct accepted accepted = {.kinds = {KIND_TEMPERATURE}, .count = 1};
	const struct place place = {.file = option};
	struct quantity found = {.si = (double)NAN};
	if (written && !quantity_parse(arena, written, "temperature", accepted, 0, place, problems, &found))
		return (double)NAN;
	return written ? found.si : (double)NAN;
}

/* False: what is no temperature is a fault of the command line. */
static bool ask_site(struct command_line *line, struct asked *asked)
{
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	struct text words = text_in(&arena);
	asked->site.air = temperature(&arena, asked->air, "--air", &problems);
	asked->site.water = temperature(&arena, asked->water, "--water", &problems);
	for (size_t i = 0; i < problems.count; i++)
		text_addf(&words, "%s%s: %s", i ? "; " : "", problems.rows[i].place.file, problems.rows[i].message);
	bool good = !problems.count || options_fault(line, "%s", words.data);
	arena_release(&arena);
	return good;
}

static bool ask(struct command_line *line, struct asked *asked)
{
	*asked = (struct asked){.air = NULL};
	const struct option_row rows[] = {{"air", &asked->air, NULL}, {"water", &asked->water, NULL},
		{"profile", &asked->profile, NULL}, {"rules", &asked->rules, NULL}, {"output", &asked->output, NULL},
		{"json", NULL, &asked->json}, {"quiet", NULL, &asked->quiet}};
	if (!options_read(line, rows, COUNT(rows)))
		return false;
	if (line->first + 1 != line->argc)
		return options_fault(line, "one design is needed");
	return ask_site(line, asked);
}

bool cases_can_run(struct command_line *line)
{
	struct asked asked;
	return ask(line, &asked);
}

static int write_out(struct workspace *workspace, const struct asked *asked, const struct cases_report *report)
{
	int status = STATUS_FINE;
	if (asked->json)
		status = write_cases_json(report, stdout) ? STATUS_FINE : STATUS_IO;
	else if (!asked->quiet)
		write_cases_text(report, stdout);
	if (status != STATUS_FINE || (asked->json && !asked->output))
		return status;
	const char *folder = unit_folder(&workspace->arena, asked->output, report->unit.number);
	const char *page = arena_format(&workspace->arena, "%s/cases.html", folder);
	status = write_whole(&workspace->arena, page, write_cases_html, report);
	if (status == STATUS_FINE)
		status = write_whole(&workspace->arena, arena_format(&workspace->arena, "%s/cases.json", folder),
			write_cases_json, report);
	if (status == STATUS_FINE && !asked->json && !asked->quiet)
		printf("%s\n", page);
	return status;
}

int command_cases(int argc, char **argv)
{
	struct command_line line = {.argc = argc, .argv = argv};
	struct asked asked;
	if (!ask(&line, &asked))
		return options_end(&line, help);
	struct workspace workspace;
	const struct table *table = NULL;
	bool open = workspace_open(&workspace, asked.rules, asked.profile);
	const struct element *unit = open ? workspace_read(&workspace, argv[line.first], &table) : NULL;
	int status = STATUS_FINE;
	if (!unit || workspace.problems.count) {
		status = report_problems(&workspace.problems);
	} else {
		struct cases cases = cases_of(&workspace.arena, unit, table, workspace.catalogue, asked.site);
		const struct cases_report report = {
			.arena = &workspace.arena, .cases = &cases, .unit = record_unit_of(table, argv[line.first])};
		status = write_out(&workspace, &asked, &report);
	}
	workspace_close(&workspace);
	return finish_output(status);
}
