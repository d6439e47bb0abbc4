/*
 * Stated values that physics allows and that no amine unit has: an amine at 900 degC, 98 wt%, 0.05 bara
 * (doubtful.def). They are no faults of the description, since a slip is for the reader to find, and rules judge
 * what is usual; but whatever calculates on, without a finding of its own, says here what it rests on.
 */
#ifndef LEANRICH_DOUBTFUL_H
#define LEANRICH_DOUBTFUL_H

#include "resolve/table.h"

struct doubtful {
	const char **words; /* one sentence for each statement: item, value as written, end, why */
	size_t count;
};

/* Of all statements of the unit, cases and documents too, in their order; in the arena. */
struct doubtful doubtful_statements(struct arena *arena, const struct table *table);

#endif
