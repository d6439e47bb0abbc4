#include "command/commands.h"

#include "base/count.h"
#include "command/options.h"
#include "revamp/write_plan.h"

static const char help[] =
	"usage: leanrich plan [OPTION...] DESIGN.xml\n"
	"\n"
	"The smallest sets of changes that clear everything to resolve, out of the changes that remedies name "
	"(leanrich\n"
	"rules --changes). Every change is tried by itself, and each set that is printed is reviewed in full: what it\n"
	"leaves, and what it brings. Changes that only state that something is provided or has been shown are counted\n"
	"apart. Fewest is not cheapest: the cost stays with the reader. A large unit takes a minute or more.\n"
	"\n"
	"  --justify          clear what is to be justified as well\n"
	"  --tried            print what each change does by itself as well\n"
	"  --profile NAME, --rules DIR   as for review\n"
	"  --json             print the JSON record instead\n"
	"  --help             this text\n"
	"\n"
	"Exit status: 0 all of it can be cleared, 1 not all of it, or nothing could be judged, 2 bad command line,\n"
	"3 design or rules unusable, 4 cannot write.\n";

struct asked {
	const char *profile, *rules;
	bool justify, tried, json;
};

static bool ask(struct command_line *line, struct asked *asked)
{
	*asked = (struct asked){.profile = NULL};
	const struct option_row rows[] = {{"profile", &asked->profile, NULL}, {"rules", &asked->rules, NULL},
		{"justify", NULL, &asked->justify}, {"tried", NULL, &asked->tried}, {"json", NULL, &asked->json}};
	if (!options_read(line, rows, COUNT(rows)))
		return false;
	return line->first + 1 == line->argc || options_fault(line, "one design is needed");
}

bool plan_can_run(struct command_line *line)
{
	struct asked asked;
	return ask(line, &asked);
}

static int run(struct workspace *workspace, const struct asked *asked, const char *path)
{
	const struct table *table;
	const struct element *unit = workspace_read(workspace, path, &table);
	if (!unit)
		return report_problems(&workspace->problems);
	struct plan plan = plan_make(
		&workspace->arena, unit, workspace->catalogue, asked->justify ? ACTION_JUSTIFY : ACTION_RESOLVE);
	const struct plan_report report = {
		.arena = &workspace->arena, .plan = &plan, .unit = record_unit_of(table, path)};
	if (asked->json ? !write_plan_json(&report, stdout) : !write_plan_text(&report, asked->tried, stdout))
		return STATUS_IO;
	bool cleared = plan.judged && !plan.left_out && (!plan.goal_count || (plan.set_count && plan.sets[0].clears));
	return cleared ? STATUS_FINE : STATUS_FINDINGS;
}

int command_plan(int argc, char **argv)
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
