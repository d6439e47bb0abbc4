/*
 * What is always reported of a regenerator's column, whether or not a finding rests on it: names of computed.def, of every
 * regenerator that is solved or says why it is not, in every steady operating case.
 */
#ifndef LEANRICH_COLUMNS_H
#define LEANRICH_COLUMNS_H

#include "resolve/table.h"

extern const char *const column_names[]; /* NULL ends the list */

/* Is there a column of this regenerator in this case to report? */
bool column_is_reported(const struct table *table, const struct item *regenerator, int operating_case);

#endif
