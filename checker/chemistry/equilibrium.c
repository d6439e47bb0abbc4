#include "chemistry/equilibrium.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/reaction.h"
#include "chemistry/solution.h"

/* From a species of the first amine to the same of the second. */
enum { PLACE = SPECIES_AM_2 - SPECIES_AM, UNKNOWNS = EQUILIBRIUM_UNKNOWNS };

/* How long each part may try; what a usual state needs is one round and three or four steps. */
enum { DIRECT_STEPS = 50, DEGREE_STEPS = 30, DIRECT_ROUNDS = 1, DEGREE_ROUNDS = 3 };

enum species equilibrium_molecular(enum gas gas)
{
	return gas == GAS_H2S ? SPECIES_H2S : SPECIES_CO2;
}

bool equilibrium_carries(enum species species, enum gas gas)
{
	switch (species) {
	case SPECIES_H2S:
	case SPECIES_HS:
		return gas == GAS_H2S;
	case SPECIES_CO2:
	case SPECIES_HCO3:
	case SPECIES_CO3:
	case SPECIES_AMCOO:
	case SPECIES_AMCOO_2:
		return gas == GAS_CO2;
	default:
		return false;
	}
}

/* Setting up */

static void add_reaction(struct equilibrium *e, struct mass_action reaction)
{
	e->reactions[e->reaction_count++] = reaction;
}

/* S(x) keeps the table below readable. */
#define S(x) SPECIES_##x
static void prepare_reactions(struct equilibrium *e, const struct terms *terms, double temperature)
{
	const double ln_t = log(temperature);

	e->ln_k[0] = reaction_ln(&reaction_of_water, temperature, ln_t);
	add_reaction(e, (struct mass_action){e->ln_k[0], -1, {S(H), S(OH)}, {1, 1}, 2});
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		e->ln_henry[gas] = reaction_ln(&reaction_henry[gas], temperature, ln_t);
	if (e->present[GAS_CO2]) {
		e->ln_k[1] = reaction_ln(&reaction_of_co2, temperature, ln_t);
		e->ln_k[2] = reaction_ln(&reaction_of_bicarbonate, temperature, ln_t);
		add_reaction(e, (struct mass_action){e->ln_k[1], -1, {S(H), S(HCO3), S(CO2)}, {1, 1, -1}, 3});
		add_reaction(e, (struct mass_action){e->ln_k[2], 0, {S(H), S(CO3), S(HCO3)}, {1, 1, -1}, 3});
	}
	if (e->present[GAS_H2S]) {
		e->ln_k[3] = reaction_ln(&reaction_of_h2s, temperature, ln_t);
		add_reaction(e, (struct mass_action){e->ln_k[3], 0, {S(H), S(HS), S(H2S)}, {1, 1, -1}, 3});
	}
	for (size_t p = 0; p < e->amine_count; p++) {
		enum species am = (enum species)(SPECIES_AM + p * PLACE), protonated = am + 1, carbamate = am + 2;
		enum amine amine = e->solvent.amines[p];
		struct reaction reaction;

		e->ln_amine[p] = reaction_ln(&reaction_of_amine[amine], temperature, ln_t);
		add_reaction(e, (struct mass_action){e->ln_amine[p], 0, {S(H), am, protonated}, {1, 1, -1}, 3});
		e->forms_carbamate[p] = amine_rows[amine].carbamate && e->present[GAS_CO2];
		if (!e->forms_carbamate[p])
			continue;
		reaction = reaction_of_carbamate(amine, terms);
		e->ln_carbamate[p] = reaction_ln(&reaction, temperature, ln_t);
		add_reaction(e, (struct mass_action){e->ln_carbamate[p], 1, {carbamate, am, S(HCO3)}, {1, -1, -1}, 3});
	}
}
#undef S

static void prepare_unknowns(struct equilibrium *e)
{
	for (size_t i = 0; i < SPECIES_AM; i++)
		if ((e->present[GAS_CO2] || !equilibrium_carries((enum species)i, GAS_CO2)) &&
			(e->present[GAS_H2S] || !equilibrium_carries((enum species)i, GAS_H2S)))
			e->unknown[e->unknown_count++] = (enum species)i;
	for (size_t p = 0; p < e->amine_count; p++)
		for (size_t k = 0; k < (e->forms_carbamate[p] ? PLACE : PLACE - 1); k++)
			e->unknown[e->unknown_count++] = (enum species)(SPECIES_AM + p * PLACE + k);
}

static void prepare_gas(struct equilibrium *e, enum gas gas, double loading, double partial_pressure)
{
	bool by_loading = isnan(partial_pressure);

	e->present[gas] = (by_loading ? loading : partial_pressure) > 0;
	e->by_pressure[gas] = !by_loading && e->present[gas];
	if (by_loading)
		e->gas[gas] = (e->amine[0] + e->amine[1]) * loading;
}

/* What the input states by mole of amine, in mol/kg of water. */
static void prepare_amounts(struct equilibrium *e, const struct solution_input *input, const double *partial_pressure)
{
	double water = 1, total = 0;

	for (size_t p = 0; p < e->amine_count; p++)
		water -= input->mass_fraction[e->solvent.amines[p]];
	for (size_t p = 0; p < e->amine_count; p++) {
		enum amine amine = e->solvent.amines[p];

		e->amine[p] = input->mass_fraction[amine] / amine_rows[amine].molar_mass / water;
		total += e->amine[p];
	}
	for (size_t p = 0; p < e->amine_count; p++)
		e->solvent.share[p] = e->amine[p] / total;
	e->molality[SPECIES_ANION_1] = input->anion[0] * total;
	e->molality[SPECIES_ANION_2] = input->anion[1] * total;
	e->molality[SPECIES_CATION] = input->cation * total;
	e->solvent.salts = input->anion[0] > 0 || input->anion[1] > 0 || input->cation > 0;
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		prepare_gas(e, gas, input->loading[gas], partial_pressure[gas]);
}

void equilibrium_prepare(struct equilibrium *e, const struct terms *terms, const struct solution_input *input,
	const double *partial_pressure, const enum amine *amines, size_t amine_count)
{
	e->solvent = (struct solvent){.amines = amines, .amine_count = amine_count};
	e->amine_count = amine_count;
	e->amine[1] = 0;
	e->forms_carbamate[1] = false;
	e->reaction_count = e->unknown_count = 0;
	e->iterations = 0;
	memset(e->gas, 0, sizeof e->gas);
	memset(e->molality, 0, sizeof e->molality);
	prepare_amounts(e, input, partial_pressure);
	e->activity = activity_at(terms, &e->solvent, input->temperature);
	prepare_reactions(e, terms, input->temperature);
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		if (e->by_pressure[gas])
			e->ln_molecular[gas] = log(partial_pressure[gas]) - e->ln_henry[gas];
	prepare_unknowns(e);
}

/* Newton on the logarithms of all molalities */

/* Where an unknown stands among the columns. */
static void place_columns(const struct equilibrium *e, size_t *column)
{
	for (size_t k = 0; k < e->unknown_count; k++)
		column[e->unknown[k]] = k;
}

typedef double matrix[UNKNOWNS][UNKNOWNS + 1]; /* the last column used is the right-hand side */

/* d ln a_w/dm_k = -M_w [1 + sum m_i d ln gamma_i/dm_k] (Gibbs and Duhem) */
static void water_slopes(const struct equilibrium *e, double *slope)
{
	activity_slopes(&e->activity, &e->coefficients, e->molality, slope);
	for (size_t k = 0; k < SPECIES_COUNT; k++)
		slope[k] = -MOLAR_MASS_WATER * (1 + slope[k]);
}

/* Right-hand sides; the rows in the order in which slopes() fills them. */
static void residuals(const struct equilibrium *e, const double *x, matrix a)
{
	const struct coefficients *c = &e->coefficients;
	const double *m = e->molality;
	size_t n = e->unknown_count, row = 0;
	double positive = m[SPECIES_H] + m[SPECIES_AMH] + m[SPECIES_AMH_2] + m[SPECIES_CATION];
	double negative = m[SPECIES_OH] + m[SPECIES_HCO3] + 2 * m[SPECIES_CO3] + m[SPECIES_HS] + m[SPECIES_AMCOO] +
		m[SPECIES_AMCOO_2] + m[SPECIES_ANION_1] + 2 * m[SPECIES_ANION_2];

	for (size_t r = 0; r < e->reaction_count; r++, row++) {
		const struct mass_action *reaction = &e->reactions[r];
		double sum = reaction->water * c->ln_water - reaction->ln_constant;

		for (int s = 0; s < reaction->parts; s++)
			sum += reaction->nu[s] * (x[reaction->species[s]] + c->ln_gamma[reaction->species[s]]);
		a[row][n] = -sum;
	}
	if (e->by_pressure[GAS_H2S])
		a[row++][n] = e->ln_molecular[GAS_H2S] - x[SPECIES_H2S] - c->ln_gamma[SPECIES_H2S];
	else if (e->present[GAS_H2S])
		a[row++][n] = 1 - (m[SPECIES_H2S] + m[SPECIES_HS]) / e->gas[GAS_H2S];
	if (e->by_pressure[GAS_CO2])
		a[row++][n] = e->ln_molecular[GAS_CO2] - x[SPECIES_CO2] - c->ln_gamma[SPECIES_CO2];
	else if (e->present[GAS_CO2])
		a[row++][n] = 1 -
			(m[SPECIES_CO2] + m[SPECIES_HCO3] + m[SPECIES_CO3] + m[SPECIES_AMCOO] + m[SPECIES_AMCOO_2]) /
				e->gas[GAS_CO2];
	for (size_t p = 0; p < e->amine_count; p++) {
		size_t am = SPECIES_AM + p * PLACE;

		a[row++][n] = 1 - (m[am] + m[am + 1] + m[am + 2]) / e->amine[p];
	}
	a[row][n] = (negative - positive) / positive;
}

static size_t reaction_slopes(const struct equilibrium *e, const size_t *column, matrix a)
{
	const double *m = e->molality;
	double by_water[SPECIES_COUNT], slope[SPECIES_COUNT];

	water_slopes(e, by_water);
	for (size_t r = 0; r < e->reaction_count; r++) {
		const struct mass_action *reaction = &e->reactions[r];
		double weight[SPECIES_COUNT] = {0}, water = reaction->water;

		for (int s = 0; s < reaction->parts; s++)
			weight[reaction->species[s]] = reaction->nu[s];
		activity_slopes(&e->activity, &e->coefficients, weight, slope);
		for (size_t k = 0; k < e->unknown_count; k++) {
			enum species s = e->unknown[k];

			a[r][k] = m[s] * (slope[s] + water * by_water[s]);
		}
		for (int s = 0; s < reaction->parts; s++)
			a[r][column[reaction->species[s]]] += reaction->nu[s];
	}
	return e->reaction_count;
}

static size_t gas_slopes(const struct equilibrium *e, const size_t *column, size_t row, matrix a)
{
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
		if (!e->present[gas])
			continue;
		for (size_t k = 0; k < e->unknown_count; k++)
			a[row][k] = !e->by_pressure[gas] && equilibrium_carries(e->unknown[k], gas)
				? e->molality[e->unknown[k]] / e->gas[gas]
				: 0;
		if (e->by_pressure[gas]) {
			enum species free_gas = equilibrium_molecular(gas);
			double weight[SPECIES_COUNT] = {0}, slope[SPECIES_COUNT];

			weight[free_gas] = 1;
			activity_slopes(&e->activity, &e->coefficients, weight, slope);
			for (size_t k = 0; k < e->unknown_count; k++)
				a[row][k] = e->molality[e->unknown[k]] * slope[e->unknown[k]];
			a[row][column[free_gas]] += 1;
		}
		row++;
	}
	return row;
}

/* What stands left of the right-hand sides. */
static void slopes(const struct equilibrium *e, const size_t *column, matrix a)
{
	const double *m = e->molality;
	double positive = m[SPECIES_H] + m[SPECIES_AMH] + m[SPECIES_AMH_2] + m[SPECIES_CATION];
	size_t row = gas_slopes(e, column, reaction_slopes(e, column, a), a);

	for (size_t p = 0; p < e->amine_count; p++, row++)
		for (size_t k = 0; k < e->unknown_count; k++)
			a[row][k] =
				e->unknown[k] >= SPECIES_AM + p * PLACE && e->unknown[k] < SPECIES_AM + (p + 1) * PLACE
				? m[e->unknown[k]] / e->amine[p]
				: 0;
	for (size_t k = 0; k < e->unknown_count; k++)
		a[row][k] = species_rows[e->unknown[k]].charge * m[e->unknown[k]] / positive;
}

/* Gauss with row pivoting; the answer replaces the right-hand side. False: singular or not finite. */
static bool eliminate(matrix a, size_t n)
{
	for (size_t k = 0; k < n; k++) {
		size_t best = k;

		for (size_t i = k + 1; i < n; i++)
			if (fabs(a[i][k]) > fabs(a[best][k]))
				best = i;
		if (!(fabs(a[best][k]) > SINGULAR_PIVOT))
			return false;
		if (best != k)
			for (size_t j = k; j <= n; j++) {
				double swap = a[k][j];

				a[k][j] = a[best][j];
				a[best][j] = swap;
			}
		for (size_t i = k + 1; i < n; i++) {
			double factor = a[i][k] / a[k][k];

			if (factor != 0)
				for (size_t j = k + 1; j <= n; j++)
					a[i][j] -= factor * a[k][j];
		}
	}
	for (size_t k = n; k-- > 0;) {
		for (size_t j = k + 1; j < n; j++)
			a[k][n] -= a[k][j] * a[j][n];
		a[k][n] /= a[k][k];
		if (!isfinite(a[k][n]))
			return false;
	}
	return true;
}

/* Largest residual of the system as it stands in the right-hand side. */
static double largest(matrix a, size_t n)
{
	double most = 0;

	for (size_t k = 0; k < n; k++) {
		if (!isfinite(a[k][n]))
			return (double)INFINITY;
		most = fmax(most, fabs(a[k][n]));
	}
	return most;
}

/* Steps are held to a factor e^2 in any molality; `at_most` many. The state is left at the last point. */
static bool newton(struct equilibrium *e, double share, int at_most)
{
	double x[SPECIES_COUNT];
	size_t column[SPECIES_COUNT], n = e->unknown_count;
	matrix a;

	place_columns(e, column);
	for (size_t k = 0; k < n; k++)
		x[e->unknown[k]] = log(e->molality[e->unknown[k]]);
	for (int i = 0; i < at_most; i++) {
		double step, scale, residual;

		activity_coefficients(&e->activity, e->molality, share, &e->coefficients);
		residuals(e, x, a);
		residual = largest(a, n);
		if (residual < NEWTON_RESIDUAL)
			return true;
		if (!isfinite(residual))
			return false;
		slopes(e, column, a);
		if (!eliminate(a, n))
			return false;
		e->iterations++;
		step = largest(a, n);
		scale = step > NEWTON_LARGEST_STEP ? NEWTON_LARGEST_STEP / step : 1;
		for (size_t k = 0; k < n; k++) {
			enum species s = e->unknown[k];

			x[s] += scale * a[k][n];
			e->molality[s] = exp(x[s]);
		}
	}
	return false;
}

/* Brings the pair terms in by degrees, halving the degree where a step fails. */
static bool solve_by_degrees(struct equilibrium *e)
{
	double reached = 0, degree = DEGREE_FIRST;

	equilibrium_start(e, 0, DEGREE_ROUNDS);
	if (!newton(e, 0, DIRECT_STEPS))
		return false;
	while (reached < 1) {
		double before[SPECIES_COUNT];
		double next = fmin(1, reached + degree);

		memcpy(before, e->molality, sizeof before);
		if (newton(e, next, DEGREE_STEPS)) {
			reached = next;
			continue;
		}
		memcpy(e->molality, before, sizeof before);
		degree /= 2;
		if (degree < DEGREE_LEAST)
			return false;
	}
	return true;
}

bool equilibrium_solve(struct equilibrium *e)
{
	equilibrium_start(e, 1, DIRECT_ROUNDS);
	return newton(e, 1, DIRECT_STEPS) || solve_by_degrees(e);
}
