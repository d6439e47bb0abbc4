/*
 * The loadings of a stream of amine: as stated, else by its composition, and the two beside each other.
 */
#ifndef LEANRICH_LOADINGS_H
#define LEANRICH_LOADINGS_H

#include "compute/scene.h"

/*
 * Puts h2s and co2 where no loading is stated but a content by mass is, the total of the two, and the total by composition
 * with its distance from the stated one. After what the stream takes from the one it comes from.
 */
void loadings_of_stream(const struct scene *scene);

/* The total of h2s and co2 as "loading", where both are known and it is not stated for itself; mol/mol. */
void loadings_total(const struct scene *scene);

#endif
