#include "commands.h"

#include <getopt.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <unistd.h>

#include "element.h"
#include "output.h"
#include "resolve.h"
#include "review.h"
#include "stages.h"
#include "state.h"
#include "text.h"
#include "write.h"

static const char help[] =
	"usage: leanrich review [OPTION...] DESIGN.xml...\n"
	"\n"
	"Reviews the description of an amine unit and writes reports/<unit>/review.html, review.json and review.csv,\n"
	"and a summary to standard output. \"-\" reads the description from standard input.\n"
	"\n"
	"  --output DIR       write the reports below DIR instead of reports\n"
	"  --profile NAME     which published limits govern: default, strictest, example-company, or a file of your "
	"own\n"
	"  --rules DIR        add the rule packs (*.xml) of a folder\n"
	"  --case ID          judge one operating case only\n"
	"  --fail-on ACTION   exit 1 when something is open at or above: resolve (default), justify, consider, state\n"
	"  --json             print the JSON record instead of the summary and write no files (unless --output is "
	"given)\n"
	"  --quiet            no summary\n"
	"  --help             this text\n"
	"\n"
	"Exit status: 0 nothing open at or above --fail-on, 1 findings, 2 bad command line, 3 design or rules "
	"unusable,\n"
	"4 cannot read or write.\n";

struct options {
	const char *output, *profile, *rules, *only_case;
	enum action fail_on;
	bool json, quiet;
};

static bool action_from_word(const char *word, enum action *action)
{
	for (int i = 0; i < ACTION_KINDS; i++)
		if (text_same_nocase(word, action_word((enum action)i))) {
			*action = (enum action)i;
			return true;
		}
	return false;
}

/* -1: go on; else the exit status. */
static int read_options(int argc, char **argv, struct options *options)
{
	static const struct option known[] = {
		{"output", required_argument, NULL, 'o'},
		{"profile", required_argument, NULL, 'p'},
		{"rules", required_argument, NULL, 'r'},
		{"case", required_argument, NULL, 'c'},
		{"fail-on", required_argument, NULL, 'f'},
		{"json", no_argument, NULL, 'j'},
		{"quiet", no_argument, NULL, 'q'},
		{"help", no_argument, NULL, 'h'},
		{NULL, 0, NULL, 0},
	};
	*options = (struct options){.fail_on = ACTION_RESOLVE};
	opterr = 0;
	optind = 1;
	for (int found; (found = getopt_long(argc, argv, ":", known, NULL)) != -1;) {
		switch (found) {
		case 'o':
			options->output = optarg;
			break;
		case 'p':
			options->profile = optarg;
			break;
		case 'r':
			options->rules = optarg;
			break;
		case 'c':
			options->only_case = optarg;
			break;
		case 'j':
			options->json = true;
			break;
		case 'q':
			options->quiet = true;
			break;
		case 'h':
			fputs(help, stdout);
			return finish_output(STATUS_FINE);
		case 'f':
			if (!action_from_word(optarg, &options->fail_on))
				return usage_fault("review",
					"--fail-on %s: allowed are resolve, justify, consider, state", optarg);
			break;
		case ':':
			return usage_fault("review", "%s needs a value", argv[optind - 1]);
		default:
			return usage_fault("review", "%s is no option", argv[optind - 1]);
		}
	}
	if (optind == argc)
		return usage_fault("review", "which design?");
	return -1;
}

/* ---- writing ---- */

static int write_file(struct arena *arena, const struct review *review, const char *folder, const char *name,
	bool (*writer)(const struct review *, FILE *))
{
	const char *path = arena_format(arena, "%s/%s", folder, name);
	struct output output = output_open(arena, path);
	if (output.stream && output_close(arena, &output, writer(review, output.stream)))
		return STATUS_FINE;
	fprintf(stderr, "leanrich: cannot write %s: %s\n", path, output.reason);
	return STATUS_IO;
}

static int write_reports(struct arena *arena, const struct options *options, const struct review *review)
{
	static const struct {
		const char *name;
		bool (*writer)(const struct review *, FILE *);
	} formats[] = {{"review.html", write_html}, {"review.json", write_json}, {"review.csv", write_csv}};
	const char *folder = unit_folder(arena, options->output, review->number);
	for (size_t i = 0; i < sizeof formats / sizeof *formats; i++) {
		int status = write_file(arena, review, folder, formats[i].name, formats[i].writer);
		if (status != STATUS_FINE)
			return status;
	}
	if (!options->quiet && !options->json)
		printf("%s/review.html\n", folder);
	return STATUS_FINE;
}

static int terminal_columns(void)
{
	struct winsize size;
	return isatty(STDOUT_FILENO) && ioctl(STDOUT_FILENO, TIOCGWINSZ, &size) == 0 ? size.ws_col : 0;
}

static int write_all(struct arena *arena, const struct options *options, const struct review *review)
{
	bool colour = isatty(STDOUT_FILENO) && !getenv("NO_COLOR");
	if (options->json && !write_json(review, stdout))
		return finish_output(STATUS_IO);
	if (!options->json && !options->quiet)
		write_text(review, stdout, terminal_columns(), colour);
	int status = STATUS_FINE;
	if (!options->json || options->output)
		status = write_reports(arena, options, review);
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

/* Read, resolve, compute, judge, write. */
static int review_design(const char *path, const struct options *options, const struct vocabulary *vocabulary,
	const struct catalogue *catalogue)
{
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	int status = STATUS_UNUSABLE, only = EVERY_CASE;
	const struct element *unit = element_read(&arena, path, vocabulary, &problems);
	const struct table *resolved = unit ? resolve(&arena, unit, &problems) : NULL;
	if (resolved)
		stages_check_deviations(resolved, catalogue, &problems);
	if (problems.count) {
		status = report_problems(&problems);
		goto cleanup;
	}
	if (options->only_case && (only = chosen_case(resolved, options->only_case)) == EVERY_CASE) {
		fprintf(stderr, "leanrich: %s declares no operating case '%s'\n", path, options->only_case);
		status = STATUS_USAGE;
		goto cleanup;
	}
	const struct table *state = state_compute(&arena, resolved);
	struct judgement judgement = judge(&arena, catalogue, state, only);
	const struct review *review = review_make(&arena, path, state, catalogue, judgement);
	status = write_all(&arena, options, review);
	if (status == STATUS_FINE)
		status = findings_status(review, options->fail_on);
cleanup:
	arena_release(&arena);
	return status;
}

int command_review(int argc, char **argv)
{
	struct options options;
	int status = read_options(argc, argv, &options);
	if (status >= 0)
		return status;
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	status = STATUS_FINE;
	const struct catalogue *catalogue = load_catalogue(&arena, options.rules, options.profile, &problems);
	if (!catalogue)
		status = report_problems(&problems);
	const struct vocabulary *vocabulary = catalogue ? unit_vocabulary(&arena) : NULL;
	for (int i = optind; catalogue && i < argc; i++) {
		int one = review_design(argv[i], &options, vocabulary, catalogue);
		status = one > status ? one : status;
	}
	catalogue_release(catalogue);
	arena_release(&arena);
	return status;
}
