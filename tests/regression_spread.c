#include "regression_spread.h"

#include <gsl/gsl_multimin.h>
#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"

/* Choices: rows that weigh less are wrong, not uncertain; the middle and the deviation of the priors of ln e and ln g. */
static const double least_weight = 0.1, prior = 0.2, prior_deviation = 0.7, tenth = 0.1;
enum { GROUPS = 64, ISOTHERMS = 160, RESAMPLED = 2000, TURNS = 200 };

/* The rows of one gas, of all amines. */
struct set {
	enum gas gas;
	const struct vle_row *row[VLE_ROWS];
	struct spread_place place[VLE_ROWS];
	size_t group[VLE_ROWS];
	double distance[VLE_ROWS]; /* from what is left without the group */
	size_t count, groups;
	struct evidence isotherm[ISOTHERMS];
	size_t of_group[ISOTHERMS], isotherms;
};

static struct spread_place place_of(const struct terms *terms, const struct vle_row *row)
{
	return (struct spread_place){.amine = row->amine,
		.gas = row->gas,
		.molality = row->mass_fraction / (1 - row->mass_fraction) / amine_rows[row->amine].molar_mass,
		.temperature = row->temperature,
		.loading = row->loading,
		.slope = terms ? regression_slope(terms, row) : (double)NAN};
}

static size_t rows_of(const struct set *set, enum amine amine, const struct vle_row **out)
{
	size_t count = 0;

	for (size_t r = 0; r < set->count; r++)
		if (set->row[r]->amine == amine)
			out[count++] = set->row[r];
	return count;
}

static void group_rows(struct set *set)
{
	for (size_t r = 0; r < set->count; r++) {
		const struct vle_row *system[VLE_ROWS];
		size_t count = rows_of(set, set->row[r]->amine, system), q = 0;

		while (q < r &&
			!(set->row[q]->amine == set->row[r]->amine &&
				regression_together(system, count, set->row[q], set->row[r])))
			q++;
		set->group[r] = q < r ? set->group[q] : set->groups++;
	}
}

static void add_to_isotherm(struct set *set, size_t r)
{
	const struct vle_row *row = set->row[r];
	double celsius = row->temperature - ZERO_CELSIUS;
	size_t k = 0, q = 0;

	while (q < r && !(set->row[q]->amine == row->amine && regression_isotherm(set->row[q], row)))
		q++;
	if (q < r)
		celsius = set->row[q]->temperature - ZERO_CELSIUS;
	while (k < set->isotherms &&
		!(q < r && set->of_group[k] == set->group[r] && set->isotherm[k].amine == row->amine &&
			fabs(set->isotherm[k].celsius[0] - celsius) <= 0 &&
			fabs(set->isotherm[k].strength[0] - set->row[q]->mass_fraction) <= 0))
		k++;
	if (k == set->isotherms) {
		set->of_group[set->isotherms++] = set->group[r];
		set->isotherm[k] = (struct evidence){.amine = row->amine,
			.gas = row->gas,
			.strength = {row->mass_fraction, row->mass_fraction},
			.celsius = {celsius, celsius},
			.loading = {row->loading, row->loading}};
	}
	set->isotherm[k].loading[0] = fmin(set->isotherm[k].loading[0], row->loading);
	set->isotherm[k].loading[1] = fmax(set->isotherm[k].loading[1], row->loading);
}

static void open_set(const struct terms *terms, const struct vle_row *rows, size_t count, enum gas gas, struct set *set)
{
	*set = (struct set){.gas = gas};
	for (size_t r = 0; r < count; r++)
		if (rows[r].gas == gas && rows[r].weight > least_weight && rows[r].use <= ROW_DISPUTED) {
			set->place[set->count] = place_of(terms, &rows[r]);
			set->row[set->count++] = &rows[r];
		}
	group_rows(set);
	for (size_t r = 0; r < set->count; r++)
		add_to_isotherm(set, r);
	for (size_t r = 0; r < set->count; r++) {
		set->distance[r] = HUGE_VAL;
		for (size_t k = 0; k < set->isotherms; k++)
			if (set->of_group[k] != set->group[r])
				set->distance[r] =
					fmin(set->distance[r], spread_distance(&set->isotherm[k], &set->place[r]));
	}
}

/* ---- fitting e and g ---- */

struct likelihood {
	const struct set *set;
	double weight[VLE_ROWS];
};

/* Each group counts as one; the group left out as none. */
static void weigh(struct likelihood *of, size_t left_out)
{
	const struct set *set = of->set;

	for (size_t r = 0; r < set->count; r++) {
		bool seen[GROUPS] = {false};
		double mates = 0, groups = 0;

		for (size_t q = 0; q < set->count; q++)
			if (set->row[q]->amine == set->row[r]->amine && set->group[q] != left_out) {
				mates++;
				groups += !seen[set->group[q]];
				seen[set->group[q]] = true;
			}
		of->weight[r] = set->group[r] == left_out ? 0 : groups / mates;
	}
}

static double in_units(double ln_value)
{
	return (ln_value - log(prior)) / prior_deviation;
}

static double unlikely(const gsl_vector *x, void *data)
{
	const struct likelihood *of = data;
	double e = exp(gsl_vector_get(x, 0)), g = exp(gsl_vector_get(x, 1)), sum = 0;

	for (size_t r = 0; r < of->set->count; r++) {
		double deviation =
			spread_ln_factor(e, g * of->set->distance[r], &of->set->place[r]) / SPREAD_DEVIATIONS;
		double z = of->set->row[r]->paper_out / deviation;

		sum += of->weight[r] * (log(deviation) + z * z / 2);
	}
	return sum + pow(in_units(gsl_vector_get(x, 0)), 2) / 2 + pow(in_units(gsl_vector_get(x, 1)), 2) / 2;
}

static bool minimise(gsl_multimin_fminimizer *at, gsl_multimin_function *function, struct spread *out)
{
	const double close = 1e-5;
	gsl_vector *start = gsl_vector_alloc(2), *step = gsl_vector_alloc(2);
	bool found = false;

	gsl_vector_set_all(start, log(prior));
	gsl_vector_set_all(step, prior_deviation);
	gsl_multimin_fminimizer_set(at, function, start, step);
	for (int i = 0; i < TURNS && !found && gsl_multimin_fminimizer_iterate(at) == 0; i++)
		found = gsl_multimin_fminimizer_size(at) < close;
	*out = (struct spread){exp(gsl_vector_get(at->x, 0)), exp(gsl_vector_get(at->x, 1))};
	gsl_vector_free(start);
	gsl_vector_free(step);
	return found;
}

/* Without one group; with all, if it is none. */
static bool fit_without(const struct set *set, size_t left_out, struct spread *out)
{
	struct likelihood of = {.set = set};
	gsl_multimin_function function = {unlikely, 2, &of};
	gsl_multimin_fminimizer *at = gsl_multimin_fminimizer_alloc(gsl_multimin_fminimizer_nmsimplex2, 2);
	bool found;

	weigh(&of, left_out);
	found = at != NULL && minimise(at, &function, out);
	gsl_multimin_fminimizer_free(at);
	return found;
}

bool regression_spread_fit(
	const struct terms *terms, const struct vle_row *rows, size_t count, struct spread spread[GAS_COUNT])
{
	static struct set set;

	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
		open_set(terms, rows, count, gas, &set);
		if (!fit_without(&set, GROUPS, &spread[gas]))
			return false;
	}
	return true;
}

/* ---- how they hold ---- */

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;

	return (x > y) - (x < y);
}

/* The ninth decile of what the other groups of the system miss by. */
static double constant_without(const struct set *set, size_t group, enum amine amine)
{
	double miss[VLE_ROWS];
	size_t count = 0;

	for (size_t r = 0; r < set->count; r++)
		if (set->row[r]->amine == amine && set->group[r] != group)
			miss[count++] = fabs(set->row[r]->paper_out);
	qsort(miss, count, sizeof *miss, by_size);
	return count > 0 ? miss[(size_t)ceil((1 - tenth) * (double)(count - 1))] : (double)NAN;
}

static double miss_of(const struct vle_row *row, enum how_fitted how)
{
	return fabs(how == IN_SAMPLE ? row->in_sample : how == ROW_OUT ? row->row_out : row->paper_out);
}

/* In sample and without the row the isotherm itself is evidence: D is zero. */
static size_t hold_group(const struct set *set, size_t group, enum amine amine, enum how_fitted how,
	const struct spread *spread, double constant, struct held *held)
{
	size_t count = 0;

	for (size_t r = 0; r < set->count; r++) {
		double growth = how == PAPER_OUT ? spread->growth * set->distance[r] : 0;
		double half = isnan(constant) ? spread_ln_factor(spread->error, growth, &set->place[r]) : constant;
		double miss = miss_of(set->row[r], how);

		if (set->group[r] == group && set->row[r]->amine == amine)
			held[count++] = (struct held){
				set->row[r], group, miss <= half, 2 * half + 2 / tenth * fmax(0, miss - half)};
	}
	return count;
}

size_t regression_hold(const struct terms *terms, const struct vle_row *rows, size_t count, enum amine amine,
	enum gas gas, enum how_fitted how, bool constant, struct held held[VLE_ROWS])
{
	static struct set set;
	struct spread all;
	size_t found = 0;

	open_set(terms, rows, count, gas, &set);
	if (!fit_without(&set, GROUPS, &all))
		return 0;
	for (size_t g = 0; g < set.groups; g++) {
		struct spread spread = all;
		double factor = constant ? constant_without(&set, g, amine) : (double)NAN;

		if (how == PAPER_OUT && !constant && !fit_without(&set, g, &spread))
			return 0;
		found += hold_group(&set, g, amine, how, &spread, factor, &held[found]);
	}
	return found;
}

/* Ends of the share inside when groups are drawn anew, as many as there are. */
static void resample(const struct held *held, size_t count, struct coverage *coverage)
{
	const double end = 0.025;
	gsl_rng *generator = gsl_rng_alloc(gsl_rng_mt19937);
	size_t groups[GROUPS], rows[GROUPS] = {0}, inside[GROUPS] = {0}, number = 0;
	double share[RESAMPLED];

	for (size_t i = 0; i < count; i++) {
		if (rows[held[i].group] == 0)
			groups[number++] = held[i].group;
		rows[held[i].group]++;
		inside[held[i].group] += held[i].inside;
	}
	for (size_t s = 0; s < RESAMPLED; s++) {
		double of = 0, in = 0;

		for (size_t k = 0; k < number; k++) {
			size_t g = groups[gsl_rng_uniform_int(generator, number)];

			of += (double)rows[g];
			in += (double)inside[g];
		}
		share[s] = in / of;
	}
	qsort(share, RESAMPLED, sizeof *share, by_size);
	coverage->groups = number;
	coverage->low = share[(size_t)(end * RESAMPLED)];
	coverage->high = share[(size_t)((1 - end) * RESAMPLED) - 1];
	gsl_rng_free(generator);
}

struct coverage regression_cover(const struct held *held, size_t count)
{
	struct coverage out = {.rows = count};

	for (size_t i = 0; i < count; i++) {
		out.inside += (double)held[i].inside / (double)count;
		out.score += held[i].score / (double)count;
	}
	if (count > 0)
		resample(held, count, &out);
	return out;
}

static double nearest_isotherm(const struct set *set, const struct spread_place *place)
{
	double least = HUGE_VAL;

	for (size_t k = 0; k < set->isotherms; k++)
		least = fmin(least, spread_distance(&set->isotherm[k], place));
	return least;
}

size_t regression_hold_correlation(const struct vle_row *rows, size_t count, const struct terms *without, enum gas gas,
	bool mixture, struct held held[CORRELATION_STATES])
{
	static const double strength[] = {0.35, 0.4, 0.45, 0.5}, celsius[] = {40, 60, 80, 100, 120};
	static const double total[] = {0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6};
	static struct set set;
	struct spread spread;
	size_t found = 0;

	open_set(without, rows, count, gas, &set);
	if (!fit_without(&set, GROUPS, &spread))
		return 0;
	for (size_t k = 0; k < COUNT(strength) * COUNT(celsius) * COUNT(total); k++) {
		double of = total[k % COUNT(total)], loading[GAS_COUNT];
		struct vle_row row = {.amine = AMINE_MDEA,
			.gas = gas,
			.mass_fraction = strength[k / COUNT(total) % COUNT(strength)],
			.temperature = celsius[k / COUNT(total) / COUNT(strength)] + ZERO_CELSIUS,
			.loading = mixture ? of / 2 : of,
			.measured = 1};
		struct spread_place place = place_of(without, &row);
		double miss, half;

		place.other = loading[1 - gas] = of - row.loading;
		loading[gas] = row.loading;
		miss = fabs(correlation_miss(without, row.mass_fraction, row.temperature, loading, gas));
		half = spread_ln_factor(spread.error, spread.growth * nearest_isotherm(&set, &place), &place);
		held[found++] = (struct held){NULL, 0, miss <= half, 2 * half + 2 / tenth * fmax(0, miss - half)};
	}
	return found;
}

/* ---- writing ---- */

static const char *gas_name(enum gas gas)
{
	return gas == GAS_H2S ? "H2S" : "CO2";
}

static bool of_one_paper(const struct set *set, enum amine amine)
{
	const struct vle_row *system[VLE_ROWS];
	size_t count = rows_of(set, amine, system);

	for (size_t r = 1; r < count; r++)
		if (strcmp(system[r]->source, system[0]->source) != 0)
			return false;
	return true;
}

void regression_write_measured(
	const struct vle_row *rows, size_t count, const struct spread spread[GAS_COUNT], double between, FILE *out)
{
	static struct set set;

	fputs("/*\n"
	      " * What was measured, and how far partial pressures may be off (spread.h). Written by the regression "
	      "(`make "
	      "regress`); not to be\n"
	      " * edited by hand.\n"
	      " * SPREAD(gas, e and g in ln p)\n"
	      " * MEASURED(amine, gas, e_k in ln p, mass fraction, degC, least and largest loading)\n"
	      " */\n",
		out);
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		fprintf(out, "SPREAD(%s, %.3f, %.3f)\n", gas_name(gas), spread[gas].error, spread[gas].growth);
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
		open_set(NULL, rows, count, gas, &set);
		for (size_t k = 0; k < set.isotherms; k++) {
			const struct evidence *isotherm = &set.isotherm[k];

			fprintf(out, "MEASURED(%s, %s, %.2f, %.4f, %.1f, %.4g, %.4g)\n",
				amine_rows[isotherm->amine].name, gas_name(gas),
				of_one_paper(&set, isotherm->amine) ? between : 0, isotherm->strength[0],
				isotherm->celsius[0], isotherm->loading[0], isotherm->loading[1]);
		}
	}
}
