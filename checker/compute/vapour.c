#include "compute/vapour.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/water.h"
#include "compute/composition.h"

/* ---- one gas at one temperature and pressure ---- */

struct vapour {
	double water, mass;		 /* mol/mol, kg/mol: whatever the trouble */
	double compressibility, density; /* none, kg/m3 */
	double uncertainty;		 /* of the equation of state, relative */
};

static double water_in(const struct composition *gas, double temperature, double pressure)
{
	if (gas->wetness == WETNESS_SATURATED)
		return water_saturation_pressure(temperature) / pressure;
	return gas->water;
}

static enum gas_trouble vapour_at(
	const struct composition *gas, double water, double temperature, double pressure, struct vapour *out)
{
	double share[COMPONENT_COUNT];
	struct gas_state state;

	out->water = water;
	out->mass = gas->mass->si * (1 - water) + MOLAR_MASS_WATER * water;
	if (!(water < 1))
		return GAS_CONDENSES;
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		share[i] = gas->dry[i] * (1 - water);
	share[COMPONENT_WATER] = water;
	enum gas_trouble trouble = gas_state_of(share, temperature, pressure, &state);
	if (trouble != GAS_FINE)
		return trouble;
	out->compressibility = state.compressibility;
	out->density = pressure * out->mass / (state.compressibility * GAS_CONSTANT * temperature);
	out->uncertainty = state.uncertainty;
	return GAS_FINE;
}

static double density_at(const struct composition *gas, double water, double temperature, double pressure)
{
	struct vapour vapour;
	enum gas_trouble trouble = vapour_at(gas, water, temperature, pressure, &vapour);
	return trouble == GAS_FINE ? vapour.density : (double)NAN;
}

/* What the density moves when a condition moves by its uncertainty, either way; where one way condenses, the other. */
static double moved(
	const struct composition *gas, const struct vapour *vapour, double t, double p, double dt, double dp)
{
	double up = density_at(gas, water_in(gas, t + dt, p + dp), t + dt, p + dp) - vapour->density;
	double down = density_at(gas, water_in(gas, t - dt, p - dp), t - dt, p - dp) - vapour->density;
	return fmax(fabs(up), fabs(down)); /* fmax passes over what is no number */
}

static double density_error(const struct composition *gas, const struct vapour *vapour, struct input t, struct input p)
{
	double temperature = t.quantity->si, pressure = p.quantity->si;
	double error = vapour->density * (vapour->uncertainty + gas->spread) +
		moved(gas, vapour, temperature, pressure, t.quantity->uncertainty, 0) +
		moved(gas, vapour, temperature, pressure, 0, p.quantity->uncertainty);
	if (gas->wetness == WETNESS_UNKNOWN) {
		double most = fmin(water_saturation_pressure(temperature) / pressure, GAS_WETTEST);
		double wet = density_at(gas, most, temperature, pressure);
		error += isfinite(wet) ? fabs(wet - vapour->density) : 0;
	}
	return error;
}

/* ---- what is put ---- */

/*
 * The allowance of the rule is for what composition and conditions may be wrong by: it is not counted twice. A stated bound
 * that holds is no distance, and one that does not is as far off as the nearest it allows.
 */
static void put_density_difference(const struct scene *scene, const struct quantity *computed)
{
	struct input inputs[] = {scene_input(scene, "x", "density"),
		scene_input_is("y", "density from composition, temperature and pressure", computed)};
	const struct quantity *stated = inputs[0].quantity;
	double difference = stated->si - computed->si;

	if ((stated->bound == BOUND_BELOW && difference > 0) || (stated->bound == BOUND_ABOVE && difference < 0))
		difference = 0;
	inputs[0].effect = EFFECT_WITHIN;
	scene_compute(scene, "density-difference", KIND_SHARE, fabs(difference) / fmax(stated->si, computed->si),
		relative_uncertainty(stated), FORMULA_RELATIVE_DIFFERENCE, inputs, 2);
}

static void put_density(const struct scene *scene, const struct quantity *density, const char *phase)
{
	bool stated = scene_stated(scene, "density");
	scene_put(scene, stated ? "density-by-composition" : "density", density);
	if (stated)
		put_density_difference(scene, density);
	scene_put(scene, "phase",
		density->known == UNKNOWN ? quantity_unknown(table_arena(scene->table), KIND_WORD, density->reason)
					  : quantity_assumed_word(table_arena(scene->table), KIND_WORD, phase,
						    "by its service, temperature and pressure"));
}

static void put_no_density(const struct scene *scene, const char *reason)
{
	put_density(scene, quantity_unknown(table_arena(scene->table), KIND_DENSITY, reason), "");
}

static const char *why_not(const struct scene *scene, enum gas_trouble trouble)
{
	return arena_format(table_arena(scene->table),
		trouble == GAS_OUT_OF_RANGE
			? "%s lies outside 0 to 227 degC and 150 bara, for which the equation of state is used"
			: "%s would condense at its temperature and pressure, by the equation of state or with its "
			  "water",
		scene->item->tag);
}

static const struct quantity *computed(const struct scene *scene, enum kind kind, double si, double error,
	enum formula_code formula, const struct input *inputs, size_t count)
{
	return quantity_computed(table_arena(scene->table), kind, si, error, &formulas[formula], inputs, count);
}

/* An input of the item at hand: "molar mass of overhead". */
static struct input named(
	const struct scene *scene, const char *symbol, const char *what, const struct quantity *quantity)
{
	return scene_input_is(symbol, arena_of(table_arena(scene->table), what, scene->item->tag), quantity);
}

/* Which input of the composition is its water; the count of them: none is. */
static size_t water_at(const struct composition *gas)
{
	size_t i = 0;

	while (i < gas->count && gas->component[i] != COMPONENT_WATER)
		i++;
	return i;
}

/* The share of water with its trace; its quantity NULL where the gas holds none or it is not known. */
static struct input trace_water(const struct scene *scene, const struct composition *gas, const struct vapour *vapour,
	struct input t, struct input p)
{
	struct input found = named(scene, "y_w", "water vapour", NULL);
	struct input inputs[] = {input_rises(t), input_falls(p)};

	if (gas->wetness == WETNESS_SATURATED) {
		double slope =
			log(water_saturation_pressure(t.quantity->si + 1) / water_saturation_pressure(t.quantity->si));
		found.quantity = scene_computed(scene, "water-vapour", KIND_MOLE_FRACTION, vapour->water,
			vapour->water * (slope * t.quantity->uncertainty + relative_uncertainty(p.quantity)),
			FORMULA_WATER_IN_GAS, inputs, 2);
	} else if (water_at(gas) < gas->count) {
		found.quantity = gas->inputs[water_at(gas)].quantity;
	}
	return found;
}

/* How the density or the molar mass of a gas moves with its water; a little that may be none is within the uncertainty. */
static struct input water_input(
	struct input water, const struct composition *gas, double with, double without, double *error)
{
	double margin = hypot(*error, GAS_UNCERTAINTY * with);

	water.effect = gas->mass->si > MOLAR_MASS_WATER ? EFFECT_FALLS : EFFECT_RISES;
	if (water.quantity->bound == BOUND_BELOW && fabs(with - without) <= margin) {
		*error = hypot(*error, with - without);
		water.effect = EFFECT_WITHIN;
	}
	return water;
}

static const struct quantity *trace_mass(
	const struct scene *scene, const struct composition *gas, const struct vapour *vapour, struct input water)
{
	if (!water.quantity)
		return gas->mass;
	double error = gas->mass->uncertainty * (1 - water.quantity->si) +
		fabs(gas->mass->si - MOLAR_MASS_WATER) * water.quantity->uncertainty;
	struct input inputs[] = {input_rises(named(scene, "M_dry", "molar mass without water", gas->mass)),
		water_input(water, gas, vapour->mass, gas->mass->si, &error),
		scene_input_is("M_w", "molar mass of water",
			quantity_constant(table_arena(scene->table), KIND_MOLAR_MASS, MOLAR_MASS_WATER, "IUPAC 2021"))};
	return computed(scene, KIND_MOLAR_MASS, vapour->mass, error, FORMULA_WET_MOLAR_MASS, inputs, 3);
}

/* Without what one input of the composition brings, water or another content; NaN where it cannot be told. */
static double compressibility_without(const struct composition *gas, size_t input, double water, double t, double p)
{
	struct composition less = *gas;
	struct vapour vapour;
	enum component component = gas->component[input];
	double share = component == COMPONENT_COUNT ? 0 : gas->dry[component];

	if (component == COMPONENT_COUNT || share >= 1)
		return (double)NAN;
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		less.dry[i] /= 1 - share;
	less.dry[component] = 0;
	enum gas_trouble trouble = vapour_at(&less, component == COMPONENT_WATER ? 0 : water, t, p, &vapour);
	return trouble == GAS_FINE ? vapour.compressibility : (double)NAN;
}

/*
 * The inputs of the composition with their effect on the compressibility, of which `*error` grows where a bound serves as
 * the value. Of a bound that counts, a molar mass or a loading nothing follows.
 */
static size_t weighed_contents(const struct composition *gas, const struct vapour *vapour, struct input t,
	struct input p, struct input inputs[COMPOSITION_INPUTS], double *error)
{
	for (size_t i = 0; i < gas->count; i++) {
		inputs[i] = gas->inputs[i];
		inputs[i].effect = gas->component[i] == COMPONENT_COUNT && gas->inputs[i].effect == EFFECT_WITHIN
			? EFFECT_WITHIN
			: EFFECT_UNSAID;
		if (is_bound(inputs[i].quantity))
			input_weigh(&inputs[i], vapour->compressibility,
				compressibility_without(gas, i, vapour->water, t.quantity->si, p.quantity->si), error);
		if (inputs[i].effect != EFFECT_WITHIN)
			inputs[i].effect = EFFECT_UNSAID;
	}
	return gas->count;
}

/* Computed, unless the gas states it. Unknown where a condition is only a bound: which way it moves depends on the gas. */
static const struct quantity *trace_compressibility(const struct scene *scene, const struct composition *gas,
	struct vapour *vapour, struct input t, struct input p, struct input water)
{
	struct input inputs[COMPOSITION_INPUTS + 3] = {t, p};
	size_t count = 2;
	double error = vapour->compressibility * vapour->uncertainty;

	if (item_is(scene->item, "gas") && scene_stated(scene, "compressibility"))
		return scene_get(scene, "compressibility");
	if (gas->wetness == WETNESS_SATURATED)
		inputs[count++] = water;
	count += weighed_contents(gas, vapour, t, p, inputs + count, &error);
	vapour->uncertainty = error / vapour->compressibility;
	return scene_computed(scene, "compressibility", KIND_RATIO, vapour->compressibility, error,
		FORMULA_COMPRESSIBILITY, inputs, count);
}

/* Molar mass and compressibility, of a gas whose own description states neither. */
static void put_properties(const struct scene *scene, const struct quantity *mass, const struct quantity *z)
{
	scene_put_new(scene, "molar-mass", mass);
	scene_put_new(scene, "compressibility", z);
}

/* Nothing can be computed: what is missing is among the inputs, and the density carries the reason of the first. */
static void put_missing(const struct scene *scene, const struct composition *gas, struct input t, struct input p)
{
	struct input inputs[] = {named(scene, "M", "molar mass", gas->mass), p, t};
	const struct quantity *density =
		computed(scene, KIND_DENSITY, (double)NAN, 0, FORMULA_DENSITY_OF_GAS, inputs, 3);

	put_properties(scene, computed(scene, KIND_MOLAR_MASS, (double)NAN, 0, FORMULA_WET_MOLAR_MASS, inputs, 3),
		computed(scene, KIND_RATIO, (double)NAN, 0, FORMULA_COMPRESSIBILITY, inputs, 3));
	put_density(scene, density, "");
}

/* No gas that the equation of state holds for. Its molar mass is known for all that, unless it would be all water. */
static void put_no_gas(const struct scene *scene, const struct composition *gas, const struct vapour *vapour,
	struct input t, struct input p, enum gas_trouble trouble)
{
	struct arena *arena = table_arena(scene->table);
	const char *reason = why_not(scene, trouble);
	bool all_water = !(vapour->water < 1);

	put_properties(scene,
		all_water ? quantity_unknown(arena, KIND_MOLAR_MASS, reason)
			  : trace_mass(scene, gas, vapour, trace_water(scene, gas, vapour, t, p)),
		quantity_unknown(arena, KIND_RATIO, reason));
	put_no_density(scene, reason);
}

/* The contents among the inputs of a density of which the compressibility is not told apart: what is within its uncertainty is. */
static size_t contents_within(const struct composition *gas, const struct vapour *vapour, struct input t,
	struct input p, struct input inputs[COMPOSITION_INPUTS])
{
	struct input weighed[COMPOSITION_INPUTS];
	double error = vapour->compressibility * vapour->uncertainty;
	size_t count = 0;

	weighed_contents(gas, vapour, t, p, weighed, &error);
	for (size_t i = 0; i < gas->count; i++) {
		enum effect on_mass = gas->inputs[i].effect;
		bool in_mass =
			gas->component[i] == COMPONENT_COUNT || on_mass == EFFECT_RISES || on_mass == EFFECT_FALLS;
		if (!in_mass) /* else the molar mass says it already: what is heavier is compressed more, too */
			inputs[count++] = weighed[i];
	}
	return count;
}

/*
 * The density rises with pressure and molar mass and falls with temperature, at a given composition and with the water of
 * saturation too, as long as the gas is heavier than that. Where a condition or the molar mass is a bound it is calculated in
 * one step from the gas without its water: the compressibility is not known then, and the pressure must not count twice.
 */
static const struct quantity *trace_density(const struct scene *scene, const struct composition *gas,
	const struct vapour *vapour, struct input t, struct input p, const struct quantity *mass,
	const struct quantity *z)
{
	bool one_step = z->known == UNKNOWN;
	bool heavy = gas->wetness != WETNESS_SATURATED || gas->mass->si > MOLAR_MASS_WATER;
	struct input inputs[COMPOSITION_INPUTS + 4] = {input_rises(p),
		input_rises(named(
			scene, "M", one_step ? "molar mass without water" : "molar mass", one_step ? gas->mass : mass)),
		heavy ? input_falls(t) : t, input_falls(named(scene, "Z", "compressibility", z))};
	size_t count = 4;
	double density = vapour->density, error = density_error(gas, vapour, t, p);

	if (one_step)
		count = 3 + contents_within(gas, vapour, t, p, inputs + 3);
	else
		density *= vapour->compressibility / z->si; /* z may be the stated one */
	return computed(scene, KIND_DENSITY, density, error, FORMULA_DENSITY_OF_GAS, inputs, count);
}

static void put_gas(const struct scene *scene, const struct composition *gas, struct input t, struct input p)
{
	struct vapour vapour;

	if (gas->mass->known == UNKNOWN || t.quantity->known == UNKNOWN || p.quantity->known == UNKNOWN) {
		put_missing(scene, gas, t, p);
		return;
	}
	double share = water_in(gas, t.quantity->si, p.quantity->si);
	enum gas_trouble trouble = vapour_at(gas, share, t.quantity->si, p.quantity->si, &vapour);
	if (trouble != GAS_FINE) {
		put_no_gas(scene, gas, &vapour, t, p, trouble);
		return;
	}
	struct input water = trace_water(scene, gas, &vapour, t, p);
	const struct quantity *mass = trace_mass(scene, gas, &vapour, water);
	const struct quantity *z = trace_compressibility(scene, gas, &vapour, t, p, water);
	put_properties(scene, mass, z);
	put_density(scene, trace_density(scene, gas, &vapour, t, p, mass, z), "gas");
}

void vapour_of_gas(const struct scene *scene)
{
	struct composition gas = composition_of_gas(scene, scene->item);
	put_gas(scene, &gas, scene_input(scene, "T", "temperature"), scene_input(scene, "P", "pressure"));
}

/* ---- steam and water ---- */

/* Steam stated a little below its saturation temperature is saturated: the temperature is not known that well. */
static void put_steam(const struct scene *scene)
{
	struct input inputs[] = {
		input_falls(scene_input(scene, "T", "temperature")), input_rises(scene_input(scene, "P", "pressure"))};
	if (!inputs_known(inputs, 2)) {
		put_density(scene, computed(scene, KIND_DENSITY, (double)NAN, 0, FORMULA_STEAM_DENSITY, inputs, 2), "");
		return;
	}
	double t = inputs[0].quantity->si, p = inputs[1].quantity->si, saturation = water_saturation_temperature(p);
	if (isfinite(saturation) && t < saturation && t >= saturation - inputs[0].quantity->uncertainty)
		t = saturation;
	double density = water_steam_density(t, p);
	if (!isfinite(density)) {
		put_no_density(scene,
			arena_format(table_arena(scene->table),
				"%s is below the saturation temperature of its pressure: water, not steam",
				scene->item->tag));
		return;
	}
	double error = density * (STEAM_UNCERTAINTY + relative_uncertainty(inputs[1].quantity)) +
		density * inputs[0].quantity->uncertainty / t;
	put_density(scene, computed(scene, KIND_DENSITY, density, error, FORMULA_STEAM_DENSITY, inputs, 2), "gas");
}

/* ---- by service ---- */

enum fluid { FLUID_OTHER, FLUID_GAS, FLUID_STEAM, FLUID_WATER, FLUID_SEA_WATER, FLUID_PURE };

static const struct service {
	const char *name;
	enum fluid fluid;
	const char *role;     /* of the gas that runs in it, where it names none */
	double usual, spread; /* K: of water that is never far from it; 0: it may be */
} services[] = {
	{"sour gas", FLUID_GAS, "feed", 0, 0},
	{"treated gas", FLUID_GAS, "treated", 0, 0},
	{"acid gas", FLUID_GAS, "acid gas", 0, 0},
	{"flash gas", FLUID_GAS, "flash gas", 0, 0},
	{"steam", FLUID_STEAM, NULL, 0, 0},
	{"reflux", FLUID_WATER, NULL, 323.15, 30},
	{"condensate", FLUID_WATER, NULL, 0, 0},
	{"sour water", FLUID_WATER, NULL, 323.15, 30},
	{"cooling water", FLUID_WATER, NULL, 303.15, 25},
	{"make-up water", FLUID_WATER, NULL, 298.15, 20},
	{"wash water", FLUID_WATER, NULL, 308.15, 25},
	{"hot water", FLUID_WATER, NULL, 0, 0},
	{"sea water", FLUID_SEA_WATER, NULL, 293.15, 15},
	{"air", FLUID_PURE, NULL, 0, 0},
	{"nitrogen", FLUID_PURE, NULL, 0, 0},
};

static double water_density(enum fluid fluid, double t)
{
	return fluid == FLUID_SEA_WATER ? water_sea_density(t)
					: water_liquid_density(t, fmax(ATMOSPHERE, water_saturation_pressure(t)));
}

/*
 * Between the coldest and the hottest that such water runs at its density moves by a hundredth: where nobody states its
 * temperature that is its uncertainty. What the case owes is not taken.
 */
static struct input temperature_of_water(const struct scene *scene, const struct service *service)
{
	struct input stated = scene_input(scene, "T", "temperature");
	if (stated.quantity->known != UNKNOWN || stated.quantity->owed || !(service->usual > 0))
		return input_falls(stated);
	return scene_input_is("T", "temperature of water where none is stated",
		quantity_assumed(table_arena(scene->table), KIND_TEMPERATURE, service->usual, service->spread,
			"mid-range for such water"));
}

static void put_water(const struct scene *scene, const struct service *service)
{
	struct input input = temperature_of_water(scene, service);
	const struct quantity *temperature = input.quantity;
	double t = temperature->si, density = water_density(service->fluid, t);
	double error = density * WATER_DENSITY_UNCERTAINTY;
	if (temperature->known == ASSUMED)
		error += fabs(water_density(service->fluid, t + service->spread) -
				 water_density(service->fluid, t - service->spread)) /
			2;
	put_density(scene,
		computed(scene, KIND_DENSITY, density, error,
			service->fluid == FLUID_SEA_WATER ? FORMULA_SEA_WATER_DENSITY : FORMULA_WATER_DENSITY, &input,
			1),
		"liquid");
}

static const struct service *service_of(const struct scene *scene)
{
	const char *name = table_word(scene->table, scene->item, scene->operating_case, "service");
	for (size_t i = 0; name && i < COUNT(services); i++)
		if (strcmp(services[i].name, name) == 0)
			return &services[i];
	return NULL;
}

/* The regenerator whose overhead the stream is, or NULL. */
static const struct item *regenerator_left(const struct scene *scene)
{
	const char *from = table_word(scene->table, scene->item, scene->operating_case, "from");
	struct items regenerators = table_of_kind(scene->table, "regenerator");
	for (size_t i = 0; i < regenerators.count; i++) {
		const struct item *item = regenerators.rows[i];
		const char *overhead = table_word(scene->table, item, scene->operating_case, "acid-gas");
		if ((from && strcmp(from, item->tag) == 0) || (overhead && strcmp(overhead, scene->item->tag) == 0))
			return item;
	}
	return NULL;
}

/* The gas the item names, else the only one of the role; NULL: none, or more than one. */
static const struct item *gas_of(const struct scene *scene, const char *role)
{
	const char *tag = table_word(scene->table, scene->item, scene->operating_case, "gas");
	const struct item *found = tag ? table_find(scene->table, tag) : NULL;
	if (item_is(found, "gas"))
		return found;
	struct items gases = table_of_kind(scene->table, "gas");
	found = NULL;
	for (size_t i = 0; i < gases.count; i++) {
		const char *own = table_word(scene->table, gases.rows[i], scene->operating_case, "role");
		if (!own || strcmp(own, role) != 0)
			continue;
		if (found)
			return NULL;
		found = gases.rows[i];
	}
	return found;
}

/* Vapour and liquid run together: downstream of a condenser, or where the description says so. */
static bool two_phase(const struct scene *scene)
{
	const struct quantity *two = scene_get(scene, "two-phase"), *share = scene_get(scene, "vapour-fraction");
	const char *from = table_word(scene->table, scene->item, scene->operating_case, "from");
	const char *to = table_word(scene->table, scene->item, scene->operating_case, "to");
	return quantity_truth(two) == YES || (is_number(share) && share->si < 1) ||
		(from && item_is(table_find(scene->table, from), "condenser")) ||
		(to && item_is(table_find(scene->table, to), "reflux-drum"));
}

/*
 * What a reboiler boils up and names no gas of its own: steam, of which the acid gas left in the solution there is a few
 * thousandths. It is hotter than steam of its pressure, since the solution boils hotter than water.
 */
static bool is_boil_up(const struct scene *scene)
{
	const char *from = table_word(scene->table, scene->item, scene->operating_case, "from");
	return from && item_is(table_find(scene->table, from), "reboiler") &&
		!table_word(scene->table, scene->item, scene->operating_case, "gas");
}

static void put_gas_of_service(const struct scene *scene, const struct service *service)
{
	const struct item *regenerator = regenerator_left(scene), *gas = gas_of(scene, service->role);
	struct composition composition;
	if (is_boil_up(scene)) {
		put_steam(scene);
		return;
	}
	if (gas)
		composition = composition_of_gas(scene, gas);
	else if (regenerator && strcmp(service->name, "acid gas") == 0)
		composition = composition_of_stripped(scene, regenerator);
	else {
		put_no_density(scene,
			arena_format(table_arena(scene->table), "%s of %s is not stated",
				item_is(scene->item, "stream") ? "gas" : "stream", scene->item->tag));
		return;
	}
	if (regenerator)
		composition.wetness =
			WETNESS_SATURATED; /* it leaves over reflux, whatever its gas holds after the drum */
	put_gas(scene, &composition, scene_input(scene, "T", "temperature"), scene_input(scene, "P", "pressure"));
}

void vapour_of_service(const struct scene *scene)
{
	const struct service *service = service_of(scene);
	if (!service)
		return;
	if (two_phase(scene)) {
		put_no_density(scene,
			arena_format(table_arena(scene->table),
				"vapour and liquid run together in %s: their density together is not computed",
				scene->item->tag));
		return;
	}
	struct composition pure;
	switch (service->fluid) {
	case FLUID_GAS:
		put_gas_of_service(scene, service);
		break;
	case FLUID_STEAM:
		put_steam(scene);
		break;
	case FLUID_WATER:
	case FLUID_SEA_WATER:
		put_water(scene, service);
		break;
	default:
		pure = composition_of_pure(scene, service->name);
		put_gas(scene, &pure, scene_input(scene, "T", "temperature"), scene_input(scene, "P", "pressure"));
	}
}
