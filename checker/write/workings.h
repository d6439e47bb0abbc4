/*
 * The computed numbers that a review shows with their working: what every finding rests on, departed from or met, in the order of
 * the findings, each after what goes into it; then what is always shown (duty, LMTD, U, hold-up, loads and the like), in every case
 * in which it differs. One number is shown once.
 */
#ifndef LEANRICH_WORKINGS_H
#define LEANRICH_WORKINGS_H

#include "write/review.h"

const struct working *workings_collect(struct arena *arena, const struct table *table,
	const struct finding *const *findings, size_t finding_count, size_t *count);

#endif
