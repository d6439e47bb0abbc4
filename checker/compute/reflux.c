#include "compute/reflux.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "compute/overhead.h"

static const char name[] = "reflux-ratio";

static struct input molar_mass(const struct scene *scene)
{
	return scene_input_is("M", "molar mass of water",
		quantity_assumed(table_arena(scene->table), KIND_MOLAR_MASS, MOLAR_MASS_WATER, 0, "IUPAC 2021"));
}

static struct input acid_gas(const struct quantity *stripped)
{
	return input_falls(scene_input_is("G", "acid gas stripped", stripped));
}

static const struct quantity *put_ratio(const struct scene *scene, double ratio, double error,
	enum formula_code formula, const struct input *inputs, size_t count)
{
	return scene_computed(scene, name, KIND_RATIO, ratio, error, formula, inputs, count);
}

/* By mass, as stated or from a volume and the density of water; or by moles. False: no flow of reflux is stated. */
static bool by_flow(const struct scene *scene, const struct still *still, const struct quantity *stripped)
{
	if (!still->reflux)
		return false;
	struct input moles = input_rises(scene_input_of(scene, still->reflux, "n", "flow")),
		     mass = input_rises(scene_input_of(scene, still->reflux, "m", "mass-flow"));
	if (moles.quantity->known != UNKNOWN && moles.quantity->kind == KIND_MOLAR_FLOW) {
		struct input inputs[] = {moles, acid_gas(stripped)};
		double ratio = moles.quantity->si / stripped->si;

		put_ratio(scene, ratio, ratio * (relative_uncertainty(moles.quantity) + relative_uncertainty(stripped)),
			FORMULA_REFLUX_BY_MOLES, inputs, 2);
		return true;
	}
	if (mass.quantity->known == UNKNOWN)
		return false;
	struct input inputs[] = {mass, molar_mass(scene), acid_gas(stripped)};
	double ratio = mass.quantity->si / (MOLAR_MASS_WATER * stripped->si);
	put_ratio(scene, ratio, ratio * (relative_uncertainty(mass.quantity) + relative_uncertainty(stripped)),
		FORMULA_REFLUX_RATIO, inputs, 3);
	return true;
}

static const struct item *overhead_gas(const struct scene *scene, const struct still *still)
{
	const char *tag =
		still->acid_gas ? table_word(scene->table, still->acid_gas, scene->operating_case, "gas") : NULL;
	const struct item *gas = tag ? table_find(scene->table, tag) : NULL;

	return item_is(gas, "gas") ? gas : NULL;
}

/*
 * What goes overhead, less what leaves the drum with the gas. A gas with no more water than it can hold in the drum is the
 * one that leaves there, not the overhead.
 */
static bool by_composition(const struct scene *scene, const struct still *still)
{
	const struct item *gas = overhead_gas(scene, still);
	struct input temperature, pressure;
	double carried = still_carried_off(scene, still, &temperature, &pressure);
	if (!gas)
		return false;
	struct input inputs[] = {input_rises(scene_input_of(scene, gas, "y_w", "water")),
		scene_input_of(scene, gas, "y_H2S", "h2s"), scene_input_of(scene, gas, "y_CO2", "co2"), temperature,
		pressure};
	double sour = 0, water = inputs[0].quantity->si, error = 0;
	for (size_t i = 0; i < 3; i++) {
		const struct quantity *content = inputs[i].quantity;

		if (content->known == UNKNOWN || strcmp(kind_si(content->kind), "mol/mol") != 0)
			return false;
		sour += i > 0 ? content->si : 0;
		error += relative_uncertainty(content);
	}
	if (!(water / sour > REFLUX_OVERHEAD_LEAST * carried))
		return false;
	put_ratio(scene, water / sour - carried, error * water / sour, FORMULA_REFLUX_BY_COMPOSITION, inputs, 5);
	return true;
}

/* Saturated with water at its temperature and pressure, which is what a column's top is. */
static bool by_temperature(const struct scene *scene, const struct still *still)
{
	struct input drum_temperature, drum_pressure;
	double carried = still_carried_off(scene, still, &drum_temperature, &drum_pressure);
	struct input inputs[] = {input_rises(scene_input(scene, "t_top", "top-temperature")),
		input_falls(scene_input(scene, "P", "top-pressure")), drum_temperature, drum_pressure};

	if (!inputs_known(inputs, 4))
		return false;
	double t = inputs[0].quantity->si, at = inputs[1].quantity->si, ratio = overhead_carried(t, at) - carried;
	double hotter = overhead_carried(t + inputs[0].quantity->uncertainty, at),
	       denser = overhead_carried(t, at + inputs[1].quantity->uncertainty);
	put_ratio(scene, ratio, hypot(hotter - carried - ratio, denser - carried - ratio),
		FORMULA_REFLUX_BY_TEMPERATURE, inputs, 4);
	return true;
}

bool reflux_ratio_put(const struct scene *scene, const struct still *still, const struct quantity *stripped)
{
	static const char of_water[] = "reflux-ratio-by-composition"; /* where the gas states its water alone */
	if (scene_stated(scene, name) || by_flow(scene, still, stripped) || by_composition(scene, still))
		return false;
	if (!is_number(scene_get(scene, of_water)))
		return by_temperature(scene, still);
	scene_take(scene, name, scene->item, of_water);
	return false;
}
