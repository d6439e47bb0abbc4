/*
 * Whether two tables describe the same items, and whether two values are the same for whoever reads them: what was found with the
 * one then holds of the other.
 *
 * Compared is what computing and judging look at of a value, and not what it was calculated from, unless it is open: what is asked
 * for in place of an unknown value lies at its roots.
 */
#ifndef LEANRICH_ALIKE_H
#define LEANRICH_ALIKE_H

#include "resolve/table.h"

/* The items of the description and its operating cases, in their order. */
bool alike_items(const struct table *before, const struct table *after);

bool alike_values(const struct quantity *a, const struct quantity *b);

#endif
