/*
 * Reconciliation and its suspects against worked examples.
 *
 * The amine circuit of 27 unknowns was computed by another program (its own solver, Householder QR written for it); values are
 * held to the digits it printed.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "reconcile/suspects.h"

/* ---- the amine circuit ---- */

enum {
	N1,
	Y1S,
	Y1C,
	N2,
	Y2S,
	Y2C,
	F3,
	W3,
	AS3,
	AC3,
	F4,
	AS4,
	AC4,
	N8,
	Y8S,
	Y8C,
	T3,
	T4,
	T5,
	T6,
	T7,
	Q,
	QC,
	QR,
	R,
	FCW,
	TCO,
	UNKNOWNS
};

static const double molar_mass = 119.16, cp = 3.75, heat_S = 41, heat_C = 59, rho = 1010, latent = 2220, kilo = 1000,
		    hour = 3600;

static struct dual ln(const struct dual *u, size_t unknown)
{
	return dual_exp(u[unknown]);
}

static struct dual product(struct dual a, struct dual b)
{
	return dual_times(a, b);
}

/* a/b - 1 */
static struct dual off(struct dual a, struct dual b)
{
	return dual_plus(dual_over(a, b), -1);
}

static struct dual removed(const struct dual *u, bool co2)
{
	return dual_less(product(ln(u, N1), ln(u, co2 ? Y1C : Y1S)), product(ln(u, N2), ln(u, co2 ? Y2C : Y2S)));
}

static struct dual picked_up(const struct dual *u, bool co2)
{
	struct dual amine = dual_scale(product(ln(u, F3), u[W3]), 1 / molar_mass);

	return product(amine, dual_less(ln(u, co2 ? AC4 : AS4), ln(u, co2 ? AC3 : AS3)));
}

static struct dual inert(const struct dual *u, size_t n, size_t s, size_t c)
{
	return product(ln(u, n), dual_less(dual_less(dual_of(1), ln(u, s)), ln(u, c)));
}

static struct dual heat_of(struct dual of_h2s, struct dual of_co2)
{
	return dual_scale(dual_add(dual_scale(of_h2s, heat_S), dual_scale(of_co2, heat_C)), kilo);
}

static struct dual sensible(const struct dual *u, size_t flow, size_t hot, size_t cold)
{
	return dual_scale(product(ln(u, flow), dual_less(u[hot], u[cold])), cp);
}

static struct dual row_inert(const struct dual *u, const void *data)
{
	(void)data;
	return off(inert(u, N1, Y1S, Y1C), inert(u, N2, Y2S, Y2C));
}

static struct dual row_absorbed(const struct dual *u, const void *data)
{
	return off(removed(u, data != NULL), picked_up(u, data != NULL));
}

static struct dual row_stripped(const struct dual *u, const void *data)
{
	return off(product(ln(u, N8), ln(u, data ? Y8C : Y8S)), picked_up(u, data != NULL));
}

static struct dual row_whole(const struct dual *u, const void *data)
{
	(void)data;
	return dual_plus(dual_add(ln(u, Y8S), ln(u, Y8C)), 0.055 - 1);
}

static struct dual row_mass(const struct dual *u, const void *data)
{
	(void)data;
	struct dual in = dual_add(
		ln(u, F3), dual_add(dual_scale(removed(u, false), 34.08), dual_scale(removed(u, true), 44.01)));
	return off(in, ln(u, F4));
}

static struct dual row_rich_side(const struct dual *u, const void *data)
{
	(void)data;
	return off(sensible(u, F4, T5, T4), dual_scale(ln(u, Q), hour));
}

static struct dual row_lean_side(const struct dual *u, const void *data)
{
	(void)data;
	return off(sensible(u, F3, T6, T7), dual_scale(ln(u, Q), hour));
}

static struct dual row_cooler(const struct dual *u, const void *data)
{
	(void)data;
	return off(sensible(u, F3, T7, T3), dual_scale(ln(u, QC), hour));
}

static struct dual row_bottom(const struct dual *u, const void *data)
{
	(void)data;
	struct dual rise = dual_over(heat_of(removed(u, false), removed(u, true)), dual_scale(ln(u, F4), cp));
	return dual_less(dual_add(u[T3], rise), u[T4]);
}

static struct dual row_reboiler(const struct dual *u, const void *data)
{
	(void)data;
	struct dual heat = dual_add(sensible(u, F3, T6, T5), heat_of(picked_up(u, false), picked_up(u, true)));
	return off(dual_add(heat, dual_scale(ln(u, R), latent)), dual_scale(ln(u, QR), hour));
}

static struct dual row_water(const struct dual *u, const void *data)
{
	(void)data;
	return off(dual_scale(product(ln(u, FCW), dual_plus(u[TCO], -28)), 4.18), dual_scale(ln(u, QC), hour));
}

static const struct {
	fit_value *value;
	const char *of_co2;
	double tolerance;
} models[] = {{row_inert, NULL, 0.005}, {row_absorbed, NULL, 0.005}, {row_absorbed, "", 0.005},
	{row_stripped, NULL, 0.005}, {row_stripped, "", 0.005}, {row_whole, NULL, 0.005}, {row_mass, NULL, 0.002},
	{row_rich_side, NULL, 0.03}, {row_lean_side, NULL, 0.02}, {row_cooler, NULL, 0.02}, {row_bottom, NULL, 1.5},
	{row_reboiler, NULL, 0.03}, {row_water, NULL, 0.01}};

/* What a statement states: ln or value of one unknown, or of what follows from two. */
static struct dual the_unknown(const struct dual *u, const void *data)
{
	return u[*(const size_t *)data];
}

static struct dual volume_flow(const struct dual *u, const void *data)
{
	(void)data;
	return dual_plus(u[F3], -log(rho));
}

static struct dual whole_loading(const struct dual *u, const void *data)
{
	(void)data;
	return dual_log(dual_add(ln(u, AS4), ln(u, AC4)));
}

enum metric { RELATIVE, KELVIN, STRENGTH };

enum {
	S_N1,
	S_Y1S,
	S_Y1C,
	S_N2,
	S_Y2S,
	S_Y2C,
	S_F3,
	S_V3,
	S_W3,
	S_AS3,
	S_AC3,
	S_F4,
	S_AS4,
	S_AC4,
	S_A4,
	S_N8,
	S_Y8S,
	S_Y8C,
	S_T3,
	S_T4,
	S_T5,
	S_T6,
	S_T6_AGAIN,
	S_T7,
	S_Q,
	S_QC,
	S_QR,
	STATEMENTS
};

static const struct stated {
	const char *name;
	size_t of;
	fit_value *value;
	enum metric metric;
	double sigma, sigma_reported, stated, digit, reconciled, redundancy, z_clean, z_A;
} stateds[STATEMENTS] = {
	{"n1", N1, the_unknown, RELATIVE, 0.012, 0.03, 1000, 1, 1001.01, 0.530, -0.12, -0.55},
	{"y1S", Y1S, the_unknown, RELATIVE, 0.025, 0.1, 0.015, 0.0001, 0.0150027, 0.588, -0.01, -1.85},
	{"y1C", Y1C, the_unknown, RELATIVE, 0.025, 0.1, 0.03, 0.0001, 0.0300191, 0.718, -0.03, 0.38},
	{"n2", N2, the_unknown, RELATIVE, 0.012, 0.03, 969, 1, 968.174, 0.487, 0.10, -0.27},
	{"y2S", Y2S, the_unknown, RELATIVE, 0.025, 0.1, 4e-6, 1e-6, 4e-6, 0.003, 0, 0.02},
	{"y2C", Y2C, the_unknown, RELATIVE, 0.025, 0.1, 0.0125, 0.0001, 0.0124968, 0.117, 0.03, -0.38},
	{"F3", F3, the_unknown, RELATIVE, 0.012, 0.03, 22400, 100, 22330.6, 0.709, 0.31, 0.83},
	{"V3", F3, volume_flow, RELATIVE, 0.012, 0.03, 22.1, 0.1, 22.1095, 0.709, -0.04, 0.48},
	{"w3", W3, the_unknown, STRENGTH, 0.004, 0.01, 0.45, 0.001, 0.449909, 0.136, 0.06, 2.79},
	{"aS3", AS3, the_unknown, RELATIVE, 0.03, 0.1, 0.005, 0.0001, 0.00500009, 0.001, 0, 0},
	{"aC3", AC3, the_unknown, RELATIVE, 0.03, 0.1, 0.003, 0.0001, 0.00300008, 0.001, 0, 0},
	{"F4", F4, the_unknown, RELATIVE, 0.012, 0.03, 23600, 100, 23631.4, 0.719, -0.13, 0.31},
	{"aS4", AS4, the_unknown, RELATIVE, 0.03, 0.1, 0.183, 0.001, 0.183081, 0.707, -0.02, 5.14},
	{"aC4", AC4, the_unknown, RELATIVE, 0.03, 0.1, 0.216, 0.001, 0.215916, 0.688, 0.02, -0.04},
	{"a4", AS4, whole_loading, RELATIVE, 0.03, 0.1, 0.4, 0.01, 0.398996, 0.851, 0.09, -0.82},
	{"n8", N8, the_unknown, RELATIVE, 0.012, 0.03, 34.9, 0.1, 34.8904, 0.331, 0.04, -1.34},
	{"y8S", Y8S, the_unknown, RELATIVE, 0.025, 0.1, 0.43, 0.001, 0.430345, 0.707, -0.04, -1.43},
	{"y8C", Y8C, the_unknown, RELATIVE, 0.025, 0.1, 0.514, 0.001, 0.514527, 0.766, -0.05, 0.98},
	{"T3", T3, the_unknown, KELVIN, 0.8, 2, 45, 1, 44.9854, 0.405, 0.03, 0.22},
	{"T4", T4, the_unknown, KELVIN, 0.8, 2, 63.4, 0.1, 63.5426, 0.316, -0.32, -0.33},
	{"T5", T5, the_unknown, KELVIN, 0.8, 2, 104, 1, 103.949, 0.230, 0.13, 0.06},
	{"T6", T6, the_unknown, KELVIN, 0.8, 2, 124, 1, 124.14, 0.603, -0.21, -0.27},
	{"T6 again", T6, the_unknown, KELVIN, 0.8, 2, 124.3, 0.1, 124.14, 0.552, 0.27, 0.21},
	{"T7", T7, the_unknown, KELVIN, 0.8, 2, 81.5, 0.1, 81.4511, 0.434, 0.09, 0.11},
	{"Q", Q, the_unknown, RELATIVE, 0.02, 0.03, 990, 1, 992.07, 0.391, -0.17, 0.03},
	{"QC", QC, the_unknown, RELATIVE, 0.02, 0.03, 845, 1, 846.616, 0.246, -0.19, -0.05},
	{"QR", QR, the_unknown, RELATIVE, 0.02, 0.03, 1480, 10, 1480.01, 0.001, 0, 0},
};

static const size_t every[UNKNOWNS] = {N1, Y1S, Y1C, N2, Y2S, Y2C, F3, W3, AS3, AC3, F4, AS4, AC4, N8, Y8S, Y8C, T3, T4,
	T5, T6, T7, Q, QC, QR, R, FCW, TCO};

static double in_metric(enum metric metric, double value)
{
	return metric == RELATIVE ? log(value) : value;
}

static double with_rounding(const struct stated *stated, double value, double sigma)
{
	double digit = stated->metric == RELATIVE ? stated->digit / value : stated->digit;

	return sqrt(sigma * sigma + digit * digit / 12);
}

static struct fit_unknown unknown_of(size_t i, const double *values)
{
	struct fit_unknown unknown = {.name = "R", .start = log(900), .prior = 1.5, .step = 0.7};

	if (i == FCW)
		unknown.start = log(70000);
	if (i == TCO)
		unknown.start = 38;
	for (size_t k = 0; k < STATEMENTS; k++)
		if (stateds[k].of == i && k != S_V3 && k != S_A4 && k != S_T6_AGAIN)
			unknown.start = in_metric(stateds[k].metric, values[k]);
	if (i == T6)
		unknown.start = (values[S_T6] + values[S_T6_AGAIN]) / 2;
	if ((i >= T3 && i <= T7) || i == TCO) {
		unknown.prior = 40;
		unknown.step = 25;
	}
	if (i == W3) {
		unknown.prior = 0.15;
		unknown.step = 0.1;
	}
	return unknown;
}

/* The circuit with these values stated; both T6 are statements of one quantity. */
static struct fit *circuit(struct arena *arena, const double *values, bool reported)
{
	struct fit *fit = fit_new(arena);

	for (size_t i = 0; i < UNKNOWNS; i++)
		fit_add_unknown(fit, unknown_of(i, values));
	for (size_t i = 0; i < STATEMENTS; i++) {
		const struct stated *stated = &stateds[i];
		fit_add_row(fit,
			(struct fit_row){.sort = FIT_STATEMENT,
				.name = stated->name,
				.stated = in_metric(stated->metric, values[i]),
				.sigma = with_rounding(
					stated, values[i], reported ? stated->sigma_reported : stated->sigma),
				.value = stated->value,
				.data = &stated->of,
				.unknowns = every,
				.count = UNKNOWNS,
				.group = i == S_T6_AGAIN ? S_T6 : i});
	}
	for (size_t i = 0; i < COUNT(models); i++)
		fit_add_row(fit,
			(struct fit_row){.sort = FIT_MODEL,
				.sigma = models[i].tolerance,
				.value = models[i].value,
				.data = models[i].of_co2,
				.unknowns = every,
				.count = UNKNOWNS});
	return fit;
}

static void clean(double *values)
{
	for (size_t i = 0; i < STATEMENTS; i++)
		values[i] = stateds[i].stated;
}

/* 0 where nothing tests the statement. */
static double z_of(const struct fit *fit, size_t row)
{
	double r = fit_redundancy(fit, row);

	return r < UNTESTABLE_REDUNDANCY ? 0 : fit_residual(fit, row) / sqrt(r);
}

static double half(double digit)
{
	return 0.51 * digit;
}

/* One in the last of six digits printed; 4e-06 is printed with one. */
static double last_digit(double value)
{
	return 0.6 * pow(10, floor(log10(fabs(value))) - 5);
}

Test(reconcile, worked_circuit_without_errors)
{
	struct arena arena = {0};
	double values[STATEMENTS];
	clean(values);
	struct fit *fit = circuit(&arena, values, false);
	struct fit_end end = fit_solve(fit);

	cr_assert(end.converged);
	cr_expect_float_eq(fit_redundancy(fit, S_QR), 0.0015, half(1e-4));
	cr_expect_float_eq(end.objective, 0.3021, half(1e-4));
	for (size_t i = 0; i < STATEMENTS; i++) {
		double model = fit_model(fit, i), value = stateds[i].metric == RELATIVE ? exp(model) : model;
		cr_expect_float_eq(value, stateds[i].reconciled, last_digit(value), "%s: %.8g for %.8g",
			stateds[i].name, value, stateds[i].reconciled);
		cr_expect_float_eq(fit_redundancy(fit, i), stateds[i].redundancy, half(1e-3), "r of %s: %g",
			stateds[i].name, fit_redundancy(fit, i));
		cr_expect_float_eq(
			z_of(fit, i), stateds[i].z_clean, half(1e-2), "z of %s: %g", stateds[i].name, z_of(fit, i));
	}
	cr_expect_float_eq(exp(fit_at(fit, R)), 884.0, half(0.1));
	arena_release(&arena);
}

Test(reconcile, worked_circuit_at_reported_uncertainty)
{
	struct arena arena = {0};
	double values[STATEMENTS];
	clean(values);
	cr_expect_float_eq(fit_solve(circuit(&arena, values, true)).objective, 0.0787, half(1e-4));
	arena_release(&arena);
}

Test(reconcile, what_nothing_determines)
{
	struct arena arena = {0};
	double values[STATEMENTS];
	clean(values);
	struct suspects suspects = suspects_find(&arena, circuit(&arena, values, false));

	cr_expect_eq(suspects.null_space, 1);
	for (size_t i = 0; i < UNKNOWNS; i++)
		cr_expect_eq(suspects.determined[i], i != FCW && i != TCO, "unknown %zu", i);
	cr_expect_eq(suspects.found_count, 0);
	for (size_t i = 0; i < STATEMENTS; i++)
		cr_expect_eq(suspects.rows[i].testable, i != S_AS3 && i != S_AC3 && i != S_QR, "%s", stateds[i].name);
	arena_release(&arena);
}

Test(reconcile, posterior_of_what_nothing_determines_is_its_prior)
{
	struct arena arena = {0};
	double values[STATEMENTS];
	clean(values);
	struct fit *fit = circuit(&arena, values, false);
	fit_solve(fit);
	cr_expect(fit_sd(fit, TCO) / fit_unknown(fit, TCO)->prior > 0.05);
	cr_expect(fit_sd(fit, FCW) / fit_unknown(fit, FCW)->prior > 0.3);
	cr_expect(fit_sd(fit, R) / fit_unknown(fit, R)->prior < 0.3);
	arena_release(&arena);
}

Test(reconcile, wrong_loading)
{
	struct arena arena = {0};
	double values[STATEMENTS];
	clean(values);
	values[S_AS4] = 0.220;
	struct fit *fit = circuit(&arena, values, false);
	struct fit_end end = fit_solve(fit);
	cr_expect_float_eq(end.objective, 26.739, half(1e-3));
	for (size_t i = 0; i < STATEMENTS; i++)
		cr_expect_float_eq(
			z_of(fit, i), stateds[i].z_A, half(1e-2), "z of %s: %g", stateds[i].name, z_of(fit, i));
	cr_expect_float_eq(z_of(fit, S_AS4) * z_of(fit, S_AS4), 26.42, half(1e-2));
	cr_expect_float_eq(z_of(fit, S_W3) * z_of(fit, S_W3), 7.80, half(1e-2));
	fit_remove(fit, S_AS4, true);
	cr_expect_float_eq(fit_solve(fit).objective, 0.317, half(1e-3));
	cr_expect_float_eq(exp(fit_model(fit, S_AS4)), 0.18312, half(1e-5));
	arena_release(&arena);
}

Test(reconcile, wrong_loading_at_reported_uncertainty_is_not_seen)
{
	struct arena arena = {0};
	double values[STATEMENTS];
	clean(values);
	values[S_AS4] = 0.220;
	struct fit *fit = circuit(&arena, values, true);
	fit_solve(fit);
	cr_expect_float_eq(z_of(fit, S_AS4), 1.54, half(1e-2));
	arena_release(&arena);
}

Test(reconcile, gallons_for_cubic_metres)
{
	struct arena arena = {0};
	double values[STATEMENTS];
	clean(values);
	values[S_V3] = 97.3;
	struct fit *fit = circuit(&arena, values, false);
	cr_expect_float_eq(fit_solve(fit).objective, 10781.8, half(0.1));
	cr_expect_float_eq(z_of(fit, S_V3), 103.83, half(1e-2));
	cr_expect_float_eq(z_of(fit, S_F3), -42.28, half(1e-2));

	struct suspects suspects = suspects_find(&arena, fit);
	cr_assert_eq(suspects.found_count, 1);
	cr_expect_eq(suspects.found[0].row, S_V3);
	cr_expect_eq(suspects.found[0].member_count, 1);
	cr_expect(suspects.found[0].conflict);
	cr_expect_float_eq(suspects.found[0].bias, 1.482, half(1e-3));
	cr_expect_float_eq(fit_solve(fit).objective, 0.300, half(1e-3));
	arena_release(&arena);
}

Test(reconcile, wrong_temperature)
{
	struct arena arena = {0};
	double values[STATEMENTS];
	clean(values);
	values[S_T5] = 114;
	struct fit *fit = circuit(&arena, values, false);
	cr_expect_float_eq(fit_solve(fit).objective, 32.196, half(1e-3));
	cr_expect_float_eq(z_of(fit, S_T5), 5.64, half(1e-2));
	struct suspects suspects = suspects_find(&arena, fit);
	cr_assert_eq(suspects.found_count, 1);
	cr_expect_eq(suspects.found[0].row, S_T5);
	cr_expect_float_eq(suspects.found[0].bias, 10.43, half(1e-2));
	arena_release(&arena);
}

Test(reconcile, two_that_nothing_separates)
{
	struct arena arena = {0};
	double values[STATEMENTS];
	clean(values);
	values[S_Y2C] = 0.0188;
	struct fit *fit = circuit(&arena, values, false);
	struct suspects suspects = suspects_find(&arena, fit);

	cr_assert_eq(suspects.found_count, 1);
	cr_expect_eq(suspects.found[0].row, S_Y1C);
	cr_assert_eq(suspects.found[0].member_count, 2);
	cr_expect_eq(suspects.found[0].members[1].row, S_Y2C);
	cr_expect_float_eq(suspects.found[0].members[0].statistic, 38.82, half(1e-2));
	cr_expect_float_eq(suspects.found[0].members[1].statistic, 38.77, half(1e-2));
	cr_expect_float_eq(exp(fit_model(fit, S_Y1C)), 0.03612, half(1e-5));
	fit_remove(fit, S_Y1C, false);
	fit_remove(fit, S_Y2C, true);
	fit_solve(fit);
	cr_expect_float_eq(exp(fit_model(fit, S_Y2C)), 0.01248, half(1e-5));
	arena_release(&arena);
}

Test(reconcile, untested_duty_is_not_found)
{
	struct arena arena = {0};
	double values[STATEMENTS];
	clean(values);
	values[S_QR] = 1780;
	struct fit *fit = circuit(&arena, values, false);
	cr_expect_float_eq(fit_solve(fit).objective, 0.380, half(1e-3));
	cr_expect(fit_redundancy(fit, S_QR) < UNTESTABLE_REDUNDANCY);
	cr_expect_eq(suspects_find(&arena, fit).found_count, 0);
	arena_release(&arena);
}

Test(reconcile, error_common_to_two_documents)
{
	struct arena arena = {0};
	double values[STATEMENTS];
	clean(values);
	values[S_T6] += 10;
	values[S_T6_AGAIN] += 10;
	struct fit *fit = circuit(&arena, values, false);
	cr_expect_float_eq(fit_solve(fit).objective, 44.04, half(1e-2));
	cr_expect_float_eq(z_of(fit, S_Q), -5.03, half(1e-2), "single tests blame the duty");

	struct suspect first;
	cr_assert(suspects_first(&arena, fit, &first));
	cr_expect(first.of_group);
	cr_expect(first.row == S_T6 || first.row == S_T6_AGAIN);
	cr_expect_float_eq(first.z * first.z, 43.67, half(1e-2));
	cr_expect_float_eq(first.bias, 10.49, half(1e-2));
	arena_release(&arena);
}

Test(reconcile, error_of_one_of_two_documents)
{
	struct arena arena = {0};
	double values[STATEMENTS];
	clean(values);
	values[S_T6] += 10;
	struct suspects suspects = suspects_find(&arena, circuit(&arena, values, false));
	cr_assert_eq(suspects.found_count, 1);
	cr_expect_not(suspects.found[0].of_group);
	cr_expect_eq(suspects.found[0].row, S_T6);
	cr_expect_float_eq(suspects.found[0].z, 8.90, half(1e-2));
	arena_release(&arena);
}

/* ---- rounding does not shrink with the scatter of a package ---- */

static struct dual row_only(const struct dual *u, const void *data)
{
	(void)data;
	return u[0];
}

/* Thirty statements of one value that agree to a third of their uncertainty, and one printed to 0.06 that is 0.05 apart. */
static size_t suspects_beside(double rounding)
{
	enum { CLOSE_BY = 30 };
	static const size_t first[] = {0};
	struct arena arena = {0};
	struct fit *fit = fit_new(&arena);
	struct fit_row row = {
		.sort = FIT_STATEMENT, .name = "x", .value = row_only, .unknowns = first, .count = 1, .sigma = 0.01};

	fit_add_unknown(fit, (struct fit_unknown){"x", 1, 1.5, 0.7});
	for (size_t i = 0; i < CLOSE_BY; i++) {
		row.stated = 1 + (i % 2 ? 0.003 : -0.003);
		row.group = i;
		fit_add_row(fit, row);
	}
	row.stated = 1.05;
	row.sigma = hypot(0.003, 0.06 / sqrt(12));
	row.rounding = rounding;
	row.group = CLOSE_BY;
	fit_add_row(fit, row);
	size_t count = suspects_find(&arena, fit).found_count;
	arena_release(&arena);
	return count;
}

Test(reconcile, a_coarsely_printed_value_is_no_suspect)
{
	cr_expect_eq(suspects_beside(0.06 / sqrt(12)), 0);
	cr_expect_eq(suspects_beside(0), 1, "as uncertain, but not by its digits");
}
