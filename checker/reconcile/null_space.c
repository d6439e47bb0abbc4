#include "reconcile/null_space.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>

/* Of the largest column; smallest pivot kept and largest dropped lie decades apart. */
static const double cut = 1e-8;

/*
 * Of all that the rows say of a column, the least that rows without another entry say of one that is settled. What is left then has
 * its pivots within some ten times of what they are beside the settled columns.
 */
static const double settling = 0.1;

/* The matrix with its columns scaled, and what is known of them. */
struct scaled {
	const struct sparse *matrix;
	const bool *left_out;
	const double *scale;
	double smallest; /* pivot that counts */
	bool *settled;	 /* by column: rows that have no other entry say what it is */
};

static double entry(const struct scaled *scaled, size_t e)
{
	return scaled->matrix->value[e] * scaled->scale[scaled->matrix->column[e]];
}

static bool is_alone(const struct scaled *scaled, size_t row)
{
	return scaled->matrix->start[row + 1] - scaled->matrix->start[row] == 1;
}

/* Finds the settled columns, and the smallest pivot by the largest column. */
static void settle(struct arena *arena, struct scaled *scaled)
{
	const struct sparse *matrix = scaled->matrix;
	double *all = arena_alloc(arena, (matrix->columns + 1) * sizeof *all), largest = 0;
	double *alone = arena_alloc(arena, (matrix->columns + 1) * sizeof *alone);

	for (size_t i = 0; i < matrix->rows; i++)
		for (size_t e = matrix->start[i]; e < matrix->start[i + 1] && !scaled->left_out[i]; e++) {
			double square = entry(scaled, e) * entry(scaled, e);
			all[matrix->column[e]] += square;
			alone[matrix->column[e]] += is_alone(scaled, i) ? square : 0;
		}
	for (size_t k = 0; k < matrix->columns; k++)
		largest = fmax(largest, all[k]);
	scaled->smallest = cut * sqrt(largest);
	for (size_t k = 0; k < matrix->columns; k++)
		scaled->settled[k] = alone[k] > settling * settling * all[k] && sqrt(alone[k]) > scaled->smallest;
}

static bool is_open(const struct scaled *scaled, size_t row)
{
	const struct sparse *matrix = scaled->matrix;

	for (size_t e = matrix->start[row]; e < matrix->start[row + 1] && !scaled->left_out[row]; e++)
		if (!scaled->settled[matrix->column[e]])
			return true;
	return false;
}

/* The rest, dense: `columns` of the matrix in the order of `of`. */
static gsl_matrix_view open_part(struct arena *arena, const struct scaled *scaled, const size_t *of, size_t columns)
{
	const struct sparse *matrix = scaled->matrix;
	size_t *place = arena_alloc(arena, (matrix->columns + 1) * sizeof *place), rows = 0, row = 0;

	for (size_t k = 0; k < columns; k++)
		place[of[k]] = k;
	for (size_t i = 0; i < matrix->rows; i++)
		rows += is_open(scaled, i);
	if (rows == 0)
		rows = 1;
	double *dense = arena_alloc(arena, rows * columns * sizeof *dense);
	for (size_t i = 0; i < matrix->rows; i++) {
		if (!is_open(scaled, i))
			continue;
		for (size_t e = matrix->start[i]; e < matrix->start[i + 1]; e++)
			if (!scaled->settled[matrix->column[e]])
				dense[row * columns + place[matrix->column[e]]] = entry(scaled, e);
		row++;
	}
	return gsl_matrix_view_array(dense, rows, columns);
}

/* Columns of the null space are (-R11^-1 R12, I) in the order of the pivots. */
static void mark(struct arena *arena, const gsl_matrix *r, const size_t *order, size_t rank, bool *determined)
{
	double *part = arena_alloc(arena, (rank + 1) * sizeof *part);

	for (size_t k = rank; k < r->size2; k++) {
		determined[order[k]] = false;
		for (size_t i = 0; i < rank; i++)
			part[i] = gsl_matrix_get(r, i, k);
		gsl_matrix_const_view top = gsl_matrix_const_submatrix(r, 0, 0, rank ? rank : 1, rank ? rank : 1);
		gsl_vector_view column = gsl_vector_view_array(part, rank ? rank : 1);
		if (rank)
			gsl_blas_dtrsv(CblasUpper, CblasNoTrans, CblasNonUnit, &top.matrix, &column.vector);
		for (size_t i = 0; i < rank; i++)
			if (fabs(part[i]) > sqrt(cut))
				determined[order[i]] = false;
	}
}

/* The same of a dense matrix, whose columns are those of `of`. */
static size_t null_space_of(struct arena *arena, gsl_matrix *a, const size_t *of, double smallest, bool *determined)
{
	size_t n = a->size2, most = a->size1 < n ? a->size1 : n, rank = 0;
	size_t *order = arena_alloc(arena, n * sizeof *order);
	gsl_permutation pivots = {.size = n, .data = arena_alloc(arena, n * sizeof(size_t))};
	gsl_vector_view tau = gsl_vector_view_array(arena_alloc(arena, n * sizeof(double)), most);
	gsl_vector_view norm = gsl_vector_view_array(arena_alloc(arena, n * sizeof(double)), n);
	int sign;

	if (gsl_linalg_QRPT_decomp(a, &tau.vector, &pivots, &sign, &norm.vector) != GSL_SUCCESS)
		return 0;
	while (rank < most && fabs(gsl_matrix_get(a, rank, rank)) > smallest)
		rank++;
	for (size_t k = 0; k < n; k++)
		order[k] = of[gsl_permutation_get(&pivots, k)];
	mark(arena, a, order, rank, determined);
	return n - rank;
}

size_t null_space(
	struct arena *arena, const struct sparse *matrix, const bool *left_out, const double *scale, bool *determined)
{
	struct scaled scaled = {.matrix = matrix, .left_out = left_out, .scale = scale};
	size_t *open = arena_alloc(arena, (matrix->columns + 1) * sizeof *open), count = 0;

	scaled.settled = arena_alloc(arena, (matrix->columns + 1) * sizeof *scaled.settled);
	settle(arena, &scaled);
	for (size_t k = 0; k < matrix->columns; k++) {
		determined[k] = true;
		if (!scaled.settled[k])
			open[count++] = k;
	}
	if (count == 0)
		return 0;
	gsl_matrix_view rest = open_part(arena, &scaled, open, count);
	return null_space_of(arena, &rest.matrix, open, scaled.smallest, determined);
}
