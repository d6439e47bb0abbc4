/*
 * What is owed for one operating case, and everything that rests on the normal value it takes the place of.
 *
 * A calculation that lacks an input in a case puts nothing there, and the value common to all cases would show through. It
 * must not where it rests on a value that the case owes: the table asks here before it gives a common value for a case.
 */
#ifndef LEANRICH_OWING_H
#define LEANRICH_OWING_H

#include "quantity/quantity.h"

struct owing; /* opaque */

struct owing *owing_new(struct arena *arena);

/* In this case `owed` takes the place of `common`, the value of all cases. */
void owing_add(struct owing *owing, const struct quantity *common, int operating_case, const struct quantity *owed);

/* What the case owes of a common value or of what it was calculated from; NULL: nothing. */
const struct quantity *owing_in(struct owing *owing, const struct quantity *common, int operating_case);

#endif
