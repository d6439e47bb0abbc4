/*
 * Sparse QR by Givens rotations, one row after another (George and Heath 1980, from memory), in an order of the columns that
 * keeps R sparse (least degree first). The rows of a circuit touch a few unknowns each, so that R and the work are a small part
 * of what they are dense. R starts as a diagonal, the weak prior rows of a fit, and is never singular.
 *
 * Columns have a place in that order. Eliminating one couples it with its parent, the next place that its row of R has an entry
 * at; what a row of the matrix touches while it is rotated in, or solved with, lies on the path from its first place to the root
 * of that tree.
 */
#ifndef LEANRICH_ROTATIONS_H
#define LEANRICH_ROTATIONS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

/* A matrix by rows: the entries of row i are those from start[i] up to start[i + 1]. A column stands once in a row at most. */
struct sparse {
	size_t rows, columns;
	const size_t *start, *column;
	double *value;
};

struct rotations; /* opaque */

/* For matrices with entries where `matrix` has any; its values are not looked at. It must outlive what is returned. */
struct rotations *rotations_new(struct arena *arena, const struct sparse *matrix);

/*
 * R of the diagonal over the rows of the matrix that are not `left_out`, and the right sides `of_diagonal`, `right` turned with
 * them: of each column, of each row.
 */
void rotations_decompose(struct rotations *rotations, const double *diagonal, const double *of_diagonal,
	const bool *left_out, const double *right);

/* The x of least squares of the last decomposition, by column. */
void rotations_solve(struct rotations *rotations, double *x);

/* How long rotations_row() makes q, by the first entry of a row of the matrix. */
size_t rotations_path(const struct rotations *rotations, size_t row);

/* q = row times the inverse of R, by the places of its path. */
void rotations_row(struct rotations *rotations, size_t row, double *q);

/* |q|^2 of a row that has 1 in `column`: the variance of that unknown. */
double rotations_variance(struct rotations *rotations, size_t column);

/* q_a . q_b of two rows of the matrix. */
double rotations_product(
	const struct rotations *rotations, size_t row_a, const double *q_a, size_t row_b, const double *q_b);

#endif
