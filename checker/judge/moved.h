/*
 * Which names differ between two tables of one description, the second with some values otherwise: a rule that reads none of them
 * comes to the same verdicts, which need not be judged again.
 *
 * Compared is what judging looks at of a value, and not what it was calculated from.
 */
#ifndef LEANRICH_MOVED_H
#define LEANRICH_MOVED_H

#include "judge/catalogue.h"
#include "resolve/table.h"

struct moved; /* opaque */

/*
 * NULL: everything may be judged otherwise. The items of the description are not the same, or what all rules look at differs: the
 * barometric pressure, the date, a recorded deviation; or the chemistry has no data (no_data.h).
 */
const struct moved *moved_between(struct arena *arena, const struct table *before, const struct table *after);

/* May a verdict of the rule be another? Always of one that looks at contradictions, which are items that computing adds. */
bool moved_by(const struct moved *moved, const struct rule *rule);

#endif
