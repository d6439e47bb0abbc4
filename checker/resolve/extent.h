/*
 * Where a zone, part, weld or repair lies in its vessel: between two heights over the bottom tangent line, or along what lies from
 * one of them; and the part that it names.
 *
 * A place that cannot be is a fault of the input: one that ends below its beginning, reaches over the tangent line or out of the
 * zone or part it is nested in, names a part that nobody describes, or a zone at the other end of the one it stands in. What of
 * this is not stated is not asked.
 */
#ifndef LEANRICH_EXTENT_H
#define LEANRICH_EXTENT_H

#include "base/problem.h"
#include "resolve/table.h"

struct extent {
	double begins, ends; /* m */
};

/* Are both of its heights stated, as values? */
bool extent_of(const struct table *table, const struct item *item, struct extent *extent);

/* m, tangent to tangent, of what the item is or stands in; NULL: not stated. */
const struct quantity *extent_of_shell(const struct table *table, const struct item *item);

/* The part of this name in what the item stands in, whatever zone it is in; NULL: none. */
const struct item *extent_part(const struct table *table, const struct item *item, const char *name);

/* Every fault at the value that is wrong. */
void extent_check(const struct table *table, struct problems *problems);

#endif
