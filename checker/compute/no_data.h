/*
 * Solvents whose chemistry was measured by nobody that this program has read: DGA, DIPA, blends, and activated solutions.
 * Their figures are estimates from relatives. Each says so; a rule on one is screening at most and never Resolve.
 */
#ifndef LEANRICH_NO_DATA_H
#define LEANRICH_NO_DATA_H

#include "resolve/table.h"

/* "no measured data of DGA were read ...", as words that can follow "because"; NULL: data were read, or the amine is not known. */
const char *no_data_of(struct arena *arena, const struct table *table);

/* Is the value calculated by the chemistry of the solution, or from one that is? */
bool no_data_reaches(const struct quantity *quantity);

#endif
