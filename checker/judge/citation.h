/*
 * What rules cite against what exists: kinds of items, names of values, words of choices.
 *
 * A rule that selects "lines" or asks for "velocty" breaks no rule of its language and would never speak. The schema of unit
 * descriptions and compute/computed.def say what there is.
 */
#ifndef LEANRICH_CITATION_H
#define LEANRICH_CITATION_H

#include "judge/catalogue.h"

void citations_check(const struct catalogue *catalogue, const struct vocabulary *units, struct problems *problems);

#endif
