/*
 * What is held and for how long: liquid in the flash drum, solution in the carbon bed; what share of the circulation a side
 * stream takes; the soda of a reclaimer charge beside the amine that its salts bind.
 */
#ifndef LEANRICH_HOLDUP_H
#define LEANRICH_HOLDUP_H

#include "resolve/table.h"

void holdup_compute(struct table *table);

#endif
