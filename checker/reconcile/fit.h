/*
 * Weighted least squares with errors in all statements: what every statement and every balance together say of the unknowns.
 *
 * Minimises J(u) = sum of e^2 over the rows, e = (y - m(u)) / s:
 *	statement	y as stated, in its metric (ln of what is positive, else linear); m(u) what the unknowns say it is
 *	model		y = 0, m(u) a balance or a property relation, dimensionless or in K; s its closure tolerance
 *	property	y = 0, m(u) = k of a correction factor 1 + k; s the uncertainty of the property
 * and a weak prior row (start - u) / width for every unknown, so that the matrix has full rank whatever is not stated.
 *
 * Gauss-Newton on the stacked Jacobian, damped as Levenberg and Marquardt do when a step does not help, sparse QR (rotations.h),
 * steps capped for each unknown. The Jacobian is exact (dual.h). Errors-in-variables least squares and redundancy numbers: Narasimhan and
 * Jordache 2000, from memory.
 *
 * At the solution q is the row of the thin Q of the whitened Jacobian: r = 1 - |q|^2 is the redundancy number of a
 * statement, 0 where only itself says what it is, near 1 where the rest says it as well.
 */
#ifndef LEANRICH_FIT_H
#define LEANRICH_FIT_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "reconcile/dual.h"

struct fit_unknown {
	const char *name;
	double start; /* in its metric */
	double prior; /* width of the prior, same metric */
	double step;  /* the largest step of one iteration */
};

enum fit_sort { FIT_STATEMENT, FIT_MODEL, FIT_PROPERTY };

/* `unknowns` are all of the fit, by their indices. */
typedef struct dual fit_value(const struct dual *unknowns, const void *data);

struct fit_row {
	enum fit_sort sort;
	const char *name;
	double stated; /* y; 0 unless a statement */
	double sigma;
	double rounding; /* the part of sigma that is the last printed digit, whatever else the package scatters by */
	fit_value *value;
	const void *data;
	/* On which m(u) may depend, each once, wherever they are; others are not differentiated by. Which it uses is found by asking. */
	const size_t *unknowns;
	size_t count;
	size_t group; /* statements of one quantity share it */
	bool removed; /* left out by elimination */
};

struct fit; /* opaque */

struct fit *fit_new(struct arena *arena);
size_t fit_add_unknown(struct fit *fit, struct fit_unknown unknown); /* gives its index */
size_t fit_add_row(struct fit *fit, struct fit_row row);	     /* copied, its list of unknowns too */

size_t fit_unknown_count(const struct fit *fit);
size_t fit_row_count(const struct fit *fit);
const struct fit_unknown *fit_unknown(const struct fit *fit, size_t unknown);
const struct fit_row *fit_row(const struct fit *fit, size_t row);

/* Leaves a statement out of the next solution, or takes it in again. */
void fit_remove(struct fit *fit, size_t row, bool removed);

/* Where a solution starts: the unknowns as they are now. */
void fit_move(struct fit *fit, const double *unknowns);

struct fit_end {
	bool converged; /* false: 40 iterations were not enough, or a model row left its domain */
	int iterations;
	double objective; /* J, prior rows included */
};

/* Solves from where the unknowns are, and gets ready what follows. Memory of the solution is freed before it returns. */
struct fit_end fit_solve(struct fit *fit);

/* The same without leverages: for who asks no more of the solution than fit_at, fit_model and fit_residual. */
struct fit_end fit_settle(struct fit *fit);

/* At the last solution. */
double fit_at(const struct fit *fit, size_t unknown);
double fit_sd(const struct fit *fit, size_t unknown);	  /* posterior standard deviation, metric of the unknown */
double fit_model(const struct fit *fit, size_t row);	  /* m(u) */
double fit_residual(const struct fit *fit, size_t row);	  /* e = (y - m(u)) / s */
double fit_redundancy(const struct fit *fit, size_t row); /* r; of a removed row NaN */
double fit_leverage(const struct fit *fit, size_t a, size_t b); /* q_a . q_b */
/* What m(u) of a removed row is uncertain by, in units of its own s. */
double fit_prediction_sd(const struct fit *fit, size_t row);

/*
 * Which unknowns neither statements nor balances determine: null space of the Jacobian without prior rows, columns scaled by the
 * priors (null_space.h). `determined` has one entry for each unknown. Gives the dimension.
 */
size_t fit_null_space(struct fit *fit, bool *determined);

#endif
