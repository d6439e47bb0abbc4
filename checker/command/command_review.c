#include "command/command_review.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "base/count.h"
#include "base/output.h"
#include "base/progress.h"
#include "base/text.h"
#include "command/options.h"
#include "command/places.h"
#include "pipeline/assumed.h"
#include "pipeline/compute_unit.h"
#include "pipeline/stages.h"
#include "pipeline/unsettled.h"
#include "read/document.h"
#include "record/review.h"
#include "record/round.h"
#include "revamp/remedy_tried.h"
#include "revamp/reply_tried.h"
#include "write/write.h"

static const char help[] =
	"usage: leanrich review [OPTION...] DESIGN.xml...\n"
	"\n"
	"Reviews the description of an amine unit and writes reports/<unit>/review.html, review.json and review.csv,\n"
	"and a summary to standard output. \"-\" reads the description from standard input.\n"
	"\n"
	"  --output DIR       write the reports below DIR instead of reports\n"
	"  --by-file          below DIR/<unit>/<file name>: for several descriptions of one unit in one run, which "
	"are\n"
	"                     refused else\n"
	"  --profile NAME     which published limits govern: default, strictest, example-company, or a file of your "
	"own\n"
	"  --rules DIR        add the rule packs (*.xml) of a folder\n"
	"  --case ID          judge one operating case only\n"
	"  --film-age TIME    age of the sulfide film for the lean-side analysis, \"25000 h\", instead of the one "
	"stated\n"
	"  --no-samples       leave out how far the scales of the lean-side analysis hold against what is uncertain\n"
	"  --remedies-tried   make every change that a remedy names on the description, by itself, and say beside it "
	"what it\n"
	"                     clears and breaks (takes several times as long; leanrich plan looks for sets of them)\n"
	"  --replies FILE     the action list of the last round with the designer's replies (CSV); one design only\n"
	"  --amended FILE     with --replies: write the description with the values that replies name there\n"
	"  --fail-on ACTION   exit 1 when something is open at or above: resolve (default), justify, consider, state\n"
	"  --pdf              write review.pdf too, by WeasyPrint, with the description attached\n"
	"  --paper SHEET      of the PDF: A4 (default) or letter\n"
	"  --xlsx             write review.xlsx too: the action list to be answered in a spreadsheet\n"
#define ASKED(name, help) help
#include "write/formats.def"
	"  --json             print the JSON record instead of the summary and write no files (unless --output is "
	"given)\n"
	"  --quiet            no summary\n"
	"  --help             this text\n"
	"\n"
	"Exit status: 0 nothing open at or above --fail-on, 1 findings, 2 bad command line, 3 design or rules "
	"unusable,\n"
	"4 cannot read or write.\n";

static bool read_film_age(const char *written, struct quantity *age)
{
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	const struct accepted duration = {{KIND_DURATION}, 1};
	const struct place place = {.file = "--film-age"};
	bool read = quantity_parse(&arena, written, "film age", duration, 0, place, &problems, age) &&
		age->bound == BOUND_NONE && age->si > 0;
	arena_release(&arena);
	age->written = written; /* the rest of what was read is in the arena no more */
	age->document = "";
	age->uncertainty = 0;
	return read;
}

bool review_ask(struct command_line *line, struct review_options *options)
{
	*options = (struct review_options){.paper = "A4", .fail_on_word = "resolve"};
	const struct option_row rows[] = {
		{"output", &options->output, NULL},
		{"profile", &options->profile, NULL},
		{"rules", &options->rules, NULL},
		{"case", &options->only_case, NULL},
		{"film-age", &options->film_age_word, NULL},
		{"replies", &options->replies, NULL},
		{"amended", &options->amended, NULL},
		{"fail-on", &options->fail_on_word, NULL},
		{"paper", &options->paper, NULL},
		{"pdf", NULL, &options->pdf},
		{"xlsx", NULL, &options->xlsx},
		{"json", NULL, &options->json},
		{"by-file", NULL, &options->by_file},
		{"remedies-tried", NULL, &options->remedies_tried},
		{"quiet", NULL, &options->quiet},
		{"no-samples", NULL, &options->asked.no_samples},
#define ASKED(name, help) {#name, NULL, &options->formats[FORMAT_##name]},
#include "write/formats.def"
	};
	if (!options_read(line, rows, COUNT(rows)))
		return false;
	if (options->film_age_word) {
		if (!read_film_age(options->film_age_word, &options->film_age))
			return options_fault(
				line, "--film-age %s: a time is needed, such as \"8000 h\"", options->film_age_word);
		options->asked.film_age = &options->film_age;
	}
	if (!text_same_nocase(options->paper, "A4") && !text_same_nocase(options->paper, "letter"))
		return options_fault(line, "--paper %s: allowed are A4, letter", options->paper);
	if (!action_from_word(options->fail_on_word, &options->fail_on))
		return options_fault(
			line, "--fail-on %s: allowed are resolve, justify, consider, state", options->fail_on_word);
	if (line->first == line->argc)
		return options_fault(line, "which design?");
	if (options->remedies_tried && options->only_case)
		return options_fault(line, "--remedies-tried looks at every case, --case at one: one of the two");
	if (options->amended && !options->replies)
		return options_fault(line, "--amended: what replies name needs --replies");
	return !options->replies || line->first + 1 == line->argc ||
		options_fault(line, "--replies belong to one design");
}

bool review_can_run(struct command_line *line)
{
	struct review_options options;
	return review_ask(line, &options);
}

/* ---- writing ---- */

static int write_file(struct arena *arena, const struct review *review, const char *folder, const char *name,
	bool (*writer)(const struct review *, FILE *))
{
	const char *path = arena_format(arena, "%s/%s", folder, name);
	struct output output = output_open(arena, path);
	if (output.stream && output_close(arena, &output, writer(review, output.stream)))
		return STATUS_FINE;
	return cannot_write(path, output.reason);
}

/* The workbook's library opens the file by its name: the temporary one, which is kept only when it is whole. */
static int write_workbook(struct arena *arena, const struct review *review, const char *folder)
{
	const char *path = arena_format(arena, "%s/review.xlsx", folder);
	struct output output = output_open(arena, path);
	if (output.stream && output_close(arena, &output, write_xlsx_in_child(review, output.temporary)))
		return STATUS_FINE;
	return cannot_write(path, output.reason);
}

static int write_sheets(
	struct arena *arena, const struct review_options *options, const struct review *review, const char *folder)
{
	const char *path = arena_format(arena, "%s/review.pdf", folder), *reason = NULL;
	struct output output = output_open(arena, path);
	if (output.stream) {
		progress_step(arena_format(arena, "laying out %s", path));
		reason = write_pdf(arena, review, options->paper, output.stream);
		progress_wipe();
		if (output_close(arena, &output, !reason))
			return STATUS_FINE;
	}
	return cannot_write(path, reason ? reason : output.reason);
}

static bool writes_files(const struct review_options *options)
{
	bool asked = options->pdf || options->xlsx;
	for (size_t i = 0; i < FORMATS; i++)
		asked = asked || options->formats[i];
	return !options->json || options->output || asked;
}

static int write_reports(
	struct arena *arena, const struct review_options *options, const struct review *review, const char *folder)
{
	static const struct {
		const char *name;
		bool always;
		bool (*writer)(const struct review *, FILE *);
	} formats[] = {
#define ALWAYS(name) {"review." #name, true, write_##name},
#define ASKED(name, help) {"review." #name, false, write_##name},
#include "write/formats.def"
	};
	int status = STATUS_FINE;
	for (size_t i = 0; i < FORMATS && status == STATUS_FINE; i++)
		if (formats[i].always || options->formats[i])
			status = write_file(arena, review, folder, formats[i].name, formats[i].writer);
	if (status == STATUS_FINE && options->xlsx)
		status = write_workbook(arena, review, folder);
	if (status == STATUS_FINE && options->pdf)
		status = write_sheets(arena, options, review, folder);
	if (status != STATUS_FINE)
		return status;
	if (!options->quiet && !options->json)
		printf("%s/review.html\n", folder);
	return STATUS_FINE;
}

/* https://no-color.org: any value but an empty one. */
static bool wants_colour(void)
{
	const char *refused = getenv("NO_COLOR"), *terminal = getenv("TERM");
	return isatty(STDOUT_FILENO) && !(refused && *refused) && !text_same(terminal, "dumb");
}

static int terminal_columns(void)
{
	struct winsize size;
	return isatty(STDOUT_FILENO) && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 ? size.ws_col : 0;
}

static int write_all(
	struct arena *arena, const struct review_options *options, const struct review *review, const char *folder)
{
	if (options->json && !write_json(review, stdout))
		return finish_output(STATUS_IO);
	if (!options->json && !options->quiet)
		write_text(review, stdout, terminal_columns(), wants_colour());
	int status = STATUS_FINE;
	if (writes_files(options))
		status = write_reports(arena, options, review, folder);
	return finish_output(status);
}

/* ---- one design ---- */

static int findings_status(const struct review *review, enum action fail_on)
{
	for (int i = 0; i <= (int)fail_on; i++)
		if (review->counts[i])
			return STATUS_FINDINGS;
	return STATUS_FINE;
}

static int chosen_case(const struct table *table, const char *id)
{
	for (size_t i = 0; i < table_case_count(table); i++)
		if (strcmp(table_case(table, (int)i)->id, id) == 0)
			return (int)i;
	return EVERY_CASE;
}

/* What is odd about the sheet is said and does no harm; NULL only when it cannot be used at all. */
static const struct review *with_round(struct arena *arena, const struct element *unit, const struct review *review,
	const char *path, struct problems *problems)
{
	struct text bytes;
	struct review *answered = arena_alloc(arena, sizeof *answered);
	*answered = *review;
	if (!document_text(arena, path, problems, &bytes))
		return NULL;
	const struct round *round = round_make(arena, review, path, bytes.data, problems);
	answered->round = round ? replies_try(arena, unit, review, round) : NULL;
	return answered->round ? answered : NULL;
}

/* Reads and resolves; false with the status after reporting why not. */
static bool read_description(struct reviewed *reviewed, const struct description *description,
	const struct review_options *options, const struct vocabulary *vocabulary, const struct catalogue *catalogue)
{
	reviewed->problems.arena = &reviewed->arena;
	reviewed->status = STATUS_FINE;
	reviewed->only = EVERY_CASE;
	if (!description_bytes(&reviewed->arena, description, &reviewed->problems, &reviewed->bytes) ||
		!stages_read(&reviewed->arena, description_name(description), &reviewed->bytes, vocabulary, catalogue,
			&reviewed->problems, &reviewed->read)) {
		progress_wipe();
		reviewed->status = report_problems(&reviewed->problems);
		return false;
	}
	if (options->only_case) {
		reviewed->only = chosen_case(reviewed->read.table, options->only_case);
		if (reviewed->only != EVERY_CASE)
			return true;
		fprintf(stderr, "leanrich: %s declares no operating case '%s'\n", description->path,
			options->only_case);
		reviewed->status = STATUS_USAGE;
	}
	return reviewed->status == STATUS_FINE;
}

/* After the review is made: what is looked at here counts as read by nobody there. */
static struct remedy_trials try_remedies(
	struct arena *arena, const struct element *unit, const struct catalogue *catalogue)
{
	progress_step("trying remedies");
	struct tried_list list = remedies_try(arena, verdicts_open(arena, unit, catalogue), ACTION_CONSIDER);
	return remedies_record(arena, &list);
}

bool review_make_one(struct reviewed *reviewed, const struct description *description,
	const struct review_options *options, const struct vocabulary *vocabulary, const struct catalogue *catalogue)
{
	struct arena *arena = &reviewed->arena;
	if (!read_description(reviewed, description, options, vocabulary, catalogue))
		return false;
	const struct resolved_unit *read = &reviewed->read;
	struct compute_options asked = options->asked;
	asked.lineage = lineage_new(arena);
	struct computed_unit computed = compute_unit(arena, read->table, asked);
	struct judgement judgement = judge(arena, catalogue, computed.table, reviewed->only);
	judgement =
		unsettled_weigh(arena, read->unit, catalogue, computed.table, asked.lineage, judgement, reviewed->only);
	judgement =
		assumed_weigh(arena, read->unit, catalogue, computed.table, asked.lineage, judgement, reviewed->only);
	lineage_rest(asked.lineage);
	struct review *made = arena_alloc(arena, sizeof *made);
	*made = *review_make(arena, description_name(description), computed.table, computed.lean_side,
		computed.reconciled, catalogue, judgement);
	made->description = &reviewed->bytes;
	if (options->remedies_tried)
		made->trials = try_remedies(arena, read->unit, catalogue);
	reviewed->review = made;
	progress_wipe();
	if (options->replies) {
		reviewed->review = with_round(arena, read->unit, made, options->replies, &reviewed->problems);
		int odd = reviewed->problems.count ? report_problems(&reviewed->problems) : STATUS_FINE;
		reviewed->status = reviewed->review ? STATUS_FINE : odd;
	}
	return reviewed->review != NULL;
}

static bool write_bytes(const void *data, FILE *out)
{
	const struct text *text = data;
	return fwrite(text->data, 1, text->length, out) == text->length;
}

/* The description with what the replies name, and a line of what was done. */
static int write_amended(struct reviewed *reviewed, const struct review_options *options)
{
	struct arena *arena = &reviewed->arena;
	struct patched patched =
		replies_patch(arena, reviewed->read.unit, reviewed->review, reviewed->review->file, &reviewed->bytes);
	int status = write_whole(arena, options->amended, write_bytes, &patched.text);
	if (status == STATUS_FINE && !options->quiet)
		fprintf(stderr, "%s: %zu value%s of replies written%s\n", options->amended, patched.values,
			patched.values == 1 ? "" : "s",
			patched.conflicts ? "; replies that name several values of one attribute are left out" : "");
	return status;
}

int review_write_one(
	struct reviewed *reviewed, const struct description *description, const struct review_options *options)
{
	const struct review *review = reviewed->review;
	int status = write_all(&reviewed->arena, options, review,
		description_folder(&reviewed->arena, description, options->output, review->number, options->by_file));
	if (status == STATUS_FINE && options->amended)
		status = write_amended(reviewed, options);
	return status == STATUS_FINE ? findings_status(review, options->fail_on) : status;
}

/* Read, resolve, compute, judge, write. */
static int review_design(const struct description *description, const struct review_options *options,
	const struct vocabulary *vocabulary, const struct catalogue *catalogue)
{
	struct reviewed reviewed = {.review = NULL};
	int status = review_make_one(&reviewed, description, options, vocabulary, catalogue)
		? review_write_one(&reviewed, description, options)
		: reviewed.status;
	arena_release(&reviewed.arena);
	return status;
}

/* The descriptions on the command line; NULL after reporting that some would overwrite each other. */
static const struct description *descriptions_of(struct arena *arena, const struct command_line *line,
	const struct review_options *options, const struct placing *placing, struct problems *problems)
{
	size_t count = (size_t)(line->argc - line->first);
	struct description *rows = arena_alloc(arena, (count + 1) * sizeof *rows);
	for (size_t i = 0; i < count; i++)
		rows[i].path = line->argv[line->first + (int)i];
	bool several = count > 1 && writes_files(options);
	return !several || places_are_distinct(arena, rows, count, placing, problems) ? rows : NULL;
}

int command_review(int argc, char **argv)
{
	struct command_line line = {.argc = argc, .argv = argv};
	struct review_options options;
	if (!review_ask(&line, &options))
		return options_end(&line, help);
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	int status = STATUS_FINE;
	const struct catalogue *catalogue = load_catalogue(&arena, options.rules, options.profile, &problems);
	const struct vocabulary *vocabulary = catalogue ? unit_vocabulary(&arena) : NULL;
	const struct placing placing = {
		.output = options.output, .by_file = options.by_file, .vocabulary = vocabulary, .catalogue = catalogue};
	const struct description *descriptions =
		catalogue ? descriptions_of(&arena, &line, &options, &placing, &problems) : NULL;
	if (!descriptions)
		status = report_problems(&problems);
	for (int i = line.first; descriptions && i < argc; i++) {
		progress_design((size_t)(i - line.first) + 1, (size_t)(argc - line.first), argv[i]);
		int one = review_design(&descriptions[i - line.first], &options, vocabulary, catalogue);
		status = one > status ? one : status;
	}
	progress_wipe();
	catalogue_release(catalogue);
	arena_release(&arena);
	return status;
}
