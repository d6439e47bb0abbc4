#include "reconcile/fit.h"

#include <string.h>

#include "reconcile/null_space.h"
#include "reconcile/rotations.h"

enum { MOST_ITERATIONS = 40, MOST_DAMPINGS = 8 };
static const double first_damping = 1e-3, damping_factor = 10; /* of the priors' weights; a start, not a result */
static const double step_small = 1e-9;			       /* of the prior: further steps move no printed digit */

struct fit {
	struct arena *arena;
	struct fit_unknown *unknowns;
	struct fit_row *rows;
	size_t unknown_count, unknown_capacity, row_count, row_capacity;
	double *at; /* the unknowns now */

	/* For the rows and unknowns of the first solution. */
	struct sparse slopes;	    /* whitened dm/du, rows x unknowns */
	struct rotations *triangle; /* R of them over the priors */
	double **q;		    /* by row: slopes times the inverse of R */
	double *own, *spread;	    /* by row: its leverage on itself; by unknown: its standard deviation */
	bool *left_out;		    /* by row, in the last decomposition */
	double *diagonal, *right, *solution;
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

static double *numbers(struct fit *fit, size_t count)
{
	return arena_alloc(fit->arena, (count + 1) * sizeof(double));
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

/* Does m(u) use the unknown? Whatever is calculated from what is not a number is none. */
static bool uses(const struct fit_row *row, struct dual *point, size_t unknown)
{
	point[unknown].slope = (double)NAN;
	double slope = row->value(point, row->data).slope;
	point[unknown].slope = 0;
	return isnan(slope);
}

/* The entries of the slopes: the unknowns that a row uses, of those that it names. */
static void fill_pattern(struct fit *fit)
{
	size_t most = 0, count = 0;

	for (size_t i = 0; i < fit->row_count; i++)
		most += fit->rows[i].count;
	size_t *start = arena_alloc(fit->arena, (fit->row_count + 1) * sizeof *start);
	size_t *column = arena_alloc(fit->arena, (most + 1) * sizeof *column);
	set_point(fit, fit->at);
	for (size_t i = 0; i < fit->row_count; i++) {
		const struct fit_row *row = &fit->rows[i];
		for (size_t k = 0; k < row->count; k++)
			if (uses(row, fit->point, row->unknowns[k]))
				column[count++] = row->unknowns[k];
		start[i + 1] = count;
	}
	fit->slopes = (struct sparse){.rows = fit->row_count,
		.columns = fit->unknown_count,
		.start = start,
		.column = column,
		.value = numbers(fit, count)};
}

/* ---- memory: once, when the first solution is asked for ---- */

static void get_ready(struct fit *fit)
{
	size_t n = fit->unknown_count, m = fit->row_count;

	if (fit->at)
		return;
	fit->at = numbers(fit, n);
	fit->tried = numbers(fit, n);
	fit->point = arena_alloc(fit->arena, (n + 1) * sizeof *fit->point);
	fit->diagonal = numbers(fit, n);
	fit->right = numbers(fit, n);
	fit->solution = numbers(fit, n);
	fit->spread = numbers(fit, n);
	fit->residual = numbers(fit, m);
	fit->own = numbers(fit, m);
	fit->left_out = arena_alloc(fit->arena, (m + 1) * sizeof *fit->left_out);
	for (size_t i = 0; i < n; i++)
		fit->at[i] = fit->unknowns[i].start;
	fill_pattern(fit);
	fit->triangle = rotations_new(fit->arena, &fit->slopes);
	fit->q = arena_alloc(fit->arena, (m + 1) * sizeof *fit->q);
	for (size_t i = 0; i < m; i++)
		fit->q[i] = numbers(fit, rotations_path(fit->triangle, i));
}

void fit_move(struct fit *fit, const double *unknowns)
{
	get_ready(fit);
	memcpy(fit->at, unknowns, fit->unknown_count * sizeof *unknowns);
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
static void fill_slopes(struct fit *fit)
{
	const struct sparse *slopes = &fit->slopes;

	set_point(fit, fit->at);
	for (size_t i = 0; i < fit->row_count; i++) {
		const struct fit_row *row = &fit->rows[i];
		fit->residual[i] = residual_at(row, fit->point);
		for (size_t e = slopes->start[i]; e < slopes->start[i + 1]; e++)
			slopes->value[e] = slope_along(row, fit->point, slopes->column[e]) / row->sigma;
	}
}

/* ---- one step ---- */

/* Of the rows and priors, and with `damping` one row more for each unknown. */
static void decompose(struct fit *fit, double damping)
{
	for (size_t i = 0; i < fit->row_count; i++)
		fit->left_out[i] = fit->rows[i].removed;
	for (size_t i = 0; i < fit->unknown_count; i++) {
		const struct fit_unknown *unknown = &fit->unknowns[i];
		double prior = 1 / unknown->prior, right = (unknown->start - fit->at[i]) / unknown->prior;
		/* The prior row and the damping row, whose right side is 0, turned into one. */
		fit->diagonal[i] = hypot(prior, sqrt(damping) / unknown->step);
		fit->right[i] = prior / fit->diagonal[i] * right;
	}
	rotations_decompose(fit->triangle, fit->diagonal, fit->right, fit->left_out, fit->residual);
}

/* Least-squares step into `solution`. */
static void solve_step(struct fit *fit, double damping)
{
	decompose(fit, damping);
	rotations_solve(fit->triangle, fit->solution);
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
		solve_step(fit, damping);
		double size = try_step(fit);
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

/* q for every row, and the spread of the unknowns. */
static void fill_leverages(struct fit *fit)
{
	decompose(fit, 0);
	for (size_t i = 0; i < fit->row_count; i++) {
		rotations_row(fit->triangle, i, fit->q[i]);
		fit->own[i] = fit_leverage(fit, i, i);
	}
	for (size_t i = 0; i < fit->unknown_count; i++)
		fit->spread[i] = sqrt(rotations_variance(fit->triangle, i));
}

struct fit_end fit_settle(struct fit *fit)
{
	struct fit_end end = {.objective = (double)NAN};

	if (fit->row_count == 0 || fit->unknown_count == 0)
		return end;
	get_ready(fit);
	double objective = objective_at(fit, fit->at), size = isfinite(objective) ? (double)INFINITY : (double)NAN;

	while (isfinite(objective) && !(size < step_small) && end.iterations < MOST_ITERATIONS) {
		fill_slopes(fit);
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
		fill_slopes(fit);
	return end;
}

struct fit_end fit_solve(struct fit *fit)
{
	struct fit_end end = fit_settle(fit);

	if (isfinite(end.objective))
		fill_leverages(fit);
	return end;
}

/* ---- at the solution ---- */

double fit_at(const struct fit *fit, size_t unknown)
{
	return fit->at[unknown];
}

double fit_sd(const struct fit *fit, size_t unknown)
{
	return fit->spread[unknown];
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
	return rotations_product(fit->triangle, a, fit->q[a], b, fit->q[b]);
}

double fit_redundancy(const struct fit *fit, size_t row)
{
	return fit->rows[row].removed ? (double)NAN : 1 - fit->own[row];
}

double fit_prediction_sd(const struct fit *fit, size_t row)
{
	return sqrt(fit->own[row]);
}

size_t fit_null_space(struct fit *fit, bool *determined)
{
	for (size_t i = 0; i < fit->row_count; i++)
		fit->left_out[i] = fit->rows[i].removed;
	for (size_t i = 0; i < fit->unknown_count; i++)
		fit->diagonal[i] = fit->unknowns[i].prior;
	return null_space(fit->arena, &fit->slopes, fit->left_out, fit->diagonal, determined);
}
