#include "command/commands.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "command/options.h"
#include "pipeline/stages.h"
#include "revamp/write_compare.h"

static const char help[] =
	"usage: leanrich compare [OPTION...] BASE.xml REVAMP.xml\n"
	"\n"
	"Reviews both and says which findings are new, worse, better or resolved, and which inputs moved each: traced "
	"through\n"
	"the working, and by putting one group of inputs at a time back to the base. Items are matched by tag; one "
	"that was\n"
	"renamed says so with was=\"OLD TAG\". Writes reports/<unit>/compare.html and compare.json and a summary.\n"
	"\n"
	"  --fail-on ACTION   exit 1 when something new or worse is open at or above: resolve (default), justify, "
	"consider\n"
	"  --profile NAME, --rules DIR, --output DIR   as for review\n"
	"  --json             print the JSON record instead and write no files (unless --output is given)\n"
	"  --quiet            no summary\n"
	"  --help             this text\n";

struct asked {
	const char *output, *fail_on_word, *profile, *rules;
	enum action fail_on;
	bool json, quiet;
};

static int status_of(const struct comparison *comparison, enum action fail_on)
{
	for (size_t i = 0; i < comparison->count; i++) {
		const struct change_row *row = &comparison->rows[i];
		if ((row->change == CHANGE_NEW || row->change == CHANGE_WORSE) && change_action(row) <= fail_on)
			return STATUS_FINDINGS;
	}
	return STATUS_FINE;
}

static int write_documents(struct arena *arena, const struct comparison *comparison, const struct asked *asked)
{
	const char *folder = unit_folder(arena, asked->output, comparison->revamp->number);
	const char *page = arena_format(arena, "%s/compare.html", folder);
	int status = write_whole(arena, page, write_compare_html, comparison);
	if (status == STATUS_FINE)
		status = write_whole(
			arena, arena_format(arena, "%s/compare.json", folder), write_compare_json, comparison);
	if (status == STATUS_FINE && !asked->quiet && !asked->json)
		printf("%s\n", page);
	return status;
}

static int run(struct workspace *workspace, char **paths, const struct asked *asked)
{
	struct arena *arena = &workspace->arena;
	struct resolved_unit read[2];
	const struct review *reviews[2];
	bool sound = true;
	for (int i = 0; i < 2; i++)
		sound = stages_read_file(arena, paths[i], workspace->vocabulary, workspace->catalogue,
				&workspace->problems, &read[i]) &&
			sound;
	if (!sound)
		return report_problems(&workspace->problems);
	for (int i = 0; i < 2; i++)
		reviews[i] = stages_review(arena, paths[i], &read[i], workspace->catalogue);
	struct differences differences = differences_of(arena, read[0].unit, read[1].unit);
	struct comparison comparison = compare_reviews(arena, reviews[0], reviews[1], &differences);
	int status = STATUS_FINE;
	if (asked->json)
		status = write_compare_json(&comparison, stdout) ? STATUS_FINE : STATUS_IO;
	else if (!asked->quiet)
		write_compare_text(&comparison, stdout);
	if (status == STATUS_FINE && (!asked->json || asked->output))
		status = write_documents(arena, &comparison, asked);
	return status == STATUS_FINE ? status_of(&comparison, asked->fail_on) : status;
}

static bool ask(struct command_line *line, struct asked *asked)
{
	*asked = (struct asked){.fail_on_word = "resolve"};
	const struct option_row rows[] = {{"fail-on", &asked->fail_on_word, NULL}, {"profile", &asked->profile, NULL},
		{"rules", &asked->rules, NULL}, {"output", &asked->output, NULL}, {"json", NULL, &asked->json},
		{"quiet", NULL, &asked->quiet}};
	if (!options_read(line, rows, COUNT(rows)))
		return false;
	if (!action_from_word(asked->fail_on_word, &asked->fail_on) || asked->fail_on == ACTION_STATE)
		return options_fault(line, "--fail-on %s: allowed are resolve, justify, consider", asked->fail_on_word);
	return line->first + 2 == line->argc || options_fault(line, "two designs are needed, the base and the revamp");
}

bool compare_can_run(struct command_line *line)
{
	struct asked asked;
	return ask(line, &asked);
}

int command_compare(int argc, char **argv)
{
	struct command_line line = {.argc = argc, .argv = argv};
	struct asked asked;
	struct workspace workspace;
	if (!ask(&line, &asked))
		return options_end(&line, help);
	int status = workspace_open(&workspace, asked.rules, asked.profile) ? run(&workspace, argv + line.first, &asked)
									    : report_problems(&workspace.problems);
	workspace_close(&workspace);
	return finish_output(status);
}
