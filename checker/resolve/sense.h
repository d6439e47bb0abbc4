/*
 * Statements of one description that cannot hold together: a level above the height of its vessel, shares of one stream that
 * make more than the whole, a wall read before the vessel was built, one relief valve with two set pressures, more items in use
 * than are installed, more tubes plugged than there are. Faults of the input, each at the place of the later statement; what
 * two documents say differently is none (resolve.h), and no correlation is asked.
 */
#ifndef LEANRICH_SENSE_H
#define LEANRICH_SENSE_H

#include "base/problem.h"
#include "resolve/table.h"

void sense_check(const struct table *table, struct problems *problems);

#endif
