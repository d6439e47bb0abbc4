#include "compute/density.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"
#include "compute/contents.h"
#include "compute/solvent.h"

enum { MOST_INPUTS = 6 };

/* One solution of one amine, and the arena its steps live in. */
struct steps {
	struct arena *arena;
	const char *tag; /* of the stream */
	enum amine amine;
	struct density_terms terms;
	struct input strength, temperature, h2s, co2;
	double w, t; /* kg/kg of the solution without gas; K */
	double loading[GAS_COUNT];
};

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

static struct input amine_density(const struct steps *steps)
{
	static const char *const symbols[] = {"r_0", "r_1", "r_2"};
	const double *r = steps->terms.r, kg_m3 = 1000, t = steps->t;
	struct input inputs[MOST_INPUTS] = {steps->temperature};
	size_t count = 1;
	for (size_t i = 0; i < COUNT(symbols); i++)
		inputs[count++] = constant(steps, symbols[i],
			arena_format(steps->arena, "coefficient of %s", amine_rows[steps->terms.of].name), KIND_RATIO,
			r[i], "Hsu and Li 1997, from memory");
	return step(steps, "rho_A", KIND_DENSITY, kg_m3 * (r[0] + t * (r[1] + t * r[2])), FORMULA_AMINE_DENSITY, inputs,
		count);
}

static struct input change_on_mixing(const struct steps *steps)
{
	const struct density_terms *terms = &steps->terms;
	double m = amine_rows[terms->of].molar_mass, moles = steps->w / m, water = (1 - steps->w) / MOLAR_MASS_WATER;
	double volume = terms->excess * moles * water / (moles + water);
	struct input inputs[MOST_INPUTS] = {
		constant(steps, "V_E",
			arena_format(
				steps->arena, "excess volume for a mole, %s and water", amine_rows[terms->of].name),
			KIND_VOLUME, terms->excess,
			terms->of == AMINE_MEA ? "Weiland and others 1998"
					       : "inferred from Haji-Sulaiman and others 1998"),
		steps->strength,
		molar_mass(steps, "M", terms->of),
		molar_mass_of(steps, "M_w", "water", MOLAR_MASS_WATER),
	};
	if (!(terms->co2_volume > 0) || !(steps->loading[GAS_CO2] > 0))
		return step(steps, "e", KIND_VOLUME, volume, FORMULA_EXCESS_VOLUME, inputs, 4);
	inputs[4] = constant(
		steps, "V_C", "volume of a mole of CO2", KIND_VOLUME, terms->co2_volume, "Weiland and others 1998");
	inputs[5] = steps->co2;
	return step(steps, "e", KIND_VOLUME, volume + terms->co2_volume * steps->loading[GAS_CO2] * moles,
		FORMULA_EXCESS_VOLUME_CO2, inputs, MOST_INPUTS);
}

static struct input gas_by_mass(const struct steps *steps)
{
	double m = amine_rows[steps->amine].molar_mass;
	double gas =
		steps->w * (steps->loading[GAS_H2S] * MOLAR_MASS_H2S + steps->loading[GAS_CO2] * MOLAR_MASS_CO2) / m;
	struct input inputs[] = {steps->strength, steps->h2s, steps->co2,
		molar_mass_of(steps, "M_H2S", "H2S", MOLAR_MASS_H2S),
		molar_mass_of(steps, "M_CO2", "CO2", MOLAR_MASS_CO2), molar_mass(steps, "M", steps->amine)};
	return step(steps, "g", KIND_SHARE, gas, FORMULA_GAS_BY_MASS, inputs, MOST_INPUTS);
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

static struct input strength_by_mass(const struct steps *steps)
{
	const struct quantity *stated = steps->strength.quantity;
	if (!is_number(stated) || stated->kind != KIND_CONCENTRATION)
		return steps->strength;
	struct input of = steps->strength;
	of.symbol = "c";
	return step(steps, "w", KIND_MASS_FRACTION, steps->w, FORMULA_STRENGTH_BY_MASS, &of, 1);
}

static void put_density(const struct scene *scene, struct steps *steps, bool loaded)
{
	enum { INPUTS = 5 };
	const double without_gas = 0.05; /* up to 6 % light */
	double fraction[AMINE_COUNT] = {0};
	fraction[steps->amine] = steps->w;
	struct property density = property_density(fraction, steps->t, steps->loading);
	double error = density.uncertainty + (loaded ? 0 : without_gas);
	struct input inputs[INPUTS] = {gas_by_mass(steps), steps->strength, water_density(steps), amine_density(steps),
		change_on_mixing(steps)};
	scene_compute(scene, "density", KIND_DENSITY, density.value, density.value * error, FORMULA_SOLUTION_DENSITY,
		inputs, INPUTS);
}

void density_of_solution(const struct scene *scene)
{
	struct steps steps = {.arena = table_arena(scene->table), .tag = scene->item->tag};
	if (scene_stated(scene, "density"))
		return;
	if (!solvent_amine(scene, &steps.amine)) {
		scene_put(scene, "density",
			quantity_unknown(steps.arena, KIND_DENSITY,
				"the amine of the solvent is not stated, or not one whose density is known"));
		return;
	}
	steps.terms = property_density_terms(steps.amine);
	steps.strength = solvent_input(scene, scene->item, "w", "strength");
	steps.temperature = scene_input(scene, "T", "temperature");
	steps.w = solvent_mass_fraction(steps.strength.quantity, steps.amine);
	steps.t = steps.temperature.quantity->si;
	struct input known[] = {steps.strength, steps.temperature};
	if (!inputs_known(known, 2) || !isfinite(steps.w)) {
		scene_compute(scene, "density", KIND_DENSITY, (double)NAN, 0, FORMULA_SOLUTION_DENSITY, known, 2);
		return;
	}
	steps.strength = strength_by_mass(&steps);
	put_density(scene, &steps, loadings_of(scene, &steps));
}
