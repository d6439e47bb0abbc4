#include "compute/outlets.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/water.h"
#include "compute/composition.h"
#include "compute/derived.h"

double outlets_mixture(double vapour_share, double vapour_density, double liquid_density)
{
	return 1 / (vapour_share / vapour_density + (1 - vapour_share) / liquid_density);
}

double outlets_boil_up(double duty, double temperature)
{
	return duty / water_latent_heat(temperature);
}

/* What runs out: SI, NaN or NULL where it is not known. */
struct mixture {
	const struct quantity *mass, *share, *density, *liquid;
};

static const struct quantity *computed(const struct scene *scene, enum kind kind, double si, double error,
	enum formula_code formula, const struct input *inputs, size_t count)
{
	return quantity_computed(table_arena(scene->table), kind, si, error, &formulas[formula], inputs, count);
}

static const struct quantity *water_density(const struct scene *scene, struct input t)
{
	double pressure = fmax(ATMOSPHERE, water_saturation_pressure(t.quantity->si));
	double density = water_liquid_density(t.quantity->si, pressure);
	struct input inputs[] = {input_falls(t)};
	return computed(scene, KIND_DENSITY, density, 0.002 * density, FORMULA_WATER_DENSITY, inputs, 1);
}

static const struct quantity *mixed_density(const struct scene *scene, const struct quantity *share,
	const struct quantity *vapour, const struct quantity *liquid)
{
	struct input inputs[] = {input_falls(scene_input_is("x", "vapour by mass", share)),
		input_rises(scene_input_is("rho_v", "density of the vapour", vapour)),
		input_rises(scene_input_is("rho_l", "density of the liquid", liquid))};
	double density = outlets_mixture(share->si, vapour->si, liquid->si);
	return computed(scene, KIND_DENSITY, density,
		density * (relative_uncertainty(share) + relative_uncertainty(vapour)), FORMULA_MIXTURE_OF_CONDENSATE,
		inputs, 3);
}

/* The stated share of vapour, where there is one by mass, goes before the calculated one. */
static const struct quantity *share_of(const struct scene *scene, const struct quantity *computed_share)
{
	const struct quantity *own =
		scene_stated(scene, "vapour-fraction") ? scene_get(scene, "vapour-fraction") : NULL;
	return own ? own : computed_share;
}

static bool may_be_mixed(const struct quantity *share)
{
	return is_number(share) && share->kind == KIND_MASS_FRACTION;
}

/* ---- a condenser ---- */

/* kg of vapour over kg that enter: dry gas of one mole with the water it holds, over the gas and the water that came. */
static double vapour_share(double dry_mass, double water_in, double water_out)
{
	double in = water_in / (1 - water_in), out = fmin(water_out / (1 - water_out), in);
	return (dry_mass + MOLAR_MASS_WATER * out) / (dry_mass + MOLAR_MASS_WATER * in);
}

static const struct quantity *vapour_density(
	const struct scene *scene, const struct composition *gas, double water, struct input t, struct input p)
{
	double share[COMPONENT_COUNT];
	struct gas_state state;
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		share[i] = gas->dry[i] * (1 - water);
	share[COMPONENT_WATER] = water;
	double mass = gas_molar_mass(share);
	struct input inputs[] = {input_rises(p),
		scene_input_is("M", "molar mass of the vapour",
			quantity_assumed(table_arena(scene->table), KIND_MOLAR_MASS, mass, 0,
				"acid gas and water at saturation")),
		input_falls(t)};
	bool fine = gas_state_of(share, t.quantity->si, p.quantity->si, &state) == GAS_FINE;
	return computed(scene, KIND_DENSITY, fine ? state.density : (double)NAN,
		fine ? state.density * (state.uncertainty + relative_uncertainty(p.quantity)) : 0,
		FORMULA_DENSITY_OF_GAS, inputs, 3);
}

static struct composition gas_of(const struct scene *scene, const struct item *overhead)
{
	const struct item *gas = table_follow(scene->table, overhead, scene->operating_case, "gas");
	if (item_is(gas, "gas"))
		return composition_of_gas(scene, gas);
	const struct item *regenerator = table_follow(scene->table, overhead, scene->operating_case, "from");
	if (!item_is(regenerator, "regenerator"))
		regenerator = table_sole(scene->table, "regenerator");
	return regenerator ? composition_of_stripped(scene, regenerator) : (struct composition){.mass = NULL};
}

static bool of_condenser(const struct scene *scene, const struct item *condenser, struct mixture *out)
{
	const struct item *overhead = table_follow(scene->table, condenser, scene->operating_case, "acid-gas");
	if (!item_is(overhead, "stream") || overhead == scene->item)
		return false;
	struct composition gas = gas_of(scene, overhead);
	struct input t = scene_input(scene, "t", "temperature"), p = scene_input(scene, "P", "pressure"),
		     water = scene_input_of(scene, overhead, "y_w", "water-vapour");
	struct input inputs[] = {water, t, p};
	if (!gas.mass || gas.mass->known == UNKNOWN || !inputs_known(inputs, 3))
		return false;
	double held = water_saturation_pressure(t.quantity->si) / p.quantity->si;
	if (!(held < 1) || !(water.quantity->si < 1) || held >= water.quantity->si)
		return false;
	double share = vapour_share(gas.mass->si, water.quantity->si, held);
	inputs[0].effect = EFFECT_FALLS;
	out->share = share_of(scene,
		computed(scene, KIND_MASS_FRACTION, share, share * relative_uncertainty(water.quantity),
			FORMULA_CONDENSED, inputs, 3));
	if (!may_be_mixed(out->share))
		return false;
	out->liquid = water_density(scene, t);
	out->density = mixed_density(scene, out->share, vapour_density(scene, &gas, held, t, p), out->liquid);
	out->mass = scene_get_of(scene, overhead, "mass-flow");
	return true;
}

/* ---- a reboiler ---- */

static const struct quantity *boil_up(const struct scene *scene, const struct item *reboiler, struct input t)
{
	struct input inputs[] = {input_rises(scene_input_of(scene, reboiler, "E", "duty")), input_rises(t)};
	double vapour = outlets_boil_up(inputs[0].quantity->si, t.quantity->si);
	struct scene own = *scene;
	own.item = reboiler;
	return scene_compute(&own, "boil-up", KIND_MASS_FLOW, vapour, vapour * relative_uncertainty(inputs[0].quantity),
		FORMULA_BOIL_UP, inputs, 2);
}

/* Vapour and liquid, where the stream states its flow. */
static bool both_phases(const struct scene *scene, const struct item *reboiler, struct input t,
	const struct quantity *steam, struct mixture *out)
{
	struct input inputs[] = {input_rises(scene_input_of(scene, reboiler, "m_v", "boil-up")),
		input_falls(scene_input(scene, "m", "mass-flow"))};
	double share = fmin(inputs[0].quantity->si / inputs[1].quantity->si, 1);
	const struct quantity *share_by_mass = share_of(scene,
		computed(scene, KIND_MASS_FRACTION, share, share * derived_error(inputs, 2), FORMULA_VAPOUR_BY_DUTY,
			inputs, 2));
	if (!share_by_mass || !may_be_mixed(share_by_mass))
		return false;
	out->share = share_by_mass;
	out->liquid = water_density(scene, t);
	out->density = mixed_density(scene, share_by_mass, steam, out->liquid);
	return true;
}

static bool of_reboiler(const struct scene *scene, const struct item *reboiler, struct mixture *out)
{
	struct input t = scene_input(scene, "t", "temperature"), p = scene_input(scene, "P", "pressure");
	if (t.quantity->known == UNKNOWN)
		t = scene_input_of(scene, reboiler, "t", "bulk-temperature");
	const struct quantity *vapour = boil_up(scene, reboiler, t);
	struct input at[] = {input_rises(p)};
	if (vapour->known == UNKNOWN || p.quantity->known == UNKNOWN)
		return false;
	double density = water_steam_density(water_saturation_temperature(p.quantity->si), p.quantity->si);
	const struct quantity *steam =
		computed(scene, KIND_DENSITY, density, 0.05 * density, FORMULA_STEAM_DENSITY, at, 1);
	if (scene_stated(scene, "flow"))
		return both_phases(scene, reboiler, t, steam, out);
	out->mass = vapour; /* a kettle gives vapour alone */
	out->density = steam;
	return true;
}

/* ---- the table ---- */

static void put_flows(const struct scene *scene, const struct quantity *mass, const struct quantity *density)
{
	struct input inputs[] = {
		input_rises(scene_input_is("m", "mass flow", mass)), input_falls(scene_input(scene, "rho", "density"))};
	if (scene_stated(scene, "flow") && scene_get(scene, "flow")->kind != KIND_MASS_FLOW)
		return;
	scene_put_new(scene, "mass-flow", mass);
	scene_compute(scene, "volume-flow", KIND_GAS_FLOW, mass->si / density->si,
		mass->si / density->si * (relative_uncertainty(mass) + relative_uncertainty(density)),
		FORMULA_VOLUME_FLOW, inputs, 2);
}

static void put_mixture(const struct scene *scene, const struct mixture *mixture)
{
	const struct quantity *own = scene_get(scene, "mass-flow"),
			      *mass = mixture->mass && !scene_stated(scene, "flow") ? mixture->mass : own;
	bool both = mixture->share != NULL;
	scene_put_new(scene, "density", mixture->density);
	scene_put_word(scene, "phase", KIND_WORD, both ? "vapour and liquid" : "gas",
		"by what leaves the exchanger it comes from");
	if (both) {
		scene_put_new(scene, "vapour-fraction", mixture->share);
		scene_put_new(scene, "liquid-density", mixture->liquid);
	}
	if (both && !scene_stated(scene, "two-phase"))
		scene_put_word(scene, "two-phase", KIND_YES_NO, "yes", "by what leaves the exchanger it comes from");
	if (mass && scene_get(scene, "density")->known != UNKNOWN)
		put_flows(scene, mass, scene_get(scene, "density"));
}

/* The lines and nozzles that name the stream. */
static void put_on_carriers(const struct scene *scene, const struct mixture *mixture)
{
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		struct scene carrier = *scene;
		carrier.item = table_item(scene->table, i);
		const char *own = item_is_any(carrier.item, "line nozzle")
			? table_word(scene->table, carrier.item, scene->operating_case, "stream")
			: NULL;
		if (own && strcmp(own, scene->item->tag) == 0)
			put_mixture(&carrier, mixture);
	}
}

static void of_stream(const struct scene *scene)
{
	const char *from = item_is(scene->item, "stream")
		? table_word(scene->table, scene->item, scene->operating_case, "from")
		: NULL;
	const char *to = from ? table_word(scene->table, scene->item, scene->operating_case, "to") : NULL;
	const struct item *source = from ? table_find(scene->table, from) : NULL;
	struct mixture mixture = {.mass = NULL};
	bool found = false;
	if (item_is(source, "condenser"))
		found = of_condenser(scene, source, &mixture);
	else if (item_is(source, "reboiler") && to && item_is(table_find(scene->table, to), "regenerator"))
		found = of_reboiler(scene, source, &mixture);
	if (!found)
		return;
	put_mixture(scene, &mixture);
	mixture.density = scene_get(scene, "density"); /* the stream's own goes before the calculated one */
	put_on_carriers(scene, &mixture);
}

void outlets_compute(struct table *table)
{
	scene_each(table, of_stream);
}
