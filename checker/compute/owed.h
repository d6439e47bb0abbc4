/*
 * What is owed in one operating case: a value that is unknown there, though it is known for the others.
 *
 * A value that no module calculates for a case is there as for every case. Where it was calculated from what is owed in that
 * case it may not: it is made unknown there, for the reason for which its input is. Compute last.
 */
#ifndef LEANRICH_OWED_H
#define LEANRICH_OWED_H

#include "resolve/table.h"

void owed_compute(struct table *table);

#endif
