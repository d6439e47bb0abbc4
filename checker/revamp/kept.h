/*
 * Metals kept while what they are part of changes: the second half of a comparison, once its rows are known.
 */
#ifndef LEANRICH_KEPT_H
#define LEANRICH_KEPT_H

#include "revamp/compare.h"

/* Fills the kept rows of `out`; `mapped` gives, by index of the base's items, what the revamp calls each. */
void kept_collect(struct arena *arena, struct comparison *out, const char *const *mapped);

#endif
