#include "regression_spread.h"

#include <gsl/gsl_rng.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "regression_set.h"

enum { RESAMPLED = 2000 };

static int by_size(const void *a, const void *b)
{
	double x = *(const double *)a, y = *(const double *)b;

	return (x > y) - (x < y);
}

/* The ninth decile of what the other groups of the system miss by. */
static double constant_without(const struct spread_set *set, size_t group, enum amine amine)
{
	double miss[VLE_ROWS];
	size_t count = 0;

	for (size_t r = 0; r < set->count; r++)
		if (set->row[r]->amine == amine && set->group[r] != group)
			miss[count++] = fabs(set->row[r]->paper_out);
	qsort(miss, count, sizeof *miss, by_size);
	return count > 0 ? miss[(size_t)ceil(INSIDE * (double)(count - 1))] : (double)NAN;
}

static double miss_of(const struct vle_row *row, enum how_fitted how)
{
	return fabs(how == IN_SAMPLE ? row->in_sample : how == ROW_OUT ? row->row_out : row->paper_out);
}

/* In sample and without the row the isotherm itself is evidence: D is zero. */
static size_t hold_group(const struct spread_set *set, size_t group, enum amine amine, enum how_fitted how,
	const struct spread_fit *fit, double constant, struct held *held)
{
	size_t count = 0;

	for (size_t r = 0; r < set->count; r++) {
		struct spread spread = regression_spread_of(fit, set->paper[r]);
		double distance = how == PAPER_OUT ? set->distance[r] : 0, miss = miss_of(set->row[r], how);
		double half = isnan(constant) ? spread_ln_factor_at(&spread, 0, distance, &set->place[r]) : constant;

		if (set->group[r] == group && set->row[r]->amine == amine)
			held[count++] =
				(struct held){set->row[r], group, miss <= half, regression_interval_score(miss, half)};
	}
	return count;
}

static bool has_rows(const struct spread_set *set, size_t group, enum amine amine)
{
	for (size_t r = 0; r < set->count; r++)
		if (set->group[r] == group && set->row[r]->amine == amine)
			return true;
	return false;
}

size_t regression_hold(const struct terms *terms, const struct vle_row *rows, size_t count, enum amine amine,
	enum gas gas, enum how_fitted how, bool constant, struct held held[VLE_ROWS])
{
	static struct spread_set set;
	struct spread_fit fit;
	size_t found = 0;

	spread_set_open(terms, rows, count, gas, &set);
	if (!regression_spread_without(&set, GROUPS, &fit))
		return 0;
	for (size_t g = 0; g < set.groups; g++) {
		double factor = constant ? constant_without(&set, g, amine) : (double)NAN;

		if (!has_rows(&set, g, amine))
			continue;
		if (how == PAPER_OUT && !constant && !regression_spread_without(&set, g, &fit))
			return 0;
		found += hold_group(&set, g, amine, how, &fit, factor, &held[found]);
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

/* What the engine adds for the paper's being the only one. */
static double added_of(enum amine amine, enum gas gas)
{
	for (size_t k = 0; k < evidence_count; k++)
		if (evidence_own[k].amine == amine && evidence_own[k].gas == gas && !evidence_own[k].mixtures)
			return evidence_own[k].added;
	return 0;
}

/* ln F by the isotherm that gives least, with the spread of its paper. */
static double nearest_ln_factor(
	const struct spread_set *set, const struct spread_fit *fit, const struct spread_place *place)
{
	double least = HUGE_VAL, added = added_of(place->amine, place->gas);

	for (size_t k = 0; k < set->isotherms; k++) {
		struct spread spread = regression_spread_of(fit, set->of_paper[k]);

		if (set->isotherm[k].amine == place->amine)
			least = fmin(least,
				spread_ln_factor_at(&spread, added, spread_distance(&set->isotherm[k], place), place));
	}
	return least;
}

size_t regression_hold_correlation(const struct vle_row *rows, size_t count, const struct terms *without, enum gas gas,
	bool mixture, struct held held[CORRELATION_STATES])
{
	static const double strength[] = {0.35, 0.4, 0.45, 0.5}, celsius[] = {40, 60, 80, 100, 120};
	static const double total[] = {0.01, 0.02, 0.05, 0.1, 0.2, 0.3, 0.4, 0.5, 0.6};
	static struct spread_set set;
	struct spread_fit fit;
	size_t found = 0;

	spread_set_open(without, rows, count, gas, &set);
	if (!regression_spread_without(&set, GROUPS, &fit))
		return 0;
	for (size_t k = 0; k < COUNT(strength) * COUNT(celsius) * COUNT(total); k++) {
		double of = total[k % COUNT(total)], loading[GAS_COUNT];
		struct vle_row row = {.amine = AMINE_MDEA,
			.gas = gas,
			.mass_fraction = strength[k / COUNT(total) % COUNT(strength)],
			.temperature = celsius[k / COUNT(total) / COUNT(strength)] + ZERO_CELSIUS,
			.loading = mixture ? of / 2 : of,
			.measured = 1};
		struct spread_place place = spread_set_place(without, &row);
		double miss, half;

		place.other = loading[1 - gas] = of - row.loading;
		loading[gas] = row.loading;
		miss = fabs(correlation_miss(without, row.mass_fraction, row.temperature, loading, gas));
		half = nearest_ln_factor(&set, &fit, &place);
		held[found++] = (struct held){NULL, 0, miss <= half, regression_interval_score(miss, half)};
	}
	return found;
}

/* ---- writing ---- */

static const char *gas_name(enum gas gas)
{
	return gas == GAS_H2S ? "H2S" : "CO2";
}

static bool of_one_paper(const struct spread_set *set, enum amine amine)
{
	const struct vle_row *system[VLE_ROWS];
	size_t count = spread_set_rows(set, amine, system);

	for (size_t r = 1; r < count; r++)
		if (strcmp(system[r]->source, system[0]->source) != 0)
			return false;
	return true;
}

/* In a system of one paper its own; else that of all. */
static void write_isotherm(
	const struct spread_set *set, size_t k, const struct spread_fit *fit, double between, FILE *out)
{
	const struct evidence *isotherm = &set->isotherm[k];
	const struct paper_spread *paper = &fit->papers[set->of_paper[k]];
	bool alone = of_one_paper(set, isotherm->amine);

	fprintf(out, "MEASURED(%s, %s, %.2f, %.3f, %.3f, %.4f, %.1f, %.4g, %.4g)\n", amine_rows[isotherm->amine].name,
		gas_name(isotherm->gas), alone ? between : 0, alone ? exp(paper->ln_error) : 1,
		alone ? exp(paper->ln_absolute) : 1, isotherm->strength[0], isotherm->celsius[0], isotherm->loading[0],
		isotherm->loading[1]);
}

void regression_write_measured(
	const struct vle_row *rows, size_t count, const struct spread_fit fits[GAS_COUNT], double between, FILE *out)
{
	static struct spread_set set;

	fputs("/*\n"
	      " * What was measured, and how far partial pressures may be off (spread.h). Written by the regression "
	      "(`make "
	      "regress`); not to be\n"
	      " * edited by hand.\n"
	      " * SPREAD(gas, e and g in ln p, f in mol/mol, k)\n"
	      " * MEASURED(amine, gas, e_k in ln p, a_k, b_k, mass fraction, degC, least and largest loading)\n"
	      " */\n",
		out);
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		fprintf(out, "SPREAD(%s, %.3f, %.3f, %.5f, %.3f)\n", gas_name(gas), fits[gas].all.error,
			fits[gas].all.growth, fits[gas].all.absolute, fits[gas].all.factor);
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
		spread_set_open(NULL, rows, count, gas, &set);
		for (size_t k = 0; k < set.isotherms; k++)
			write_isotherm(&set, k, &fits[gas], between, out);
	}
}
