#include "compute/medium.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/constants.h"
#include "chemistry/water.h"
#include "compute/discrepancy.h"
#include "compute/scene.h"
#include "resolve/equipment.h"

enum medium { MEDIUM_OTHER, MEDIUM_AIR, MEDIUM_WATER, MEDIUM_SEA_WATER, MEDIUM_OIL };

/* By the words of cooling-medium, heating-medium and service. */
static const struct {
	const char *word;
	enum medium medium;
	const char *site; /* attribute of the basis that gives its temperature as it is supplied */
} media[] = {
	{"air", MEDIUM_AIR, "air-temperature"},
	{"cooling water", MEDIUM_WATER, "water-temperature"},
	{"brackish water", MEDIUM_WATER, "water-temperature"},
	{"sea water", MEDIUM_SEA_WATER, "water-temperature"},
	{"hot water", MEDIUM_WATER, NULL},
	{"hot oil", MEDIUM_OIL, NULL},
};
enum { MEDIA = COUNT(media) };

/*
 * Heat capacities, J/(kg K), with what they may be wrong by. Air: dry at 35 degC 1007, with the water of a humid day 2 % more;
 * sea water of 35 g/kg at 25 degC 3994 (both from memory); heat-transfer oils between 2000 and 2700 from 150 to 300 degC, a
 * choice.
 */
static const struct {
	double heat_capacity, relative_error;
} heats[] = {[MEDIUM_AIR] = {1007, 0.02}, [MEDIUM_SEA_WATER] = {3994, 0.01}, [MEDIUM_OIL] = {2350, 0.15}};

static const double AIR_PER_MOLE = 0.028964;		 /* kg/mol, dry air: ISO 6976, from memory */
static const double OIL_DENSITY = 830, OIL_SPREAD = 0.1; /* kg/m3 hot, a choice with its spread */
static const double LIQUID_PRESSURE = 1e6; /* Pa: water in exchangers is kept from boiling; it weighs nothing here */
static const double WATER_ERROR = 0.005;   /* relative, of cooling water with its salts: a choice */

static size_t medium_row(const struct scene *scene)
{
	static const char *const names[] = {"cooling-medium", "heating-medium"};
	for (size_t i = 0; i < COUNT(names); i++) {
		const char *word = table_word(scene->table, scene->item, scene->operating_case, names[i]);
		for (size_t k = 0; word && k < MEDIA; k++)
			if (strcmp(media[k].word, word) == 0)
				return k;
	}
	return MEDIA;
}

/* ---- sides ---- */

/* The side in which a medium runs, or the one in which it does not; NULL: no side of the item says so. */
static const struct item *side_of(const struct scene *scene, bool of_medium)
{
	for (size_t i = scene->item->index + 1; i < table_parts_end(scene->table, scene->item); i++) {
		const struct item *side = table_item(scene->table, i);
		const char *service = item_in(side, CLASS_SIDE) && side->parent == scene->item
			? table_word(scene->table, side, scene->operating_case, "service")
			: NULL;
		bool is_medium = false;
		for (size_t k = 0; service && k < MEDIA; k++)
			is_medium = is_medium || strcmp(media[k].word, service) == 0;
		if (service && is_medium == of_medium && strcmp(service, "steam") != 0)
			return side;
	}
	return NULL;
}

static const struct item *end_of(const struct scene *scene, const struct item *side, const char *end)
{
	const struct item *stream = side ? table_follow(scene->table, side, scene->operating_case, end) : NULL;
	return item_is_any(stream, "stream gas") ? stream : NULL;
}

static void complete(const struct scene *scene, const char *name, const struct item *from, const char *there)
{
	if (from && !scene_stated(scene, name) && scene_get_of(scene, from, there))
		scene_take(scene, name, from, there);
}

/* A medium that nobody names by its word is that of its side. */
static size_t row_by_side(const struct scene *scene, const struct item *side)
{
	const char *service = side ? table_word(scene->table, side, scene->operating_case, "service") : NULL;
	size_t k = 0;
	while (service && k < MEDIA && strcmp(media[k].word, service) != 0)
		k++;
	return service ? k : MEDIA;
}

static void complete_ends(const struct scene *scene, const struct item *side, size_t row)
{
	const struct item *basis = table_sole(scene->table, "basis");
	complete(scene, "medium-inlet-temperature", end_of(scene, side, "inlet"), "temperature");
	complete(scene, "medium-outlet-temperature", end_of(scene, side, "outlet"), "temperature");
	complete(scene, "medium-flow", end_of(scene, side, "inlet"), "mass-flow");
	const struct item *inlet = end_of(scene, side, "inlet");
	if (row < MEDIA && media[row].site && !scene_get_of(scene, inlet, "temperature"))
		complete(scene, "medium-inlet-temperature", basis, media[row].site);
}

/* ---- duty ---- */

/* kg for each of the unit that the flow is stated in, at the inlet; NaN where it cannot be told. */
static double mass_for_each(const struct scene *scene, enum medium medium, enum kind kind, double t)
{
	const struct item *basis = table_sole(scene->table, "basis");
	const struct quantity *air = basis ? scene_get_of(scene, basis, "barometric-pressure") : NULL;
	double pressure = air && is_number(air) ? air->si : ATMOSPHERE;
	if (kind == KIND_MASS_FLOW)
		return 1;
	if (medium == MEDIUM_AIR)
		return kind == KIND_MOLAR_FLOW	? AIR_PER_MOLE
			: kind == KIND_GAS_FLOW ? pressure * AIR_PER_MOLE / (GAS_CONSTANT * t)
						: (double)NAN;
	if (kind != KIND_LIQUID_FLOW)
		return (double)NAN;
	return medium == MEDIUM_OIL	     ? OIL_DENSITY
		: medium == MEDIUM_SEA_WATER ? water_sea_density(t)
					     : water_liquid_density(t, LIQUID_PRESSURE);
}

static double heat_of(enum medium medium, double from, double to, double *relative)
{
	*relative = medium == MEDIUM_WATER ? WATER_ERROR : heats[medium].relative_error;
	if (medium == MEDIUM_WATER)
		return water_liquid_enthalpy(to, LIQUID_PRESSURE) - water_liquid_enthalpy(from, LIQUID_PRESSURE);
	return heats[medium].heat_capacity * (to - from);
}

/* Heat that the medium takes up, or gives where it leaves colder than it came. */
static void duty(const struct scene *scene, enum medium medium)
{
	struct input inputs[] = {input_rises(scene_input(scene, "m", "medium-flow")),
		scene_input(scene, "t_1", "medium-inlet-temperature"),
		scene_input(scene, "t_2", "medium-outlet-temperature")};
	if (medium == MEDIUM_OTHER || !inputs_known(inputs, 3))
		return;
	double from = inputs[1].quantity->si, to = inputs[2].quantity->si, relative;
	double flow = inputs[0].quantity->si * mass_for_each(scene, medium, inputs[0].quantity->kind, from);
	double heat = fabs(flow * heat_of(medium, from, to, &relative));
	if (medium == MEDIUM_OIL && inputs[0].quantity->kind == KIND_LIQUID_FLOW)
		relative = hypot(relative, OIL_SPREAD);
	double of_rise = hypot(inputs[1].quantity->uncertainty, inputs[2].quantity->uncertainty) / fabs(to - from);
	const struct quantity *found = scene_compute(scene, "medium-duty", KIND_POWER, heat,
		heat * hypot(relative, hypot(relative_uncertainty(inputs[0].quantity), of_rise)), FORMULA_MEDIUM_DUTY,
		inputs, 3);
	if (scene_describes(scene, scene->item, "duty"))
		discrepancy_put_and_explain(scene, "medium-duty-difference",
			scene_input_is("x", "heat of the medium", found), scene_input(scene, "y", "duty"));
}

/* ---- how near the process comes ---- */

static struct input process_end(const struct scene *scene, const char *symbol, const char *end)
{
	const struct item *named = table_follow(scene->table, scene->item, scene->operating_case, end);
	const struct item *side = end_of(scene, side_of(scene, false), end);
	if (strcmp(end, "outlet") == 0 && scene_get(scene, "outlet-temperature"))
		return scene_input(scene, symbol, "outlet-temperature");
	if (side)
		return scene_input_of(scene, side, symbol, "temperature");
	if (strcmp(end, "inlet") == 0)
		named = table_follow(scene->table, scene->item, scene->operating_case, "acid-gas");
	if (item_is(named, "stream"))
		return scene_input_of(scene, named, symbol, "temperature");
	return scene_input(scene, symbol, "outlet-temperature");
}

static void put_between(const struct scene *scene, const char *name, struct input x, struct input y)
{
	struct input inputs[] = {input_rises(x), input_falls(y)};
	scene_compute(scene, name, KIND_TEMPERATURE_DIFFERENCE, inputs[0].quantity->si - inputs[1].quantity->si,
		hypot(inputs[0].quantity->uncertainty, inputs[1].quantity->uncertainty), FORMULA_DIFFERENCE, inputs, 2);
}

static void nearness(const struct scene *scene)
{
	const struct quantity *in = scene_get(scene, "medium-inlet-temperature");
	const struct quantity *out = scene_get(scene, "medium-outlet-temperature");
	struct input leaves = process_end(scene, "x", "outlet");
	if (in)
		put_between(scene, "approach-to-medium", leaves, scene_input(scene, "y", "medium-inlet-temperature"));
	struct input enters = process_end(scene, "y", "inlet");
	if (out && (enters.item != scene->item))
		put_between(scene, "medium-over-process", scene_input(scene, "x", "medium-outlet-temperature"), enters);
}

static bool is_cooler(const struct scene *scene)
{
	return item_is_any(scene->item, "cooler condenser") ||
		(item_is(scene->item, "exchanger") &&
			table_word(scene->table, scene->item, scene->operating_case, "cooling-medium"));
}

static void of_item(const struct scene *scene)
{
	if (!item_is_any(scene->item, "cooler condenser exchanger reboiler"))
		return;
	const struct item *side = side_of(scene, true);
	size_t row = medium_row(scene);
	row = row < MEDIA ? row : row_by_side(scene, side);
	complete_ends(scene, side, row);
	duty(scene, row < MEDIA ? media[row].medium : MEDIUM_OTHER);
	if (is_cooler(scene))
		nearness(scene);
}

/* ---- make-up water ---- */

/* Added cold or warm, 5 to 45 degC: what nobody says moves its density by less than a hundredth. */
static void of_make_up(const struct scene *scene)
{
	const double usual = 298.15, spread = 0.006;
	struct arena *arena = table_arena(scene->table);
	struct input inputs[] = {input_rises(scene_input(scene, "Q", "flow")),
		input_rises(scene_input_is("rho", "density of water at 25 degC",
			quantity_assumed(arena, KIND_DENSITY, water_liquid_density(usual, ATMOSPHERE),
				spread * water_liquid_density(usual, ATMOSPHERE),
				"temperature not stated: 5 to 45 degC")))};
	const struct quantity *flow = scene_get(scene, "flow");
	if (!item_is(scene->item, "make-up-water") || !flow)
		return;
	if (flow->kind == KIND_MASS_FLOW)
		scene_take(scene, "mass-flow", scene->item, "flow");
	else if (flow->kind == KIND_LIQUID_FLOW)
		scene_compute(scene, "mass-flow", KIND_MASS_FLOW, inputs[0].quantity->si * inputs[1].quantity->si,
			inputs[1].quantity->si * inputs[0].quantity->uncertainty +
				inputs[0].quantity->si * inputs[1].quantity->uncertainty,
			FORMULA_MASS_FLOW, inputs, 2);
}

void medium_compute(struct table *table)
{
	scene_each(table, of_item);
	scene_each(table, of_make_up);
}
