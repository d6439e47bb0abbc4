/*
 * Reconciliation against published examples, both from memory and computed again by another program: the exchanger with a bypass
 * of Narasimhan and Jordache 2000, and the nonlinear system of Pai and Fisher 1988.
 */
#include <criterion/criterion.h>
#include <math.h>

#include "reconcile/suspects.h"

static struct dual the_unknown(const struct dual *u, const void *data)
{
	return u[*(const size_t *)data];
}

static double z_of(const struct fit *fit, size_t row)
{
	return fit_residual(fit, row) / sqrt(fit_redundancy(fit, row));
}

/* Half of the last digit printed. */
static double half(double digit)
{
	return 0.51 * digit;
}

/* ---- exchanger with a bypass ---- */

static struct dual balance_of(const struct dual *u, const void *data)
{
	const double *signs = data;
	struct dual sum = dual_of(0);

	for (size_t i = 0; i < 6; i++)
		sum = dual_add(sum, dual_scale(u[i], signs[i]));
	return sum;
}

static const double bypass_balances[4][6] = {
	{1, -1, -1, 0, 0, 0}, {0, 1, 0, -1, 0, 0}, {0, 0, 1, 0, -1, 0}, {0, 0, 0, 1, 1, -1}};
static const double hard = 1e-5, wide = 1e7; /* a balance taken as exact, an unknown of which nothing is known before */

static struct fit *bypass(struct arena *arena, const double *stated)
{
	static const size_t all[] = {0, 1, 2, 3, 4, 5};
	struct fit *fit = fit_new(arena);

	for (size_t i = 0; i < 6; i++)
		fit_add_unknown(fit, (struct fit_unknown){.start = stated[i], .prior = wide, .step = wide});
	for (size_t i = 0; i < 6; i++)
		fit_add_row(fit,
			(struct fit_row){.sort = FIT_STATEMENT,
				.stated = stated[i],
				.sigma = 1,
				.value = the_unknown,
				.data = &all[i],
				.unknowns = all,
				.count = 6,
				.group = i});
	for (size_t i = 0; i < 4; i++)
		fit_add_row(fit,
			(struct fit_row){.sort = FIT_MODEL,
				.sigma = hard,
				.value = balance_of,
				.data = bypass_balances[i],
				.unknowns = all,
				.count = 6});
	return fit;
}

Test(reconcile_published, exchanger_with_a_bypass)
{
	static const double stated[] = {101.91, 64.45, 34.65, 64.20, 36.44, 98.88},
			    reconciled[] = {100.22, 64.50, 35.72, 64.50, 35.72, 100.22};
	struct arena arena = {0};
	struct fit *fit = bypass(&arena, stated);

	fit_solve(fit);
	for (size_t i = 0; i < 6; i++)
		cr_expect_float_eq(fit_at(fit, i), reconciled[i], half(1e-2), "%zu: %g", i, fit_at(fit, i));
	arena_release(&arena);
}

Test(reconcile_published, exchanger_with_a_bypass_and_a_wrong_flow)
{
	static const double stated[] = {101.91, 68.45, 34.65, 64.20, 36.44, 98.88};
	struct arena arena = {0};
	struct fit *fit = bypass(&arena, stated);
	struct fit_end end = fit_solve(fit);

	cr_expect_float_eq(end.objective, 16.674, half(1e-3));
	cr_expect_float_eq(z_of(fit, 1), 3.205, half(1e-3));
	struct suspects suspects = suspects_find(&arena, fit);
	cr_expect_float_eq(suspects.critical, 2.631, half(1e-3));
	cr_expect_float_eq(suspects.rows[1].bias, 3.925, half(1e-3));
	arena_release(&arena);
}

/* ---- Pai and Fisher 1988: six equations in five stated and three unstated quantities ---- */

static struct dual power2(struct dual a)
{
	return dual_times(a, a);
}

/* A product of up to four, times a factor. */
static struct dual term(
	double factor, const struct dual *a, const struct dual *b, const struct dual *c, const struct dual *d)
{
	struct dual all = dual_scale(*a, factor);

	if (b)
		all = dual_times(all, *b);
	if (c)
		all = dual_times(all, *c);
	return d ? dual_times(all, *d) : all;
}

static struct dual sum_of(const struct dual *terms, size_t count, double constant)
{
	struct dual sum = dual_of(constant);

	for (size_t i = 0; i < count; i++)
		sum = dual_add(sum, terms[i]);
	return sum;
}

static struct dual equation(const struct dual *x, const void *data)
{
	const struct dual *u = x + 5, u3_half = dual_exp(dual_scale(dual_log(u[2]), 0.5)), x1_2 = power2(x[0]),
			  x2_2 = power2(x[1]), x3_2 = power2(x[2]), u3_2 = power2(u[2]);

	switch (*(const int *)data) {
	case 0: {
		struct dual terms[] = {dual_scale(x1_2, 0.5), dual_scale(x[1], -0.7), term(1, &x[2], &u[0], NULL, NULL),
			term(1, &x2_2, &u[0], &u[1], NULL), term(2, &x[2], &u3_2, NULL, NULL)};
		return sum_of(terms, 5, -255.8);
	}
	case 1: {
		struct dual terms[] = {x[0], dual_scale(x[1], -2), term(3, &x[0], &x[2], NULL, NULL),
			term(-2, &x[1], &u[0], NULL, NULL), term(-1, &x[1], &u[1], &u[2], NULL)};
		return sum_of(terms, 5, 111.2);
	}
	case 2: {
		struct dual terms[] = {term(1, &x[2], &u[0], NULL, NULL), dual_scale(x[0], -1), dual_scale(x[1], 3),
			term(1, &x[0], &u[1], NULL, NULL), term(-1, &x[2], &u3_half, NULL, NULL)};
		return sum_of(terms, 5, -33.57);
	}
	case 3: {
		struct dual terms[] = {x[3], dual_scale(x[0], -1), dual_scale(x3_2, -1), u[1], dual_scale(u[2], 3)};
		return sum_of(terms, 5, 0);
	}
	case 4:
		return dual_less(x[4], term(2, &x[2], &u[1], &u[2], NULL));
	default: {
		struct dual terms[] = {
			dual_scale(x[0], 2), term(1, &x[1], &x[2], &u[0], NULL), u[1], dual_scale(u[2], -1)};
		return sum_of(terms, 4, -126.6);
	}
	}
}

Test(reconcile_published, nonlinear_with_unstated_quantities)
{
	static const double stated[] = {4.4, 5.5, 1.7, 1.6, 5.0}, start[] = {4.4, 5.5, 1.7, 1.6, 5.0, 11, 0.6, 2},
			    reconciled[] = {4.5124, 5.5819, 1.9260, 1.4560, 4.8545, 11.070, 0.61467, 2.0504},
			    digit[] = {1e-4, 1e-4, 1e-4, 1e-4, 1e-4, 1e-3, 1e-5, 1e-4};
	static const size_t all[] = {0, 1, 2, 3, 4, 5, 6, 7};
	static const int number[] = {0, 1, 2, 3, 4, 5};
	struct arena arena = {0};
	struct fit *fit = fit_new(&arena);

	for (size_t i = 0; i < 8; i++)
		fit_add_unknown(fit, (struct fit_unknown){.start = start[i], .prior = 1e4, .step = 1});
	for (size_t i = 0; i < 5; i++)
		fit_add_row(fit,
			(struct fit_row){.sort = FIT_STATEMENT,
				.stated = stated[i],
				.sigma = 1,
				.value = the_unknown,
				.data = &all[i],
				.unknowns = all,
				.count = 8,
				.group = i});
	for (size_t i = 0; i < 6; i++)
		fit_add_row(fit,
			(struct fit_row){.sort = FIT_MODEL,
				.sigma = hard,
				.value = equation,
				.data = &number[i],
				.unknowns = all,
				.count = 8});
	cr_expect(fit_solve(fit).converged);
	for (size_t i = 0; i < 8; i++)
		cr_expect_float_eq(fit_at(fit, i), reconciled[i], half(digit[i]), "%zu: %.7g", i, fit_at(fit, i));
	arena_release(&arena);
}
