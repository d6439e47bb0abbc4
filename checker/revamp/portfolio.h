/*
 * Many descriptions in one table: what is open in each, ranked by what must be done and by family of rules.
 *
 * Every design gives one row, kept as one line of JSON, so that rows made by several processes or hosts can be put together
 * later and give the same table. A design that cannot be reviewed gives a row that says why; it stops no other.
 */
#ifndef LEANRICH_PORTFOLIO_H
#define LEANRICH_PORTFOLIO_H

#include <stdio.h>

#include "base/text.h"
#include "judge/catalogue.h"
#include "record/review.h"

struct family_count {
	const char *prefix, *title; /* "CRK", "Cracking" */
	int open;		    /* findings to resolve, justify or consider */
};

struct portfolio_row {
	const char *file, *number, *name, *revision, *profile;
	const char *fault; /* why it could not be reviewed, or NULL */
	bool unreadable;   /* because a file could not be read */
	int rules, items, counts[ACTION_KINDS];
	const struct family_count *families;
	size_t family_count;
	const char *first; /* the first thing to do, in words; "" */
};

struct portfolio {
	struct portfolio_row *rows; /* ranked: most to resolve first, then to justify, consider, state, then by file */
	size_t count;		    /* reviewed */
	struct portfolio_row *failed;
	size_t failed_count;
	const struct family_count *families; /* over all rows, by prefix */
	size_t family_count;
	size_t twice; /* rows that are of the same file as one before them */
	bool mixed;   /* rows of different profiles or catalogues: they do not compare */
};

/* The row of one design as a line of JSON, without its end; reviews the design for it. */
const char *portfolio_line(
	struct arena *arena, const char *path, const struct vocabulary *vocabulary, const struct catalogue *catalogue);

/* The row of a design whose review did not end; `unreadable`: for want of a file. */
const char *portfolio_failed_line(struct arena *arena, const char *path, const char *fault, bool unreadable);

/*
 * Lines of all designs, in the order of `paths`, made by `jobs` processes; the same whatever their number. One that dies takes
 * only the design it was at with it. False when no process can be started.
 */
bool portfolio_lines(struct arena *arena, const char *const *paths, size_t count, const struct vocabulary *vocabulary,
	const struct catalogue *catalogue, size_t jobs, const char **lines);

/* Those of `paths` that no line speaks of, into `missing`, which has room for all of them; gives how many. */
size_t portfolio_missing(struct arena *arena, const char *const *lines, size_t count, const char *const *paths,
	size_t path_count, const char **missing);

/* Whether a line that was kept in a file is still one; what is wrong is reported at `place` and its column. */
bool portfolio_check_line(const char *line, struct place place, struct problems *problems);

/*
 * Tells, at its place, each record of a file of which there was one before: by mistake or on purpose, both rows are shown. `places`
 * has one row for each line.
 */
void portfolio_check_twice(struct arena *arena, const char *const *lines, const struct place *places, size_t count,
	struct problems *problems);

/* The table of such lines. */
struct portfolio portfolio_of(struct arena *arena, const char *const *lines, size_t count);

bool write_portfolio_html(const void *portfolio, FILE *out); /* of a struct portfolio */
bool write_portfolio_csv(const void *portfolio, FILE *out);
void write_portfolio_text(const struct portfolio *portfolio, const char *page, FILE *out); /* `page`: its path */

#endif
