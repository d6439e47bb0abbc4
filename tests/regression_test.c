#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "chemistry/solution.h"
#include "regression.h"

static struct vle_row rows[VLE_ROWS];
static size_t count;
static struct terms terms, without_correlation;

static void fit(bool cross_validate)
{
	count = regression_read("tests/data/vle.csv", rows);
	cr_assert_eq(count, 421, "%zu rows", count);
	cr_assert(regression_fit(rows, count, cross_validate, true, &terms));
}

/* The engine's table is what the regression makes of the points, to a few units of its last digit. */
Test(regression, the_terms_of_the_engine_come_out_of_it)
{
	const double digits = 5e-4;

	fit(false);
	cr_assert_eq(terms.count, terms_own.count);
	for (size_t k = 0; k < terms.count; k++) {
		const struct pair_term *a = &terms.pairs[k], *b = &terms_own.pairs[k];

		cr_expect(a->amine == b->amine && a->i == b->i && a->j == b->j);
		cr_expect_float_eq(a->at_centre, b->at_centre, digits);
		cr_expect_float_eq(a->slope, b->slope, digits);
		cr_expect_float_eq(a->saturation, b->saturation, digits);
	}
	for (size_t a = 0; a < AMINE_COUNT; a++) {
		cr_expect_float_eq(terms.carbamate[a].offset, terms_own.carbamate[a].offset, digits);
		cr_expect_float_eq(terms.carbamate[a].slope, terms_own.carbamate[a].slope, digits);
	}
}

/* Median error in sample at most, per cent: what the engine promises. */
Test(regression, median_errors_in_sample)
{
	static const double most[][GAS_COUNT] = {
		[AMINE_MEA] = {12, 25}, [AMINE_DEA] = {18, 20}, [AMINE_MDEA] = {20, 12}};

	count = regression_read("tests/data/vle.csv", rows);
	for (size_t r = 0; r < count; r++)
		rows[r].in_sample = regression_miss(&terms_own, &rows[r]);
	for (enum amine amine = AMINE_MEA; amine <= AMINE_MDEA; amine++)
		for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
			struct error_summary s = regression_summary(rows, count, amine, gas, ROW_FITTED, NULL);

			cr_expect(s.median <= most[amine][gas], "%s gas %d: median %.1f %%", amine_rows[amine].name,
				gas, s.median);
		}
}

/* What is said of a state inside the fitted range covers what the rows left out of the fit showed. */
Test(regression, stated_uncertainty_covers_the_rows_left_out)
{
#ifdef __SANITIZE_ADDRESS__
	cr_skip_test("some sixty fits: only in the suite as it is released");
#endif
	fit(true);
	for (size_t r = 0; r < count; r++) {
		struct error_summary s;
		struct solution_input input = {.temperature = rows[r].temperature};
		struct solution solution;

		if (rows[r].use != ROW_FITTED)
			continue;
		s = regression_summary(rows, count, rows[r].amine, rows[r].gas, ROW_FITTED, NULL);
		input.mass_fraction[rows[r].amine] = rows[r].mass_fraction;
		input.loading[rows[r].gas] = rows[r].loading;
		cr_assert(solution_solve(&terms_own, &input, &solution));
		cr_expect(1 + solution.uncertainty[rows[r].gas] >= exp(s.left_rms), "%s gas %d: %.2f, left out %.2f",
			amine_rows[rows[r].amine].name, rows[r].gas, solution.uncertainty[rows[r].gas],
			exp(s.left_rms));
		cr_expect(solution.in_fitted_range, "%s gas %d: %.4f kg/kg, %.2f K, loading %.4f",
			amine_rows[rows[r].amine].name, rows[r].gas, rows[r].mass_fraction, rows[r].temperature,
			rows[r].loading);
	}
}

/* Posey, Tapperson & Rochelle 1996, Gas Sep. Purif. 10:181. */
Test(regression, mdea_against_the_independent_correlation)
{
	struct comparison h2s = correlation_compare(&terms_own, GAS_H2S, false);

	cr_expect(h2s.mean_ratio > 0.8 && h2s.mean_ratio < 1.25, "mean ratio %.3f", h2s.mean_ratio);
	cr_expect(h2s.rms < 0.35, "rms ln %.3f", h2s.rms);
}

/* Two texts agree when their words do, and their numbers to a unit of the last digit or two per cent. */
static void expect_same_report(FILE *ours, FILE *theirs)
{
	char a[256], b[256];
	size_t line = 0;

	while (fgets(a, sizeof a, ours) != NULL) {
		char *x = a, *y = b, *end_x, *end_y;

		line++;
		cr_assert_not_null(fgets(b, sizeof b, theirs), "line %zu is missing", line);
		while (*x != '\0' && *y != '\0') {
			double v = strtod(x, &end_x), w = strtod(y, &end_y);

			if (end_x != x && end_y != y) {
				cr_expect(fabs(v - w) <= fmax(0.11, 0.02 * fabs(v)), "line %zu: %s against %s", line, a,
					b);
				x = end_x;
				y = end_y;
				continue;
			}
			if (*x != *y)
				break;
			x++;
			y++;
		}
		cr_expect(*x == *y, "line %zu: %s against %s", line, a, b);
	}
	cr_expect_null(fgets(b, sizeof b, theirs));
}

Test(regression, the_report_can_be_made_again)
{
#ifdef __SANITIZE_ADDRESS__
	cr_skip_test("some sixty fits: only in the suite as it is released");
#endif
	FILE *ours = tmpfile(), *theirs = fopen("tests/data/regression.txt", "r");

	cr_assert(ours != NULL && theirs != NULL);
	fit(true);
	cr_assert(regression_fit(rows, count, false, false, &without_correlation));
	for (size_t r = 0; r < count; r++)
		rows[r].in_sample = regression_miss(&terms, &rows[r]);
	regression_report(rows, count, &terms, &without_correlation, ours);
	rewind(ours);
	expect_same_report(ours, theirs);
	fclose(ours);
	fclose(theirs);
}
