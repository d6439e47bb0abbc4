/*
 * One review inside a test: read, resolve, compute, judge, as the program does it, of a file or of a text in the test.
 *
 * A trial fails the test that runs it on anything that is not the test's own business: a catalogue that does not load.
 * Faults of the design are kept, since they may be what is tested. A trial starts as zeros; opening it again gives back
 * what it held, and closing it twice does no harm.
 */
#ifndef LEANRICH_TESTS_REVIEW_SUPPORT_H
#define LEANRICH_TESTS_REVIEW_SUPPORT_H

#include "judge/catalogue.h"
#include "read/element.h"
#include "record/review.h"

struct trial {
	struct arena arena;
	struct problems problems;
	const struct catalogue *catalogue;
	const struct vocabulary *vocabulary; /* of unit descriptions */
	const struct table *table;	     /* NULL after faults of the design */
	const struct review *review;	     /* likewise */
};

/* With the rules inside the program; `profile` NULL: the default one. */
void trial_open(struct trial *trial, const char *profile);

/*
 * With rules of the test's own: the <rule> elements of one family TST, whose sources are `read`, `memory`, `secondary`
 * and `custom` (common practice). `profile`: attributes and content of a <profile>, or NULL.
 */
void trial_open_with(struct trial *trial, const char *rules, const char *profile);

void trial_close(struct trial *trial);

void trial_review_file(struct trial *trial, const char *path);
void trial_review(struct trial *trial, const char *design);

/* A unit of one case "normal" in this amine, with the elements of `body`. */
void trial_review_unit(struct trial *trial, const char *amine, const char *body);

/* The finding of a rule on an item. NULL: the rule does not select it. */
const struct finding *trial_finding(const struct trial *trial, const char *rule, const char *item);

/* What was put for all cases; fails the test where nothing was. trial_si: of a number that is no bound, SI. */
const struct quantity *trial_put(const struct trial *trial, const char *item, const char *name);
double trial_si(const struct trial *trial, const char *item, const char *name);

/* A cell of the computed table; `operating_case` by id, or NULL for the value of every case. NULL: nothing was put. */
const struct quantity *trial_value(
	const struct trial *trial, const char *item, const char *operating_case, const char *name);

/* A known number of the computed table in a unit. Fails the test where there is none. */
double trial_number(
	const struct trial *trial, const char *item, const char *operating_case, const char *name, const char *unit);

/* All problems, sorted, one a line; "" where there are none. Those of the input of a trial. */
const char *problem_lines(struct arena *arena, struct problems *problems);
const char *trial_messages(struct trial *trial);

/* A file as text, in the arena of the trial; fails the test when it is not there. */
const char *file_text(struct arena *arena, const char *path);

/*
 * Every folder/NAME.xml has exactly the messages of folder/NAME.expected among `all`, and no message belongs to no file.
 */
void expect_messages(struct arena *arena, const char *folder, const char *all);

/* The file holds exactly these lines; where it does not, what it should hold is left in build/, and `make tables` puts it there. */
void expect_listed(struct arena *arena, const char *lines, const char *path);

/* What a command of the shell wrote, and its exit status. "$LEANRICH" is the program, "$SCRATCH" a folder of its own. */
struct run {
	int status;
	const char *output, *errors;
};

/* Makes the folder that "$SCRATCH" names, empty; shell_end() removes it with all in it. */
void shell_begin(void);
void shell_end(void);
struct run shell(struct arena *arena, const char *command);

#endif
