/*
 * A sweep: one stated value varied over a range, what is judged and what is asked for along it, and where verdicts turn.
 *
 * The value replaces the one written, in every operating case: overrides and restatements of it are left out.
 */
#ifndef LEANRICH_COURSE_H
#define LEANRICH_COURSE_H

#include "revamp/scan.h"
#include "revamp/variant.h"

/* One attribute of one element that takes the value. */
struct course_target {
	const struct element *element;
	const char *item, *name;
};

/* A quantity asked for by tag and name. */
struct course_show {
	const char *item, *name;
	enum kind kind;
	const struct quantity **values; /* by point; NULL where nothing was put */
};

/* One turn of a verdict, and whose. */
struct course_turn {
	const struct track *track;
	const struct turn *turn;
};

struct course {
	const char *what, *unit; /* as asked: "lean-loading"; unit as written, "" for bare numbers */
	const struct course_target *targets;
	size_t target_count;
	double *grid; /* in that unit */
	size_t count;
	struct scan scan;
	const struct track **tracks; /* those that move and carry a number or turn; turning ones first */
	size_t track_count;
	const struct course_turn *turns; /* of all tracks, lowest value first */
	size_t turn_count;
	struct course_show *shows;
	size_t show_count;
};

/*
 * What `what` means in this unit: TAG.NAME, or lean-loading, strength, lean-temperature, steam, gas-h2s. False: nothing in the
 * description states such a value.
 */
bool course_find(struct arena *arena, const struct element *unit, const struct table *table, const char *what,
	struct course *course);

/* Runs it; grid, unit, targets and shows are set. */
void course_run(
	struct arena *arena, const struct element *unit, const struct catalogue *catalogue, struct course *course);

#endif
