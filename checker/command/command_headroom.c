#include "command/commands.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "command/options.h"
#include "revamp/write_record.h"

static const char help[] =
	"usage: leanrich headroom [OPTION...] DESIGN.xml\n"
	"\n"
	"By what factor the flow can grow before each limit is reached, and what would move it. Every value that the "
	"flow\n"
	"drives is multiplied, in every operating case, and the whole computation run anew at each factor from 0.3 to "
	"3.\n"
	"Writes reports/<unit>/headroom.html and headroom.json and a summary to standard output.\n"
	"\n"
	"  --of DRIVER        circulation (default): what carries lean and rich solution; gas: what carries gas;\n"
	"                     throughput: both, with duties and steam\n"
	"  --no-moves         do not ask what would move the limits\n"
	"  --profile NAME, --rules DIR, --output DIR   as for review\n"
	"  --json             print the JSON record instead and write no files (unless --output is given)\n"
	"  --quiet            no summary\n"
	"  --help             this text\n";

/* ---- the command ---- */

static const char *const driver_words[] = {"circulation", "gas", "throughput"};

static bool driver_from_word(const char *word, enum driver *driver)
{
	for (int i = 0; i < (int)(COUNT(driver_words)); i++)
		if (text_same_nocase(word, driver_words[i])) {
			*driver = (enum driver)i;
			return true;
		}
	return false;
}

static int write_documents(const struct headroom_report *report, const char *output, bool quiet)
{
	const char *folder = unit_folder(report->arena, output, report->unit.number);
	const char *page = arena_format(report->arena, "%s/headroom.html", folder);
	int status = write_whole(report->arena, page, write_headroom_html, report);
	if (status == STATUS_FINE)
		status = write_whole(report->arena, arena_format(report->arena, "%s/headroom.json", folder),
			write_headroom_json, report);
	if (status == STATUS_FINE && !quiet)
		printf("%s\n", page);
	return status;
}

struct asked {
	const char *of, *profile, *rules, *output;
	enum driver driver;
	bool json, no_moves, quiet;
};

static bool ask(struct command_line *line, struct asked *asked)
{
	*asked = (struct asked){.of = "circulation"};
	const struct option_row rows[] = {{"of", &asked->of, NULL}, {"profile", &asked->profile, NULL},
		{"rules", &asked->rules, NULL}, {"output", &asked->output, NULL}, {"json", NULL, &asked->json},
		{"no-moves", NULL, &asked->no_moves}, {"quiet", NULL, &asked->quiet}};
	if (!options_read(line, rows, COUNT(rows)))
		return false;
	if (!driver_from_word(asked->of, &asked->driver))
		return options_fault(line, "--of %s: allowed are circulation, gas, throughput", asked->of);
	return line->first + 1 == line->argc || options_fault(line, "one design is needed");
}

bool headroom_can_run(struct command_line *line)
{
	struct asked asked;
	return ask(line, &asked);
}

int command_headroom(int argc, char **argv)
{
	struct command_line line = {.argc = argc, .argv = argv};
	struct asked asked;
	int status = STATUS_FINE;
	if (!ask(&line, &asked))
		return options_end(&line, help);
	struct workspace workspace;
	const struct table *table = NULL;
	const struct element *unit = workspace_open(&workspace, asked.rules, asked.profile)
		? workspace_read(&workspace, argv[line.first], &table)
		: NULL;
	if (!unit) {
		status = report_problems(&workspace.problems);
		workspace_close(&workspace);
		return status;
	}
	struct headroom headroom =
		headroom_of(&workspace.arena, unit, table, workspace.catalogue, asked.driver, !asked.no_moves);
	struct headroom_report report = {.arena = &workspace.arena,
		.headroom = &headroom,
		.driver = driver_words[asked.driver],
		.unit = record_unit_of(table, argv[line.first])};
	if (asked.json)
		status = write_headroom_json(&report, stdout) ? STATUS_FINE : STATUS_IO;
	else if (!asked.quiet)
		write_headroom_text(&report, stdout);
	if (status == STATUS_FINE && (!asked.json || asked.output))
		status = write_documents(&report, asked.output, asked.json || asked.quiet);
	workspace_close(&workspace);
	return finish_output(status);
}
