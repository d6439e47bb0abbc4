#include "compute/steam.h"

#include <math.h>

#include "chemistry/water.h"
#include "compute/derived.h"
#include "resolve/equipment.h"

double steam_heat(double pressure, double temperature)
{
	double boiling = water_saturation_temperature(pressure), heat = water_latent_heat(boiling);
	if (temperature > boiling)
		heat += water_steam_enthalpy(temperature, pressure) - water_steam_enthalpy(boiling, pressure);
	return heat;
}

/* ---- duty and steam of a reboiler ---- */

static const struct item *steam_stream(const struct scene *scene)
{
	const struct item *steam = table_follow(scene->table, scene->item, scene->operating_case, "steam");
	return item_is(steam, "stream") ? steam : NULL;
}

/* A value of the reboiler itself, else of the steam stream it names. */
static struct input of_steam(const struct scene *scene, const char *symbol, const char *own, const char *of_stream)
{
	const struct item *steam = steam_stream(scene);
	return scene_stated(scene, own) || !steam ? scene_input(scene, symbol, own)
						  : scene_input_of(scene, steam, symbol, of_stream);
}

/* Is a flow of steam stated for this case: its own, or that of the stream? */
static bool states_steam(const struct scene *scene)
{
	const struct item *steam = steam_stream(scene);
	return scene_stated(scene, "steam-flow") ? derived_is_stated(scene, scene->item, "steam-flow")
						 : steam && derived_is_stated(scene, steam, "flow");
}

static void duty_and_steam(const struct scene *scene)
{
	bool duty = derived_is_stated(scene, scene->item, "duty"), steam = states_steam(scene);
	struct input flow = input_rises(of_steam(scene, "m", "steam-flow", "mass-flow"));
	struct input given[] = {duty ? input_rises(scene_input(scene, "E", "duty")) : flow,
		of_steam(scene, "p", "steam-pressure", "pressure"),
		of_steam(scene, "t", "steam-temperature", "temperature")};
	size_t count = given[2].quantity->known == UNKNOWN ? 2 : 3;
	double heat = steam_heat(given[1].quantity->si, count == 3 ? given[2].quantity->si : (double)NAN);
	if (duty == steam || !inputs_known(given, 2))
		return;
	given[2].effect = EFFECT_WITHIN;
	if (steam)
		scene_compute(scene, "duty", KIND_POWER, given[0].quantity->si * heat,
			given[0].quantity->uncertainty * heat, FORMULA_STEAM_DUTY, given, count);
	else
		scene_compute(scene, "steam-flow", KIND_MASS_FLOW, given[0].quantity->si / heat,
			given[0].quantity->uncertainty / heat, FORMULA_STEAM_FLOW, given, count);
}

/* ---- steam-out ---- */

static void steam_out(const struct scene *scene)
{
	if (!scene_get(scene, "steam-out-pressure"))
		return;
	struct input inputs[] = {input_rises(scene_input(scene, "p", "steam-out-pressure"))};
	double pressure = inputs[0].quantity->si, more = pressure + inputs[0].quantity->uncertainty;
	double metal = water_saturation_temperature(pressure);
	const struct quantity *computed = quantity_computed(table_arena(scene->table), KIND_TEMPERATURE, metal,
		water_saturation_temperature(more) - metal, &formulas[FORMULA_STEAM_OUT_METAL], inputs, 1);
	if (!scene_stated(scene, "steam-out-temperature")) {
		scene_put(scene, "steam-out-temperature", computed);
		return;
	}
	struct input ends[] = {input_rises(scene_input_is("x", "steam saturated at its pressure", computed)),
		input_falls(scene_input(scene, "y", "steam-out-temperature"))};
	scene_put(scene, "steam-out-temperature-calculated", computed);
	scene_compute(scene, "steam-out-hotter", KIND_TEMPERATURE_DIFFERENCE, metal - ends[1].quantity->si,
		computed->uncertainty + ends[1].quantity->uncertainty, FORMULA_DIFFERENCE, ends, 2);
}

static void of_item(const struct scene *scene)
{
	steam_out(scene);
	if (item_is(scene->item, "reboiler"))
		duty_and_steam(scene);
}

void steam_compute(struct table *table)
{
	scene_each(table, of_item);
}
