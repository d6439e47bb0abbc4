#include "command/commands.h"

#include <stdio.h>
#include <string.h>

#include "base/count.h"
#include "base/output.h"
#include "command/options.h"
#include "import/book.h"
#include "read/document.h"
#include "write/write_book.h"

static const char help[] =
	"usage: leanrich book FILE.xml --output FILE.xlsx\n"
	"       leanrich book FILE.xlsx [--output FILE.xml]\n"
	"\n"
	"A description as a workbook, a sheet for each kind of item, to be edited in a spreadsheet, and back again: "
	"the\n"
	"review of what comes back is the same. A workbook is known by its content, not by its name.\n"
	"\n"
	"  --output FILE      write there; a workbook needs it, a description goes to standard output without it\n"
	"  --help             this text\n"
	"\n"
	"Exit status: 0 done, 1 done but some sheets are passed over, 2 bad command line, 3 the file cannot be used,\n"
	"4 cannot read or write.\n";

struct asked {
	const char *output;
};

static bool write_text(const void *data, FILE *out)
{
	return fputs(data, out) != EOF;
}

static int write_workbook(struct workspace *workspace, const struct document *document, const char *path)
{
	struct output output = output_open(&workspace->arena, path);
	bool whole = output.stream && write_book_in_child(document, output.temporary);
	if (output.stream && output_close(&workspace->arena, &output, whole))
		return STATUS_FINE;
	return cannot_write(path, output.reason);
}

static int to_workbook(struct workspace *workspace, const char *path, const struct text *bytes, const char *output)
{
	struct document document =
		document_parse(&workspace->arena, path, bytes->data, bytes->length, &workspace->problems);
	document_check(&document, workspace->vocabulary, &workspace->problems);
	bool sound =
		document.tree && workspace->problems.count == 0 && write_book_fits(&document, &workspace->problems);
	int status = sound ? write_workbook(workspace, &document, output) : report_problems(&workspace->problems);
	document_release(&document);
	return status;
}

/* What the cells say is a description by now; that it is one is asked once more of the schema. */
static bool is_sound(struct workspace *workspace, const char *text)
{
	struct document document =
		document_parse(&workspace->arena, "the description", text, strlen(text), &workspace->problems);
	document_check(&document, workspace->vocabulary, &workspace->problems);
	document_release(&document);
	return workspace->problems.count == 0;
}

static int to_description(struct workspace *workspace, const char *path, const struct text *bytes, const char *output)
{
	struct problems doubts = {.arena = &workspace->arena};
	struct workbook workbook;
	const char *text = NULL;
	if (workbook_parse(
		    &workspace->arena, path, bytes->data, bytes->length, &workspace->problems, &doubts, &workbook))
		text = book_read(&workspace->arena, &workbook, workspace->vocabulary, &workspace->problems, &doubts);
	report_problems(&doubts);
	if (!text || !is_sound(workspace, text))
		return report_problems(&workspace->problems);
	int status = output		   ? write_whole(&workspace->arena, output, write_text, text)
		: write_text(text, stdout) ? STATUS_FINE
					   : STATUS_IO;
	return status == STATUS_FINE && doubts.count ? STATUS_FINDINGS : status;
}

static bool is_workbook(const struct text *bytes)
{
	return bytes->length >= 2 && memcmp(bytes->data, "PK", 2) == 0;
}

static int run(struct workspace *workspace, const char *path, const struct asked *asked)
{
	struct text bytes;
	if (!document_bytes(&workspace->arena, path, &workspace->problems, &bytes))
		return report_problems(&workspace->problems);
	if (is_workbook(&bytes))
		return to_description(workspace, path, &bytes, asked->output);
	if (!asked->output)
		return usage_fault("book", "--output is needed for the workbook");
	return to_workbook(workspace, path, &bytes, asked->output);
}

static bool ask(struct command_line *line, struct asked *asked)
{
	*asked = (struct asked){.output = NULL};
	const struct option_row rows[] = {{"output", &asked->output, NULL}};
	if (!options_read(line, rows, COUNT(rows)))
		return false;
	return line->first + 1 == line->argc || options_fault(line, "one description or workbook is needed");
}

bool book_can_run(struct command_line *line)
{
	struct asked asked;
	return ask(line, &asked);
}

int command_book(int argc, char **argv)
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
