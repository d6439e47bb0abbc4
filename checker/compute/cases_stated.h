/*
 * Which steady cases a data sheet leaves out: of an item that states values for more than one case, the others in
 * which the flow of what it handles is larger than in the first and it says nothing: what the first case covers need not be
 * stated again. What speaks of one case only is one rating, and no list of cases. And which operating cases are declared and given no value at all.
 */
#ifndef LEANRICH_CASES_STATED_H
#define LEANRICH_CASES_STATED_H

#include "resolve/table.h"

void cases_stated_compute(struct table *table);

#endif
