#include "chemistry/equilibrium.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/reaction.h"
#include "chemistry/solution.h"

/* From a species of the first amine to the same of the second. */
enum { PLACE = SPECIES_AM_2 - SPECIES_AM };

/* How long each part may try; what a usual state needs is one round and three or four steps. */
enum { DIRECT_STEPS = 50, DEGREE_STEPS = 30, DIRECT_ROUNDS = 1, DEGREE_ROUNDS = 3 };

enum species equilibrium_molecular(enum gas gas)
{
	return gas == GAS_H2S ? SPECIES_H2S : SPECIES_CO2;
}

/* Setting up */

static void add_reaction(struct equilibrium *e, struct mass_action reaction)
{
	e->reactions[e->reaction_count++] = reaction;
}

static void fold(struct equilibrium *e, enum species away, struct mass_action reaction)
{
	e->folded[e->folded_count] = reaction;
	e->folded_away[e->folded_count++] = away;
}

/*
 * Each reaction is written with the first amine as its base, so that H+ is in one of them only, as the dissolved
 * gases do: these three are folded away. S(x) keeps the table below readable.
 */
#define S(x) SPECIES_##x
static void prepare_water_and_gases(struct equilibrium *e, double temperature, double ln_t)
{
	double base = e->ln_amine[0];

	e->ln_k[0] = reaction_ln(&reaction_of_water, temperature, ln_t);
	add_reaction(e, (struct mass_action){e->ln_k[0] - base, -1, {S(OH), S(AMH), S(AM)}, {1, 1, -1}, 3});
	fold(e, S(H), (struct mass_action){-base, 0, {S(H), S(AMH), S(AM)}, {-1, 1, -1}, 3});
	if (e->present[GAS_CO2]) {
		e->ln_k[1] = reaction_ln(&reaction_of_co2, temperature, ln_t);
		e->ln_k[2] = reaction_ln(&reaction_of_bicarbonate, temperature, ln_t);
		add_reaction(e,
			(struct mass_action){
				e->ln_k[2] - base, 0, {S(CO3), S(AMH), S(AM), S(HCO3)}, {1, 1, -1, -1}, 4});
		fold(e, S(CO2),
			(struct mass_action){
				e->ln_k[1] - base, -1, {S(CO2), S(AMH), S(AM), S(HCO3)}, {-1, 1, -1, 1}, 4});
	}
	if (e->present[GAS_H2S]) {
		e->ln_k[3] = reaction_ln(&reaction_of_h2s, temperature, ln_t);
		fold(e, S(H2S),
			(struct mass_action){e->ln_k[3] - base, 0, {S(H2S), S(AMH), S(AM), S(HS)}, {-1, 1, -1, 1}, 4});
	}
}

static void prepare_amines(struct equilibrium *e, const struct terms *terms, double temperature, double ln_t)
{
	for (size_t p = 0; p < e->amine_count; p++) {
		enum species am = (enum species)(SPECIES_AM + p * PLACE), carbamate = am + 2;
		enum amine amine = e->solvent.amines[p];
		struct reaction reaction;

		if (p > 0)
			add_reaction(e,
				(struct mass_action){e->ln_amine[p] - e->ln_amine[0], 0, {am, am + 1, S(AM), S(AMH)},
					{1, -1, -1, 1}, 4});
		e->forms_carbamate[p] = amine_rows[amine].carbamate && e->present[GAS_CO2];
		if (!e->forms_carbamate[p])
			continue;
		reaction = reaction_of_carbamate(amine, terms);
		e->ln_carbamate[p] = reaction_ln(&reaction, temperature, ln_t);
		add_reaction(e, (struct mass_action){e->ln_carbamate[p], 1, {carbamate, am, S(HCO3)}, {1, -1, -1}, 3});
	}
}

static void prepare_reactions(struct equilibrium *e, const struct terms *terms, double temperature)
{
	const double ln_t = log(temperature);

	for (size_t p = 0; p < e->amine_count; p++)
		e->ln_amine[p] = reaction_ln(&reaction_of_amine[e->solvent.amines[p]], temperature, ln_t);
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		e->ln_henry[gas] = reaction_ln(&reaction_henry[gas], temperature, ln_t);
	prepare_water_and_gases(e, temperature, ln_t);
	prepare_amines(e, terms, temperature, ln_t);
}

static void prepare_unknowns(struct equilibrium *e)
{
	e->unknown[e->unknown_count++] = S(OH);
	if (e->present[GAS_CO2]) {
		e->unknown[e->unknown_count++] = S(CO3);
		e->unknown[e->unknown_count++] = S(HCO3);
	}
	if (e->present[GAS_H2S])
		e->unknown[e->unknown_count++] = S(HS);
	for (size_t p = 0; p < e->amine_count; p++)
		for (size_t k = 0; k < (e->forms_carbamate[p] ? PLACE : PLACE - 1); k++)
			e->unknown[e->unknown_count++] = (enum species)(SPECIES_AM + p * PLACE + k);
}
#undef S

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
	for (size_t k = 0; k < 2; k++)
		e->solvent.anion[k] = input->anion[k] > 0;
	e->solvent.cation = input->cation > 0;
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
	e->reaction_count = e->folded_count = e->unknown_count = 0;
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

/* Brings the pair terms in by degrees, halving the degree where a step fails. */
static bool solve_by_degrees(struct equilibrium *e)
{
	double reached = 0, degree = DEGREE_FIRST;

	equilibrium_start(e, 0, DEGREE_ROUNDS);
	if (!equilibrium_newton(e, 0, DIRECT_STEPS))
		return false;
	while (reached < 1) {
		double before[SPECIES_COUNT];
		double next = fmin(1, reached + degree);

		memcpy(before, e->molality, sizeof before);
		if (equilibrium_newton(e, next, DEGREE_STEPS)) {
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
	return equilibrium_newton(e, 1, DIRECT_STEPS) || solve_by_degrees(e);
}
