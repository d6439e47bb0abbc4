#include "compute/density.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"
#include "compute/contents.h"
#include "compute/solvent_salts.h"
#include "compute/solvent.h"

enum { MOST_INPUTS = 6, AMINES = 2, SOLUTION_INPUTS = 8 };

/* One amine of the solution. */
struct share {
	enum amine amine;
	struct density_terms terms;
	struct input strength;
	double w; /* kg/kg of the solution without gas */
};

/* The solution, and the arena its steps live in. */
struct steps {
	struct arena *arena;
	const char *tag; /* of the stream */
	struct share shares[AMINES];
	size_t count;
	double fraction[AMINE_COUNT]; /* the same by amine */
	struct input temperature, h2s, co2;
	double t; /* K */
	double loading[GAS_COUNT];
};

static const char *const strength_symbols[AMINES] = {"w", "w_2"}, *const density_symbols[AMINES] = {"rho_A", "rho_A2"},
			 *const mass_symbols[AMINES] = {"M", "M_2"};

static struct input constant(const struct steps *steps, const char *symbol, const char *what, enum kind kind, double si,
	const char *document)
{
	return scene_input_is(symbol, what, quantity_constant(steps->arena, kind, si, document));
}

static struct input step(const struct steps *steps, const char *symbol, enum kind kind, double si,
	enum formula_code formula, const struct input *inputs, size_t count)
{
	bool of_stream = formula != FORMULA_EXCESS_VOLUME; /* which depends on the strength alone */
	const char *what = arena_format(
		steps->arena, "%s%s%s", formulas[formula].name, of_stream ? ", " : "", of_stream ? steps->tag : "");
	return scene_input_is(
		symbol, what, quantity_computed(steps->arena, kind, si, 0, &formulas[formula], inputs, count));
}

static struct input molar_mass(const struct steps *steps, const char *symbol, enum amine amine)
{
	return constant(steps, symbol, arena_format(steps->arena, "molar mass of %s", amine_rows[amine].name),
		KIND_MOLAR_MASS, amine_rows[amine].molar_mass, "IUPAC 2021");
}

static struct input molar_mass_of(const struct steps *steps, const char *symbol, const char *what, double si)
{
	return constant(
		steps, symbol, arena_format(steps->arena, "molar mass of %s", what), KIND_MOLAR_MASS, si, "IUPAC 2021");
}

static struct input water_density(const struct steps *steps)
{
	double pressure = fmax(ATMOSPHERE, water_saturation_pressure(steps->t));
	struct input inputs[] = {steps->temperature};
	return step(steps, "rho_w", KIND_DENSITY, water_liquid_density(steps->t, pressure), FORMULA_WATER_DENSITY,
		inputs, 1);
}

static struct input amine_density(const struct steps *steps, size_t i)
{
	static const char *const symbols[] = {"r_0", "r_1", "r_2"};
	const struct density_terms *terms = &steps->shares[i].terms;
	const double *r = terms->r, kg_m3 = 1000, t = steps->t;
	struct input inputs[MOST_INPUTS] = {steps->temperature};
	size_t count = 1;
	for (size_t k = 0; k < COUNT(symbols); k++)
		inputs[count++] = constant(steps, symbols[k],
			arena_format(steps->arena, "coefficient of %s", amine_rows[terms->of].name), KIND_RATIO, r[k],
			"Hsu and Li 1997, from memory");
	return step(steps, density_symbols[i], KIND_DENSITY, kg_m3 * (r[0] + t * (r[1] + t * r[2])),
		FORMULA_AMINE_DENSITY, inputs, count);
}

static struct input excess_volume(const struct steps *steps, const struct density_terms *terms)
{
	return constant(steps, "V_E",
		arena_format(steps->arena, "excess volume for a mole, %s and water", amine_rows[terms->of].name),
		KIND_VOLUME, terms->excess,
		terms->of == AMINE_MEA ? "Weiland and others 1998" : "inferred from Haji-Sulaiman and others 1998");
}

static struct input volume_of_co2(const struct steps *steps, const struct density_terms *terms)
{
	return constant(
		steps, "V_C", "volume of a mole of CO2", KIND_VOLUME, terms->co2_volume, "Weiland and others 1998");
}

static struct input change_of_one(const struct steps *steps)
{
	const struct density_terms *terms = &steps->shares[0].terms;
	double w = steps->shares[0].w, m = amine_rows[terms->of].molar_mass, moles = w / m,
	       water = (1 - w) / MOLAR_MASS_WATER;
	double volume = terms->excess * moles * water / (moles + water);
	struct input inputs[MOST_INPUTS] = {excess_volume(steps, terms), steps->shares[0].strength,
		molar_mass(steps, "M", terms->of), molar_mass_of(steps, "M_w", "water", MOLAR_MASS_WATER)};
	if (!(terms->co2_volume > 0) || !(steps->loading[GAS_CO2] > 0))
		return step(steps, "e", KIND_VOLUME, volume, FORMULA_EXCESS_VOLUME, inputs, 4);
	inputs[4] = volume_of_co2(steps, terms);
	inputs[5] = steps->co2;
	return step(steps, "e", KIND_VOLUME, volume + terms->co2_volume * steps->loading[GAS_CO2] * moles,
		FORMULA_EXCESS_VOLUME_CO2, inputs, MOST_INPUTS);
}

static double water_of(const struct steps *steps)
{
	double water = 1;
	for (size_t i = 0; i < steps->count; i++)
		water -= steps->shares[i].w;
	return water;
}

/* Each amine with all the water, as its mole fractions in the whole have it. */
static struct input change_of_blend(const struct steps *steps)
{
	double water = water_of(steps) / MOLAR_MASS_WATER, moles = water, volume = 0;
	struct input inputs[4 * AMINES + 2];
	size_t count = 0;
	for (size_t i = 0; i < AMINES; i++)
		moles += steps->shares[i].w / amine_rows[steps->shares[i].terms.of].molar_mass;
	for (size_t i = 0; i < AMINES; i++) {
		const struct share *share = &steps->shares[i];
		double n = share->w / amine_rows[share->terms.of].molar_mass;
		volume +=
			share->terms.excess * n * water / moles + share->terms.co2_volume * steps->loading[GAS_CO2] * n;
		inputs[count++] = excess_volume(steps, &share->terms);
		inputs[count++] = share->strength;
		inputs[count++] = molar_mass(steps, mass_symbols[i], share->terms.of);
		if (share->terms.co2_volume > 0)
			inputs[count++] = volume_of_co2(steps, &share->terms);
	}
	inputs[count++] = molar_mass_of(steps, "M_w", "water", MOLAR_MASS_WATER);
	inputs[count++] = steps->co2;
	return step(steps, "e", KIND_VOLUME, volume, FORMULA_BLEND_EXCESS, inputs, count);
}

static struct input gas_by_mass(const struct steps *steps)
{
	double moles = salts_amine(steps->fraction);
	double gas = moles * (steps->loading[GAS_H2S] * MOLAR_MASS_H2S + steps->loading[GAS_CO2] * MOLAR_MASS_CO2);
	struct input inputs[MOST_INPUTS + 2] = {steps->shares[0].strength, steps->h2s, steps->co2,
		molar_mass_of(steps, "M_H2S", "H2S", MOLAR_MASS_H2S),
		molar_mass_of(steps, "M_CO2", "CO2", MOLAR_MASS_CO2), molar_mass(steps, "M", steps->shares[0].amine)};
	if (steps->count < AMINES)
		return step(steps, "g", KIND_SHARE, gas, FORMULA_GAS_BY_MASS, inputs, MOST_INPUTS);
	inputs[MOST_INPUTS] = steps->shares[1].strength;
	inputs[MOST_INPUTS + 1] = molar_mass(steps, mass_symbols[1], steps->shares[1].amine);
	return step(steps, "g", KIND_SHARE, gas, FORMULA_GAS_BY_MASS_BLEND, inputs, MOST_INPUTS + 2);
}

/* A loading that is a number, or so small a bound that it weighs less than what a solution of unknown loading is allowed. */
static bool serves(struct input *loading)
{
	const double small = 0.1; /* mol/mol: 3 to 4 % of the density */
	bool bound = is_bound(loading->quantity) && loading->quantity->bound == BOUND_BELOW &&
		loading->quantity->si <= small;
	if (bound)
		loading->effect = EFFECT_WITHIN;
	return bound || is_number(loading->quantity);
}

/*
 * How the two gases share the loading: as stated, or all as H2S where only the total is known (it adds less mass). False
 * where none is known.
 */
static bool loadings_of(const struct scene *scene, struct steps *steps)
{
	struct input total = scene_input(scene, "a_H2S", "loading");
	const struct quantity *none = quantity_assumed(steps->arena, KIND_LOADING, 0, 0, "not stated as a number");
	steps->h2s = scene_input(scene, "a_H2S", "h2s");
	steps->co2 = scene_input(scene, "a_CO2", "co2");
	bool h2s = serves(&steps->h2s), co2 = serves(&steps->co2);
	if (!h2s && !co2 && serves(&total))
		steps->h2s = total;
	else if (!h2s)
		steps->h2s.quantity = none;
	if (!co2)
		steps->co2.quantity = none;
	steps->loading[GAS_H2S] = steps->h2s.quantity->si;
	steps->loading[GAS_CO2] = steps->co2.quantity->si;
	return serves(&total) && !is_bound(steps->h2s.quantity) && !is_bound(steps->co2.quantity);
}

/* `bound`: the amine that salts bind, where the strength does not count it; else NULL. */
static struct input strength_by_mass(const struct steps *steps, size_t i, const struct input *bound)
{
	struct input inputs[] = {steps->shares[i].strength, bound ? *bound : steps->shares[i].strength};
	bool litre = inputs[0].quantity->kind == KIND_CONCENTRATION;
	if (!is_number(inputs[0].quantity) || !(litre || bound))
		return inputs[0];
	if (litre && !bound)
		inputs[0].symbol = "c";
	return step(steps, strength_symbols[i], KIND_MASS_FRACTION, steps->shares[i].w,
		bound ? FORMULA_TOTAL_STRENGTH : FORMULA_STRENGTH_BY_MASS, inputs, bound ? 2 : 1);
}

/* `open`: relative, what an unknown loading or second amine leaves open. */
static void put_density(const struct scene *scene, struct steps *steps, double open)
{
	struct property density = property_density(steps->fraction, steps->t, steps->loading);
	struct input inputs[SOLUTION_INPUTS] = {gas_by_mass(steps)};
	size_t count = 1;
	for (size_t i = 0; i < steps->count; i++)
		inputs[count++] = steps->shares[i].strength;
	inputs[count++] = water_density(steps);
	for (size_t i = 0; i < steps->count; i++)
		inputs[count++] = amine_density(steps, i);
	inputs[count++] = steps->count == 1 ? change_of_one(steps) : change_of_blend(steps);
	scene_compute(scene, "density", KIND_DENSITY, density.value, density.value * (density.uncertainty + open),
		steps->count == 1 ? FORMULA_SOLUTION_DENSITY : FORMULA_BLEND_DENSITY, inputs, count);
}

static const struct input *input_called(const struct stream_solution *solution, const char *symbol)
{
	for (size_t i = 0; i < solution->count; i++)
		if (strcmp(solution->inputs[i].symbol, symbol) == 0)
			return &solution->inputs[i];
	return NULL;
}

/* The amines of the solution, but a second whose share is not known; false: the first is none that is known by name. */
static bool amines_of(const struct scene *scene, const struct stream_solution *solution, struct steps *steps)
{
	enum amine amine[AMINES];
	size_t named = solvent_amine(scene, &amine[0]) ? 1 : 0;
	if (named > 0 && solvent_second_amine(scene, &amine[1]) && amine[1] != amine[0])
		named = AMINES;
	for (size_t i = 0; i < named; i++) {
		const struct input *strength = input_called(solution, strength_symbols[i]);
		double w = solution->state.mass_fraction[amine[i]];
		if (!strength || (i > 0 && !isfinite(w)))
			continue;
		steps->shares[steps->count++] = (struct share){
			.amine = amine[i], .terms = property_density_terms(amine[i]), .strength = *strength, .w = w};
		steps->fraction[amine[i]] = w;
	}
	return steps->count > 0;
}

void density_of_solution(const struct scene *scene)
{
	const double without_gas = 0.05; /* up to 6 % light */
	const double without_second =
		0.04; /* pure amines and water are within 10 %, and a second is the smaller part */
	struct steps steps = {.arena = table_arena(scene->table), .tag = scene->item->tag};
	if (scene_stated(scene, "density"))
		return;
	const struct stream_solution solution = solvent_of_stream(scene, scene->item, false);
	if (!amines_of(scene, &solution, &steps)) {
		scene_put_made(scene, "density",
			quantity_unknown(steps.arena, KIND_DENSITY,
				"the amine of the solvent is not stated, or not one whose density is known"));
		return;
	}
	steps.temperature = scene_input(scene, "T", "temperature");
	steps.t = steps.temperature.quantity->si;
	struct input known[] = {steps.shares[0].strength, steps.temperature};
	if (!inputs_known(known, 2) || !isfinite(steps.shares[0].w)) {
		scene_compute(scene, "density", KIND_DENSITY, (double)NAN, 0, FORMULA_SOLUTION_DENSITY, known, 2);
		return;
	}
	for (size_t i = 0; i < steps.count; i++)
		steps.shares[i].strength = strength_by_mass(
			&steps, i, solvent_strength_is_free(scene) ? input_called(&solution, "b") : NULL);
	enum amine second;
	bool open = solvent_second_amine(scene, &second) && steps.count < AMINES;
	put_density(scene, &steps, (loadings_of(scene, &steps) ? 0 : without_gas) + (open ? without_second : 0));
}
