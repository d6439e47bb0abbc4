#include "compute/tower.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"
#include "compute/derived.h"
#include "compute/outlets.h"
#include "compute/still.h"

static const double PI = 3.14159265358979323846;
static const double STANDARD_GRAVITY = 9.80665; /* m/s2 */
/* Fair's chart is for 20 mN/m; amine solutions have 45 to 60 at 40 to 120 degC (common knowledge, no source). */
static const double REFERENCE_TENSION = 0.02, AMINE_TENSION = 0.05;
/* Not taken up by a downcomer; one of 12 % of the tower is usual (common practice, no source). */
static const double NET_SHARE = 0.88;
/* Kister, Distillation Design, 1992, from memory: 0.73 to 0.80 of amine absorbers, 0.85 of amine regenerators. */
static const double ABSORBER_FACTOR = 0.75, REGENERATOR_FACTOR = 0.85;
static const double CORRELATION_ERROR = 0.15; /* relative, of both correlations */
static const double WATER = 1000;	      /* kg/m3 */

double tower_flow_parameter(double liquid, double vapour, double vapour_density, double liquid_density)
{
	return liquid / vapour * sqrt(vapour_density / liquid_density);
}

double tower_tray_flooding(
	double spacing, double parameter, double tension, double vapour_density, double liquid_density)
{
	double millimetres = spacing * 1000;
	double capacity = 0.0105 + 8.127e-4 * pow(millimetres, 0.755) * exp(-1.463 * pow(parameter, 0.842));
	return capacity * pow(tension / REFERENCE_TENSION, 0.2) *
		sqrt((liquid_density - vapour_density) / vapour_density);
}

double tower_packing_flooding(
	double factor, double parameter, double viscosity, double vapour_density, double liquid_density)
{
	if (!(parameter >= 0.01 && parameter <= 10))
		return (double)NAN;
	double x = log(parameter), relative = WATER / liquid_density, centipoise = viscosity * 1000;
	double load = exp(-3.7121 - 1.0371 * x - 0.1501 * x * x - 0.007544 * x * x * x);
	double of_density = -0.8787 + 2.6776 * relative - 0.6313 * relative * relative;
	double of_viscosity = 0.96 * pow(centipoise, 0.19);
	return sqrt(load * STANDARD_GRAVITY * WATER / (factor * vapour_density * of_density * of_viscosity));
}

/* ---- loads at the bottom ---- */

struct loads {
	struct input vapour, vapour_density, liquid, liquid_density; /* by mass: V, rho_v, L, rho_l */
	double system_factor;
	enum solution_place place;
	const char *result; /* the name of the share of flooding that they come to */
};

/* One of several towers in use takes its share, as nozzles and lines do not know: then nothing is said. */
static bool is_one(const struct scene *scene)
{
	const struct quantity *share = scene_get(scene, "in-use");
	return !share || (is_number(share) && share->si <= 1);
}

/*
 * Density of the liquid that a stream brings to a tray: of what flows in two phases that of its liquid, never that of the mixture,
 * which is some twentieth of it.
 */
static struct input liquid_density_of(const struct scene *scene, const struct item *stream)
{
	const struct item *of = stream ? stream : scene->item;
	const struct quantity *two_phase = scene_get_of(scene, of, "two-phase"),
			      *fraction = scene_get_of(scene, of, "vapour-fraction");
	bool mixed = quantity_truth(two_phase) == YES || (is_number(fraction) && fraction->si > 0) ||
		scene_get_of(scene, of, "liquid-density");
	return scene_input_of(scene, of, "rho_l", mixed ? "liquid-density" : "density");
}

static struct loads of_absorber(const struct scene *scene)
{
	const struct item *gas = table_follow(scene->table, scene->item, scene->operating_case, "gas");
	const struct item *rich = table_follow(scene->table, scene->item, scene->operating_case, "rich");
	return (struct loads){.vapour = input_rises(scene_input_of(scene, gas ? gas : scene->item, "V", "mass-flow")),
		.vapour_density = input_falls(scene_input_of(scene, gas ? gas : scene->item, "rho_v", "density")),
		.liquid = input_rises(scene_input_of(scene, rich ? rich : scene->item, "L", "mass-flow")),
		.liquid_density = liquid_density_of(scene, rich),
		.system_factor = ABSORBER_FACTOR,
		.place = PLACE_BOTTOM,
		.result = "flooding-screened"};
}

/* Treated gas and lean amine; no vapour where nobody describes them. */
static struct loads of_absorber_top(const struct scene *scene)
{
	const struct item *gas = table_follow(scene->table, scene->item, scene->operating_case, "treated");
	const struct item *lean = table_follow(scene->table, scene->item, scene->operating_case, "lean");
	if (!item_is(gas, "gas") || !item_is(lean, "stream") || !scene_get_of(scene, gas, "mass-flow"))
		return (struct loads){.result = NULL};
	return (struct loads){.vapour = input_rises(scene_input_of(scene, gas, "V", "mass-flow")),
		.vapour_density = input_falls(scene_input_of(scene, gas, "rho_v", "density")),
		.liquid = input_rises(scene_input_of(scene, lean, "L", "mass-flow")),
		.liquid_density = liquid_density_of(scene, lean),
		.system_factor = ABSORBER_FACTOR,
		.place = PLACE_TOP,
		.result = "flooding-at-top"};
}

/* On the tray of the feed: what goes to the condenser, and the feed; the reflux, a tenth of it and less, is not counted. */
static struct loads of_regenerator_top(const struct scene *scene)
{
	const struct item *overhead = table_follow(scene->table, scene->item, scene->operating_case, "acid-gas");
	const struct item *feed = table_follow(scene->table, scene->item, scene->operating_case, "feed");
	if (!item_is(overhead, "stream") || !item_is(feed, "stream") || !scene_get_of(scene, overhead, "mass-flow"))
		return (struct loads){.result = NULL};
	return (struct loads){.vapour = input_rises(scene_input_of(scene, overhead, "V", "mass-flow")),
		.vapour_density = input_falls(scene_input_of(scene, overhead, "rho_v", "density")),
		.liquid = input_rises(scene_input_of(scene, feed, "L", "mass-flow")),
		.liquid_density = liquid_density_of(scene, feed),
		.system_factor = REGENERATOR_FACTOR,
		.place = PLACE_FEED,
		.result = "flooding-at-top"};
}

static const struct quantity *boiled_up(const struct scene *scene)
{
	bool described = still_describes(scene, scene->item, "duty");
	struct input inputs[] = {
		described ? still_together(scene, scene->item, "E", "duty") : scene_input(scene, "E", "duty-asked"),
		scene_input(scene, "t", "bottom-temperature")};
	double vapour = outlets_boil_up(inputs[0].quantity->si, inputs[1].quantity->si);
	inputs[0] = input_rises(inputs[0]);
	return quantity_computed(table_arena(scene->table), KIND_MASS_FLOW, vapour,
		vapour * relative_uncertainty(inputs[0].quantity), &formulas[FORMULA_BOIL_UP], inputs, COUNT(inputs));
}

static struct loads of_regenerator(const struct scene *scene)
{
	const struct item *lean = table_follow(scene->table, scene->item, scene->operating_case, "lean");
	struct arena *arena = table_arena(scene->table);
	const struct quantity *steam = boiled_up(scene);
	struct input pressure = input_rises(scene_input(scene, "P", "bottom-pressure"));
	double at = pressure.quantity->si, density = water_steam_density(water_saturation_temperature(at), at);
	struct input flows[] = {input_rises(scene_input_of(scene, lean ? lean : scene->item, "m_0", "mass-flow")),
		input_rises(scene_input_is("m_v", "vapour of the reboilers", steam))};
	return (struct loads){.vapour = input_rises(scene_input_is("V", "vapour of the reboilers", steam)),
		.vapour_density = input_falls(scene_input_is("rho_v", "density of steam at the bottom",
			quantity_computed(arena, KIND_DENSITY, density, 0.05 * density,
				&formulas[FORMULA_STEAM_DENSITY], &pressure, 1))),
		.liquid = input_rises(scene_input_is("L", "lean and what is boiled up",
			quantity_computed(arena, KIND_MASS_FLOW, flows[0].quantity->si + flows[1].quantity->si, 0,
				&formulas[FORMULA_MIXED_FLOW], flows, COUNT(flows)))),
		.liquid_density = liquid_density_of(scene, lean),
		.system_factor = REGENERATOR_FACTOR,
		.place = PLACE_BOTTOM,
		.result = "flooding-screened"};
}

/* ---- against flooding ---- */

static void over_trays(const struct scene *scene, const struct loads *loads, struct input parameter)
{
	struct input inputs[] = {loads->vapour, loads->vapour_density, loads->liquid_density, input_rises(parameter),
		input_falls(scene_input(scene, "D", "diameter")), input_falls(scene_input(scene, "S", "tray-spacing"))};
	double density = inputs[1].quantity->si, diameter = inputs[4].quantity->si;
	double velocity = inputs[0].quantity->si / density / (NET_SHARE * PI * diameter * diameter / 4);
	double flooding = loads->system_factor *
		tower_tray_flooding(
			inputs[5].quantity->si, parameter.quantity->si, AMINE_TENSION, density, inputs[2].quantity->si);
	double share = velocity / flooding;
	scene_compute(scene, loads->result, KIND_SHARE, share,
		share * hypot(CORRELATION_ERROR, relative_uncertainty(inputs[0].quantity)), FORMULA_TRAY_FLOODING,
		inputs, COUNT(inputs));
}

static struct input viscosity_of(const struct scene *scene, enum solution_place place)
{
	struct stream_solution solution = solvent_state(scene, scene->item, place);
	struct property viscosity = solution.known
		? property_viscosity(solution.state.mass_fraction, solution.state.temperature, solution.state.loading)
		: (struct property){.value = (double)NAN};
	return scene_input_is("mu", "viscosity of the solution",
		quantity_computed(table_arena(scene->table), KIND_VISCOSITY, viscosity.value,
			viscosity.value * viscosity.uncertainty, &formulas[FORMULA_VISCOSITY], solution.inputs,
			solution.count));
}

static void over_packing(const struct scene *scene, const struct loads *loads, struct input parameter)
{
	struct input inputs[] = {loads->vapour, loads->vapour_density, loads->liquid_density, input_rises(parameter),
		input_rises(viscosity_of(scene, loads->place)), input_falls(scene_input(scene, "D", "diameter")),
		input_rises(scene_input(scene, "F_P", "packing-factor"))};
	double density = inputs[1].quantity->si, diameter = inputs[5].quantity->si;
	double velocity = inputs[0].quantity->si / density / (PI * diameter * diameter / 4);
	double flooding = tower_packing_flooding(inputs[6].quantity->si, parameter.quantity->si, inputs[4].quantity->si,
		density, inputs[2].quantity->si);
	double share = velocity / flooding;
	scene_compute(scene, loads->result, KIND_SHARE, share,
		share * hypot(CORRELATION_ERROR, relative_uncertainty(inputs[0].quantity)), FORMULA_PACKING_FLOODING,
		inputs, COUNT(inputs));
}

static void screen(const struct scene *scene, const struct loads *loads)
{
	struct input inputs[] = {loads->liquid, loads->vapour, loads->vapour_density, loads->liquid_density};
	double parameter = tower_flow_parameter(loads->liquid.quantity->si, loads->vapour.quantity->si,
		loads->vapour_density.quantity->si, loads->liquid_density.quantity->si);
	const struct quantity *computed = quantity_computed(table_arena(scene->table), KIND_RATIO, parameter, 0,
		&formulas[FORMULA_FLOW_PARAMETER], inputs, COUNT(inputs));
	if (loads->place == PLACE_BOTTOM)
		scene_put(scene, "flow-parameter", computed);
	struct input of = loads->place == PLACE_BOTTOM ? scene_input(scene, "F", "flow-parameter")
						       : scene_input_is("F", "flow parameter at the top", computed);
	if (scene_get(scene, "tray-spacing"))
		over_trays(scene, loads, of);
	else
		over_packing(scene, loads, of);
}

static void screen_both_ends(const struct scene *scene)
{
	bool trays = scene_get(scene, "tray-spacing"), packing = scene_get(scene, "packing-factor");
	bool absorber = item_is(scene->item, "absorber");
	if (trays == packing || !scene_get(scene, "diameter") || !is_one(scene))
		return;
	struct loads bottom = absorber ? of_absorber(scene) : of_regenerator(scene);
	struct loads top = absorber ? of_absorber_top(scene) : of_regenerator_top(scene);
	screen(scene, &bottom);
	if (top.result)
		screen(scene, &top);
}

/* The end that is loaded more; where the bottom is not known neither is the tower. */
static const char *loaded_more(const struct scene *scene)
{
	const struct quantity *bottom = scene_get(scene, "flooding-screened"),
			      *top = scene_get(scene, "flooding-at-top");
	return is_number(bottom) && is_number(top) && top->si > bottom->si ? "flooding-at-top" : "flooding-screened";
}

/* All the liquid of the tray above runs down there. */
static void downcomer(const struct scene *scene)
{
	const struct item *stream = table_follow(
		scene->table, scene->item, scene->operating_case, item_is(scene->item, "absorber") ? "rich" : "lean");
	if (!scene_get(scene, "downcomer-area") || !is_one(scene) || !item_is(stream, "stream"))
		return;
	struct input inputs[] = {input_rises(scene_input_of(scene, stream, "Q", "volume-flow")),
		input_falls(scene_input(scene, "A", "downcomer-area"))};
	double velocity = inputs[0].quantity->si / inputs[1].quantity->si;
	scene_compute(scene, "downcomer-velocity", KIND_VELOCITY, velocity,
		velocity * relative_uncertainty(inputs[0].quantity), FORMULA_DOWNCOMER, inputs, COUNT(inputs));
}

static void of_item(const struct scene *scene)
{
	if (!item_is_any(scene->item, "absorber regenerator"))
		return;
	screen_both_ends(scene);
	downcomer(scene);
	if (derived_is_stated(scene, scene->item, "flooding"))
		scene_take(scene, "flooding-judged", scene->item, "flooding");
	else if (scene_get(scene, "flooding-screened"))
		scene_take(scene, "flooding-judged", scene->item, loaded_more(scene));
}

void tower_compute(struct table *table)
{
	scene_each(table, of_item);
}
