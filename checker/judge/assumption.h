/*
 * Assumptions while they are gathered (struct assumption): of one value of one item, by what each other value of it
 * that is tried moves.
 */
#ifndef LEANRICH_ASSUMPTION_H
#define LEANRICH_ASSUMPTION_H

#include "base/text.h"
#include "judge/judge.h"

struct gathered_assumption {
	struct assumption assumption;
	const struct finding **findings;
	size_t capacity;
	struct text turns;
	size_t said; /* in `turns` */
};

struct assumption_list {
	struct arena *arena;
	struct gathered_assumption *rows;
	size_t count, capacity;
};

/*
 * Of the item and quantity of `begun`, or a new row like it: with `value` (in words) what was found would be `other`. The
 * worse of the two is what the assumption can lead to.
 */
void assumption_note(struct assumption_list *list, const struct assumption *begun, const char *value,
	const struct finding *found, const struct finding *other);

/* The same of each that is missing. */
void assumption_note_missing(struct assumption_list *list, const struct missing *missing, size_t count,
	const char *value, const struct finding *found, const struct finding *other);

/* In the order in which they were begun. */
const struct assumption *assumption_list_end(struct assumption_list *list, size_t *count);

#endif
