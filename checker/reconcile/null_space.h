/*
 * What the rows of a matrix say nothing of: its null space, by QR with column pivoting of the part of it that single rows do not
 * settle, cut at 1e-8 of its largest column.
 */
#ifndef LEANRICH_NULL_SPACE_H
#define LEANRICH_NULL_SPACE_H

#include "reconcile/rotations.h"

/*
 * Of the rows that are not `left_out`, each column times its `scale`. `determined`, by column: the null space has no part in it.
 * Gives the dimension.
 */
size_t null_space(
	struct arena *arena, const struct sparse *matrix, const bool *left_out, const double *scale, bool *determined);

#endif
