/*
 * How far H2S and the solution reach: whether the unit holds H2S at all, how much of the acid gas it is where a metal is,
 * and which bare steel hot rich solution, amine and each stream of water touch.
 *
 * A no needs every place that could have said otherwise, and its metal: in between the answer is unknown, with the words that
 * ask for it. The share of H2S at a place is that of the rich solution that wets it, else of the gas its absorber treats, else of
 * the poorest gas of the unit.
 */
#ifndef LEANRICH_REACH_H
#define LEANRICH_REACH_H

#include "resolve/table.h"

/* After contact_compute and census_compute. */
void reach_compute(struct table *table);

#endif
