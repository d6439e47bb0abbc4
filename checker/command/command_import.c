#include "command/commands.h"

#include <string.h>

#include "base/count.h"
#include "base/embedded.h"
#include "command/import_onto.h"
#include "command/options.h"
#include "import/line_list.h"
#include "import/package.h"
#include "import/propose.h"
#include "pipeline/stages.h"

static const char help[] =
	"usage: leanrich import FILE... --map MAP.xml [OPTION...]\n"
	"       leanrich import FILE... --propose [OPTION...]\n"
	"\n"
	"A draft description from the sheets of a package, CSV or workbooks (XLSX), by a map that says which "
	"sheet lists what,\n"
	"which heading is which attribute, in which unit, and what its words mean. The draft goes to standard "
	"output; every cell\n"
	"that did not simply arrive is listed on standard error: what had to be interpreted, and what was left "
	"out.\n"
	"\n"
	"  --map FILE         the map: `leanrich help sheets`\n"
	"  --propose          write a map instead, from headings and values; every guess is listed with its "
	"confidence\n"
	"  --output FILE, -o  write there instead\n"
	"  --onto FILE        merge the draft into this description, edited since it was a draft\n"
	"  --base FILE        the draft that its editing started from\n"
	"  --quiet            no counts\n"
	"  --help             this text\n"
	"\n"
	"Exit status: 0 every cell was plain, 1 some are doubtful, 2 bad command line, 3 the sheets "
	"or the map cannot be used,\n"
	"4 cannot read or write.\n";

static bool write_draft(const void *data, FILE *out)
{
	return fputs(data, out) != EOF;
}

struct asked {
	const char *map, *output, *onto, *base;
	bool quiet, propose;
};

struct importing {
	struct workspace *workspace;
	const struct asked *asked;
	char **files;
	size_t count;
	struct problems doubts;
	struct workbook *workbooks;
};

static int write_out(const struct importing *importing, const char *text)
{
	const char *output = importing->asked->output;
	return output			    ? write_whole(&importing->workspace->arena, output, write_draft, text)
		: write_draft(text, stdout) ? STATUS_FINE
					    : STATUS_IO;
}

/* The draft, or what it changes in the description that was made of the one before. */
static int put_draft(const struct importing *importing, const char *draft)
{
	const struct asked *asked = importing->asked;
	const struct onto onto = {
		.base = asked->base, .edited = asked->onto, .output = asked->output, .quiet = asked->quiet};
	return asked->onto ? import_onto(importing->workspace, &onto, "the new draft", draft)
			   : write_out(importing, draft);
}

static int with_doubts(struct importing *importing, int status)
{
	return status == STATUS_FINE && importing->doubts.count ? STATUS_FINDINGS : status;
}

/* A map without sheets is that of one line list. */
static int import_list(struct importing *importing, const struct element *map)
{
	struct workspace *workspace = importing->workspace;
	if (importing->count != 1 || !importing->workbooks[0].count) {
		problem_add(
			&workspace->problems, PROBLEM_MISSING, map->place, "a map without sheets is for one line list");
		return report_problems(&workspace->problems);
	}
	struct line_list list = line_list_read(&workspace->arena, &importing->workbooks[0].sheets[0], map,
		workspace->vocabulary, &workspace->problems, &importing->doubts);
	if (!list.draft)
		return report_problems(&workspace->problems);
	report_problems(&importing->doubts);
	int status = put_draft(importing, list.draft);
	if (!importing->asked->quiet)
		fprintf(stderr, "%zu lines, %zu row%s left out; %zu cells, %zu doubtful\n", list.lines, list.left_out,
			list.left_out == 1 ? "" : "s", list.cells, importing->doubts.count);
	return with_doubts(importing, status);
}

/* The draft as a description, or NULL with what is wrong with it: such a one is not written. */
static const struct element *read_draft(struct importing *importing, const char *draft)
{
	struct workspace *workspace = importing->workspace;
	const char *name = importing->asked->output ? importing->asked->output : "draft";
	const struct element *unit = element_parse_up_to(&workspace->arena, name, draft, strlen(draft),
		DOCUMENT_MOST_OF_DRAFT, workspace->vocabulary, &workspace->problems);
	return workspace->problems.count ? NULL : unit;
}

/* A draft that no review takes whole is written all the same: it is a package's own size, and can be divided. */
static bool say_too_large(struct importing *importing, const struct element *unit)
{
	size_t count = element_count(unit);
	struct problems large = {.arena = &importing->workspace->arena};
	if (count <= DOCUMENT_MOST_ELEMENTS)
		return false;
	problem_add(&large, PROBLEM_TOO_LARGE, (struct place){.file = unit->place.file},
		"the draft has %zu elements and a review takes %d: divide it, a description for each train or area: "
		"import their sheets one by one, or take the others out of the map with lists=\"-\"",
		count, DOCUMENT_MOST_ELEMENTS);
	report_problems(&large);
	return true;
}

/* What the draft as a description lacks or contradicts is no reason to withhold it, but is said. */
static void say_lacks(struct importing *importing, const struct element *unit)
{
	struct problems of_draft = {.arena = &importing->workspace->arena};
	stages_resolve(&importing->workspace->arena, unit, &of_draft);
	report_problems(&of_draft);
}

static int import_package(struct importing *importing, const struct element *map)
{
	struct workspace *workspace = importing->workspace;
	struct arena *arena = &workspace->arena;
	struct text files = text_in(arena);
	for (size_t i = 0; i < importing->count; i++)
		text_addf(&files, "%s%s", i ? ", " : "", importing->files[i]);
	struct package package = {.arena = arena,
		.vocabulary = workspace->vocabulary,
		.words = words_open(arena),
		.map = map,
		.faults = &workspace->problems,
		.doubts = &importing->doubts};
	package.draft = (struct draft){.arena = arena,
		.unit = vocabulary_root(workspace->vocabulary, "unit"),
		.number = element_attribute_or(map, "number", "draft"),
		.name = element_attribute_or(map, "name", "Draft from sheets"),
		.amine = element_attribute(map, "amine"),
		.files = files.data};
	package_read(&package, importing->workbooks, importing->count);
	if (workspace->problems.count)
		return report_problems(&workspace->problems);
	const char *draft = draft_write(&package.draft);
	report_problems(&importing->doubts);
	const struct element *unit = read_draft(importing, draft);
	if (!unit)
		return report_problems(&workspace->problems);
	int status = put_draft(importing, draft);
	bool large = say_too_large(importing, unit);
	if (!importing->asked->onto && !large)
		say_lacks(importing, unit);
	size_t all = package.arrived + package.interpreted + package.left;
	if (!importing->asked->quiet)
		fprintf(stderr, "%zu cells with meaning: %zu arrived, %zu interpreted, %zu left\n", all,
			package.arrived, package.interpreted, package.left);
	return large && status == STATUS_FINE ? STATUS_FINDINGS : with_doubts(importing, status);
}

static int propose(struct importing *importing)
{
	struct workspace *workspace = importing->workspace;
	const char *map = propose_map(
		&workspace->arena, workspace->vocabulary, importing->workbooks, importing->count, &importing->doubts);
	report_problems(&importing->doubts);
	int status = write_out(importing, map);
	if (!importing->asked->quiet)
		fprintf(stderr, "%zu guesses\n", importing->doubts.count);
	return with_doubts(importing, status);
}

static bool map_has_sheets(const struct element *map)
{
	return element_child(map, "sheet") != NULL;
}

static int run(struct importing *importing)
{
	struct workspace *workspace = importing->workspace;
	struct arena *arena = &workspace->arena;
	const struct embedded_file *schema = embedded_find("checker/import/map.xsd");
	const struct vocabulary *language = vocabulary_read(arena, (const char *)schema->data, schema->size, "map");
	const struct element *map = importing->asked->map
		? element_read(arena, importing->asked->map, language, &workspace->problems)
		: NULL;
	importing->workbooks = arena_alloc(arena, importing->count * sizeof *importing->workbooks);
	importing->doubts.arena = arena;
	for (size_t i = 0; i < importing->count; i++)
		workbook_read(
			arena, importing->files[i], &workspace->problems, &importing->doubts, &importing->workbooks[i]);
	if (workspace->problems.count)
		return report_problems(&workspace->problems);
	return !map		      ? propose(importing)
		: map_has_sheets(map) ? import_package(importing, map)
				      : import_list(importing, map);
}

static bool ask(struct command_line *line, struct asked *asked)
{
	*asked = (struct asked){.map = NULL};
	const struct option_row rows[] = {{"map", &asked->map, NULL}, {"output", &asked->output, NULL},
		{"quiet", NULL, &asked->quiet}, {"propose", NULL, &asked->propose}, {"onto", &asked->onto, NULL},
		{"base", &asked->base, NULL}};
	if (!options_read(line, rows, COUNT(rows)))
		return false;
	if (!asked->onto != !asked->base || (asked->onto && asked->propose))
		return options_fault(line, "--onto and --base belong together, and to a draft");
	return (line->first < line->argc && !asked->map != !asked->propose) ||
		options_fault(line, "sheets are needed, and one of --map and --propose");
}

bool import_can_run(struct command_line *line)
{
	struct asked asked;
	return ask(line, &asked);
}

int command_import(int argc, char **argv)
{
	struct command_line line = {.argc = argc, .argv = argv};
	struct asked asked;
	if (!ask(&line, &asked))
		return options_end(&line, help);
	struct workspace workspace = {.catalogue = NULL};
	workspace.problems.arena = &workspace.arena;
	workspace.vocabulary = unit_vocabulary(&workspace.arena);
	struct importing importing = {.workspace = &workspace,
		.asked = &asked,
		.files = argv + line.first,
		.count = (size_t)(line.argc - line.first)};
	int status = run(&importing);
	workspace_close(&workspace);
	return finish_output(status);
}
