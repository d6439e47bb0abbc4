#include "command/commands.h"

#include <string.h>
#include <unistd.h>

#include "base/count.h"
#include "base/parallel.h"
#include "command/options.h"
#include "read/document.h"
#include "revamp/portfolio.h"

static const char help[] =
	"usage: leanrich portfolio [OPTION...] DESIGN.xml...\n"
	"       leanrich portfolio --collate [OPTION...] RECORDS...\n"
	"\n"
	"Reviews many descriptions and ranks them by what is open in each and by family of rules. One that cannot be "
	"reviewed\n"
	"is listed with the reason and stops no other. Writes reports/portfolio.html and reports/portfolio.csv.\n"
	"\n"
	"  --files-from FILE  more descriptions, one path a line; - is standard input. With --collate: those that "
	"should\n"
	"                     have records; one that has none is listed as not reviewed\n"
	"  --jobs N           processes at once (default: one for each core); the result is the same for any number\n"
	"  --slice K/N        only every N-th description, beginning with the K-th (1 to N)\n"
	"  --records FILE     write one line of JSON for each description instead of the documents; - is standard "
	"output\n"
	"  --collate          the arguments are files of such lines: put them together; a record that comes twice is\n"
	"                     told, and shown twice\n"
	"  --profile NAME, --rules DIR, --output DIR   as for review\n"
	"  --quiet            no summary\n"
	"  --help             this text\n"
	"\n"
	"Exit status: 3 or 4 when some description could not be used or read, as for review; else 0.\n";

struct asked {
	const char *files_from, *jobs_word, *slice_word, *records, *output, *profile, *rules;
	size_t jobs;	  /* 0: one for each core */
	size_t which, of; /* of the slices; 0: no slice */
	bool collate, quiet;
};

struct list {
	const char **rows;
	size_t count, capacity;
	struct place *places; /* of the rows that were lines of a file; of as many as are counted */
	size_t placed, place_capacity;
};

static void add(struct arena *arena, struct list *list, const char *row)
{
	list->rows = arena_grow(arena, list->rows, list->count, &list->capacity, sizeof *list->rows);
	list->rows[list->count++] = row;
}

static void add_place(struct arena *arena, struct list *list, struct place place)
{
	list->places = arena_grow(arena, list->places, list->placed, &list->place_capacity, sizeof *list->places);
	list->places[list->placed++] = place;
}

/* The lines of a file that are not empty; with `records`, each has to be one. False after reporting what is wrong. */
static bool add_lines(struct workspace *workspace, struct list *list, const char *path, bool records)
{
	struct place place = {.file = path, .line = 1, .column = 1};
	bool good = true;
	struct text bytes;
	if (!document_text(&workspace->arena, path, &workspace->problems, &bytes))
		return false;
	for (const char *at = bytes.data; *at;) {
		size_t length = strcspn(at, "\r\n");
		const char *line = arena_copy_span(&workspace->arena, at, length);
		if (length)
			add(&workspace->arena, list, line);
		if (length && records) {
			good = portfolio_check_line(line, place, &workspace->problems) && good;
			add_place(&workspace->arena, list, place);
		}
		at += length;
		place.line += *at == '\n';
		at += *at != '\0';
	}
	return good;
}

/* "3/16"; false when it is written otherwise. */
static bool read_slice(struct arena *arena, const char *slice, size_t *which, size_t *of)
{
	enum { SLICES_MOST = 1000000 };
	const char *slash = strchr(slice, '/');
	return slash && options_whole(slash + 1, 1, SLICES_MOST, of) &&
		options_whole(arena_copy_span(arena, slice, (size_t)(slash - slice)), 1, *of, which);
}

static void take_slice(struct list *list, size_t which, size_t of)
{
	size_t kept = 0;
	for (size_t i = which - 1; i < list->count; i += of)
		list->rows[kept++] = list->rows[i];
	list->count = kept;
}

static bool write_records(const void *data, FILE *out)
{
	const struct list *lines = data;
	for (size_t i = 0; i < lines->count; i++)
		if (fprintf(out, "%s\n", lines->rows[i]) < 0)
			return false;
	return true;
}

static int print_records(struct workspace *workspace, const char *path, const struct list *lines)
{
	if (strcmp(path, "-") != 0)
		return write_whole(&workspace->arena, path, write_records, lines);
	return write_records(lines, stdout) ? STATUS_FINE : STATUS_IO;
}

static int status_of(const struct portfolio *portfolio)
{
	int status = STATUS_FINE;
	for (size_t i = 0; i < portfolio->failed_count; i++) {
		int one = portfolio->failed[i].unreadable ? STATUS_IO : STATUS_UNUSABLE;
		status = one > status ? one : status;
	}
	return status;
}

static int write_documents(struct workspace *workspace, const struct asked *asked, const struct list *lines)
{
	struct portfolio portfolio = portfolio_of(&workspace->arena, lines->rows, lines->count);
	const char *folder = asked->output ? asked->output : "reports";
	const char *page = arena_format(&workspace->arena, "%s/portfolio.html", folder);
	int status = STATUS_FINE;
	if (asked->records)
		status = print_records(workspace, asked->records, lines);
	else
		status = write_whole(&workspace->arena, page, write_portfolio_html, &portfolio);
	if (status == STATUS_FINE && !asked->records)
		status = write_whole(&workspace->arena, arena_format(&workspace->arena, "%s/portfolio.csv", folder),
			write_portfolio_csv, &portfolio);
	if (status == STATUS_FINE && !asked->records && !asked->quiet)
		write_portfolio_text(&portfolio, page, stdout);
	return status == STATUS_FINE ? status_of(&portfolio) : status;
}

static int review_all(struct workspace *workspace, const struct asked *asked, struct list *paths)
{
	long cores = sysconf(_SC_NPROCESSORS_ONLN);
	size_t jobs = asked->jobs ? asked->jobs : cores > 0 ? (size_t)cores : 1;
	parallel_limit(1); /* each job has one processor */
	if (asked->of)
		take_slice(paths, asked->which, asked->of);
	struct list lines = {.count = paths->count};
	lines.rows = arena_alloc(&workspace->arena, (paths->count + 1) * sizeof *lines.rows);
	if (!portfolio_lines(&workspace->arena, paths->rows, paths->count, workspace->vocabulary, workspace->catalogue,
		    jobs, lines.rows)) {
		fprintf(stderr, "leanrich portfolio: no process can be started\n");
		return STATUS_IO;
	}
	return write_documents(workspace, asked, &lines);
}

/* What was to be reviewed and has no record: its task did not end. Nobody would miss it otherwise. */
static void add_missing(struct workspace *workspace, struct list *lines, const struct list *expected)
{
	const char **missing = arena_alloc(&workspace->arena, (expected->count + 1) * sizeof *missing);
	size_t count = portfolio_missing(
		&workspace->arena, lines->rows, lines->count, expected->rows, expected->count, missing);
	for (size_t i = 0; i < count; i++)
		add(&workspace->arena, lines,
			portfolio_failed_line(&workspace->arena, missing[i],
				"no record of it: whoever was to make it did not end", false));
}

static int run(struct workspace *workspace, const struct asked *asked, char **arguments)
{
	struct list list = {.count = 0}, expected = {.count = 0};
	bool good = true;
	for (; *arguments; arguments++)
		if (asked->collate)
			good = add_lines(workspace, &list, *arguments, true) && good;
		else
			add(&workspace->arena, &list, *arguments);
	if (asked->files_from)
		good = add_lines(workspace, asked->collate ? &expected : &list, asked->files_from, false) && good;
	if (!good)
		return report_problems(&workspace->problems);
	if (!asked->collate)
		return review_all(workspace, asked, &list);
	portfolio_check_twice(&workspace->arena, list.rows, list.places, list.placed, &workspace->problems);
	if (workspace->problems.count)
		report_problems(&workspace->problems);
	add_missing(workspace, &list, &expected);
	return write_documents(workspace, asked, &list);
}

static bool ask(struct command_line *line, struct asked *asked)
{
	enum { JOBS_MOST = 1024 };
	*asked = (struct asked){.collate = false};
	const struct option_row rows[] = {{"files-from", &asked->files_from, NULL}, {"jobs", &asked->jobs_word, NULL},
		{"slice", &asked->slice_word, NULL}, {"records", &asked->records, NULL},
		{"output", &asked->output, NULL}, {"profile", &asked->profile, NULL}, {"rules", &asked->rules, NULL},
		{"collate", NULL, &asked->collate}, {"quiet", NULL, &asked->quiet}};
	if (!options_read(line, rows, COUNT(rows)))
		return false;
	if (line->first == line->argc && !asked->files_from)
		return options_fault(line, "which designs?");
	if (asked->jobs_word && !options_whole(asked->jobs_word, 1, JOBS_MOST, &asked->jobs))
		return options_fault(line, "--jobs %s: a number from 1 to %d is needed", asked->jobs_word, JOBS_MOST);
	return !asked->slice_word || read_slice(&line->arena, asked->slice_word, &asked->which, &asked->of) ||
		options_fault(line, "--slice %s: K/N is needed, with K from 1 to N", asked->slice_word);
}

bool portfolio_can_run(struct command_line *line)
{
	struct asked asked;
	return ask(line, &asked);
}

int command_portfolio(int argc, char **argv)
{
	struct command_line line = {.argc = argc, .argv = argv};
	struct asked asked;
	struct workspace workspace;
	if (!ask(&line, &asked))
		return options_end(&line, help);
	int status = workspace_open(&workspace, asked.rules, asked.profile) ? run(&workspace, &asked, argv + line.first)
									    : report_problems(&workspace.problems);
	workspace_close(&workspace);
	arena_release(&line.arena);
	return finish_output(status);
}
