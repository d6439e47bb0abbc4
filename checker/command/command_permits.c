#include "command/commands.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "command/command_review.h"
#include "command/options.h"
#include "revamp/write_permits.h"

static const char help[] =
	"usage: leanrich permits [OPTION...] DESIGN.xml\n"
	"\n"
	"What the package still permits: each verdict that is open for want of data, with values filled in so that "
	"no\n"
	"balance breaks; the worst such completion found; and the questions by what their answers could turn at "
	"worst.\n"
	"Prints them and writes no files.\n"
	"\n"
	"  --rule ID          only this rule\n"
	"  --item TAG         only this item\n"
	"  --tries N          completions for one verdict, 4 to 5000 (default 96)\n"
	"  --profile NAME, --rules DIR   as for review\n"
	"  --json             print the JSON record instead\n"
	"  --help             this text\n";

struct asked {
	const char *tries_word, *profile, *rules;
	struct permits_asked permits;
	bool json;
};

static bool ask(struct command_line *line, struct asked *asked)
{
	enum { FEWEST = 4, MOST = 5000 };
	*asked = (struct asked){.permits.tries = PERMITS_TRIES};
	const struct option_row rows[] = {{"rule", &asked->permits.rule, NULL}, {"item", &asked->permits.item, NULL},
		{"tries", &asked->tries_word, NULL}, {"profile", &asked->profile, NULL}, {"rules", &asked->rules, NULL},
		{"json", NULL, &asked->json}};
	if (!options_read(line, rows, COUNT(rows)))
		return false;
	if (asked->tries_word && !options_whole(asked->tries_word, FEWEST, MOST, &asked->permits.tries))
		return options_fault(line, "--tries %s: a number from 4 to 5000 is needed", asked->tries_word);
	return line->first + 1 == line->argc || options_fault(line, "one design is needed");
}

bool permits_can_run(struct command_line *line)
{
	struct asked asked;
	return ask(line, &asked);
}

static int print(const struct asked *asked, const struct reviewed *reviewed, struct arena *arena)
{
	const struct review *review = reviewed->review;
	struct permits_report report = {.arena = arena,
		.table = review->table,
		.unit = record_unit_of(review->table, review->file),
		.doubtful = doubtful_statements(arena, review->table),
		.permits = permits_of(arena, reviewed->read.unit, review, &asked->permits)};
	if (asked->json)
		return write_permits_json(&report, stdout) ? STATUS_FINE : STATUS_IO;
	write_permits_text(&report, stdout);
	return STATUS_FINE;
}

/* A rule or an item that is not there would silently leave nothing. */
static bool is_there(const struct asked *asked, const struct reviewed *reviewed)
{
	const struct permits_asked *permits = &asked->permits;
	if (permits->rule && !catalogue_rule(reviewed->review->catalogue, permits->rule))
		return usage_fault("permits", "--rule %s: there is no such rule", permits->rule) == STATUS_FINE;
	if (permits->item && !table_find(reviewed->review->table, permits->item))
		return usage_fault("permits", "--item %s: the unit has no such item", permits->item) == STATUS_FINE;
	return true;
}

static int run(struct workspace *workspace, const struct asked *asked, const char *path)
{
	struct reviewed reviewed = {.review = NULL};
	const struct description description = {.path = path};
	const struct review_options options = {.asked.no_samples = true};
	int status = review_make_one(&reviewed, &description, &options, workspace->vocabulary, workspace->catalogue)
		? STATUS_FINE
		: reviewed.status;
	if (reviewed.review)
		status = is_there(asked, &reviewed) ? print(asked, &reviewed, &workspace->arena) : STATUS_USAGE;
	arena_release(&reviewed.arena);
	return status;
}

int command_permits(int argc, char **argv)
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
