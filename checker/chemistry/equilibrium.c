#include "chemistry/equilibrium.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/reaction.h"
#include "chemistry/solution.h"

/* From a species of the first amine to the same of the second. */
enum { PLACE = SPECIES_AM_2 - SPECIES_AM, PLACES = 2, UNKNOWNS = EQUILIBRIUM_UNKNOWNS };

/* How long each part may try; what a usual state needs is one round and three or four steps. */
enum { START_STEPS = 60, DIRECT_STEPS = 50, DEGREE_STEPS = 30, DIRECT_ROUNDS = 1, DEGREE_ROUNDS = 3 };

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
static void prepare_reactions(
	struct equilibrium *e, const struct terms *terms, const enum amine *amines, double temperature)
{
	e->ln_k[0] = reaction_ln_water(temperature);
	e->ln_k[1] = reaction_ln_co2_first(temperature);
	e->ln_k[2] = reaction_ln_co2_second(temperature);
	e->ln_k[3] = reaction_ln_h2s(temperature);
	add_reaction(e, (struct mass_action){e->ln_k[0], -1, {S(H), S(OH)}, {1, 1}, 2});
	add_reaction(e, (struct mass_action){e->ln_k[1], -1, {S(H), S(HCO3), S(CO2)}, {1, 1, -1}, 3});
	add_reaction(e, (struct mass_action){e->ln_k[2], 0, {S(H), S(CO3), S(HCO3)}, {1, 1, -1}, 3});
	add_reaction(e, (struct mass_action){e->ln_k[3], 0, {S(H), S(HS), S(H2S)}, {1, 1, -1}, 3});
	for (size_t p = 0; p < e->amine_count; p++) {
		enum species am = (enum species)(SPECIES_AM + p * PLACE), protonated = am + 1, carbamate = am + 2;

		e->ln_amine[p] = reaction_ln_amine(amines[p], temperature);
		add_reaction(e, (struct mass_action){e->ln_amine[p], 0, {S(H), am, protonated}, {1, 1, -1}, 3});
		e->forms_carbamate[p] = amine_rows[amines[p]].carbamate;
		if (!e->forms_carbamate[p])
			continue;
		e->ln_carbamate[p] = reaction_ln_carbamate(amines[p], terms, temperature);
		add_reaction(e, (struct mass_action){e->ln_carbamate[p], 1, {carbamate, am, S(HCO3)}, {1, -1, -1}, 3});
	}
}
#undef S

static void prepare_unknowns(struct equilibrium *e)
{
	for (size_t i = 0; i < SPECIES_AM; i++)
		e->unknown[e->unknown_count++] = (enum species)i;
	for (size_t p = 0; p < e->amine_count; p++)
		for (size_t k = 0; k < (e->forms_carbamate[p] ? PLACE : PLACE - 1); k++)
			e->unknown[e->unknown_count++] = (enum species)(SPECIES_AM + p * PLACE + k);
}

void equilibrium_prepare(struct equilibrium *e, const struct terms *terms, const struct solution_input *input,
	const double *partial_pressure, const enum amine *amines, size_t amine_count)
{
	double water = 1, total = 0;

	memset(e, 0, sizeof *e);
	e->amine_count = amine_count;
	for (size_t p = 0; p < amine_count; p++)
		water -= input->mass_fraction[amines[p]];
	for (size_t p = 0; p < amine_count; p++) {
		e->amine[p] = input->mass_fraction[amines[p]] / amine_rows[amines[p]].molar_mass / water;
		total += e->amine[p];
	}
	e->molality[SPECIES_ANION_1] = input->anion[0] * total;
	e->molality[SPECIES_ANION_2] = input->anion[1] * total;
	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		e->by_pressure[gas] = partial_pressure[gas] > 0;
		if (e->by_pressure[gas])
			e->ln_molecular[gas] =
				log(partial_pressure[gas]) - reaction_ln_henry((enum gas)gas, input->temperature);
		else
			e->gas[gas] =
				total * fmax(isnan(partial_pressure[gas]) ? input->loading[gas] : 0, ABSENT_LOADING);
	}
	e->activity = activity_at(terms, amines, amine_count, input->temperature);
	prepare_reactions(e, terms, amines, input->temperature);
	prepare_unknowns(e);
}

/* The start: charge balance at fixed activity coefficients, one unknown */

/* The amine that forms a carbamate (at most one does), its free molality: b (1 + c) + k b a = C, a (1 + r) + k b a = A. */
static double free_amine(double amine, double protonated, double carbon, double per_bicarbonate, double carbamate)
{
	double p = (1 + protonated) * per_bicarbonate, q = carbamate * (carbon - amine) + p;

	/* k (1+r) a^2 + [k (C-A) + (1+r)(1+c)] a - A (1+c) = 0; the form that does not cancel */
	double c = amine * per_bicarbonate, root = sqrt(q * q + 4 * carbamate * (1 + protonated) * c);

	return q > 0 ? 2 * c / (q + root) : (root - q) / (2 * carbamate * (1 + protonated));
}

/* Molalities at ln a_H = y and frozen coefficients; returns ln(positive/negative charge), which rises with y. */
static double compose(struct equilibrium *e, double y)
{
	const double *g = e->coefficients.ln_gamma;
	double *m = e->molality, positive, negative, ln_water = e->coefficients.ln_water;
	double co2 = exp(y - e->ln_k[1] - ln_water + g[SPECIES_HCO3] - g[SPECIES_CO2]);
	double co3 = exp(e->ln_k[2] - y + g[SPECIES_HCO3] - g[SPECIES_CO3]);
	double h2s = exp(y - e->ln_k[3] + g[SPECIES_HS] - g[SPECIES_H2S]);
	double protonated[PLACES] = {0}, carbamate[PLACES] = {0}, bound = 0, bicarbonate;
	size_t places = e->amine_count < PLACES ? 1 : PLACES;

	for (size_t p = 0; p < places; p++) {
		size_t am = SPECIES_AM + p * PLACE;

		protonated[p] = exp(y - e->ln_amine[p] + g[am] - g[am + 1]);
		if (e->forms_carbamate[p])
			carbamate[p] = exp(e->ln_carbamate[p] - ln_water + g[am] + g[SPECIES_HCO3] - g[am + 2]);
	}
	bicarbonate = exp(e->ln_molecular[GAS_CO2] - g[SPECIES_CO2]) / co2;
	for (size_t p = 0; p < places; p++) {
		size_t am = SPECIES_AM + p * PLACE;

		if (e->by_pressure[GAS_CO2] || carbamate[p] == 0)
			m[am] = e->amine[p] / (1 + protonated[p] + carbamate[p] * bicarbonate);
		else
			m[am] = free_amine(e->amine[p], protonated[p], e->gas[GAS_CO2], 1 + co2 + co3, carbamate[p]);
		bound += carbamate[p] * m[am];
	}
	if (!e->by_pressure[GAS_CO2])
		bicarbonate = e->gas[GAS_CO2] / (1 + co2 + co3 + bound);
	for (size_t p = 0; p < places; p++) {
		size_t am = SPECIES_AM + p * PLACE;

		m[am + 1] = m[am] * protonated[p];
		m[am + 2] = m[am] * carbamate[p] * bicarbonate;
	}
	m[SPECIES_HCO3] = bicarbonate;
	m[SPECIES_CO2] = bicarbonate * co2;
	m[SPECIES_CO3] = bicarbonate * co3;
	m[SPECIES_HS] = e->by_pressure[GAS_H2S] ? exp(e->ln_molecular[GAS_H2S] - g[SPECIES_H2S]) / h2s
						: e->gas[GAS_H2S] / (1 + h2s);
	m[SPECIES_H2S] = m[SPECIES_HS] * h2s;
	m[SPECIES_H] = exp(y - g[SPECIES_H]);
	m[SPECIES_OH] = exp(e->ln_k[0] + ln_water - y - g[SPECIES_OH]);
	positive = m[SPECIES_H] + m[SPECIES_AMH] + m[SPECIES_AMH_2];
	negative = m[SPECIES_OH] + m[SPECIES_HCO3] + 2 * m[SPECIES_CO3] + m[SPECIES_HS] + m[SPECIES_AMCOO] +
		m[SPECIES_AMCOO_2] + m[SPECIES_ANION_1] + 2 * m[SPECIES_ANION_2];
	return log(positive / negative);
}

/* Regula falsi with the Illinois halving; the function is nearly a straight line in y at either end. */
static void balance_charge(struct equilibrium *e, double tolerance)
{
	double low = START_LOWEST, high = START_HIGHEST; /* ln a_H: beyond any solution's on either side */
	double at_low = compose(e, low), at_high = compose(e, high);
	int side = 0;

	for (int i = 0; i < START_STEPS; i++) {
		double y = (low * at_high - high * at_low) / (at_high - at_low);
		double at = compose(e, y);

		if (fabs(at) < tolerance || high - low < tolerance)
			return;
		if (at > 0) {
			high = y;
			at_high = at;
			if (side == 1)
				at_low /= 2;
			side = 1;
		} else {
			low = y;
			at_low = at;
			if (side == -1)
				at_high /= 2;
			side = -1;
		}
	}
}

/* Charge balance and coefficients by turns; `rounds` of them bring the coefficients near. */
static void start(struct equilibrium *e, double share, int rounds)
{
	double guess[SPECIES_COUNT] = {0};
	double bound = e->molality[SPECIES_ANION_1] + 2 * e->molality[SPECIES_ANION_2];
	double amine = e->amine[0] + e->amine[1];

	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		bound += e->by_pressure[gas] ? amine / 2 : e->gas[gas];
	guess[SPECIES_AMH] = guess[SPECIES_HS] = fmin(bound, amine) + START_IONS;
	activity_coefficients(&e->activity, guess, 0, &e->coefficients);
	for (int i = 0; i < rounds; i++) {
		struct coefficients fresh;

		balance_charge(e, START_TOLERANCE);
		activity_coefficients(&e->activity, e->molality, share, &fresh);
		for (size_t k = 0; k < SPECIES_COUNT; k++)
			e->coefficients.ln_gamma[k] = (e->coefficients.ln_gamma[k] + fresh.ln_gamma[k]) / 2;
		e->coefficients.ln_water = fresh.ln_water;
	}
	balance_charge(e, START_TOLERANCE);
}

/* Newton on the logarithms of all molalities */

/* d(ln gamma sum of a row)/dx: sum over its species of nu d ln gamma/d ln m_k. */
static void add_coefficient_slopes(
	const struct equilibrium *e, const enum species *species, const int *nu, int parts, double water, double *row)
{
	const struct coefficients *c = &e->coefficients;
	const double *m = e->molality;
	double by_species[SPECIES_COUNT] = {0}, weight[SPECIES_COUNT] = {0}, by_ionic = 0;

	for (int s = 0; s < parts; s++) {
		int z = species_rows[species[s]].charge;

		weight[species[s]] = nu[s];
		by_ionic += nu[s] * z * z * c->debye_slope;
	}
	for (size_t k = 0; k < e->activity.count; k++) {
		enum species i = e->activity.pairs[k].i, j = e->activity.pairs[k].j;

		by_species[j] += weight[i] * c->pair[k];
		by_species[i] += weight[j] * c->pair[k];
		by_ionic += c->pair_slope[k] * (weight[i] * m[j] + weight[j] * m[i]);
	}
	for (size_t k = 0; k < e->unknown_count; k++) {
		enum species s = e->unknown[k];
		int z = species_rows[s].charge;

		row[k] += m[s] * (by_species[s] + by_ionic * z * z / 2 - water * MOLAR_MASS_WATER);
	}
}

/* Where an unknown stands among the columns. */
static void place_columns(const struct equilibrium *e, size_t *column)
{
	for (size_t k = 0; k < e->unknown_count; k++)
		column[e->unknown[k]] = k;
}

typedef double matrix[UNKNOWNS][UNKNOWNS + 1]; /* the last column used is the right-hand side */

static size_t add_reaction_rows(const struct equilibrium *e, const double *x, const size_t *column, matrix a)
{
	const struct coefficients *c = &e->coefficients;
	size_t n = e->unknown_count, row = 0;

	for (size_t r = 0; r < e->reaction_count; r++, row++) {
		const struct mass_action *reaction = &e->reactions[r];
		double sum = reaction->water * c->ln_water - reaction->ln_constant;

		for (int s = 0; s < reaction->parts; s++) {
			sum += reaction->nu[s] * (x[reaction->species[s]] + c->ln_gamma[reaction->species[s]]);
			a[row][column[reaction->species[s]]] += reaction->nu[s];
		}
		add_coefficient_slopes(e, reaction->species, reaction->nu, reaction->parts, reaction->water, a[row]);
		a[row][n] = -sum;
	}
	return row;
}

static size_t add_gas_rows(const struct equilibrium *e, const double *x, const size_t *column, size_t row, matrix a)
{
	size_t n = e->unknown_count;

	for (size_t gas = 0; gas < GAS_COUNT; gas++, row++) {
		enum species free_gas = equilibrium_molecular((enum gas)gas);
		double sum = 0;
		const int one = 1;

		if (e->by_pressure[gas]) {
			a[row][column[free_gas]] += 1;
			add_coefficient_slopes(e, &free_gas, &one, 1, 0, a[row]);
			a[row][n] = e->ln_molecular[gas] - x[free_gas] - e->coefficients.ln_gamma[free_gas];
			continue;
		}
		for (size_t k = 0; k < n; k++)
			if (equilibrium_carries(e->unknown[k], (enum gas)gas)) {
				a[row][k] = e->molality[e->unknown[k]] / e->gas[gas];
				sum += a[row][k];
			}
		a[row][n] = 1 - sum;
	}
	return row;
}

static size_t add_amine_rows(const struct equilibrium *e, size_t row, matrix a)
{
	size_t n = e->unknown_count;

	for (size_t p = 0; p < e->amine_count; p++, row++) {
		double sum = 0;

		for (size_t k = 0; k < n; k++)
			if (e->unknown[k] >= SPECIES_AM + p * PLACE && e->unknown[k] < SPECIES_AM + (p + 1) * PLACE) {
				a[row][k] = e->molality[e->unknown[k]] / e->amine[p];
				sum += a[row][k];
			}
		a[row][n] = 1 - sum;
	}
	return row;
}

static void add_charge_row(const struct equilibrium *e, size_t row, matrix a)
{
	const double *m = e->molality;
	size_t n = e->unknown_count;
	double scale = m[SPECIES_H] + m[SPECIES_AMH] + m[SPECIES_AMH_2];
	double sum = -(m[SPECIES_ANION_1] + 2 * m[SPECIES_ANION_2]) / scale;

	for (size_t k = 0; k < n; k++) {
		a[row][k] = species_rows[e->unknown[k]].charge * m[e->unknown[k]] / scale;
		sum += a[row][k];
	}
	a[row][n] = -sum;
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

static double assemble(struct equilibrium *e, const double *x, const size_t *column, double share, matrix a)
{
	size_t row, n = e->unknown_count;

	memset(a, 0, sizeof(matrix));
	activity_coefficients(&e->activity, e->molality, share, &e->coefficients);
	row = add_reaction_rows(e, x, column, a);
	row = add_gas_rows(e, x, column, row, a);
	row = add_amine_rows(e, row, a);
	add_charge_row(e, row, a);
	return largest(a, n);
}

/* Steps are held to a factor e^2 in any molality; `at most` many. The state is left at the last point. */
static bool newton(struct equilibrium *e, double share, int most)
{
	double x[SPECIES_COUNT] = {0};
	size_t column[SPECIES_COUNT] = {0}, n = e->unknown_count;
	matrix a;

	place_columns(e, column);
	for (size_t k = 0; k < n; k++)
		x[e->unknown[k]] = log(e->molality[e->unknown[k]]);
	for (int i = 0; i < most; i++) {
		double step, scale, residual = assemble(e, x, column, share, a);

		if (residual < NEWTON_RESIDUAL)
			return true;
		if (!isfinite(residual) || !eliminate(a, n))
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

	start(e, 0, DEGREE_ROUNDS);
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
	start(e, 1, DIRECT_ROUNDS);
	return newton(e, 1, DIRECT_STEPS) || solve_by_degrees(e);
}
