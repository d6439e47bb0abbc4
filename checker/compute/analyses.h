/*
 * Dated analyses of the solution: the last of them stands for what the solvent does not state, and the rise of what is dissolved
 * follows from all of them.
 */
#ifndef LEANRICH_ANALYSES_H
#define LEANRICH_ANALYSES_H

#include "compute/scene.h"

/* Before anything that asks for the contents of the solvent. */
void analyses_compute(struct table *table);

/* What the anions that count are in: the solvent, or the last analysis that lists any where the solvent lists none. */
const struct item *analyses_anions(const struct scene *scene, const struct item *solvent);

#endif
