#include "regression_set.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"

static const double own_deviation = 1;	/* a choice */
static const double least_weight = 0.1; /* a choice: rows that weigh less are wrong, not uncertain */

struct spread_place spread_set_place(const struct terms *terms, const struct vle_row *row)
{
	return (struct spread_place){.amine = row->amine,
		.gas = row->gas,
		.molality = row->mass_fraction / (1 - row->mass_fraction) / amine_rows[row->amine].molar_mass,
		.temperature = row->temperature,
		.loading = row->loading,
		.slope = terms ? regression_slope(terms, row) : (double)NAN};
}

size_t spread_set_rows(const struct spread_set *set, enum amine amine, const struct vle_row **out)
{
	size_t count = 0;

	for (size_t r = 0; r < set->count; r++)
		if (set->row[r]->amine == amine)
			out[count++] = set->row[r];
	return count;
}

static void group_rows(struct spread_set *set)
{
	for (size_t r = 0; r < set->count; r++) {
		const struct vle_row *system[VLE_ROWS];
		size_t count = spread_set_rows(set, set->row[r]->amine, system), q = 0;

		while (q < r &&
			!(set->row[q]->amine == set->row[r]->amine &&
				regression_together(system, count, set->row[q], set->row[r])))
			q++;
		set->group[r] = q < r ? set->group[q] : set->groups++;
	}
}

static void name_papers(struct spread_set *set)
{
	for (size_t r = 0; r < set->count; r++) {
		size_t p = 0;

		while (p < set->papers && strcmp(set->source[p], set->row[r]->source) != 0)
			p++;
		if (p == set->papers)
			set->source[set->papers++] = set->row[r]->source;
		set->paper[r] = p;
	}
}

static void add_to_isotherm(struct spread_set *set, size_t r)
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
		set->of_paper[k] = set->paper[r];
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

static double variance_with(double absolute, const struct spread_place *place)
{
	const struct spread spread = {.absolute = absolute, .factor = 1};

	return pow(spread_ln_factor_at(&spread, 0, 0, place) / SPREAD_DEVIATIONS, 2);
}

void spread_set_open(
	const struct terms *terms, const struct vle_row *rows, size_t count, enum gas gas, struct spread_set *set)
{
	*set = (struct spread_set){.gas = gas, .own_deviation = own_deviation};
	for (size_t r = 0; r < count; r++)
		if (rows[r].gas == gas && rows[r].weight > least_weight && rows[r].use <= ROW_DISPUTED) {
			set->place[set->count] = spread_set_place(terms, &rows[r]);
			set->row[set->count++] = &rows[r];
		}
	group_rows(set);
	name_papers(set);
	for (size_t r = 0; r < set->count; r++)
		add_to_isotherm(set, r);
	for (size_t r = 0; r < set->count; r++) {
		set->fixed[r] = variance_with(0, &set->place[r]);
		set->by_absolute[r] = variance_with(1, &set->place[r]) - set->fixed[r];
		set->distance[r] = HUGE_VAL;
		for (size_t k = 0; k < set->isotherms; k++)
			if (set->of_group[k] != set->group[r])
				set->distance[r] =
					fmin(set->distance[r], spread_distance(&set->isotherm[k], &set->place[r]));
	}
}

void spread_set_choose(struct spread_set *set, double of_slope, double deviation)
{
	set->own_deviation = deviation;
	for (size_t r = 0; r < set->count; r++)
		set->fixed[r] = variance_with(0, &set->place[r]) +
			(of_slope * of_slope - SPREAD_OF_SLOPE * SPREAD_OF_SLOPE) * pow(set->place[r].slope, 2);
}
