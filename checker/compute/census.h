/*
 * What only a look over the whole description can tell: what a part is part of, what the feed gases bring, which relief cases a
 * vessel has, which of its zones are clad, where the unit is watched and sampled.
 *
 * A yes needs one item that says so, a no needs every item that could have said otherwise: in between the answer is unknown,
 * with the words that ask for it.
 */
#ifndef LEANRICH_CENSUS_H
#define LEANRICH_CENSUS_H

#include "resolve/table.h"

void census_compute(struct table *table);

#endif
