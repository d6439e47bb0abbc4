/*
 * Relief valves and trips: what a relief valve passes beside what its case needs, its set pressure beside the design pressure of
 * what it protects, and which shut-offs a trip makes. Pressures are compared as they are, absolute; flows only where both are
 * stated alike, by mass, by moles or by volume. Before relief.h, which asks what is covered.
 */
#ifndef LEANRICH_PROTECTION_H
#define LEANRICH_PROTECTION_H

#include "compute/scene.h"

/* The relief valve of a relief case: the one that it is in, or the only one of its item; of a valve itself. NULL: none, or several. */
const struct item *protection_valve(const struct scene *scene);

void protection_compute(struct table *table);

#endif
