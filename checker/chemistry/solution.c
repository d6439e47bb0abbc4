#include "chemistry/solution.h"

#include <math.h>
#include <string.h>

#include "base/memo.h"
#include "chemistry/constants.h"
#include "chemistry/equilibrium.h"
#include "chemistry/range.h"
#include "chemistry/water.h"

/* Judging the input */

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
	double loading = 0, net = input->anion[0] + 2 * input->anion[1] - input->cation;

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
	if (!(input->anion[0] >= 0 && input->anion[1] >= 0 && net <= DOMAIN_HIGHEST_ANION && input->cation >= 0 &&
		    input->cation <= DOMAIN_HIGHEST_ANION))
		return SOLUTION_ANION_RANGE;
	return SOLUTION_FINE;
}

/* Reporting */

static void fail(struct solution *out, enum solution_fault fault)
{
	struct solution_input input = out->input;

	*out = (struct solution){.fault = fault,
		.input = input,
		.amine_count = out->amine_count,
		.amine = {out->amine[0], out->amine[1]}};
	out->amine_molality = out->ln_water_activity = out->ionic_strength = out->ph = out->water_pressure =
		(double)NAN;
	for (size_t i = 0; i < SPECIES_COUNT; i++)
		out->molality[i] = out->ln_gamma[i] = (double)NAN;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		out->partial_pressure[gas] = out->loading[gas] = (double)NAN;
}

static void report_gas(const struct equilibrium *e, enum gas gas, struct solution *out)
{
	enum species molecular = equilibrium_molecular(gas);
	double total = 0;

	for (size_t i = 0; i < SPECIES_COUNT; i++)
		if (equilibrium_carries((enum species)i, gas))
			total += out->molality[i];
	out->loading[gas] = total / out->amine_molality;
	out->partial_pressure[gas] = e->molality[molecular] * exp(out->ln_gamma[molecular] + e->ln_henry[gas]);
	if (out->input.pressure_factor[gas] > 0)
		out->partial_pressure[gas] *= out->input.pressure_factor[gas];
}

static void report(const struct equilibrium *e, struct solution *out)
{
	out->amine_molality = e->amine[0] + e->amine[1];
	memcpy(out->molality, e->molality, sizeof out->molality);
	memcpy(out->ln_gamma, e->coefficients.ln_gamma, sizeof out->ln_gamma);
	out->ln_water_activity = e->coefficients.ln_water;
	out->ionic_strength = e->coefficients.ionic_strength;
	out->ph = -(log(e->molality[SPECIES_H]) + out->ln_gamma[SPECIES_H]) / LN10;
	out->water_pressure = exp(out->ln_water_activity) * water_saturation_pressure(out->input.temperature);
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		report_gas(e, (enum gas)gas, out);
	out->iterations = e->iterations;
	range_judge(out);
}

/* Solving */

static const double by_loading[GAS_COUNT] = {(double)NAN, (double)NAN};

/* Of another solved state, which has to hold the same species. */
static void place_at(struct equilibrium *e, const double *molality)
{
	for (size_t k = 0; k < e->unknown_count; k++)
		e->molality[e->unknown[k]] = molality[e->unknown[k]];
	for (size_t f = 0; f < e->folded_count; f++)
		e->molality[e->folded_away[f]] = molality[e->folded_away[f]];
}

static bool solve_from(struct equilibrium *e, const double *molality)
{
	enum { STEPS = 12 }; /* twice what a step of a column takes */

	place_at(e, molality);
	return equilibrium_newton(e, 1, STEPS);
}

/* Sets up the equations; false: out of the domain, and `out` says so. */
static bool open_state(const struct terms *terms, const struct solution_input *input,
	const double partial_pressure[GAS_COUNT], struct equilibrium *e, struct solution *out)
{
	*out = (struct solution){.input = *input};
	enum solution_fault fault = check_input(input, partial_pressure, out);
	if (fault != SOLUTION_FINE) {
		fail(out, fault);
		return false;
	}
	equilibrium_prepare(e, terms, input, partial_pressure, out->amine, out->amine_count);
	return true;
}

/* `near`: a state to start from, or NULL. */
static void solve(const struct terms *terms, const struct solution_input *input,
	const double partial_pressure[GAS_COUNT], const struct solution *near, struct solution *out)
{
	struct equilibrium e;

	if (!open_state(terms, input, partial_pressure, &e, out))
		return;
	if ((near && solve_from(&e, near->molality)) || equilibrium_solve(&e))
		report(&e, out);
	else
		fail(out, SOLUTION_NOT_CONVERGED);
}

/* The input and both partial pressures: all that an answer by the program's own terms follows from. */
struct state {
	struct solution_input input;
	double partial_pressure[GAS_COUNT];
};

bool solution_absorb(const struct terms *terms, const struct solution_input *input,
	const double partial_pressure[GAS_COUNT], struct solution *out)
{
	static struct memo solved = {
		.numbers = sizeof(struct state) / sizeof(double), .value = sizeof(struct solution), .places = 4096};
	double key[sizeof(struct state) / sizeof(double)];

	if (terms != &terms_own) { /* terms that are being fitted change while they are used */
		solve(terms, input, partial_pressure, NULL, out);
		return out->fault == SOLUTION_FINE;
	}
	memcpy(key, input, sizeof *input);
	memcpy(key + sizeof *input / sizeof(double), partial_pressure, GAS_COUNT * sizeof *partial_pressure);
	const struct solution *known = memo_find(&solved, key);
	if (known) {
		*out = *known;
	} else {
		solve(terms, input, partial_pressure, NULL, out);
		memo_keep(&solved, key, out);
	}
	return out->fault == SOLUTION_FINE;
}

bool solution_solve(const struct terms *terms, const struct solution_input *input, struct solution *out)
{
	return solution_absorb(terms, input, by_loading, out);
}

bool solution_near(const struct terms *terms, const struct solution_input *input, const struct solution *near,
	struct solution *out)
{
	solve(terms, input, by_loading, near, out);
	return out->fault == SOLUTION_FINE;
}

bool solution_inverse(const struct terms *terms, const struct solution *solved, struct equilibrium_inverse *inverse)
{
	struct equilibrium e;
	struct solution out;

	if (solved->fault != SOLUTION_FINE || !open_state(terms, &solved->input, by_loading, &e, &out))
		return false;
	place_at(&e, solved->molality);
	activity_coefficients(&e.activity, e.molality, 1, &e.coefficients);
	return equilibrium_invert(&e, inverse);
}

bool solution_chord(const struct terms *terms, const struct solution_input *input,
	const struct equilibrium_inverse *inverse, const double x[SPECIES_COUNT], struct solution *out)
{
	struct equilibrium e;

	if (!open_state(terms, input, by_loading, &e, out) || !equilibrium_chord(&e, inverse, x))
		return false;
	report(&e, out);
	return true;
}

bool solution_rough(const struct terms *terms, const struct solution_input *input, struct solution *out)
{
	struct equilibrium e;

	if (!open_state(terms, input, by_loading, &e, out))
		return false;
	equilibrium_start(&e, 1, 1);
	report(&e, out);
	return true;
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
		[SOLUTION_ANION_RANGE] = "salts are negative, or sodium or the anions net of it are above 0.9 eq/mol",
		[SOLUTION_PRESSURE_RANGE] = "a partial pressure is negative or above 10 MPa",
		[SOLUTION_BOILS_DRY] = "it boils dry: less than 25 wt% of water stays liquid",
		[SOLUTION_NOT_CONVERGED] = "the equilibrium did not converge",
	};

	return words[fault];
}
