#include "reconcile/fit.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <string.h>

#include "reconcile/reflections.h"

enum { MOST_ITERATIONS = 40, MOST_DAMPINGS = 8 };
static const double first_damping = 1e-3, damping_factor = 10; /* of the priors' weights; a start, not a result */
static const double step_small = 1e-9;			       /* of the prior: further steps move no printed digit */
static const double cut_of_null_space =
	1e-8; /* of the largest pivot; smallest kept and largest dropped lie decades apart */

struct fit {
	struct arena *arena;
	struct fit_unknown *unknowns;
	struct fit_row *rows;
	size_t unknown_count, unknown_capacity, row_count, row_capacity;
	double *at; /* the unknowns now */

	/* For the rows and unknowns of the first solution: dense, row after row. */
	double *jacobian; /* whitened dm/du, rows x unknowns */
	double *q;	  /* jacobian times the inverse of R */
	double *own;	  /* by row: its leverage on itself */
	double *stacked;  /* (rows + 2 unknowns) x unknowns */
	double *triangle; /* the inverse of R */
	double *right, *solution, *work;
	double *residual, *tried;
	struct dual *point; /* the unknowns as rows are given them */
};

struct fit *fit_new(struct arena *arena)
{
	struct fit *fit = arena_alloc(arena, sizeof *fit);

	fit->arena = arena;
	return fit;
}

size_t fit_add_unknown(struct fit *fit, struct fit_unknown unknown)
{
	fit->unknowns = arena_grow(
		fit->arena, fit->unknowns, fit->unknown_count, &fit->unknown_capacity, sizeof *fit->unknowns);
	fit->unknowns[fit->unknown_count] = unknown;
	return fit->unknown_count++;
}

size_t fit_add_row(struct fit *fit, struct fit_row row)
{
	size_t *unknowns = arena_alloc(fit->arena, (row.count + 1) * sizeof *unknowns);

	for (size_t i = 0; i < row.count; i++)
		unknowns[i] = row.unknowns[i];
	row.unknowns = unknowns;
	fit->rows = arena_grow(fit->arena, fit->rows, fit->row_count, &fit->row_capacity, sizeof *fit->rows);
	fit->rows[fit->row_count] = row;
	return fit->row_count++;
}

size_t fit_unknown_count(const struct fit *fit)
{
	return fit->unknown_count;
}

size_t fit_row_count(const struct fit *fit)
{
	return fit->row_count;
}

const struct fit_unknown *fit_unknown(const struct fit *fit, size_t unknown)
{
	return &fit->unknowns[unknown];
}

const struct fit_row *fit_row(const struct fit *fit, size_t row)
{
	return &fit->rows[row];
}

void fit_remove(struct fit *fit, size_t row, bool removed)
{
	fit->rows[row].removed = removed;
}

/* ---- memory: once, when the first solution is asked for ---- */

static double *numbers(struct fit *fit, size_t count)
{
	return arena_alloc(fit->arena, (count + 1) * sizeof(double));
}

static void get_ready(struct fit *fit)
{
	size_t n = fit->unknown_count, m = fit->row_count;

	if (fit->at)
		return;
	fit->at = numbers(fit, n);
	fit->tried = numbers(fit, n);
	fit->point = arena_alloc(fit->arena, (n + 1) * sizeof *fit->point);
	fit->jacobian = numbers(fit, m * n);
	fit->q = numbers(fit, m * n);
	fit->own = numbers(fit, m);
	fit->stacked = numbers(fit, (m + 2 * n) * n);
	fit->triangle = numbers(fit, n * n);
	fit->right = numbers(fit, m + 2 * n);
	fit->solution = numbers(fit, m + 2 * n);
	fit->work = numbers(fit, m + 2 * n);
	fit->residual = numbers(fit, m);
	for (size_t i = 0; i < n; i++)
		fit->at[i] = fit->unknowns[i].start;
}

void fit_move(struct fit *fit, const double *unknowns)
{
	get_ready(fit);
	memcpy(fit->at, unknowns, fit->unknown_count * sizeof *unknowns);
}

/* ---- rows ---- */

/* m(u) where the unknowns are `point`. */
static double value_at(const struct fit_row *row, const struct dual *point)
{
	return row->value(point, row->data).value;
}

static double slope_along(const struct fit_row *row, struct dual *point, size_t unknown)
{
	point[unknown].slope = 1;
	double slope = row->value(point, row->data).slope;
	point[unknown].slope = 0;
	return slope;
}

static void set_point(struct fit *fit, const double *unknowns)
{
	for (size_t i = 0; i < fit->unknown_count; i++)
		fit->point[i] = (struct dual){unknowns[i], 0};
}

static double residual_at(const struct fit_row *row, const struct dual *point)
{
	return (row->stated - value_at(row, point)) / row->sigma;
}

static double objective_at(struct fit *fit, const double *unknowns)
{
	double sum = 0;

	set_point(fit, unknowns);
	for (size_t i = 0; i < fit->row_count; i++)
		if (!fit->rows[i].removed) {
			double e = residual_at(&fit->rows[i], fit->point);
			sum += e * e;
		}
	for (size_t i = 0; i < fit->unknown_count; i++) {
		double e = (fit->unknowns[i].start - unknowns[i]) / fit->unknowns[i].prior;
		sum += e * e;
	}
	return sum;
}

/* Of removed rows too: what they would say is predicted from the rest. */
static void fill_jacobian(struct fit *fit)
{
	size_t n = fit->unknown_count;

	set_point(fit, fit->at);
	memset(fit->jacobian, 0, fit->row_count * n * sizeof *fit->jacobian);
	for (size_t i = 0; i < fit->row_count; i++) {
		const struct fit_row *row = &fit->rows[i];
		fit->residual[i] = residual_at(row, fit->point);
		for (size_t k = 0; k < row->count; k++)
			fit->jacobian[i * n + row->unknowns[k]] =
				slope_along(row, fit->point, row->unknowns[k]) / row->sigma;
	}
}

/* ---- one step ---- */

/* Rows, priors, and with `damping` one row more for each unknown. Gives the number of rows. */
static size_t stack(struct fit *fit, double damping)
{
	size_t n = fit->unknown_count, m = fit->row_count, rows = m + (damping > 0 ? 2 : 1) * n;

	memset(fit->stacked, 0, rows * n * sizeof *fit->stacked);
	memset(fit->right, 0, rows * sizeof *fit->right);
	for (size_t i = 0; i < m; i++) {
		if (fit->rows[i].removed)
			continue;
		memcpy(fit->stacked + i * n, fit->jacobian + i * n, n * sizeof *fit->stacked);
		fit->right[i] = fit->residual[i];
	}
	for (size_t i = 0; i < n; i++) {
		const struct fit_unknown *unknown = &fit->unknowns[i];
		fit->stacked[(m + i) * n + i] = 1 / unknown->prior;
		fit->right[m + i] = (unknown->start - fit->at[i]) / unknown->prior;
		if (damping > 0)
			fit->stacked[(m + n + i) * n + i] = sqrt(damping) / unknown->step;
	}
	return rows;
}

/* Least-squares step into `solution`, R into the upper part of `stacked`. */
static bool solve_step(struct fit *fit, double damping)
{
	size_t n = fit->unknown_count, rows = stack(fit, damping);
	gsl_matrix_view a = gsl_matrix_view_array(fit->stacked, rows, n);
	gsl_vector_view tau = gsl_vector_view_array(fit->work, n);
	gsl_vector_view b = gsl_vector_view_array(fit->right, rows);
	gsl_vector_view x = gsl_vector_view_array(fit->solution, n);

	reflections_decompose(&a.matrix, &tau.vector);
	return reflections_solve(&a.matrix, &tau.vector, &b.vector, &x.vector);
}

/* The step, shortened as a whole until no unknown moves by more than its cap. Gives its size in priors, or NaN. */
static double try_step(struct fit *fit)
{
	double share = 1, largest = 0;

	for (size_t i = 0; i < fit->unknown_count; i++)
		share = fmin(share, fit->unknowns[i].step / fabs(fit->solution[i]));
	for (size_t i = 0; i < fit->unknown_count; i++) {
		double step = share * fit->solution[i];
		if (!isfinite(step))
			return (double)NAN;
		fit->tried[i] = fit->at[i] + step;
		largest = fmax(largest, fabs(step) / fit->unknowns[i].prior);
	}
	return largest;
}

/* Moves to where J is smaller, damped as much as that takes. Gives the size of the step; NaN: there is no such place. */
static double improve(struct fit *fit, double *objective)
{
	double damping = 0;

	for (int k = 0; k < MOST_DAMPINGS; k++) {
		double size = solve_step(fit, damping) ? try_step(fit) : (double)NAN;
		double after = isfinite(size) ? objective_at(fit, fit->tried) : (double)NAN;
		bool better = isfinite(after) && after <= *objective * (1 + step_small) + step_small;

		if (better) {
			memcpy(fit->at, fit->tried, fit->unknown_count * sizeof *fit->at);
			*objective = after;
			return size;
		}
		damping = damping > 0 ? damping * damping_factor * damping_factor : first_damping;
	}
	return (double)NAN;
}

/* q = jacobian R^-1 for every row, and the inverse of R for the spread of the unknowns. */
static bool fill_leverages(struct fit *fit)
{
	size_t n = fit->unknown_count, m = fit->row_count, rows = stack(fit, 0);
	gsl_matrix_view a = gsl_matrix_view_array(fit->stacked, rows, n);
	gsl_matrix_view t = gsl_matrix_view_array(fit->triangle, n, n);

	gsl_vector_view tau = gsl_vector_view_array(fit->work, n);

	reflections_decompose(&a.matrix, &tau.vector);
	gsl_matrix_view r = gsl_matrix_submatrix(&a.matrix, 0, 0, n, n);
	for (size_t i = 0; i < n; i++)
		if (gsl_matrix_get(&r.matrix, i, i) == 0)
			return false;
	gsl_matrix_set_identity(&t.matrix);
	gsl_blas_dtrsm(CblasLeft, CblasUpper, CblasNoTrans, CblasNonUnit, 1, &r.matrix, &t.matrix);
	memcpy(fit->q, fit->jacobian, m * n * sizeof *fit->q);
	gsl_matrix_view q = gsl_matrix_view_array(fit->q, m, n);
	gsl_blas_dtrmm(CblasRight, CblasUpper, CblasNoTrans, CblasNonUnit, 1, &t.matrix, &q.matrix);
	for (size_t i = 0; i < m; i++)
		fit->own[i] = fit_leverage(fit, i, i);
	return true;
}

struct fit_end fit_settle(struct fit *fit)
{
	struct fit_end end = {.objective = (double)NAN};

	if (fit->row_count == 0 || fit->unknown_count == 0)
		return end;
	get_ready(fit);
	double objective = objective_at(fit, fit->at), size = isfinite(objective) ? (double)INFINITY : (double)NAN;

	while (isfinite(objective) && !(size < step_small) && end.iterations < MOST_ITERATIONS) {
		fill_jacobian(fit);
		end.iterations++;
		double before = objective;
		size = improve(fit, &objective);
		if (isnan(size))
			break;
		if (before - objective < step_small * fmin(1, objective) && size < sqrt(step_small))
			size = 0;
	}
	end.converged = size < step_small;
	end.objective = objective;
	if (isfinite(objective))
		fill_jacobian(fit);
	return end;
}

struct fit_end fit_solve(struct fit *fit)
{
	struct fit_end end = fit_settle(fit);

	if (isfinite(end.objective))
		end.converged = fill_leverages(fit) && end.converged;
	return end;
}

/* ---- at the solution ---- */

double fit_at(const struct fit *fit, size_t unknown)
{
	return fit->at[unknown];
}

double fit_sd(const struct fit *fit, size_t unknown)
{
	double sum = 0;

	for (size_t k = 0; k < fit->unknown_count; k++) {
		double part = fit->triangle[unknown * fit->unknown_count + k];
		sum += part * part;
	}
	return sqrt(sum);
}

double fit_model(const struct fit *fit, size_t row)
{
	return fit->rows[row].stated - fit->residual[row] * fit->rows[row].sigma;
}

double fit_residual(const struct fit *fit, size_t row)
{
	return fit->residual[row];
}

double fit_leverage(const struct fit *fit, size_t a, size_t b)
{
	size_t n = fit->unknown_count;
	double sum = 0;

	for (size_t k = 0; k < n; k++)
		sum += fit->q[a * n + k] * fit->q[b * n + k];
	return sum;
}

double fit_redundancy(const struct fit *fit, size_t row)
{
	return fit->rows[row].removed ? (double)NAN : 1 - fit->own[row];
}

double fit_prediction_sd(const struct fit *fit, size_t row)
{
	return sqrt(fit->own[row]);
}

/* Unknowns with a part in what no row moves: columns of the null space are (-R11^-1 R12, I) in the order of the pivots. */
static void mark_null_space(struct fit *fit, const gsl_permutation *order, size_t rank, bool *determined)
{
	size_t n = fit->unknown_count;
	gsl_matrix_view r = gsl_matrix_view_array(fit->stacked, n, n);
	gsl_vector_view column = gsl_vector_view_array(fit->solution, n);

	for (size_t k = rank; k < n; k++) {
		determined[gsl_permutation_get(order, k)] = false;
		for (size_t i = 0; i < rank; i++)
			gsl_vector_set(&column.vector, i, gsl_matrix_get(&r.matrix, i, k));
		gsl_matrix_view top = gsl_matrix_submatrix(&r.matrix, 0, 0, rank ? rank : 1, rank ? rank : 1);
		gsl_vector_view part = gsl_vector_subvector(&column.vector, 0, rank ? rank : 1);
		if (rank)
			gsl_blas_dtrsv(CblasUpper, CblasNoTrans, CblasNonUnit, &top.matrix, &part.vector);
		for (size_t i = 0; i < rank; i++)
			if (fabs(gsl_vector_get(&column.vector, i)) > sqrt(cut_of_null_space))
				determined[gsl_permutation_get(order, i)] = false;
	}
}

size_t fit_null_space(struct fit *fit, bool *determined)
{
	size_t n = fit->unknown_count, m = fit->row_count, rows = m > n ? m : n, rank = 0;
	gsl_matrix_view a = gsl_matrix_view_array(fit->stacked, rows, n);
	gsl_vector_view tau = gsl_vector_view_array(fit->right, n), norm = gsl_vector_view_array(fit->work, n);
	gsl_permutation order = {.size = n, .data = arena_alloc(fit->arena, (n + 1) * sizeof(size_t))};
	int sign;

	gsl_matrix_set_zero(&a.matrix);
	for (size_t i = 0; i < m; i++)
		for (size_t k = 0; k < n && !fit->rows[i].removed; k++)
			gsl_matrix_set(&a.matrix, i, k, fit->jacobian[i * n + k] * fit->unknowns[k].prior);
	for (size_t k = 0; k < n; k++)
		determined[k] = true;
	if (gsl_linalg_QRPT_decomp(&a.matrix, &tau.vector, &order, &sign, &norm.vector) != GSL_SUCCESS)
		return 0;
	double largest = fabs(gsl_matrix_get(&a.matrix, 0, 0));
	while (rank < n && fabs(gsl_matrix_get(&a.matrix, rank, rank)) > cut_of_null_space * largest)
		rank++;
	mark_null_space(fit, &order, rank, determined);
	return n - rank;
}
