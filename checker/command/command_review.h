/*
 * One description reviewed, for `review` and for what reviews it again (command_watch.c): asked for by the same options, in two
 * steps, so that something can be said between the review and its documents.
 */
#ifndef LEANRICH_COMMAND_REVIEW_H
#define LEANRICH_COMMAND_REVIEW_H

#include "command/commands.h"
#include "command/options.h"
#include "command/places.h"
#include "pipeline/compute_unit.h"
#include "pipeline/stages.h"

/* The documents of formats.def. */
enum format {
#define ASKED(name, help) FORMAT_##name,
#define ALWAYS(name) FORMAT_##name,
#include "write/formats.def"
	FORMATS
};

struct review_options {
	const char *output, *profile, *rules, *only_case, *paper, *replies, *amended, *film_age_word, *fail_on_word;
	struct quantity film_age;
	struct compute_options asked;
	enum action fail_on;
	bool json, quiet, pdf, xlsx, by_file, remedies_tried, formats[FORMATS];
};

/* Reads the command line; false as options_read(). The options point to themselves: they stay where they are. */
bool review_ask(struct command_line *line, struct review_options *options);

/* Starts as zeros; arena_release() of its arena gives everything back. */
struct reviewed {
	struct arena arena;
	struct problems problems;
	struct text bytes; /* the description */
	struct resolved_unit read;
	int only;		     /* the case that is judged, or EVERY_CASE */
	const struct review *review; /* NULL: it could not be made */
	int status;		     /* then why */
};

/* Read, resolve, compute, judge. False after reporting why not. */
bool review_make_one(struct reviewed *reviewed, const struct description *description,
	const struct review_options *options, const struct vocabulary *vocabulary, const struct catalogue *catalogue);

/* The summary and the documents; gives the exit status. */
int review_write_one(
	struct reviewed *reviewed, const struct description *description, const struct review_options *options);

#endif
