#include "solution.h"

#include <math.h>
#include <string.h>

#include "activity.h"
#include "constants.h"
#include "range.h"
#include "reaction.h"
#include "water.h"

enum { PLACE = SPECIES_AM_2 - SPECIES_AM, UNKNOWNS = SPECIES_COUNT - 2, PARTS = 3 };

/* ln K = sum nu (x + ln gamma) + water ln a_w; a reaction has at most three dissolved species. */
struct balance_of_activities {
	double ln_constant;
	int water;
	enum species species[PARTS];
	int nu[PARTS];
	int parts;
};

/* One state while it is being solved. x is ln of a molality. */
struct problem_of_state {
	size_t amine_count;
	struct activity activity;
	struct balance_of_activities reactions[4 + 2 * 2];
	size_t reaction_count;
	double ln_k[4];			     /* water, CO2 first, CO2 second, H2S: for the start */
	double ln_amine[2], ln_carbamate[2]; /* of each place; no carbamate: -INFINITY */
	double amine[2];		     /* mol/kg water in all forms */
	double gas[GAS_COUNT];		     /* mol/kg water in all forms, where the loading is given */
	double ln_molecular[GAS_COUNT];	     /* ln of m gamma of the molecular gas, where the pressure is given */
	bool by_pressure[GAS_COUNT];
	enum species unknown[UNKNOWNS];
	size_t unknown_count;
	double molality[SPECIES_COUNT];
	struct coefficients coefficients;
	int iterations;
};

static const enum species molecular[GAS_COUNT] = {[GAS_H2S] = SPECIES_H2S, [GAS_CO2] = SPECIES_CO2};

/* How many of a gas's molecules a species carries. */
static bool carries(enum species species, enum gas gas)
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

/* Preparing a state */

static enum solution_fault check_amines(const struct solution_input *input, struct solution *out)
{
	double sum = 0;

	out->amine_count = 0;
	for (size_t i = 0; i < AMINE_COUNT; i++) {
		if (input->mass_fraction[i] == 0)
			continue;
		if (!(input->mass_fraction[i] > 0))
			return SOLUTION_STRENGTH_RANGE;
		if (out->amine_count == 2)
			return SOLUTION_NO_AMINE;
		out->amine[out->amine_count++] = (enum amine)i;
		sum += input->mass_fraction[i];
	}
	if (out->amine_count == 0 ||
		(out->amine_count == 2 && out->amine[0] != AMINE_MDEA && out->amine[1] != AMINE_MDEA))
		return SOLUTION_NO_AMINE;
	return sum >= DOMAIN_LOWEST_STRENGTH && sum <= DOMAIN_HIGHEST_STRENGTH ? SOLUTION_FINE
									       : SOLUTION_STRENGTH_RANGE;
}

static enum solution_fault check_input(
	const struct solution_input *input, const double *partial_pressure, struct solution *out)
{
	enum solution_fault fault = check_amines(input, out);
	double loading = 0, charge = input->anion[0] + 2 * input->anion[1];

	if (fault != SOLUTION_FINE)
		return fault;
	if (!(input->temperature >= DOMAIN_LOWEST_TEMPERATURE && input->temperature <= DOMAIN_HIGHEST_TEMPERATURE))
		return SOLUTION_TEMPERATURE_RANGE;
	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		if (!isnan(partial_pressure[gas])) {
			if (!(partial_pressure[gas] >= 0 && partial_pressure[gas] <= DOMAIN_HIGHEST_PRESSURE))
				return SOLUTION_PRESSURE_RANGE;
			continue;
		}
		if (!(input->loading[gas] >= 0))
			return SOLUTION_LOADING_RANGE;
		loading += input->loading[gas];
	}
	if (!(loading <= DOMAIN_HIGHEST_LOADING))
		return SOLUTION_LOADING_RANGE;
	if (!(input->anion[0] >= 0 && input->anion[1] >= 0 && charge <= DOMAIN_HIGHEST_ANION))
		return SOLUTION_ANION_RANGE;
	return SOLUTION_FINE;
}

static void add_reaction(struct problem_of_state *state, struct balance_of_activities reaction)
{
	state->reactions[state->reaction_count++] = reaction;
}

/* S(x) keeps the table below readable. */
#define S(x) SPECIES_##x
static void prepare_reactions(
	struct problem_of_state *state, const struct terms *terms, const enum amine *amines, double temperature)
{
	state->ln_k[0] = reaction_ln_water(temperature);
	state->ln_k[1] = reaction_ln_co2_first(temperature);
	state->ln_k[2] = reaction_ln_co2_second(temperature);
	state->ln_k[3] = reaction_ln_h2s(temperature);
	add_reaction(state, (struct balance_of_activities){state->ln_k[0], -1, {S(H), S(OH)}, {1, 1}, 2});
	add_reaction(state, (struct balance_of_activities){state->ln_k[1], -1, {S(H), S(HCO3), S(CO2)}, {1, 1, -1}, 3});
	add_reaction(state, (struct balance_of_activities){state->ln_k[2], 0, {S(H), S(CO3), S(HCO3)}, {1, 1, -1}, 3});
	add_reaction(state, (struct balance_of_activities){state->ln_k[3], 0, {S(H), S(HS), S(H2S)}, {1, 1, -1}, 3});
	for (size_t p = 0; p < state->amine_count; p++) {
		enum species am = (enum species)(SPECIES_AM + p * PLACE), protonated = am + 1, carbamate = am + 2;

		state->ln_amine[p] = reaction_ln_amine(amines[p], temperature);
		add_reaction(state,
			(struct balance_of_activities){state->ln_amine[p], 0, {S(H), am, protonated}, {1, 1, -1}, 3});
		state->ln_carbamate[p] = -INFINITY;
		if (!amine_rows[amines[p]].carbamate)
			continue;
		state->ln_carbamate[p] = reaction_ln_carbamate(amines[p], terms, temperature);
		add_reaction(state,
			(struct balance_of_activities){
				state->ln_carbamate[p], 1, {carbamate, am, S(HCO3)}, {1, -1, -1}, 3});
	}
}
#undef S

static void prepare_unknowns(struct problem_of_state *state)
{
	for (size_t i = 0; i < SPECIES_AM; i++)
		state->unknown[state->unknown_count++] = (enum species)i;
	for (size_t p = 0; p < state->amine_count; p++)
		for (size_t k = 0; k < (state->ln_carbamate[p] > -(double) INFINITY ? PLACE : PLACE - 1); k++)
			state->unknown[state->unknown_count++] = (enum species)(SPECIES_AM + p * PLACE + k);
}

static void prepare(struct problem_of_state *state, const struct terms *terms, const struct solution_input *input,
	const double *partial_pressure, struct solution *out)
{
	double water = 1, total = 0;

	memset(state, 0, sizeof *state);
	state->amine_count = out->amine_count;
	for (size_t p = 0; p < out->amine_count; p++)
		water -= input->mass_fraction[out->amine[p]];
	for (size_t p = 0; p < out->amine_count; p++) {
		state->amine[p] = input->mass_fraction[out->amine[p]] / amine_rows[out->amine[p]].molar_mass / water;
		total += state->amine[p];
	}
	out->amine_molality = total;
	state->molality[SPECIES_ANION_1] = input->anion[0] * total;
	state->molality[SPECIES_ANION_2] = input->anion[1] * total;
	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		state->by_pressure[gas] = partial_pressure[gas] > 0;
		if (state->by_pressure[gas])
			state->ln_molecular[gas] =
				log(partial_pressure[gas]) - reaction_ln_henry((enum gas)gas, input->temperature);
		else
			state->gas[gas] =
				total * fmax(isnan(partial_pressure[gas]) ? input->loading[gas] : 0, ABSENT_LOADING);
	}
	state->activity = activity_at(terms, out->amine, out->amine_count, input->temperature);
	prepare_reactions(state, terms, out->amine, input->temperature);
	prepare_unknowns(state);
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
static double compose(struct problem_of_state *state, double y)
{
	const double *g = state->coefficients.ln_gamma;
	double *m = state->molality, positive, negative, ln_water = state->coefficients.ln_water;
	double co2 = exp(y - state->ln_k[1] - ln_water + g[SPECIES_HCO3] - g[SPECIES_CO2]);
	double co3 = exp(state->ln_k[2] - y + g[SPECIES_HCO3] - g[SPECIES_CO3]);
	double h2s = exp(y - state->ln_k[3] + g[SPECIES_HS] - g[SPECIES_H2S]);
	double protonated[2] = {0, 0}, carbamate[2] = {0, 0}, bound = 0, bicarbonate;

	for (size_t p = 0; p < state->amine_count; p++) {
		size_t am = SPECIES_AM + p * PLACE;

		protonated[p] = exp(y - state->ln_amine[p] + g[am] - g[am + 1]);
		if (state->ln_carbamate[p] > -(double) INFINITY)
			carbamate[p] = exp(state->ln_carbamate[p] - ln_water + g[am] + g[SPECIES_HCO3] - g[am + 2]);
	}
	bicarbonate = exp(state->ln_molecular[GAS_CO2] - g[SPECIES_CO2]) / co2;
	for (size_t p = 0; p < state->amine_count; p++) {
		size_t am = SPECIES_AM + p * PLACE;

		if (state->by_pressure[GAS_CO2] || carbamate[p] == 0)
			m[am] = state->amine[p] / (1 + protonated[p] + carbamate[p] * bicarbonate);
		else
			m[am] = free_amine(
				state->amine[p], protonated[p], state->gas[GAS_CO2], 1 + co2 + co3, carbamate[p]);
		bound += carbamate[p] * m[am];
	}
	if (!state->by_pressure[GAS_CO2])
		bicarbonate = state->gas[GAS_CO2] / (1 + co2 + co3 + bound);
	for (size_t p = 0; p < state->amine_count; p++) {
		size_t am = SPECIES_AM + p * PLACE;

		m[am + 1] = m[am] * protonated[p];
		m[am + 2] = m[am] * carbamate[p] * bicarbonate;
	}
	m[SPECIES_HCO3] = bicarbonate;
	m[SPECIES_CO2] = bicarbonate * co2;
	m[SPECIES_CO3] = bicarbonate * co3;
	m[SPECIES_HS] = state->by_pressure[GAS_H2S] ? exp(state->ln_molecular[GAS_H2S] - g[SPECIES_H2S]) / h2s
						    : state->gas[GAS_H2S] / (1 + h2s);
	m[SPECIES_H2S] = m[SPECIES_HS] * h2s;
	m[SPECIES_H] = exp(y - g[SPECIES_H]);
	m[SPECIES_OH] = exp(state->ln_k[0] + ln_water - y - g[SPECIES_OH]);
	positive = m[SPECIES_H] + m[SPECIES_AMH] + m[SPECIES_AMH_2];
	negative = m[SPECIES_OH] + m[SPECIES_HCO3] + 2 * m[SPECIES_CO3] + m[SPECIES_HS] + m[SPECIES_AMCOO] +
		m[SPECIES_AMCOO_2] + m[SPECIES_ANION_1] + 2 * m[SPECIES_ANION_2];
	return log(positive / negative);
}

/* Regula falsi with the Illinois halving; the function is nearly a straight line in y at either end. */
static void balance_charge(struct problem_of_state *state, double tolerance)
{
	double low = -80, high = 10; /* ln a_H: beyond any solution's on either side */
	double at_low = compose(state, low), at_high = compose(state, high);
	int side = 0;

	for (int i = 0; i < 60; i++) {
		double y = (low * at_high - high * at_low) / (at_high - at_low);
		double at = compose(state, y);

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
static void start(struct problem_of_state *state, double share, int rounds)
{
	double guess[SPECIES_COUNT] = {0};
	double bound = state->molality[SPECIES_ANION_1] + 2 * state->molality[SPECIES_ANION_2];
	double amine = state->amine[0] + state->amine[1];

	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		bound += state->by_pressure[gas] ? amine / 2 : state->gas[gas];
	guess[SPECIES_AMH] = guess[SPECIES_HS] = fmin(bound, amine) + 1e-6;
	activity_coefficients(&state->activity, guess, 0, &state->coefficients);
	for (int i = 0; i < rounds; i++) {
		struct coefficients fresh;

		balance_charge(state, 1e-3);
		activity_coefficients(&state->activity, state->molality, share, &fresh);
		for (size_t k = 0; k < SPECIES_COUNT; k++)
			state->coefficients.ln_gamma[k] = (state->coefficients.ln_gamma[k] + fresh.ln_gamma[k]) / 2;
		state->coefficients.ln_water = fresh.ln_water;
	}
	balance_charge(state, 1e-3);
}

/* Newton on the logarithms of all molalities */

/* d(ln gamma sum of a row)/dx: sum over its species of nu d ln gamma/d ln m_k. */
static void add_coefficient_slopes(const struct problem_of_state *state, const enum species *species, const int *nu,
	int parts, double water, double *row)
{
	const struct coefficients *c = &state->coefficients;
	const double *m = state->molality;
	double by_species[SPECIES_COUNT] = {0}, weight[SPECIES_COUNT] = {0}, by_ionic = 0;

	for (int s = 0; s < parts; s++) {
		int z = species_rows[species[s]].charge;

		weight[species[s]] = nu[s];
		by_ionic += nu[s] * z * z * c->debye_slope;
	}
	for (size_t k = 0; k < state->activity.count; k++) {
		enum species i = state->activity.pairs[k].i, j = state->activity.pairs[k].j;

		by_species[j] += weight[i] * c->pair[k];
		by_species[i] += weight[j] * c->pair[k];
		by_ionic += c->pair_slope[k] * (weight[i] * m[j] + weight[j] * m[i]);
	}
	for (size_t k = 0; k < state->unknown_count; k++) {
		enum species s = state->unknown[k];
		int z = species_rows[s].charge;

		row[k] += m[s] * (by_species[s] + by_ionic * z * z / 2 - water * MOLAR_MASS_WATER);
	}
}

/* Where an unknown stands among the columns. */
static void place_columns(const struct problem_of_state *state, size_t *column)
{
	for (size_t k = 0; k < state->unknown_count; k++)
		column[state->unknown[k]] = k;
}

typedef double matrix[UNKNOWNS][UNKNOWNS + 1]; /* the last column used is the right-hand side */

static size_t add_reaction_rows(const struct problem_of_state *state, const double *x, const size_t *column, matrix a)
{
	const struct coefficients *c = &state->coefficients;
	size_t n = state->unknown_count, row = 0;

	for (size_t r = 0; r < state->reaction_count; r++, row++) {
		const struct balance_of_activities *reaction = &state->reactions[r];
		double sum = reaction->water * c->ln_water - reaction->ln_constant;

		for (int s = 0; s < reaction->parts; s++) {
			sum += reaction->nu[s] * (x[reaction->species[s]] + c->ln_gamma[reaction->species[s]]);
			a[row][column[reaction->species[s]]] += reaction->nu[s];
		}
		add_coefficient_slopes(
			state, reaction->species, reaction->nu, reaction->parts, reaction->water, a[row]);
		a[row][n] = -sum;
	}
	return row;
}

static size_t add_gas_rows(
	const struct problem_of_state *state, const double *x, const size_t *column, size_t row, matrix a)
{
	size_t n = state->unknown_count;

	for (size_t gas = 0; gas < GAS_COUNT; gas++, row++) {
		enum species free_gas = molecular[gas];
		double sum = 0;
		const int one = 1;

		if (state->by_pressure[gas]) {
			a[row][column[free_gas]] += 1;
			add_coefficient_slopes(state, &free_gas, &one, 1, 0, a[row]);
			a[row][n] = state->ln_molecular[gas] - x[free_gas] - state->coefficients.ln_gamma[free_gas];
			continue;
		}
		for (size_t k = 0; k < n; k++)
			if (carries(state->unknown[k], (enum gas)gas)) {
				a[row][k] = state->molality[state->unknown[k]] / state->gas[gas];
				sum += a[row][k];
			}
		a[row][n] = 1 - sum;
	}
	return row;
}

static size_t add_amine_rows(const struct problem_of_state *state, size_t row, matrix a)
{
	size_t n = state->unknown_count;

	for (size_t p = 0; p < state->amine_count; p++, row++) {
		double sum = 0;

		for (size_t k = 0; k < n; k++)
			if (state->unknown[k] >= SPECIES_AM + p * PLACE &&
				state->unknown[k] < SPECIES_AM + (p + 1) * PLACE) {
				a[row][k] = state->molality[state->unknown[k]] / state->amine[p];
				sum += a[row][k];
			}
		a[row][n] = 1 - sum;
	}
	return row;
}

static void add_charge_row(const struct problem_of_state *state, size_t row, matrix a)
{
	const double *m = state->molality;
	size_t n = state->unknown_count;
	double scale = m[SPECIES_H] + m[SPECIES_AMH] + m[SPECIES_AMH_2];
	double sum = -(m[SPECIES_ANION_1] + 2 * m[SPECIES_ANION_2]) / scale;

	for (size_t k = 0; k < n; k++) {
		a[row][k] = species_rows[state->unknown[k]].charge * m[state->unknown[k]] / scale;
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
		if (!(fabs(a[best][k]) > 1e-300))
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
			return INFINITY;
		most = fmax(most, fabs(a[k][n]));
	}
	return most;
}

static double assemble(struct problem_of_state *state, const double *x, const size_t *column, double share, matrix a)
{
	size_t row, n = state->unknown_count;

	for (size_t i = 0; i < n; i++)
		memset(a[i], 0, (n + 1) * sizeof a[i][0]);
	activity_coefficients(&state->activity, state->molality, share, &state->coefficients);
	row = add_reaction_rows(state, x, column, a);
	row = add_gas_rows(state, x, column, row, a);
	row = add_amine_rows(state, row, a);
	add_charge_row(state, row, a);
	return largest(a, n);
}

/* Steps are held to a factor e^2 in any molality; `at most` many. The state is left at the last point. */
static bool newton(struct problem_of_state *state, double share, int most)
{
	double x[SPECIES_COUNT];
	size_t column[SPECIES_COUNT], n = state->unknown_count;
	matrix a;

	place_columns(state, column);
	for (size_t k = 0; k < n; k++)
		x[state->unknown[k]] = log(state->molality[state->unknown[k]]);
	for (int i = 0; i < most; i++) {
		double step, scale, residual = assemble(state, x, column, share, a);

		if (residual < 1e-11)
			return true;
		if (!isfinite(residual) || !eliminate(a, n))
			return false;
		state->iterations++;
		step = largest(a, n);
		scale = step > 2 ? 2 / step : 1;
		for (size_t k = 0; k < n; k++) {
			enum species s = state->unknown[k];

			x[s] += scale * a[k][n];
			state->molality[s] = exp(x[s]);
		}
	}
	return false;
}

/* Brings the pair terms in by degrees, halving the degree where a step fails. */
static bool solve_by_degrees(struct problem_of_state *state)
{
	double reached = 0, degree = 0.25;

	start(state, 0, 3);
	if (!newton(state, 0, 60))
		return false;
	while (reached < 1) {
		double before[SPECIES_COUNT];
		double next = fmin(1, reached + degree);

		memcpy(before, state->molality, sizeof before);
		if (newton(state, next, 30)) {
			reached = next;
			continue;
		}
		memcpy(state->molality, before, sizeof before);
		degree /= 2;
		if (degree < 1e-3)
			return false;
	}
	return true;
}

/* Reporting */

static void fail(struct solution *out, enum solution_fault fault)
{
	struct solution_input input = out->input;

	*out = (struct solution){.fault = fault,
		.input = input,
		.amine_count = out->amine_count,
		.amine = {out->amine[0], out->amine[1]}};
	out->amine_molality = out->ln_water_activity = out->ionic_strength = out->ph = out->water_pressure = NAN;
	out->uncertainty_ph = NAN;
	for (size_t i = 0; i < SPECIES_COUNT; i++)
		out->molality[i] = out->ln_gamma[i] = NAN;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		out->partial_pressure[gas] = out->loading[gas] = out->uncertainty[gas] = NAN;
}

static void report_gas(const struct problem_of_state *state, enum gas gas, bool absent, struct solution *out)
{
	double total = 0;

	for (size_t i = 0; i < SPECIES_COUNT; i++)
		if (carries((enum species)i, gas)) {
			if (absent)
				out->molality[i] = 0;
			total += out->molality[i];
		}
	out->loading[gas] = total / out->amine_molality;
	out->partial_pressure[gas] = absent ? 0
					    : exp(log(state->molality[molecular[gas]]) + out->ln_gamma[molecular[gas]] +
						      reaction_ln_henry(gas, out->input.temperature));
}

static void report(const struct problem_of_state *state, const double *partial_pressure, struct solution *out)
{
	memcpy(out->molality, state->molality, sizeof out->molality);
	memcpy(out->ln_gamma, state->coefficients.ln_gamma, sizeof out->ln_gamma);
	out->ln_water_activity = state->coefficients.ln_water;
	out->ionic_strength = state->coefficients.ionic_strength;
	out->ph = -(log(state->molality[SPECIES_H]) + out->ln_gamma[SPECIES_H]) / LN10;
	out->water_pressure = exp(out->ln_water_activity) * water_saturation_pressure(out->input.temperature);
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		report_gas(state, (enum gas)gas,
			isnan(partial_pressure[gas]) ? out->input.loading[gas] == 0 : partial_pressure[gas] == 0, out);
	out->iterations = state->iterations;
	range_judge(out);
}

bool solution_absorb(const struct terms *terms, const struct solution_input *input,
	const double partial_pressure[GAS_COUNT], struct solution *out)
{
	struct problem_of_state state;
	enum solution_fault fault;

	*out = (struct solution){.input = *input};
	fault = check_input(input, partial_pressure, out);
	if (fault != SOLUTION_FINE) {
		fail(out, fault);
		return false;
	}
	prepare(&state, terms, input, partial_pressure, out);
	start(&state, 1, 2);
	if (!newton(&state, 1, 40) && !solve_by_degrees(&state)) {
		fail(out, SOLUTION_NOT_CONVERGED);
		return false;
	}
	report(&state, partial_pressure, out);
	return true;
}

bool solution_solve(const struct terms *terms, const struct solution_input *input, struct solution *out)
{
	static const double by_loading[GAS_COUNT] = {NAN, NAN};

	return solution_absorb(terms, input, by_loading, out);
}

double solution_pressure(const struct solution *solution)
{
	return solution->partial_pressure[GAS_H2S] + solution->partial_pressure[GAS_CO2] + solution->water_pressure;
}

const char *solution_fault_words(enum solution_fault fault)
{
	static const char *const words[SOLUTION_FAULT_COUNT] = {
		[SOLUTION_FINE] = "",
		[SOLUTION_NO_AMINE] = "the solvent must be one of MEA, DEA, MDEA, DGA, DIPA, or MDEA with one other",
		[SOLUTION_STRENGTH_RANGE] = "the strength is outside 0.1-75 wt%",
		[SOLUTION_TEMPERATURE_RANGE] = "the temperature is outside 0-180 degC",
		[SOLUTION_LOADING_RANGE] = "a loading is negative, or their sum is above 1.5 mol/mol",
		[SOLUTION_ANION_RANGE] = "the bound amine is negative or above 0.9 mol/mol",
		[SOLUTION_PRESSURE_RANGE] = "a partial pressure is negative or above 10 MPa",
		[SOLUTION_NOT_CONVERGED] = "the equilibrium did not converge",
	};

	return words[fault];
}
