/*
 * What became of one rule on one item case by case, so that the worst case hides no other.
 *
 * Kept where a finding departs and its cases do not all say the same, or not for the same cause: the first case judged
 * whatever came of it, and every case that departs, with its value; and its cause, where it departs for another one
 * than the worst.
 */
#ifndef LEANRICH_OUTCOMES_H
#define LEANRICH_OUTCOMES_H

#include "judge/judge.h"

/*
 * Fills the cases of `worst` from its `count` findings, one for each case judged, in their order. `alike`: they all say
 * the same.
 */
void outcomes_keep(struct arena *arena, const struct finding *by_case, size_t count, bool alike, struct finding *worst);

/*
 * "normal: 1.2 m/s, meets; summer: 3 m/s, departs, from at most 2 m/s". With `others` only the cases that depart and
 * are not the one in which the finding is worst. NULL where nothing is kept.
 */
const char *outcomes_words(struct arena *arena, const struct finding *finding, const struct table *table, bool others);

#endif
