#include "compute/overhead.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/enthalpy.h"
#include "chemistry/water.h"
#include "compute/derived.h"
#include "compute/still.h"

/* ---- pure functions ---- */

double overhead_ratio_by_flow(double reflux, double acid_gas)
{
	return reflux / MOLAR_MASS_WATER / acid_gas;
}

double overhead_ratio_by_water(double water, double carried)
{
	return water / (1 - water) - carried;
}

double overhead_ratio_by_dew_point(double temperature, double pressure, double carried)
{
	return overhead_carried(temperature, pressure) - carried;
}

double overhead_carried(double temperature, double pressure)
{
	double partial = water_saturation_pressure(temperature);
	return partial < pressure ? partial / (pressure - partial) : (double)NAN;
}

double overhead_condensing_duty(
	double acid_gas, double share_of_h2s, double ratio, double carried, double top, double drum)
{
	double gas = share_of_h2s * (enthalpy_gas(GAS_H2S, top) - enthalpy_gas(GAS_H2S, drum)) +
		(1 - share_of_h2s) * (enthalpy_gas(GAS_CO2, top) - enthalpy_gas(GAS_CO2, drum));
	double steam = (ratio + carried) * enthalpy_steam(top) - carried * enthalpy_steam(drum);
	return acid_gas * (gas + steam - ratio * enthalpy_water(drum));
}

/* ---- the table ---- */

struct top {
	struct still still;
	struct input drum_temperature, drum_pressure;
	double carried;
};

static struct top top_of(const struct scene *scene, const struct item *regenerator)
{
	struct scene own = *scene;
	own.item = regenerator;
	struct top top = {.still = still_of(&own, regenerator)};
	top.carried = still_carried_off(&own, &top.still, &top.drum_temperature, &top.drum_pressure);
	return top;
}

/* A small part of the water: half of it is what it may be wrong by. */
static double error_of_carried(const struct top *top)
{
	const struct quantity *temperature = top->drum_temperature.quantity, *pressure = top->drum_pressure.quantity;
	if (!temperature || !pressure)
		return 0;
	return top->carried * (0.05 * temperature->uncertainty + relative_uncertainty(pressure));
}

static const struct quantity *by_water(const struct scene *scene, const struct top *top)
{
	const struct item *gas = table_follow(scene->table, top->still.acid_gas, scene->operating_case, "gas");
	const struct quantity *water = gas ? scene_get_of(scene, gas, "water") : NULL;
	struct input inputs[] = {top->drum_temperature, top->drum_pressure,
		water ? input_rises(scene_input_of(scene, gas, "y_w", "water")) : scene_input(scene, "y_w", "water")};
	double share = inputs[2].quantity->si;
	if (!water || !inputs_known(inputs, 3) || !(share < 1) || share <= top->carried / (1 + top->carried) * 1.05)
		return NULL; /* of the acid gas downstream of the drum, or dry */
	double ratio = overhead_ratio_by_water(share, top->carried);
	return scene_computed(scene, "reflux-ratio-by-composition", KIND_RATIO, ratio,
		inputs[2].quantity->uncertainty / ((1 - share) * (1 - share)) + error_of_carried(top),
		FORMULA_RATIO_BY_COMPOSITION, inputs, 3);
}

static const struct quantity *by_dew_point(const struct scene *scene, const struct top *top)
{
	struct input inputs[] = {input_rises(scene_input(scene, "t", "top-temperature")),
		input_falls(scene_input(scene, "P", "top-pressure")), top->drum_temperature, top->drum_pressure};
	if (!inputs_known(inputs, 4))
		return NULL;
	double t = inputs[0].quantity->si, p = inputs[1].quantity->si;
	double ratio = overhead_ratio_by_dew_point(t, p, top->carried);
	double warmer = overhead_ratio_by_dew_point(t + inputs[0].quantity->uncertainty, p, top->carried);
	double colder = overhead_ratio_by_dew_point(t - inputs[0].quantity->uncertainty, p, top->carried);
	double spread = isfinite(warmer) ? (warmer - colder) / 2 : ratio - colder;
	return scene_computed(scene, "reflux-ratio-by-dew-point", KIND_RATIO, ratio,
		hypot(spread,
			ratio * relative_uncertainty(inputs[1].quantity) * p / (p - water_saturation_pressure(t))),
		FORMULA_RATIO_BY_DEW_POINT, inputs, 4);
}

static const struct quantity *by_flow(const struct scene *scene, const struct top *top)
{
	struct input inputs[] = {input_rises(scene_input_of(scene, top->still.reflux, "m", "mass-flow")),
		scene_input_is("M", "molar mass of water",
			quantity_constant(table_arena(scene->table), KIND_MOLAR_MASS, MOLAR_MASS_WATER, "IUPAC 2021")),
		input_falls(scene_input(scene, "G", "acid-gas-stripped"))};
	if (!inputs_known(inputs, 3) || !(inputs[2].quantity->si > 0))
		return NULL;
	double ratio = overhead_ratio_by_flow(inputs[0].quantity->si, inputs[2].quantity->si);
	const struct quantity *computed = quantity_computed(table_arena(scene->table), KIND_RATIO, ratio,
		ratio * derived_error(inputs, 3), &formulas[FORMULA_RATIO_BY_FLOW], inputs, 3);
	if (quantity_is_mixed(computed))
		return NULL; /* the reflux of one case and the gas of another */
	scene_put(scene, "reflux-ratio-by-flow", computed);
	return computed;
}

static void of_regenerator(const struct scene *scene)
{
	if (!item_is(scene->item, "regenerator"))
		return;
	struct top top = top_of(scene, scene->item);
	if (top.still.acid_gas)
		by_water(scene, &top);
	by_dew_point(scene, &top);
}

void overhead_compute(struct table *table)
{
	scene_each(table, of_regenerator);
}

/* ---- the condenser ---- */

static const struct item *regenerator_of(const struct scene *scene)
{
	const char *overhead = table_word(scene->table, scene->item, scene->operating_case, "acid-gas");
	struct items regenerators = table_of_kind(scene->table, "regenerator");
	for (size_t i = 0; overhead && i < regenerators.count; i++) {
		const char *own = table_word(scene->table, regenerators.rows[i], scene->operating_case, "acid-gas");
		if (own && strcmp(own, overhead) == 0)
			return regenerators.rows[i];
	}
	return table_sole(scene->table, "regenerator");
}

/* H2S in the acid gas: what rich and lean differ by; one half where that is not known, which moves the duty by a per cent. */
static double share_of_h2s(const struct top *top)
{
	const double *rich = top->still.feed_solution.state.loading, *lean = top->still.lean_solution.state.loading;
	double h2s = rich[GAS_H2S] - lean[GAS_H2S], co2 = rich[GAS_CO2] - lean[GAS_CO2];
	bool known = top->still.feed_solution.known && top->still.lean_solution.known && h2s >= 0 && co2 >= 0;
	return known && h2s + co2 > 0 ? h2s / (h2s + co2) : 0.5;
}

static void put_condensing(const struct scene *scene, const struct item *regenerator)
{
	struct top top = top_of(scene, regenerator);
	struct input inputs[] = {input_rises(scene_input_of(scene, regenerator, "G", "acid-gas-stripped")),
		input_rises(scene_input_of(scene, regenerator, "R", "reflux-ratio")),
		input_rises(scene_input_of(scene, regenerator, "t", "top-temperature")), top.drum_temperature,
		top.drum_pressure};
	if (inputs[2].quantity->known == UNKNOWN)
		inputs[2] = input_rises(scene_input_of(scene, regenerator, "t", "overhead-dew-point"));
	const struct quantity *drum = top.drum_temperature.quantity;
	if (!drum || !inputs_known(inputs, 5))
		return;
	double duty = overhead_condensing_duty(inputs[0].quantity->si, share_of_h2s(&top), inputs[1].quantity->si,
		top.carried, inputs[2].quantity->si, drum->si);
	double error = duty * hypot(relative_uncertainty(inputs[0].quantity), relative_uncertainty(inputs[1].quantity));
	derived_compute(scene, "duty", CAREFUL_NEITHER, KIND_POWER, duty, error, FORMULA_CONDENSING_DUTY, inputs, 5);
}

static void of_condenser(const struct scene *scene)
{
	const struct item *regenerator = item_is(scene->item, "condenser") ? regenerator_of(scene) : NULL;
	if (regenerator)
		put_condensing(scene, regenerator);
}

/* Top temperature and pressure are compared with the ratio elsewhere: as a temperature, which they give more sharply. */
static void compare_by_flow(const struct scene *scene)
{
	if (!item_is(scene->item, "regenerator"))
		return;
	struct top top = top_of(scene, scene->item);
	const struct quantity *flow = top.still.reflux ? by_flow(scene, &top) : NULL;
	const struct quantity *water = scene_get(scene, "reflux-ratio-by-composition");
	const struct quantity *best = is_number(flow) ? flow : water;
	if (best && scene_stated(scene, "reflux-ratio"))
		derived_put(scene, "reflux-ratio", CAREFUL_NEITHER, best, 0);
}

void overhead_condensing(struct table *table)
{
	scene_each(table, compare_by_flow);
	scene_each(table, of_condenser);
}
