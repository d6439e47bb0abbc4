/*
 * One value in the place of another where nothing else follows from it when a description is resolved: the table as it is, once more,
 * with that value alone. It takes no time that grows with the description but for a copy of its cells.
 *
 * Something else follows, and the description is resolved again, where the value is handed down to parts or from a zone, where
 * other choices take it over, where an owner has rules for values that are not stated, where values are owed for one case,
 * and where the value dates or measures what cannot have been (history.h).
 */
#ifndef LEANRICH_INSTEAD_H
#define LEANRICH_INSTEAD_H

#include "resolve/resolve.h"

/*
 * NULL: more may follow, or `instead` leaves the value out or does not say how the description is resolved as it is. `as_is` is the
 * lowest table, and must outlive the result, which shares its items, its statements and all values but this one.
 */
struct table *instead_alone(struct arena *arena, const struct element *unit, const struct instead *instead);

/* Puts the value, if an attribute of the element has its name. */
void instead_put(struct table *table, const struct item *item, const struct vocabulary_element *meaning,
	const struct instead *instead);

#endif
