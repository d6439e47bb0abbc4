#include <gsl/gsl_blas.h>
#include <gsl/gsl_multimin.h>
#include <math.h>

#include "chemistry/constants.h"
#include "regression_set.h"
#include "regression_spread.h"

/* What the spread of the rows is fitted by (regression_spread.h). */

/*
 * Choices: the middles and the deviation of the priors of ln e, ln g and ln f, and how strongly k is drawn towards 1.
 */
enum { OF_ERROR, OF_GROWTH, OF_ABSOLUTE, COMMON, TURNS = 200 };
static const double prior[COMMON] = {0.2, 0.2, 0.004}, prior_deviation = 0.7;
static const double towards_one = 0.1, least_factor = 0.5, most_factor = 2;

struct likelihood {
	const struct spread_set *set;
	double weight[VLE_ROWS];
};

/* Each group counts as one; those left out as none. */
static void weigh(struct likelihood *of, size_t left_out, size_t another)
{
	const struct spread_set *set = of->set;

	for (size_t r = 0; r < set->count; r++) {
		bool seen[GROUPS] = {false};
		double mates = 0, groups = 0;

		for (size_t q = 0; q < set->count; q++)
			if (set->row[q]->amine == set->row[r]->amine && set->group[q] != left_out &&
				set->group[q] != another) {
				mates++;
				groups += !seen[set->group[q]];
				seen[set->group[q]] = true;
			}
		of->weight[r] = set->group[r] == left_out || set->group[r] == another ? 0 : groups / mates;
	}
}

/*
 * Unknowns: ln e, ln g, ln f; then of each paper ln of what its own e is times that of all, in deviations of its prior; then likewise
 * f.
 */
static size_t unknown_count(const struct spread_set *set)
{
	return COMMON + 2 * set->papers;
}

/* ln of a paper's own e or f (`from` the first of them), times that of all. */
static double own_at(const gsl_vector *x, const struct spread_set *set, size_t from, size_t paper)
{
	return set->own_deviation * gsl_vector_get(x, from + paper);
}

/* Of all where `paper` is none. */
static struct spread spread_at(const gsl_vector *x, const struct spread_set *set, size_t paper)
{
	bool own = paper < set->papers;
	double ln_error = own ? own_at(x, set, COMMON, paper) : 0;
	double ln_absolute = own ? own_at(x, set, COMMON + set->papers, paper) : 0;

	return (struct spread){exp(gsl_vector_get(x, OF_ERROR) + ln_error), exp(gsl_vector_get(x, OF_GROWTH)),
		exp(gsl_vector_get(x, OF_ABSOLUTE) + ln_absolute), 1};
}

static double variance_of(const struct spread *spread, const struct spread_set *set, size_t r)
{
	return pow(spread->error, 2) + pow(spread->growth * set->distance[r], 2) +
		pow(spread->absolute, 2) * set->by_absolute[r] + set->fixed[r];
}

static double middle_of(size_t unknown)
{
	return unknown < COMMON ? log(prior[unknown]) : 0;
}

/* Minus the logarithm of likelihood and prior, and its slopes by the unknowns. */
static void unlikely_with_slopes(const gsl_vector *x, void *data, double *value, gsl_vector *slopes)
{
	const struct likelihood *of = data;
	const struct spread_set *set = of->set;

	*value = 0;
	for (size_t k = 0; k < unknown_count(set); k++) {
		double deviation = k < COMMON ? prior_deviation : 1;
		double z = (gsl_vector_get(x, k) - middle_of(k)) / deviation;

		*value += z * z / 2;
		gsl_vector_set(slopes, k, z / deviation);
	}
	for (size_t r = 0; r < set->count; r++) {
		struct spread spread = spread_at(x, set, set->paper[r]);
		double variance = variance_of(&spread, set, r);
		double z2 = set->row[r]->paper_out * set->row[r]->paper_out / variance;
		double steep = of->weight[r] * (1 - z2) / variance;
		double of_error, of_absolute;

		if (!(of->weight[r] > 0))
			continue;
		*value += of->weight[r] * (log(variance) + z2) / 2;
		of_error = steep * pow(spread.error, 2);
		of_absolute = steep * pow(spread.absolute, 2) * set->by_absolute[r];
		*gsl_vector_ptr(slopes, OF_GROWTH) += steep * pow(spread.growth * set->distance[r], 2);
		*gsl_vector_ptr(slopes, OF_ERROR) += of_error;
		*gsl_vector_ptr(slopes, COMMON + set->paper[r]) += set->own_deviation * of_error;
		*gsl_vector_ptr(slopes, OF_ABSOLUTE) += of_absolute;
		*gsl_vector_ptr(slopes, COMMON + set->papers + set->paper[r]) += set->own_deviation * of_absolute;
	}
}

static double unlikely(const gsl_vector *x, void *data)
{
	gsl_vector *slopes = gsl_vector_alloc(x->size);
	double value;

	unlikely_with_slopes(x, data, &value, slopes);
	gsl_vector_free(slopes);
	return value;
}

static void unlikely_slopes(const gsl_vector *x, void *data, gsl_vector *slopes)
{
	double value;

	unlikely_with_slopes(x, data, &value, slopes);
}

/* The end of the descent is in at->x. */
static bool minimise(gsl_multimin_fdfminimizer *at, struct likelihood *of)
{
	const double step = 0.1, line = 0.1, flat = 1e-4;
	gsl_multimin_function_fdf function = {
		unlikely, unlikely_slopes, unlikely_with_slopes, unknown_count(of->set), of};
	gsl_vector *start = gsl_vector_alloc(function.n);
	bool found = false;

	for (size_t k = 0; k < function.n; k++)
		gsl_vector_set(start, k, middle_of(k));
	gsl_multimin_fdfminimizer_set(at, &function, start, step, line);
	for (int i = 0; i < TURNS && !found && gsl_multimin_fdfminimizer_iterate(at) == 0; i++)
		found = gsl_blas_dnrm2(gsl_multimin_fdfminimizer_gradient(at)) < flat;
	found = found || gsl_blas_dnrm2(gsl_multimin_fdfminimizer_gradient(at)) < 10 * flat;
	gsl_vector_free(start);
	return found;
}

double regression_interval_score(double miss, double half)
{
	return 2 * half + 2 / (1 - INSIDE) * fmax(0, fabs(miss) - half);
}

struct scored {
	const struct likelihood *of;
	double half[VLE_ROWS]; /* with a factor of 1 */
};

static double score_by_factor(double factor, void *data)
{
	const struct scored *scored = data;
	double sum = 0, number = 0;

	for (size_t r = 0; r < scored->of->set->count; r++) {
		double weight = scored->of->weight[r];

		sum += weight * regression_interval_score(scored->of->set->row[r]->paper_out, factor * scored->half[r]);
		number += weight;
	}
	return sum / number + towards_one * pow(log(factor), 2);
}

/* What it falls to on one side and rises from on the other: a sum of convex functions, by thirds. */
static double best_factor(struct scored *scored)
{
	const double close = 1e-5;
	double low = least_factor, high = most_factor;

	while (high - low > close) {
		double a = low + (high - low) / 3, b = high - (high - low) / 3;

		if (score_by_factor(a, scored) < score_by_factor(b, scored))
			high = b;
		else
			low = a;
	}
	return (low + high) / 2;
}

double regression_spread_half(const struct spread_set *set, const struct spread_fit *fit, size_t row)
{
	struct spread spread = regression_spread_of(fit, set->paper[row]);

	return spread.factor * SPREAD_DEVIATIONS * sqrt(variance_of(&spread, set, row));
}

static void take(const gsl_vector *x, const struct likelihood *of, struct spread_fit *out)
{
	const struct spread_set *set = of->set;
	struct scored scored = {.of = of};

	*out = (struct spread_fit){.all = spread_at(x, set, set->papers), .count = set->papers};
	for (size_t p = 0; p < set->papers; p++)
		out->papers[p] = (struct paper_spread){
			set->source[p], own_at(x, set, COMMON, p), own_at(x, set, COMMON + set->papers, p)};
	for (size_t r = 0; r < set->count; r++)
		scored.half[r] = regression_spread_half(set, out, r);
	out->all.factor = best_factor(&scored);
}

bool regression_spread_without_two(
	const struct spread_set *set, size_t left_out, size_t another, struct spread_fit *out)
{
	struct likelihood of = {.set = set};
	gsl_multimin_fdfminimizer *at =
		gsl_multimin_fdfminimizer_alloc(gsl_multimin_fdfminimizer_vector_bfgs2, unknown_count(set));
	bool found;

	weigh(&of, left_out, another);
	found = at != NULL && minimise(at, &of);
	if (found)
		take(at->x, &of, out);
	gsl_multimin_fdfminimizer_free(at);
	return found;
}

bool regression_spread_without(const struct spread_set *set, size_t left_out, struct spread_fit *out)
{
	return regression_spread_without_two(set, left_out, GROUPS, out);
}

struct spread regression_spread_of(const struct spread_fit *fit, size_t paper)
{
	struct spread own = fit->all;

	own.error *= exp(fit->papers[paper].ln_error);
	own.absolute *= exp(fit->papers[paper].ln_absolute);
	return own;
}

bool regression_spread_fit(
	const struct terms *terms, const struct vle_row *rows, size_t count, struct spread_fit fits[GAS_COUNT])
{
	static struct spread_set set;

	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
		spread_set_open(terms, rows, count, gas, &set);
		if (!regression_spread_without(&set, GROUPS, &fits[gas]))
			return false;
	}
	return true;
}
