#include "command/commands.h"

#include <string.h>

#include "base/count.h"
#include "base/embedded.h"
#include "command/import_onto.h"
#include "command/options.h"
#include "import/line_list.h"
#include "read/document.h"

static const char help[] = "usage: leanrich import LINELIST.csv --map MAP.xml [OPTION...]\n"
			   "\n"
			   "A draft description from a line list in CSV, by a map that says which heading is which "
			   "attribute of a line, in which\n"
			   "unit, and what its words mean. The draft goes to standard output; every doubtful cell is "
			   "listed on standard error by\n"
			   "row and column: what had to be interpreted, and what was left out.\n"
			   "\n"
			   "  --map FILE         the map: `leanrich help sheets`\n"
			   "  --output FILE      write the draft there instead\n"
			   "  --onto FILE        merge the draft into this description, edited since it was a draft\n"
			   "  --base FILE        the draft that its editing started from\n"
			   "  --quiet            no counts\n"
			   "  --help             this text\n"
			   "\n"
			   "Exit status: 0 every cell was plain, 1 some are doubtful, 2 bad command line, 3 the list "
			   "or the map cannot be used,\n"
			   "4 cannot read or write.\n";

static bool write_draft(const void *data, FILE *out)
{
	return fputs(data, out) != EOF;
}

struct asked {
	const char *map, *output, *onto, *base;
	bool quiet;
};

static int merge_onto(struct workspace *workspace, const struct asked *asked, const char *path, const char *draft)
{
	const struct onto onto = {
		.base = asked->base, .edited = asked->onto, .output = asked->output, .quiet = asked->quiet};
	return import_onto(workspace, &onto, arena_format(&workspace->arena, "draft of %s", path), draft);
}

static int run(struct workspace *workspace, const char *path, const struct asked *asked)
{
	struct arena *arena = &workspace->arena;
	struct problems doubts = {.arena = arena};
	const struct embedded_file *schema = embedded_find("checker/import/map.xsd");
	const struct vocabulary *language = vocabulary_read(arena, (const char *)schema->data, schema->size, "map");
	const struct element *map = element_read(arena, asked->map, language, &workspace->problems);
	struct text bytes;
	bool read = document_text(arena, path, &workspace->problems, &bytes);
	if (!map || !read || workspace->problems.count)
		return report_problems(&workspace->problems);
	struct line_list list =
		line_list_read(arena, path, bytes.data, map, workspace->vocabulary, &workspace->problems, &doubts);
	if (!list.draft)
		return report_problems(&workspace->problems);
	report_problems(&doubts);
	int status = asked->onto		  ? merge_onto(workspace, asked, path, list.draft)
		: asked->output			  ? write_whole(arena, asked->output, write_draft, list.draft)
		: write_draft(list.draft, stdout) ? STATUS_FINE
						  : STATUS_IO;
	if (!asked->quiet)
		fprintf(stderr, "%zu lines, %zu row%s left out; %zu cells, %zu doubtful\n", list.lines, list.left_out,
			list.left_out == 1 ? "" : "s", list.cells, doubts.count);
	return status == STATUS_FINE && doubts.count ? STATUS_FINDINGS : status;
}

static bool ask(struct command_line *line, struct asked *asked)
{
	*asked = (struct asked){.map = NULL};
	const struct option_row rows[] = {{"map", &asked->map, NULL}, {"output", &asked->output, NULL},
		{"onto", &asked->onto, NULL}, {"base", &asked->base, NULL}, {"quiet", NULL, &asked->quiet}};
	if (!options_read(line, rows, COUNT(rows)))
		return false;
	if (!asked->onto != !asked->base)
		return options_fault(line, "--onto and --base belong together");
	return (line->first + 1 == line->argc && asked->map) ||
		options_fault(line, "one line list and --map are needed");
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
	int status = run(&workspace, argv[line.first], &asked);
	workspace_close(&workspace);
	return finish_output(status);
}
