/*
 * Places that share one state: many are in the same stream. For tables and figures, so that nothing is said twice.
 */
#ifndef LEANRICH_SCALE_GROUPS_H
#define LEANRICH_SCALE_GROUPS_H

#include "sulfide/lean_side.h"

struct scale_group {
	const struct reading_at *reading;  /* the first of them */
	const struct scale_shares *shares; /* NULL: not sampled */
	const char *names;		   /* "E-306 shell side outlet, F-310, V-311" */
	int number;			   /* in the order of flow, from 1; alike in every case */
	bool as_first_case;		   /* the same state as in the first steady case */
};

struct scale_groups {
	const struct scale_group *rows; /* of one case */
	size_t count;
};

/* The places that have a state in the i-th steady case. */
struct scale_groups scale_groups_of(struct arena *arena, const struct lean_side *all, size_t steady_case);

#endif
