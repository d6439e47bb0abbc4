/*
 * Sparse QR (reconcile/rotations.h) and the null space (reconcile/null_space.h) against dense decompositions of GSL, over random
 * matrices; and that a fit asks a row for slopes by no more than it uses.
 */
#include <criterion/criterion.h>
#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>

#include "reconcile/fit.h"
#include "reconcile/null_space.h"

static double random_number(unsigned *seed)
{
	*seed = *seed * 1103515245u + 12345u;
	return ((*seed >> 8) % 20001) / 10000.0 - 1;
}

static size_t random_below(unsigned *seed, size_t count)
{
	*seed = *seed * 1103515245u + 12345u;
	return (*seed >> 8) % count;
}

/* Rows of one to four entries; the last `blank` columns have none. */
static struct sparse random_matrix(struct arena *arena, unsigned *seed, size_t rows, size_t columns, size_t blank)
{
	size_t *start = arena_alloc(arena, (rows + 1) * sizeof *start);
	size_t *column = arena_alloc(arena, 4 * rows * sizeof *column);
	double *value = arena_alloc(arena, 4 * rows * sizeof *value);
	size_t count = 0;

	for (size_t i = 0; i < rows; i++) {
		for (size_t entries = 1 + random_below(seed, 4); entries; entries--) {
			size_t at = random_below(seed, columns - blank);
			bool there = false;
			for (size_t e = start[i]; e < count; e++)
				there = there || column[e] == at;
			if (there)
				continue;
			column[count] = at;
			value[count++] = 3 * random_number(seed);
		}
		start[i + 1] = count;
	}
	return (struct sparse){.rows = rows, .columns = columns, .start = start, .column = column, .value = value};
}

/* The diagonal over the rows that are not left out, dense; right side likewise. */
static gsl_matrix *dense(const struct sparse *sparse, const double *diagonal, const bool *left_out)
{
	gsl_matrix *a = gsl_matrix_calloc(sparse->columns + sparse->rows, sparse->columns);

	for (size_t k = 0; k < sparse->columns; k++)
		gsl_matrix_set(a, k, k, diagonal[k]);
	for (size_t i = 0; i < sparse->rows; i++)
		for (size_t e = sparse->start[i]; e < sparse->start[i + 1] && !left_out[i]; e++)
			gsl_matrix_set(a, sparse->columns + i, sparse->column[e], sparse->value[e]);
	return a;
}

enum { ROWS = 40, COLUMNS = 23 };

struct problem {
	struct sparse matrix;
	double diagonal[COLUMNS], of_diagonal[COLUMNS], right[ROWS];
	bool left_out[ROWS];
};

static struct problem random_problem(struct arena *arena, unsigned *seed)
{
	struct problem problem = {.matrix = random_matrix(arena, seed, ROWS, COLUMNS, random_below(seed, 4))};

	for (size_t k = 0; k < COLUMNS; k++) {
		problem.diagonal[k] = 0.01 + fabs(random_number(seed));
		problem.of_diagonal[k] = random_number(seed);
	}
	for (size_t i = 0; i < ROWS; i++) {
		problem.right[i] = random_number(seed);
		problem.left_out[i] = random_below(seed, 10) == 0;
	}
	return problem;
}

static void expect_solution(const struct problem *problem, struct rotations *rotations)
{
	gsl_matrix *a = dense(&problem->matrix, problem->diagonal, problem->left_out);
	gsl_vector *b = gsl_vector_alloc(COLUMNS + ROWS), *tau = gsl_vector_alloc(COLUMNS),
		   *x = gsl_vector_alloc(COLUMNS), *rest = gsl_vector_alloc(COLUMNS + ROWS);
	double ours[COLUMNS];

	for (size_t i = 0; i < COLUMNS + ROWS; i++)
		gsl_vector_set(b, i, i < COLUMNS ? problem->of_diagonal[i] : problem->right[i - COLUMNS]);
	gsl_linalg_QR_decomp(a, tau);
	gsl_linalg_QR_lssolve(a, tau, b, x, rest);
	rotations_solve(rotations, ours);
	for (size_t k = 0; k < COLUMNS; k++)
		cr_expect_float_eq(ours[k], gsl_vector_get(x, k), 1e-9 * (1 + fabs(ours[k])), "%zu", k);
	gsl_matrix_free(a);
	gsl_vector_free(b);
	gsl_vector_free(tau);
	gsl_vector_free(x);
	gsl_vector_free(rest);
}

/* row a, inverse of (A'A), row b: by the inverse itself. */
static double product(const struct sparse *matrix, const gsl_matrix *inverse, size_t a, size_t b)
{
	double sum = 0;

	for (size_t i = matrix->start[a]; i < matrix->start[a + 1]; i++)
		for (size_t k = matrix->start[b]; k < matrix->start[b + 1]; k++)
			sum += matrix->value[i] * matrix->value[k] *
				gsl_matrix_get(inverse, matrix->column[i], matrix->column[k]);
	return sum;
}

static void expect_leverages(struct arena *arena, const struct problem *problem, struct rotations *rotations)
{
	gsl_matrix *a = dense(&problem->matrix, problem->diagonal, problem->left_out);
	gsl_matrix *inverse = gsl_matrix_alloc(COLUMNS, COLUMNS);
	double *q[ROWS];

	gsl_blas_dgemm(CblasTrans, CblasNoTrans, 1, a, a, 0, inverse);
	gsl_linalg_cholesky_decomp1(inverse);
	gsl_linalg_cholesky_invert(inverse);
	for (size_t i = 0; i < ROWS; i++) {
		q[i] = arena_alloc(arena, (rotations_path(rotations, i) + 1) * sizeof(double));
		rotations_row(rotations, i, q[i]);
	}
	for (size_t i = 0; i < ROWS; i++)
		for (size_t k = 0; k < ROWS; k++) {
			double right = product(&problem->matrix, inverse, i, k);
			cr_expect_float_eq(rotations_product(rotations, i, q[i], k, q[k]), right,
				1e-7 * (1 + fabs(right)), "%zu %zu", i, k);
		}
	for (size_t k = 0; k < COLUMNS; k++)
		cr_expect_float_eq(rotations_variance(rotations, k), gsl_matrix_get(inverse, k, k),
			1e-7 * gsl_matrix_get(inverse, k, k));
	gsl_matrix_free(a);
	gsl_matrix_free(inverse);
}

Test(rotations, agree_with_a_dense_decomposition)
{
	unsigned seed = 5;

	for (int trial = 0; trial < 200; trial++) {
		struct arena arena = {0};
		struct problem problem = random_problem(&arena, &seed);
		struct rotations *rotations = rotations_new(&arena, &problem.matrix);

		/* Twice: nothing of one decomposition is left in the next. */
		for (int turn = 0; turn < 2; turn++) {
			rotations_decompose(
				rotations, problem.diagonal, problem.of_diagonal, problem.left_out, problem.right);
			expect_solution(&problem, rotations);
			expect_leverages(&arena, &problem, rotations);
			problem.left_out[turn] = !problem.left_out[turn];
		}
		arena_release(&arena);
	}
}

/* ---- null space ---- */

/* By singular values: the dimension, and the largest part that right vectors of the null space have in each column. */
static size_t by_singular_values(const struct problem *problem, const double *scale, double *part)
{
	double none[COLUMNS] = {0};
	gsl_matrix *a = dense(&problem->matrix, none, problem->left_out), *v = gsl_matrix_alloc(COLUMNS, COLUMNS);
	gsl_vector *s = gsl_vector_alloc(COLUMNS), *work = gsl_vector_alloc(COLUMNS);
	size_t dimension = 0;

	for (size_t k = 0; k < COLUMNS; k++) {
		gsl_vector_view column = gsl_matrix_column(a, k);
		gsl_vector_scale(&column.vector, scale[k]);
		part[k] = 0;
	}
	gsl_linalg_SV_decomp(a, v, s, work);
	for (size_t i = 0; i < COLUMNS; i++) {
		if (gsl_vector_get(s, i) > 1e-8 * gsl_vector_get(s, 0))
			continue;
		dimension++;
		for (size_t k = 0; k < COLUMNS; k++)
			part[k] = fmax(part[k], fabs(gsl_matrix_get(v, k, i)));
	}
	gsl_matrix_free(a);
	gsl_matrix_free(v);
	gsl_vector_free(s);
	gsl_vector_free(work);
	return dimension;
}

Test(null_space, agrees_with_singular_values)
{
	unsigned seed = 7;
	size_t dimensions = 0;

	for (int trial = 0; trial < 200; trial++) {
		struct arena arena = {0};
		struct problem problem = random_problem(&arena, &seed);
		bool determined[COLUMNS];
		double scale[COLUMNS], part[COLUMNS];

		for (size_t i = 0; i < ROWS; i++)
			problem.left_out[i] = random_below(&seed, 2) == 0;
		for (size_t k = 0; k < COLUMNS; k++)
			scale[k] = 1 + fabs(random_number(&seed));
		size_t dimension = by_singular_values(&problem, scale, part);
		cr_expect_eq(null_space(&arena, &problem.matrix, problem.left_out, scale, determined), dimension);
		for (size_t k = 0; k < COLUMNS; k++)
			if (part[k] < 1e-7 || part[k] > 1e-2) /* nothing is asked of what lies between */
				cr_expect_eq(determined[k], part[k] < 1e-7, "trial %d, column %zu", trial, k);
		dimensions += dimension;
		arena_release(&arena);
	}
	cr_expect(dimensions > 200);
}

/* Two unknowns nearly alike: what one row says of a third by far too little settles nothing. */
Test(null_space, what_is_hardly_said_settles_nothing)
{
	static const size_t start[] = {0, 1, 3, 6}, column[] = {0, 1, 2, 0, 1, 2};
	double value[] = {1e-7, 1, -1, 1, 1, -1 + 1e-7};
	static const bool left_out[3] = {false};
	static const double scale[] = {1, 1, 1};
	const struct sparse matrix = {.rows = 3, .columns = 3, .start = start, .column = column, .value = value};
	struct arena arena = {0};
	bool determined[3];

	cr_expect_eq(null_space(&arena, &matrix, left_out, scale, determined), 1);
	cr_expect_not(determined[1] || determined[2]);
	arena_release(&arena);
}

/* ---- what a row uses ---- */

struct watched {
	size_t unknown;
	size_t *asked;
};

static struct dual square_of(const struct dual *u, const void *data)
{
	const struct watched *watched = data;

	++*watched->asked;
	return dual_times(u[watched->unknown], u[watched->unknown]);
}

Test(fit, differentiates_a_row_by_what_it_uses)
{
	static const size_t all[] = {0, 1, 2, 3};
	size_t asked[2] = {0};
	struct watched few = {2, &asked[0]}, many = {2, &asked[1]};
	const struct watched *watched[] = {&few, &many};
	double at[2];

	for (size_t i = 0; i < 2; i++) {
		struct arena arena = {0};
		struct fit *fit = fit_new(&arena);

		for (size_t k = 0; k < 4; k++)
			fit_add_unknown(fit, (struct fit_unknown){.start = 1, .prior = 10, .step = 10});
		fit_add_row(fit,
			(struct fit_row){.stated = 2,
				.sigma = 1e-3,
				.value = square_of,
				.data = watched[i],
				.unknowns = i ? all : &all[2],
				.count = i ? 4 : 1});
		cr_expect(fit_solve(fit).converged);
		at[i] = fit_at(fit, 2);
		arena_release(&arena);
	}
	cr_expect_float_eq(at[0], sqrt(2), 1e-6);
	cr_expect_eq(at[0], at[1]);
	cr_expect_eq(asked[1], asked[0] + 3);
}
