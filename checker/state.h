/*
 * Compute: everything that follows from the description and that rules may cite, with its trace.
 *
 * Lies as a second table over the resolved one; the names it adds are listed in DEVELOPERS.md. Each computing module
 * visits the items it knows in the order of the list in state.c: streams first, since the others take from them.
 */
#ifndef LEANRICH_STATE_H
#define LEANRICH_STATE_H

#include "table.h"

const struct table *state_compute(struct arena *arena, const struct table *resolved);

#endif
