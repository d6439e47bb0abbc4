/*
 * What force a finding has: that of its rule, or of the limits that it departs from (evidence.h), or of a code that
 * the package claims; several times beyond an advisory limit it is recommended, unless an assumption made it, the rule
 * is disputed, or only cost or paper is at stake; what physics forbids is recommended only where the calculated value
 * is nearer to the limit than it is uncertain.
 */
#ifndef LEANRICH_FORCE_H
#define LEANRICH_FORCE_H

#include "judge/judge.h"

/* Sets force and its reason. The verdict, the limits and the governing one are set. */
void force_set(const struct table *table, struct finding *finding);

#endif
