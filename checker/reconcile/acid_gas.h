/*
 * Which gas the overhead of a column becomes.
 */
#ifndef LEANRICH_ACID_GAS_H
#define LEANRICH_ACID_GAS_H

#include "resolve/table.h"

/*
 * Not the wet vapour of the top where that is described too, whatever its role is said to be, but what the only reflux drum gives
 * off; where no drum says, the gas that the column names, else the first of role "acid gas". NULL: none is described.
 */
const struct item *acid_gas_of(const struct table *table, const struct item *column, int operating_case);

#endif
