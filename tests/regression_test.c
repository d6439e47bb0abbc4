#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "check_terms.h"
#include "chemistry/constants.h"
#include "chemistry/solution.h"
#include "regression_spread.h"

static struct vle_row rows[VLE_ROWS];
static size_t count;
static struct fitted fitted, without_correlation;

static void fit(bool leave_out)
{
	count = regression_read("tests/data/vle.csv", rows);
	cr_assert_eq(count, 421, "%zu rows", count);
	cr_assert(regression_fit(rows, count, FIT_CORRELATION | (leave_out ? FIT_LEAVE_OUT : 0U), &fitted));
}

static void expect_same_pairs(const struct terms *a, const struct terms *b, double digits)
{
	cr_assert_eq(a->count, b->count);
	for (size_t k = 0; k < a->count; k++) {
		const struct pair_term *x = &a->pairs[k], *y = &b->pairs[k];

		cr_expect(x->amine == y->amine && x->i == y->i && x->j == y->j && x->saturation == y->saturation);
		cr_expect_float_eq(x->at_centre, y->at_centre, digits);
		cr_expect_float_eq(x->slope, y->slope, digits);
		cr_expect_float_eq(x->bend, y->bend, digits);
	}
}

static void expect_same_amines(const struct terms *a, const struct terms *b, double digits)
{
	for (size_t amine = 0; amine < AMINE_COUNT; amine++) {
		cr_expect_float_eq(a->carbamate[amine].offset, b->carbamate[amine].offset, digits);
		cr_expect_float_eq(a->carbamate[amine].slope, b->carbamate[amine].slope, digits);
		cr_expect_float_eq(a->medium[amine].at_centre, b->medium[amine].at_centre, digits);
		cr_expect_float_eq(a->medium[amine].slope, b->medium[amine].slope, digits);
		cr_expect_float_eq(a->medium[amine].reach, b->medium[amine].reach, digits);
	}
}

/* The engine's table is what the regression makes of the points, to a few units of its last digit. */
Test(regression, the_terms_of_the_engine_come_out_of_it)
{
	fit(false);
	expect_same_pairs(&fitted.terms, &terms_own, 5e-4);
	expect_same_amines(&fitted.terms, &terms_own, 5e-4);
}

/*
 * The set of check_terms.def was fitted independently of this regression to the same rows, priors and constraints, and its
 * standard errors were found independently too: coefficients agree within them, and so do the errors within a factor 1.5.
 */
Test(regression, agrees_with_a_fit_made_apart)
{
	static const struct {
		const char *name;
		double value, standard_error;
	} independent[] = {{"MEA (AMH,HS)", 0.1197, 0.020}, {"MEA (AMH,HS) slope", 0.0929, 0.06},
		{"MEA (AMH,HS) bend", -0.2118, 0.16}, {"MEA (AMH,HCO3)", -0.1232, 0.017},
		{"MEA (AMH,AMCOO)", 0.2699, 0.035}, {"MEA (AMH,AMCOO) slope", 0.4561, 0.07},
		{"MEA ln Kc offset", -0.0854, 0.07}, {"MEA ln Kc slope", -1.4605, 0.20}, {"DEA (AMH,HS)", 0.2481, 0.05},
		{"DEA (AMH,HS) slope", 0.1716, 0.13}, {"DEA (AMH,HS) bend", -0.2349, 0.21},
		{"DEA (AMH,HCO3)", 0.0255, 0.035}, {"DEA (AMH,AMCOO)", 0.1861, 0.11},
		{"DEA ln Kc offset", -0.3726, 0.18}, {"DEA ln Kc slope", 0.9999, 0.18}, {"MDEA (AMH,HS)", 0.5491, 0.07},
		{"MDEA (AMH,HS) slope", 1.2544, 0.16}, {"MDEA (AMH,HS) bend", -0.6842, 0.31},
		{"MDEA medium", 0.4800, 0.04}, {"MDEA medium slope", 0.3838, 0.08}};
	size_t found = 0;

	fit(false);
	cr_assert_eq(fitted.count, COUNT(independent));
	for (size_t a = 0; a < fitted.count; a++)
		for (size_t k = 0; k < fitted.count; k++) {
			const struct fitted_term *term = &fitted.coefficients[k];

			if (strcmp(term->name, independent[a].name) != 0)
				continue;
			found++;
			cr_expect(fabs(term->value - independent[a].value) < independent[a].standard_error,
				"%s: %.4f, apart %.4f", term->name, term->value, independent[a].value);
			cr_expect(term->standard_error < 1.5 * independent[a].standard_error &&
					term->standard_error > independent[a].standard_error / 1.5,
				"%s: +/- %.3f, apart %.3f", term->name, term->standard_error,
				independent[a].standard_error);
		}
	cr_expect_eq(found, fitted.count);
}

static const double most_median[][GAS_COUNT] = {
	[AMINE_MEA] = {12, 25}, [AMINE_DEA] = {18, 20}, [AMINE_MDEA] = {20, 20}};

/* Median error in sample at most, per cent: what the engine promises. */
Test(regression, median_errors_in_sample)
{
	count = regression_read("tests/data/vle.csv", rows);
	for (size_t r = 0; r < count; r++)
		rows[r].in_sample = regression_miss(&terms_own, &rows[r]);
	for (enum amine amine = AMINE_MEA; amine <= AMINE_MDEA; amine++)
		for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
			struct errors e = regression_errors(rows, count, amine, gas, ROW_FITTED, NULL, IN_SAMPLE);

			cr_expect(e.median <= most_median[amine][gas], "%s gas %d: median %.1f %%",
				amine_rows[amine].name, gas, e.median);
		}
}

/* Total pressures over 60 wt% MDEA (Wangler et al. 2018, J. Chem. Eng. Data), never fitted: within a quarter. */
Test(regression, strong_mdea_that_was_never_fitted)
{
	count = regression_read("tests/data/vle.csv", rows);
	for (size_t r = 0; r < count; r++)
		if (strstr(rows[r].source, "Wangler") != NULL)
			cr_expect(fabs(regression_miss(&terms_own, &rows[r])) < log(1.25), "loading %g: %.2f",
				rows[r].loading, exp(regression_miss(&terms_own, &rows[r])));
}

/*
 * Nine rows in ten lie inside intervals that know nothing of their paper, as far as so few papers can tell; and in each system they are
 * better than one factor for that system (the interval score of Gneiting & Raftery 2007, J. Am. Stat. Assoc. 102:359, after Winkler
 * 1972, from memory).
 */
static void expect_intervals_hold(enum gas gas)
{
	static struct held held[VLE_ROWS], constant[VLE_ROWS];

	for (enum amine amine = AMINE_MEA; amine <= AMINE_MDEA; amine++) {
		size_t found = regression_hold(&fitted.terms, rows, count, amine, gas, PAPER_OUT, false, held);
		struct coverage c = regression_cover(held, found), one;

		cr_expect(c.low <= 0.9 && c.high >= 0.9 && c.inside > 0.85, "%s gas %d: %.3f (%.3f-%.3f)",
			amine_rows[amine].name, gas, c.inside, c.low, c.high);
		cr_assert_eq(regression_hold(&fitted.terms, rows, count, amine, gas, PAPER_OUT, true, constant), found);
		one = regression_cover(constant, found);
		cr_expect(c.score < one.score, "%s gas %d: %g, %g", amine_rows[amine].name, gas, c.score, one.score);
	}
}

/* The engine's isotherms of a system of one paper have that paper's spread, those of the others the spread of all. */
static void expect_papers_of_engine(const struct spread_fit *fit, enum gas gas)
{
	size_t own = 0;

	for (size_t k = 0; k < evidence_count; k++) {
		const struct evidence *row = &evidence_own[k];
		bool alone = false;

		for (size_t p = 0; p < fit->count; p++)
			alone = alone ||
				(fabs(row->error_times - exp(fit->papers[p].ln_error)) < 2e-3 &&
					fabs(row->absolute_times - exp(fit->papers[p].ln_absolute)) < 2e-3);
		if (row->gas != gas || row->mixtures)
			continue;
		if (row->amine == AMINE_MEA)
			cr_expect(row->error_times == 1 && row->absolute_times == 1 && row->added == 0);
		else
			cr_expect(alone && row->added > 0, "row %zu: %g, %g", k, row->error_times, row->absolute_times);
		own += row->amine != AMINE_MEA;
	}
	cr_expect_gt(own, 0);
}

/* What the engine has in measured.def is what the rows give. */
static void expect_spread_of_engine(void)
{
	struct spread_fit fits[GAS_COUNT];

	cr_assert(regression_spread_fit(&fitted.terms, rows, count, fits));
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
		cr_expect_float_eq(fits[gas].all.error, spread_own[gas].error, 2e-3);
		cr_expect_float_eq(fits[gas].all.growth, spread_own[gas].growth, 2e-3);
		cr_expect_float_eq(fits[gas].all.absolute, spread_own[gas].absolute, 2e-4);
		cr_expect_float_eq(fits[gas].all.factor, spread_own[gas].factor, 5e-3);
		expect_papers_of_engine(&fits[gas], gas);
	}
}

Test(regression, intervals_hold_for_papers_left_out)
{
#ifdef __SANITIZE_ADDRESS__
	cr_skip_test("some thirty fits: only in the suite as it is released");
#endif
	fit(true);
	expect_spread_of_engine();
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		expect_intervals_hold(gas);
}

/* Every row of the window is in the range that is said to be fitted, and so is what was measured among the evidence. */
Test(regression, rows_are_in_the_fitted_range)
{
	count = regression_read("tests/data/vle.csv", rows);
	for (size_t r = 0; r < count; r++) {
		struct solution_input input = {.temperature = rows[r].temperature};
		struct solution s;

		if (rows[r].use != ROW_FITTED)
			continue;
		input.mass_fraction[rows[r].amine] = rows[r].mass_fraction;
		input.loading[rows[r].gas] = rows[r].loading;
		cr_assert(solution_solve(&terms_own, &input, &s));
		const struct spread_place place = {.amine = rows[r].amine,
			.gas = rows[r].gas,
			.molality = s.amine_molality,
			.temperature = rows[r].temperature,
			.loading = rows[r].loading};
		cr_expect(s.in_fitted_range, "%s gas %d: %.4f kg/kg, %.2f K, loading %.4f",
			amine_rows[rows[r].amine].name, rows[r].gas, rows[r].mass_fraction, rows[r].temperature,
			rows[r].loading);
		cr_expect(spread_nearest(&place) < 0.1, "%s gas %d: %.4f kg/kg, %.2f K, loading %.4f",
			amine_rows[rows[r].amine].name, rows[r].gas, rows[r].mass_fraction, rows[r].temperature,
			rows[r].loading);
	}
}

/* Posey, Tapperson & Rochelle 1996, Gas Sep. Purif. 10:181. */
Test(regression, mdea_against_the_independent_correlation)
{
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		for (int mixture = 0; mixture < 2; mixture++) {
			struct comparison c = correlation_compare(&terms_own, gas, mixture != 0);

			cr_expect(c.mean_ratio > 0.85 && c.mean_ratio < 1.15, "mean ratio %.3f", c.mean_ratio);
			cr_expect(c.rms < 0.25, "rms ln %.3f", c.rms);
		}
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
	cr_skip_test("some thirty fits: only in the suite as it is released");
#endif
	FILE *ours = tmpfile(), *theirs = fopen("tests/data/regression.txt", "r");

	cr_assert(ours != NULL && theirs != NULL);
	fit(true);
	cr_assert(regression_fit(rows, count, 0, &without_correlation));
	for (size_t r = 0; r < count; r++)
		rows[r].in_sample = regression_miss(&fitted.terms, &rows[r]);
	regression_report(rows, count, &fitted, &without_correlation.terms, ours);
	regression_spread_report(rows, count, &fitted.terms, &without_correlation.terms, ours);
	rewind(ours);
	expect_same_report(ours, theirs);
	fclose(ours);
	fclose(theirs);
}

/* Three papers whose measurements are the engine's own pressures times 1.3, 1 and 1/1.3, exactly. */
static size_t invent_papers(struct vle_row *out)
{
	static const char *const sources[] = {"high", "right", "low"};
	static const double factor[] = {1.3, 1, 1 / 1.3}, strength[] = {0.15, 0.3}, celsius[] = {40, 80, 120};
	static const double loading[] = {0.1, 0.25, 0.4};
	size_t made = 0;

	for (size_t k = 0; k < COUNT(factor) * COUNT(strength) * COUNT(celsius) * COUNT(loading); k++) {
		struct vle_row *row = &out[made++];
		size_t paper = k % 3;

		*row = (struct vle_row){.amine = AMINE_MEA,
			.gas = GAS_CO2,
			.mass_fraction = strength[k / 3 % 2],
			.temperature = celsius[k / 6 % 3] + ZERO_CELSIUS,
			.loading = loading[k / 18],
			.measured = 1,
			.weight = 1};
		memcpy(row->source, sources[paper], strlen(sources[paper]));
		row->measured = factor[paper] * exp(regression_miss(&terms_own, row));
	}
	return made;
}

/* The effects are found apart from the terms, and so is how far papers lie apart: ln 1.3 sqrt(2/3), or a little less. */
Test(regression, offsets_of_papers_are_found)
{
	static struct fitted by_paper;
	size_t made = invent_papers(rows);

	cr_assert(regression_fit(rows, made, FIT_PAPERS, &by_paper));
	const struct paper_effect *effects = by_paper.papers[AMINE_MEA][GAS_CO2];
	cr_expect_str_eq(effects[0].source, "high");
	cr_expect_float_eq(effects[0].offset, -log(1.3), 0.06, "%g", effects[0].offset);
	cr_expect_float_eq(effects[1].offset, 0, 0.06, "%g", effects[1].offset);
	cr_expect_float_eq(effects[2].offset, log(1.3), 0.06, "%g", effects[2].offset);
	cr_expect_float_eq(by_paper.between[AMINE_MEA][GAS_CO2], log(1.3) * sqrt(2. / 3), 0.06, "%g",
		by_paper.between[AMINE_MEA][GAS_CO2]);
	cr_expect(isnan(by_paper.between[AMINE_DEA][GAS_CO2]), "no papers");
	for (size_t r = 0; r < made; r++)
		if (strcmp(rows[r].source, "right") == 0)
			cr_expect(fabs(regression_miss(&by_paper.terms, &rows[r])) < 0.1, "%g",
				regression_miss(&by_paper.terms, &rows[r]));
}
