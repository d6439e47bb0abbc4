#include "compute/relief_load.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/water.h"
#include "compute/envelope.h"
#include "compute/holdup.h"
#include "compute/interface.h"
#include "compute/protection.h"
#include "compute/scene.h"
#include "resolve/equipment.h"

/* kg/mol, IUPAC 2021 atomic weights. */
static const double MOLAR_MASS_H2S = 0.03408, MOLAR_MASS_WATER = 0.018015;
/* API Std 521, from memory: W of 1 m2, the power, m over grade that a pool fire reaches, set pressure exceeded in a fire. */
static const double FIRE_OF_SQUARE_METRE = 43200, FIRE_POWER = 0.82, FIRE_REACHES = 7.6, FIRE_ACCUMULATION = 1.21;
/* Of the duty: the latent heat falls by so much from operation to the pressure of relief. */
static const double LATENT_HEAT_UNCERTAIN = 0.05;

double relief_load_fire(double wetted)
{
	return FIRE_OF_SQUARE_METRE * pow(wetted, FIRE_POWER);
}

/* ---- the regenerator ---- */

static void overhead_vapour(const struct scene *scene)
{
	bool stripped = is_number(scene_get(scene, "acid-gas-stripped"));
	struct input inputs[] = {input_rises(scene_input(scene, "G", stripped ? "acid-gas-stripped" : "acid-gas-out")),
		input_rises(scene_input(scene, "R", "reflux-ratio"))};
	double gas = inputs[0].quantity->si, ratio = inputs[1].quantity->si;
	double vapour = gas * (MOLAR_MASS_H2S + ratio * MOLAR_MASS_WATER);
	if (inputs_known(inputs, COUNT(inputs)))
		scene_compute(scene, "overhead-vapour", KIND_MASS_FLOW, vapour,
			vapour * relative_uncertainty(inputs[0].quantity) +
				gas * MOLAR_MASS_WATER * inputs[1].quantity->uncertainty,
			FORMULA_VAPOUR_OF_OVERHEAD, inputs, COUNT(inputs));
}

static bool heats(const struct scene *scene, const struct item *reboiler)
{
	const struct item *serves = table_follow(scene->table, reboiler, scene->operating_case, "regenerator");
	return (serves ? serves : table_sole(scene->table, "regenerator")) == scene->item;
}

/* The duty of all its reboilers together; unknown while one of them is. */
static struct input duty_of(const struct scene *scene)
{
	struct items reboilers = table_of_kind(scene->table, "reboiler");
	struct input sum = scene_input(scene, "E", "duty");
	double total = 0;
	size_t count = 0;
	for (size_t i = 0; i < reboilers.count; i++) {
		if (!heats(scene, reboilers.rows[i]))
			continue;
		struct input one = scene_input_of(scene, reboilers.rows[i], "E", "duty");
		if (!is_number(one.quantity))
			return one;
		sum = one;
		total += one.quantity->si;
		count++;
	}
	if (count > 1)
		sum = scene_input_is("E", arena_format(table_arena(scene->table), "duty of %zu reboilers", count),
			quantity_assumed(table_arena(scene->table), KIND_POWER, total, 0, "all of them together"));
	return sum;
}

static void reboiler_vapour(const struct scene *scene)
{
	struct input inputs[] = {
		input_rises(duty_of(scene)), input_rises(scene_input(scene, "t", "bottom-temperature"))};
	double vapour = inputs[0].quantity->si / water_latent_heat(inputs[1].quantity->si);
	if (inputs_known(inputs, COUNT(inputs)))
		scene_compute(scene, "reboiler-vapour", KIND_MASS_FLOW, vapour,
			vapour * (relative_uncertainty(inputs[0].quantity) + LATENT_HEAT_UNCERTAIN),
			FORMULA_VAPOUR_OF_REBOILER, inputs, COUNT(inputs));
}

/* ---- fire ---- */

static double wetted(const struct vessel *vessel, const struct quantity *level)
{
	double high = level->si * (level->kind == KIND_SHARE ? vessel_height(vessel) : 1);
	return vessel_wetted(vessel, vessel->vertical ? fmin(high, FIRE_REACHES) : high);
}

static void fire(const struct scene *scene)
{
	struct vessel vessel;
	struct input inputs[6];
	if (!item_is_any(scene->item, "absorber flash-drum regenerator reflux-drum vessel") ||
		!holdup_shape(scene, &vessel, inputs))
		return;
	struct pressure_level set = envelope_level(scene->table, scene->item);
	if (!set.item)
		return;
	struct input level = input_rises(scene_input(scene, "h", "level"));
	if (item_in(scene->item, CLASS_TOWER)) { /* its bottom alone, of whatever height it is */
		if (level.quantity->kind == KIND_SHARE)
			return;
		vessel.length = 2 * level.quantity->si;
		inputs[3] = level;
	}
	inputs[4] = level;
	inputs[5] = input_rises(scene_input_of(scene, set.item, "P", set.name));
	double outside = interface_atmosphere(scene)->si;
	double boils = water_saturation_temperature(outside + FIRE_ACCUMULATION * (set.si - outside));
	double load = relief_load_fire(wetted(&vessel, inputs[4].quantity)) / water_latent_heat(boils);
	if (inputs_known(inputs, COUNT(inputs)) && isfinite(load))
		scene_compute(scene, "fire-load", KIND_MASS_FLOW, load,
			FIRE_POWER * load * relative_uncertainty(inputs[4].quantity), FORMULA_FIRE_LOAD, inputs,
			COUNT(inputs));
}

/* ---- beside what is stated ---- */

/* The required flow of the case, else what its valve passes. */
static struct input stated_load(const struct scene *scene)
{
	const struct item *valve = protection_valve(scene);
	if (scene_get(scene, "required") || !valve)
		return scene_input(scene, "W", "required");
	return scene_input_of(scene, valve, "W", "capacity");
}

static const struct item *holder_of(const struct item *item)
{
	return item_is(item->parent, "relief-valve") ? item->parent->parent : item->parent;
}

/* `name`: the study's figure over the load, which is put beside it as `shown`. */
static void beside(const struct scene *scene, const char *load, const char *shown, const char *name)
{
	const struct item *holder = holder_of(scene->item);
	struct input inputs[] = {
		input_rises(stated_load(scene)), input_falls(scene_input_of(scene, holder, "W_c", load))};
	const struct quantity *stated = inputs[0].quantity, *calculated = inputs[1].quantity;
	if (!scene_get_of(scene, holder, load) || stated->known == UNKNOWN)
		return;
	scene_take(scene, shown, holder, load);
	if (stated->kind != KIND_MASS_FLOW)
		scene_put_made(scene, name,
			quantity_unknown(
				table_arena(scene->table), KIND_RATIO, "the flow of its relief is not stated by mass"));
	else
		scene_compute(scene, name, KIND_RATIO, stated->si / calculated->si,
			stated->si / calculated->si * relative_uncertainty(calculated), FORMULA_QUOTIENT, inputs,
			COUNT(inputs));
}

static void of_relief(const struct scene *scene)
{
	const char *relief =
		scene_word_of(scene, scene->item, item_is(scene->item, "relief-case") ? "name" : "sized-for");
	if (text_same(relief, "fire")) {
		beside(scene, "fire-load", "load-by-fire", "relief-over-fire");
	} else if (item_is(holder_of(scene->item), "regenerator") &&
		(text_same(relief, "cooling failure") || text_same(relief, "reflux failure"))) {
		beside(scene, "overhead-vapour", "load-by-operation", "relief-over-operation");
		beside(scene, "reboiler-vapour", "load-by-reboiler", "relief-over-reboiler");
	}
}

static void of_vessel(const struct scene *scene)
{
	if (item_is(scene->item, "regenerator")) {
		overhead_vapour(scene);
		reboiler_vapour(scene);
	}
	fire(scene);
}

static void of_item(const struct scene *scene)
{
	if (item_is_any(scene->item, "relief-case relief-valve"))
		of_relief(scene);
}

void relief_load_compute(struct table *table)
{
	scene_each(table, of_vessel);
	scene_each(table, of_item); /* after the vessels */
}
