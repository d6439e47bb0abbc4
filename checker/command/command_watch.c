#include "command/command_review.h"

#include <errno.h>
#include <stdio.h>
#include <string.h>

#include "base/file_watch.h"
#include "read/document.h"
#include "revamp/compare.h"
#include "revamp/write_compare.h"

static const char help[] =
	"usage: leanrich watch [OPTION...] DESIGN.xml\n"
	"\n"
	"Reviews the description now and whenever it is saved, writes the reports as `review` does, and prints what "
	"the\n"
	"change made new, worse, better or resolved, in the words of `compare`. A description with faults prints "
	"them,\n"
	"and the next save is waited for; what is sound again is compared with the last sound one. Rules, profile and "
	"the\n"
	"sheet of replies are not watched; the sheet is read again with each review.\n"
	"\n"
	"  --output, --by-file, --profile, --rules, --case, --film-age, --no-samples, --replies, --fail-on, --pdf,\n"
	"  --paper, --xlsx"
#define ASKED(name, help) ", --" #name
#include "write/formats.def"
	"   as for review\n"
	"  --quiet            print only problems\n"
	"  --help             this text\n"
	"\n"
	"Ends on Ctrl-C, SIGTERM or SIGHUP, with the exit status of the last review: 0 nothing open at or above\n"
	"--fail-on, 1 findings, 3 design unusable, 4 cannot read or write; 2 bad command line. A signal during a "
	"review\n"
	"ends it as it ends `review`.\n";

struct watching {
	struct review_options options, silent; /* silent: the same, and no summary */
	struct description description;
	const struct vocabulary *vocabulary;
	const struct catalogue *catalogue;
	struct reviewed reviews[2]; /* the last sound one, and room for the next */
	int sound;		    /* which of the two is the last sound one */
	struct arena kept;	    /* of `bytes` */
	struct text bytes;	    /* the description as it was last looked at */
	int status;		    /* of the last review */
};

static bool ask(struct command_line *line, struct review_options *options)
{
	if (!review_ask(line, options))
		return false;
	if (options->json)
		return options_fault(line, "--json is for review: watch prints what changes");
	if (line->first + 1 != line->argc)
		return options_fault(line, "one design is watched at a time");
	return strcmp(line->argv[line->first], "-") != 0 || options_fault(line, "standard input cannot be watched");
}

bool watch_can_run(struct command_line *line)
{
	struct review_options options;
	return ask(line, &options);
}

/* ---- one look at the file ---- */

static bool is_same(const struct text *a, const struct text *b)
{
	return a->data && a->length == b->length && memcmp(a->data, b->data, b->length) == 0;
}

/*
 * The bytes of the file, when they are not those of the last look. A file that is not there is gone for a moment: it comes back or
 * is waited for. One that cannot be read for another reason is told.
 */
static bool read_anew(struct watching *watching)
{
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	struct text bytes;
	errno = 0;
	bool read = document_bytes(&arena, watching->description.path, &problems, &bytes);
	bool gone = !read && errno == ENOENT;
	if (!read && !(gone && watching->bytes.data))
		watching->status = report_problems(&problems);
	if (!read || is_same(&watching->bytes, &bytes)) {
		arena_release(&arena);
		return false;
	}
	arena_release(&watching->kept);
	watching->kept = arena;
	watching->bytes = bytes; /* to be looked at, not to be added to */
	return true;
}

/* What the last save changed, beside the last sound description. */
static void print_changes(struct reviewed *before, struct reviewed *now)
{
	struct review was = *before->review;
	was.file = "what it was";
	struct differences differences = differences_of(&now->arena, before->read.unit, now->read.unit);
	struct comparison comparison = compare_reviews(&now->arena, &was, now->review, &differences);
	write_compare_text(&comparison, stdout);
}

static void review_anew(struct watching *watching)
{
	struct reviewed *before = &watching->reviews[watching->sound], *now = &watching->reviews[!watching->sound];
	*now = (struct reviewed){.review = NULL};
	struct text own = text_in(&now->arena); /* it lasts as long as the review does */
	text_add_span(&own, watching->bytes.data, watching->bytes.length);
	watching->description.kept = &own;
	if (!review_make_one(
		    now, &watching->description, &watching->options, watching->vocabulary, watching->catalogue)) {
		watching->status = now->status;
		arena_release(&now->arena);
		return;
	}
	bool first = !before->review;
	if (!first && !watching->options.quiet)
		print_changes(before, now);
	watching->status =
		review_write_one(now, &watching->description, first ? &watching->options : &watching->silent);
	arena_release(&before->arena);
	*before = (struct reviewed){.review = NULL};
	watching->sound = !watching->sound;
}

/* The last word of a look: from here on a signal finds nothing half done. False when nothing can be printed. */
static bool say_waiting(const struct watching *watching)
{
	if (!watching->options.quiet)
		printf("\nwaiting for %s to change\n", watching->description.path);
	return finish_output(STATUS_FINE) == STATUS_FINE;
}

/* ---- the run ---- */

/* What is wrong with the first review and no save of the description can mend. */
static bool is_hopeless(const struct watching *watching)
{
	return watching->status == STATUS_IO || watching->status == STATUS_USAGE;
}

static int watch(struct watching *watching, struct file_watch *file)
{
	enum file_event event = FILE_EVENT_WRITTEN;
	if (read_anew(watching))
		review_anew(watching);
	if (is_hopeless(watching))
		return watching->status;
	for (;;) {
		file_watch_hold_signals(file);
		if (!say_waiting(watching))
			return STATUS_IO;
		while ((event = file_watch_wait(file)) == FILE_EVENT_WRITTEN && !read_anew(watching))
			;
		if (event == FILE_EVENT_SIGNAL)
			return watching->status;
		if (event == FILE_EVENT_LOST)
			break;
		file_watch_free_signals(file);
		review_anew(watching);
	}
	fprintf(stderr, "leanrich: cannot watch %s: its folder is gone\n", file->path);
	return STATUS_IO;
}

static int open_and_watch(struct watching *watching)
{
	struct file_watch file;
	int status = STATUS_IO;
	if (file_watch_open(
		    &file, watching->description.path)) /* before the first look: what is saved from now on is seen */
		status = watch(watching, &file);
	else
		fprintf(stderr, "leanrich: cannot watch %s: %s\n", watching->description.path, strerror(errno));
	file_watch_close(&file);
	for (size_t i = 0; i < 2; i++)
		arena_release(&watching->reviews[i].arena);
	arena_release(&watching->kept);
	return status;
}

int command_watch(int argc, char **argv)
{
	struct command_line line = {.argc = argc, .argv = argv};
	struct watching watching = {.sound = 0};
	if (!ask(&line, &watching.options))
		return options_end(&line, help);
	struct arena arena = {0};
	struct problems problems = {.arena = &arena};
	watching.silent = watching.options;
	watching.silent.quiet = true;
	watching.description.path = argv[line.first];
	watching.vocabulary = unit_vocabulary(&arena);
	watching.catalogue = load_catalogue(&arena, watching.options.rules, watching.options.profile, &problems);
	int status = watching.catalogue ? open_and_watch(&watching) : report_problems(&problems);
	catalogue_release(watching.catalogue);
	arena_release(&arena);
	arena_release(&line.arena);
	return status;
}
