#include "compute/medium.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/constants.h"
#include "chemistry/water.h"
#include "compute/derived.h"
#include "compute/discrepancy.h"
#include "resolve/equipment.h"

enum medium { MEDIUM_OTHER, MEDIUM_AIR, MEDIUM_WATER, MEDIUM_SEA_WATER, MEDIUM_OIL, MEDIUM_GLYCOL };

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
	{"glycol water", MEDIUM_GLYCOL, NULL},
};
enum { MEDIA = COUNT(media) };

/*
 * What is taken where no heat capacity is stated, J/(kg K), with the share that it may be wrong by. Air: dry at 35 degC 1007, with
 * the water of a humid day 2 % more; sea water of 35 g/kg at 25 degC 3994 (both from memory); heat-transfer oils between 2000 and
 * 2700 from 150 to 300 degC, and ethylene glycol with as much water between 3300 and 3700 from 20 to 100 degC (from memory, a
 * choice of the middle).
 */
static const struct {
	double heat_capacity, relative_error;
	const char *reason;
} heats[] = {[MEDIUM_AIR] = {1007, 0.02, "dry air at 35 degC, from memory"},
	[MEDIUM_SEA_WATER] = {3994, 0.01, "sea water of 35 g/kg at 25 degC, from memory"},
	[MEDIUM_OIL] = {2350, 0.15,
		"heat-transfer oils have 2000 to 2700 J/(kg K), from memory: state its heat capacity"},
	[MEDIUM_GLYCOL] = {
		3500, 0.06, "half glycol, half water: 3300 to 3700 J/(kg K), from memory: state its heat capacity"}};

static const double AIR_PER_MOLE = 0.028964;		 /* kg/mol, dry air: ISO 6976, from memory */
static const double OIL_DENSITY = 830, OIL_SPREAD = 0.1; /* kg/m3 hot, a choice with its spread */
static const double GLYCOL_DENSITY = 1045,
		    GLYCOL_SPREAD = 0.03;  /* kg/m3, half glycol, half water; from memory, with its spread */
static const double LIQUID_PRESSURE = 1e6; /* Pa: water in exchangers is kept from boiling; it weighs nothing here */
static const double WATER_ERROR = 0.005;   /* relative, of cooling water with its salts: a choice */

/* MEDIA: no medium has this word, or there is none. */
static size_t row_of(const char *word)
{
	size_t k = 0;
	while (word && k < MEDIA && strcmp(media[k].word, word) != 0)
		k++;
	return word ? k : MEDIA;
}

static size_t medium_row(const struct scene *scene)
{
	static const char *const names[] = {"cooling-medium", "heating-medium"};
	for (size_t i = 0; i < COUNT(names); i++) {
		size_t row = row_of(table_word(scene->table, scene->item, scene->operating_case, names[i]));
		if (row < MEDIA)
			return row;
	}
	return scene_get(scene, "hot-oil-temperature") ? row_of("hot oil") : MEDIA;
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
		if (service && (row_of(service) < MEDIA) == of_medium && strcmp(service, "steam") != 0)
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
	return row_of(side ? table_word(scene->table, side, scene->operating_case, "service") : NULL);
}

static void complete_ends(const struct scene *scene, const struct item *side, size_t row)
{
	const struct item *basis = table_sole(scene->table, "basis");
	complete(scene, "medium-inlet-temperature", side, "inlet-temperature");
	complete(scene, "medium-outlet-temperature", side, "outlet-temperature");
	complete(scene, "medium-flow", side, "mass-flow");
	complete(scene, "medium-inlet-temperature", end_of(scene, side, "inlet"), "temperature");
	complete(scene, "medium-outlet-temperature", end_of(scene, side, "outlet"), "temperature");
	complete(scene, "medium-flow", end_of(scene, side, "inlet"), "mass-flow");
	complete(scene, "medium-inlet-temperature", scene->item, "hot-oil-temperature");
	const struct item *inlet = end_of(scene, side, "inlet");
	bool told = scene_get_of(scene, inlet, "temperature") || scene_get_of(scene, side, "inlet-temperature");
	if (row < MEDIA && media[row].site && !told)
		complete(scene, "medium-inlet-temperature", basis, media[row].site);
}

/* ---- duty ---- */

/* The density that a volume of liquid is weighed with, at the inlet: as stated, else that of the medium. */
static struct input density_of(const struct scene *scene, enum medium medium, double t)
{
	struct arena *arena = table_arena(scene->table);
	double density = medium == MEDIUM_OIL ? OIL_DENSITY
		: medium == MEDIUM_GLYCOL     ? GLYCOL_DENSITY
		: medium == MEDIUM_SEA_WATER  ? water_sea_density(t)
		: medium == MEDIUM_WATER      ? water_liquid_density(t, LIQUID_PRESSURE)
					      : (double)NAN;
	double spread = medium == MEDIUM_OIL ? OIL_SPREAD : medium == MEDIUM_GLYCOL ? GLYCOL_SPREAD : 0;
	if (scene_get(scene, "medium-density") || isnan(density))
		return input_rises(scene_input(scene, "rho", "medium-density"));
	return scene_input_is("rho", "density of the medium",
		quantity_assumed(arena, KIND_DENSITY, density, spread * density, "of the medium, not stated"));
}

/* kg for each mole or cubic metre of a gas at the site; NaN of a liquid. */
static double mass_of_gas(const struct scene *scene, enum medium medium, enum kind kind, double t)
{
	const struct item *basis = table_sole(scene->table, "basis");
	const struct quantity *air = basis ? scene_get_of(scene, basis, "barometric-pressure") : NULL;
	double pressure = air && is_number(air) ? air->si : ATMOSPHERE;
	if (medium != MEDIUM_AIR)
		return (double)NAN;
	return kind == KIND_MOLAR_FLOW	? AIR_PER_MOLE
		: kind == KIND_GAS_FLOW ? pressure * AIR_PER_MOLE / (GAS_CONSTANT * t)
					: (double)NAN;
}

/* As stated, else of the medium; of water nothing, whose enthalpies are known. */
static struct input heat_capacity_of(const struct scene *scene, enum medium medium)
{
	bool general = medium != MEDIUM_OTHER && medium != MEDIUM_WATER && !scene_get(scene, "medium-heat-capacity");
	if (!general)
		return input_rises(scene_input(scene, "c", "medium-heat-capacity"));
	double capacity = heats[medium].heat_capacity;
	return scene_input_is("c", "heat capacity of the medium",
		quantity_assumed(table_arena(scene->table), KIND_HEAT_CAPACITY, capacity,
			heats[medium].relative_error * capacity, heats[medium].reason));
}

/* kg for each unit of the flow: of a liquid by the density, which joins the inputs. */
static double mass_of(
	const struct scene *scene, enum medium medium, enum kind kind, double t, struct input inputs[5], size_t *count)
{
	if (kind == KIND_MASS_FLOW)
		return 1;
	if (kind != KIND_LIQUID_FLOW)
		return mass_of_gas(scene, medium, kind, t);
	inputs[*count] = density_of(scene, medium, t);
	return inputs[(*count)++].quantity->si;
}

/* Heat that the medium takes up, or gives where it leaves colder than it came, in W; NULL: not to be told. */
static const struct quantity *heat_of(const struct scene *scene, enum medium medium)
{
	struct input given[] = {input_rises(scene_input(scene, "m", "medium-flow")),
		scene_input(scene, "t_1", "medium-inlet-temperature"),
		scene_input(scene, "t_2", "medium-outlet-temperature")};
	const struct quantity *flow = given[0].quantity, *in = given[1].quantity, *out = given[2].quantity;
	struct input inputs[5], capacity = heat_capacity_of(scene, medium);
	bool by_enthalpy = medium == MEDIUM_WATER && capacity.quantity->known == UNKNOWN;
	size_t count = COUNT(given);
	if (!inputs_known(given, COUNT(given)) || (!by_enthalpy && !inputs_known(&capacity, 1)))
		return NULL;
	memcpy(inputs, given, sizeof given);
	double mass = mass_of(scene, medium, flow->kind, in->si, inputs, &count);
	double rise = by_enthalpy
		? water_liquid_enthalpy(out->si, LIQUID_PRESSURE) - water_liquid_enthalpy(in->si, LIQUID_PRESSURE)
		: capacity.quantity->si * (out->si - in->si);
	if (!by_enthalpy)
		inputs[count++] = capacity;
	double error = hypot(in->uncertainty, out->uncertainty) / fabs(out->si - in->si);
	error = hypot(error, by_enthalpy ? WATER_ERROR : relative_uncertainty(capacity.quantity));
	error = hypot(error, relative_uncertainty(flow));
	if (flow->kind == KIND_LIQUID_FLOW)
		error = hypot(error, relative_uncertainty(inputs[COUNT(given)].quantity));
	double heat = fabs(flow->si * mass * rise);
	return quantity_computed(table_arena(scene->table), KIND_POWER, heat, heat * error,
		&formulas[by_enthalpy ? FORMULA_MEDIUM_DUTY : FORMULA_MEDIUM_HEAT], inputs, count);
}

bool medium_is_duty(const struct quantity *duty)
{
	return duty->formula == &formulas[FORMULA_MEDIUM_DUTY] || duty->formula == &formulas[FORMULA_MEDIUM_HEAT];
}

/* Where no duty is stated it is that of the medium, until the process side gives a better one. */
static void duty(const struct scene *scene, enum medium medium)
{
	const struct quantity *found = heat_of(scene, medium);
	if (!found || (found->known != UNKNOWN && isnan(found->si)))
		return;
	const struct quantity *other = scene_get(scene, "duty");
	scene_put(scene, "medium-duty", found);
	if (!scene_stated(scene, "duty") && is_number(found) && (!other || medium_is_duty(other)))
		scene_put(scene, "duty", found);
	if (derived_is_stated(scene, scene->item, "duty"))
		discrepancy_put_and_explain(scene, "medium-duty-difference",
			scene_input_is("x", "heat of the medium", found), scene_input(scene, "y", "duty"));
}

/* ---- how near the process comes ---- */

static struct input process_end(const struct scene *scene, const char *symbol, const char *end)
{
	const struct item *named = table_follow(scene->table, scene->item, scene->operating_case, end);
	const struct item *process = side_of(scene, false), *side = end_of(scene, process, end);
	const char *own = strcmp(end, "outlet") == 0 ? "outlet-temperature" : "inlet-temperature";
	if (strcmp(end, "outlet") == 0 && scene_get(scene, "outlet-temperature"))
		return scene_input(scene, symbol, "outlet-temperature");
	if (side)
		return scene_input_of(scene, side, symbol, "temperature");
	if (scene_get_of(scene, process, own))
		return scene_input_of(scene, process, symbol, own);
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

/* Of a medium that the site supplies the temperature is asked for; of another it is looked at where it is stated. */
static void nearness(const struct scene *scene, size_t row)
{
	const struct quantity *in = scene_get(scene, "medium-inlet-temperature");
	const struct quantity *out = scene_get(scene, "medium-outlet-temperature");
	struct input leaves = process_end(scene, "x", "outlet");
	if (in || (row < MEDIA && media[row].site))
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
		nearness(scene, row);
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
