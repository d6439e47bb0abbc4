/*
 * Limits that somebody sets for the unit: an operating limit that says who sets it (set-by) is held against the value it speaks
 * of, in each case. One that says nobody is a claim of the package, and is reviewed as such (judge/claims.h).
 */
#ifndef LEANRICH_LIMITS_H
#define LEANRICH_LIMITS_H

#include "resolve/table.h"

/* When everything that may be limited is calculated. */
void limits_compute(struct table *table);

#endif
