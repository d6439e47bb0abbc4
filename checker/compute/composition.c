#include "compute/composition.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "compute/contents.h"

/* Contents that sum to one within this are the whole: what is lost in the rounding of an analysis. A choice. */
static const double ROUNDING = 0.005;
/* So much that nobody names may be taken for light hydrocarbon, methane to propane: a choice, its spread counted. */
static const double SMALL_REST = 0.05, REST_MOLAR_MASS = 0.030, REST_SPREAD = 0.014; /* mol/mol, kg/mol */

static bool stated_number(const struct quantity *quantity)
{
	return quantity && quantity->known != UNKNOWN && kind_is_number(quantity->kind);
}

/* ---- contents ---- */

/* What a reading of the contents finds, on the basis on which they are stated; bounds are in it at their bounds. */
struct contents {
	double share[COMPONENT_COUNT], error[COMPONENT_COUNT]; /* mol/mol */
	double water;					       /* mol/mol, where stated */
	bool water_stated;
	struct input open; /* a content that is owed; its quantity NULL: none is */
};

static void read_content(
	const struct scene *scene, const struct item *gas, size_t i, struct contents *contents, struct composition *out)
{
	const struct component_row *row = &component_rows[i];
	const struct quantity *stated = scene_get_of(scene, gas, row->name);
	if (stated && stated->known == UNKNOWN)
		contents->open = scene_input_of(scene, gas, "y", row->name);
	if (!stated_number(stated))
		return;
	double per = stated->kind == KIND_GAS_MASS_CONTENT ? row->molar_mass : 1;
	contents->share[i] = stated->si / per;
	contents->error[i] = stated->uncertainty / per;
	if (!(stated->si > 0))
		return;
	out->component[out->count] = (enum component)i;
	out->inputs[out->count++] = scene_input_is(arena_format(table_arena(scene->table), "y_%s", row->name),
		arena_of(table_arena(scene->table), row->name, gas->tag), stated);
}

static struct contents read_contents(const struct scene *scene, const struct item *gas, struct composition *out)
{
	struct contents contents = {.open = {.quantity = NULL}};
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		read_content(scene, gas, i, &contents, out);
	contents.water = contents.share[COMPONENT_WATER];
	contents.water_stated = stated_number(scene_get_of(scene, gas, component_rows[COMPONENT_WATER].name));
	contents.share[COMPONENT_WATER] = contents.error[COMPONENT_WATER] = 0;
	return contents;
}

static double sum_of(const double share[COMPONENT_COUNT])
{
	double sum = 0;
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		sum += share[i];
	return sum;
}

/* Contents by mole of dry gas: those stated beside a share of water that completes them were of the wet gas. */
static void to_dry_basis(struct contents *contents)
{
	if (contents->water > 0 && contents->water < 1 && sum_of(contents->share) <= 1 - contents->water + ROUNDING)
		for (size_t i = 0; i < COMPONENT_COUNT; i++) {
			contents->share[i] /= 1 - contents->water;
			contents->error[i] /= 1 - contents->water;
		}
}

/* ---- molar mass ---- */

static const struct quantity *by_gravity(const struct scene *scene, const struct item *gas)
{
	struct arena *arena = table_arena(scene->table);
	struct input inputs[] = {input_rises(scene_input_of(scene, gas, "g", "gravity")),
		scene_input_is("M_air", "molar mass of air",
			quantity_constant(arena, KIND_MOLAR_MASS, AIR_MOLAR_MASS, "ISO 6976, from memory"))};
	return quantity_computed(arena, KIND_MOLAR_MASS, inputs[0].quantity->si * AIR_MOLAR_MASS,
		inputs[0].quantity->uncertainty * AIR_MOLAR_MASS, &formulas[FORMULA_MASS_BY_GRAVITY], inputs, 2);
}

/* Molar mass of the gas as a document gives it, unknown where it is owed; NULL: nobody speaks of it. */
static const struct quantity *stated_mass(const struct scene *scene, const struct item *gas)
{
	const struct quantity *mass = table_stated(scene->table, gas, scene->operating_case, "molar-mass");
	if (mass) {
		table_read(scene->table, gas, "molar-mass", mass);
		return mass;
	}
	return scene_get_of(scene, gas, "gravity") ? by_gravity(scene, gas) : NULL;
}

/* The feed of the absorber that makes a treated gas, or NULL. */
static const struct item *feed_of(const struct scene *scene, const struct item *treated)
{
	struct items absorbers = table_of_kind(scene->table, "absorber");
	for (size_t i = 0; i < absorbers.count; i++) {
		const struct item *absorber = absorbers.rows[i];
		const char *made = table_word(scene->table, absorber, scene->operating_case, "treated");
		const char *feed = table_word(scene->table, absorber, scene->operating_case, "gas");
		const struct item *gas = feed ? table_find(scene->table, feed) : NULL;
		if (made && strcmp(made, treated->tag) == 0 && gas != treated && item_is(gas, "gas"))
			return gas;
	}
	return NULL;
}

static bool is_acid(size_t i)
{
	return i == COMPONENT_HYDROGEN_SULFIDE || i == COMPONENT_CARBON_DIOXIDE;
}

enum { ABSORBERS_IN_SERIES = 4 }; /* so far a gas is followed upstream: what circles ends, too */

static struct composition composition_after(const struct scene *scene, const struct item *gas, int absorbers);

/* How far a content that is only a bound moves a molar mass, where `other` (kg/mol) makes room for it or fills its place. */
static void weigh(struct input *input, double component, double other, double most, double mass, double *error)
{
	double moved = input->quantity->bound == BOUND_BELOW ? -most : 1 - most;
	double difference = moved * (component - other), margin = hypot(*error, GAS_UNCERTAINTY * mass);

	if (!is_bound(input->quantity))
		return;
	if (fabs(difference) <= margin) {
		*error = hypot(*error, difference);
		input->effect = EFFECT_WITHIN;
	} else {
		input->effect = component > other ? EFFECT_RISES : EFFECT_FALLS;
	}
}

/* A share of the feed that is taken out of its molar mass; nobody stating it is none of it only beside a whole analysis. */
static void take_out(const struct scene *scene, const struct item *feed, const struct composition *whole,
	enum component component, struct composition *rest)
{
	const struct component_row *row = &component_rows[component];
	const char *symbol = arena_format(table_arena(scene->table), "y_%s", row->name);

	rest->component[rest->count] = component;
	if (!whole->complete || scene_get_of(scene, feed, row->name))
		rest->inputs[rest->count++] = scene_input_of(scene, feed, symbol, row->name);
}

/* Molar mass of the feed without its H2S and CO2. */
static const struct quantity *mass_of_rest(
	const struct scene *scene, const struct item *feed, const struct composition *whole)
{
	struct composition rest = {.count = 1};
	double sum = 1 - whole->dry[COMPONENT_HYDROGEN_SULFIDE] - whole->dry[COMPONENT_CARBON_DIOXIDE];
	double mass = whole->mass->si, error = whole->mass->uncertainty;

	rest.inputs[0] = input_rises(scene_input_is(
		"M", arena_format(table_arena(scene->table), "molar mass of %s, dry", feed->tag), whole->mass));
	take_out(scene, feed, whole, COMPONENT_HYDROGEN_SULFIDE, &rest);
	take_out(scene, feed, whole, COMPONENT_CARBON_DIOXIDE, &rest);
	for (size_t i = 1; i < rest.count; i++)
		mass -= whole->dry[rest.component[i]] * component_rows[rest.component[i]].molar_mass;
	mass /= sum;
	for (size_t i = 1; i < rest.count; i++)
		error += rest.inputs[i].quantity->uncertainty *
			fabs(component_rows[rest.component[i]].molar_mass - mass);
	error /= sum;
	for (size_t i = 1; i < rest.count; i++)
		weigh(&rest.inputs[i], mass, component_rows[rest.component[i]].molar_mass,
			whole->dry[rest.component[i]] / sum, mass, &error);
	return quantity_computed(table_arena(scene->table), KIND_MOLAR_MASS, mass, error,
		&formulas[FORMULA_MOLAR_MASS_OF_REST], rest.inputs, rest.count);
}

/* What a treated gas has of its feed. */
struct of_feed {
	const struct quantity
		*mass; /* molar mass of the feed without its H2S and CO2; NULL: nothing is known of a feed */
	double share[COMPONENT_COUNT]; /* of the feed without them; of H2S and CO2 those of the feed with them */
};

static struct of_feed rest_of_feed(const struct scene *scene, const struct item *gas, int absorbers)
{
	struct of_feed found = {.mass = NULL};
	const struct item *feed = feed_of(scene, gas);
	if (!feed || absorbers == ABSORBERS_IN_SERIES)
		return found;
	struct composition whole = composition_after(scene, feed, absorbers + 1);
	double sum = 1 - whole.dry[COMPONENT_HYDROGEN_SULFIDE] - whole.dry[COMPONENT_CARBON_DIOXIDE];
	if (whole.mass->known == UNKNOWN || !(sum > ROUNDING)) {
		found.mass = whole.mass->owed ? whole.mass : NULL;
		return found;
	}
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		found.share[i] = whole.dry[i] / (is_acid(i) ? 1 : sum);
	found.mass = mass_of_rest(scene, feed, &whole);
	return found;
}

static const struct quantity *computed_mass(
	const struct scene *scene, const struct composition *out, double error, enum formula_code formula)
{
	double mass = gas_molar_mass(out->dry);
	return quantity_computed(
		table_arena(scene->table), KIND_MOLAR_MASS, mass, error, &formulas[formula], out->inputs, out->count);
}

/* Unknown as what it lacks is, and owed where that is. */
static const struct quantity *lacking_mass(const struct scene *scene, struct input lacking)
{
	return quantity_computed(table_arena(scene->table), KIND_MOLAR_MASS, (double)NAN, 0,
		&formulas[FORMULA_MOLAR_MASS_OF_GAS], &lacking, 1);
}

static const struct quantity *unknown_mass(const struct scene *scene, const char *reason)
{
	return quantity_unknown(table_arena(scene->table), KIND_MOLAR_MASS, reason);
}

/* ---- the whole ---- */

static void take_contents(struct composition *out, const struct contents *contents, double sum)
{
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		out->dry[i] = contents->share[i] / sum;
}

static double spread_of(const struct contents *contents, double mass)
{
	double error = 0;
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		error += fabs(component_rows[i].molar_mass - mass) * contents->error[i];
	return error;
}

/*
 * Of the contents that are bounds. `other`: molar mass of what makes room for them, where that is known; NaN where it may be
 * all else as well as what nobody names, so that of a bound which counts nothing follows.
 */
static void weigh_contents(struct composition *out, double other, double *error)
{
	double mass = gas_molar_mass(out->dry);

	for (size_t i = 0; i < out->count; i++) {
		enum component at = out->component[i];
		struct input *input = &out->inputs[i];
		if (at == COMPONENT_WATER)
			input->effect = EFFECT_WITHIN; /* it is of the gas without its water */
		if (at == COMPONENT_COUNT || at == COMPONENT_WATER || !is_bound(input->quantity))
			continue;
		double share = out->dry[at], of_one = component_rows[at].molar_mass;
		double difference = fmax(fabs(of_one - (mass - share * of_one) / (1 - share)),
			fabs(of_one - REST_MOLAR_MASS) + REST_SPREAD);
		if (isfinite(other))
			weigh(input, of_one, other, share, mass, error);
		else
			weigh(input, difference, 0, share, mass, error);
		if (!isfinite(other) && input->effect != EFFECT_WITHIN)
			input->effect = EFFECT_UNSAID;
	}
}

/*
 * Whether the molar mass stated beside all contents is that of the gas with its water: the nearer of the two readings counts, since
 * documents give either.
 */
static bool counts_water(const struct contents *contents, double dry, double stated)
{
	double wet = dry + contents->water * (component_rows[COMPONENT_WATER].molar_mass - dry);
	return contents->water > 0 && contents->water < 1 && fabs(stated - wet) < fabs(stated - dry);
}

/* The contents are all there is. */
static void complete(const struct scene *scene, const struct contents *contents, const struct quantity *stated,
	struct composition *out)
{
	take_contents(out, contents, sum_of(contents->share));
	out->complete = true;
	double mass = gas_molar_mass(out->dry), error = spread_of(contents, mass);
	weigh_contents(out, (double)NAN, &error);
	out->spread = error / mass;
	out->mass = stated && !counts_water(contents, mass, stated->si)
		? stated
		: computed_mass(scene, out, error, FORMULA_MOLAR_MASS_OF_GAS);
}

/* A rest of the molar mass that the stated one of the whole asks for. */
static void with_rest_by_mass(const struct scene *scene, const struct item *gas, const struct contents *contents,
	const struct quantity *stated, struct composition *out)
{
	double rest = 1 - sum_of(contents->share);
	double mass = (stated->si - gas_molar_mass(contents->share)) / rest;
	take_contents(out, contents, 1);
	out->component[out->count] = COMPONENT_COUNT;
	out->inputs[out->count++] =
		scene_input_is("M", arena_format(table_arena(scene->table), "molar mass of %s", gas->tag), stated);
	out->mass = stated;
	if (!gas_add_by_molar_mass(out->dry, rest, mass))
		out->mass = unknown_mass(scene,
			arena_format(table_arena(scene->table),
				"the molar mass of %s leaves %s g/mol to what its contents leave over, which is no gas",
				gas->tag, number_show(table_arena(scene->table), mass * 1000)));
}

/* Of what `dry` holds, its rest too; `other` as in weigh_contents. */
static void put_mass(
	const struct scene *scene, struct composition *out, double other, double error, enum formula_code formula)
{
	weigh_contents(out, other, &error);
	out->spread = error / gas_molar_mass(out->dry);
	out->mass = computed_mass(scene, out, error, formula);
}

/*
 * H2S or CO2 that nobody states of the treated gas lies between none and what the feed holds: the uncertainty grows by that
 * where it is little. Which of the two is not, or COMPONENT_COUNT.
 */
static size_t open_acid(const struct scene *scene, const struct item *gas, const struct of_feed *feed, double *error)
{
	double mass = feed->mass->si, margin = hypot(*error, GAS_UNCERTAINTY * mass);

	for (size_t i = 0; i < COMPONENT_COUNT; i++) {
		double difference = feed->share[i] * (component_rows[i].molar_mass - mass);
		if (!is_acid(i) || scene_get_of(scene, gas, component_rows[i].name))
			continue;
		if (fabs(difference) > margin)
			return i;
		*error = hypot(*error, difference);
	}
	return COMPONENT_COUNT;
}

static void with_rest_as_feed(const struct scene *scene, const struct item *gas, const struct contents *contents,
	const struct of_feed *feed, struct composition *out)
{
	double rest = 1 - sum_of(contents->share);
	struct input of_rest =
		input_rises(scene_input_is("M_r", "molar mass of its feed without H2S and CO2", feed->mass));

	out->component[out->count] = COMPONENT_COUNT;
	out->inputs[out->count++] = of_rest;
	if (feed->mass->known == UNKNOWN) {
		out->mass = lacking_mass(scene, of_rest);
		return;
	}
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		out->dry[i] += is_acid(i) ? 0 : rest * feed->share[i];
	double error = spread_of(contents, gas_molar_mass(out->dry)) + rest * feed->mass->uncertainty;
	size_t open = open_acid(scene, gas, feed, &error);
	if (open < COMPONENT_COUNT)
		out->mass = lacking_mass(scene, scene_input_of(scene, gas, "y", component_rows[open].name));
	else
		put_mass(scene, out, feed->mass->si, error, FORMULA_MOLAR_MASS_AS_FEED);
}

static void with_rest(const struct scene *scene, const struct item *gas, int absorbers, const struct contents *contents,
	struct composition *out)
{
	double rest = 1 - sum_of(contents->share);
	struct of_feed feed = rest_of_feed(scene, gas, absorbers);
	bool as_feed = feed.mass && (feed.mass->known != UNKNOWN || feed.mass->owed || rest > SMALL_REST);
	take_contents(out, contents, 1);
	if (as_feed) {
		with_rest_as_feed(scene, gas, contents, &feed, out);
	} else if (rest <= SMALL_REST) {
		gas_add_by_molar_mass(out->dry, rest, REST_MOLAR_MASS);
		put_mass(scene, out, (double)NAN, spread_of(contents, gas_molar_mass(out->dry)) + rest * REST_SPREAD,
			FORMULA_MOLAR_MASS_SMALL_REST);
	} else {
		out->mass = unknown_mass(
			scene, arena_format(table_arena(scene->table), "molar-mass of %s is not stated", gas->tag));
	}
}

static void find_wetness(
	const struct scene *scene, const struct item *gas, const struct contents *contents, struct composition *out)
{
	const struct quantity *saturated = scene_get_of(scene, gas, "water-saturated");
	const char *role = table_word(scene->table, gas, scene->operating_case, "role");
	bool from_amine = role &&
		(strcmp(role, "treated") == 0 || strcmp(role, "acid gas") == 0 || strcmp(role, "flash gas") == 0);
	out->water = contents->water;
	if (contents->water_stated)
		out->wetness = WETNESS_STATED;
	else if (saturated && saturated->known == UNKNOWN)
		out->wetness = WETNESS_UNKNOWN;
	else if (saturated)
		out->wetness = saturated->si > 0 ? WETNESS_SATURATED : WETNESS_STATED;
	else
		out->wetness = from_amine ? WETNESS_SATURATED : WETNESS_UNKNOWN;
}

static struct composition composition_after(const struct scene *scene, const struct item *gas, int absorbers)
{
	struct composition out = {.count = 0};
	struct contents contents = read_contents(scene, gas, &out);
	const struct quantity *stated = stated_mass(scene, gas);
	find_wetness(scene, gas, &contents, &out);
	to_dry_basis(&contents);
	double sum = sum_of(contents.share);
	if (contents.open.quantity)
		out.mass = lacking_mass(scene, contents.open);
	else if (stated && stated->known == UNKNOWN)
		out.mass = stated;
	else if (sum > 1 + 4 * ROUNDING)
		out.mass = unknown_mass(scene,
			arena_format(table_arena(scene->table), "the contents of %s add up to %s %%", gas->tag,
				number_show(table_arena(scene->table), sum * 100)));
	else if (sum >= 1 - ROUNDING)
		complete(scene, &contents, stated, &out);
	else if (stated)
		with_rest_by_mass(scene, gas, &contents, stated, &out);
	else
		with_rest(scene, gas, absorbers, &contents, &out);
	return out;
}

struct composition composition_of_gas(const struct scene *scene, const struct item *gas)
{
	return composition_after(scene, gas, 0);
}

/* What the amine gives up of one gas, per mole of amine. */
static double given_up(const struct composition *out, size_t rich, size_t lean, double *error)
{
	*error = out->inputs[rich].quantity->uncertainty + out->inputs[lean].quantity->uncertainty;
	return out->inputs[rich].quantity->si - out->inputs[lean].quantity->si;
}

static double mass_of_two(double h2s, double co2)
{
	return (h2s * MOLAR_MASS_H2S + co2 * MOLAR_MASS_CO2) / (h2s + co2);
}

/* Of the rich and the lean loadings that are bounds: the more H2S is given up, the lighter the gas. "<..." may be none. */
static void weigh_loadings(struct composition *out, double h2s, double co2, double *error)
{
	static const enum effect effects[] = {EFFECT_FALLS, EFFECT_RISES, EFFECT_RISES, EFFECT_FALLS};
	double mass = mass_of_two(h2s, co2);

	for (size_t i = 0; i < out->count; i++) {
		const struct quantity *loading = out->inputs[i].quantity;
		double less = i % 2 ? loading->si : -loading->si;
		double difference = mass_of_two(h2s + (i < 2 ? less : 0), co2 + (i < 2 ? 0 : less)) - mass;
		out->inputs[i].effect = effects[i];
		if (loading->bound != BOUND_BELOW || !(fabs(difference) <= hypot(*error, GAS_UNCERTAINTY * mass)))
			continue;
		*error = hypot(*error, difference);
		out->inputs[i].effect = EFFECT_WITHIN;
	}
}

struct composition composition_of_stripped(const struct scene *scene, const struct item *regenerator)
{
	struct composition out = {.wetness = WETNESS_SATURATED};
	const char *feed = table_word(scene->table, regenerator, scene->operating_case, "feed");
	const char *lean = table_word(scene->table, regenerator, scene->operating_case, "lean");
	const struct item *from = feed ? table_find(scene->table, feed) : NULL;
	const struct item *to = lean ? table_find(scene->table, lean) : NULL;
	if (!from || !to) {
		out.mass = unknown_mass(scene,
			arena_format(table_arena(scene->table), "%s of %s is not stated", from ? "lean" : "feed",
				regenerator->tag));
		return out;
	}
	out.inputs[0] = scene_input_of(scene, from, "r_H2S", "h2s");
	out.inputs[1] = scene_input_of(scene, to, "l_H2S", "h2s");
	out.inputs[2] = scene_input_of(scene, from, "r_CO2", "co2");
	out.inputs[3] = scene_input_of(scene, to, "l_CO2", "co2");
	out.count = 4;
	for (size_t i = 0; i < out.count; i++)
		out.component[i] = COMPONENT_COUNT;
	double of_h2s, of_co2, h2s = given_up(&out, 0, 1, &of_h2s), co2 = given_up(&out, 2, 3, &of_co2);
	out.dry[COMPONENT_HYDROGEN_SULFIDE] = h2s / (h2s + co2);
	out.dry[COMPONENT_CARBON_DIOXIDE] = co2 / (h2s + co2);
	bool gives = h2s >= 0 && co2 >= 0 && h2s + co2 > 0;
	double step = MOLAR_MASS_CO2 - MOLAR_MASS_H2S; /* of the molar mass, from all H2S to all CO2 */
	double error = gives ? step * (co2 * of_h2s + h2s * of_co2) / ((h2s + co2) * (h2s + co2)) : 0;
	weigh_loadings(&out, h2s, co2, &error);
	out.mass = quantity_computed(table_arena(scene->table), KIND_MOLAR_MASS,
		gives ? gas_molar_mass(out.dry) : (double)NAN, error, &formulas[FORMULA_MOLAR_MASS_STRIPPED],
		out.inputs, out.count);
	out.spread = gives ? error / gas_molar_mass(out.dry) : 0;
	return out;
}

struct composition composition_of_pure(const struct scene *scene, const char *name)
{
	const double oxygen = 0.2095, argon = 0.0093; /* of dry air, mol/mol; ISO 6976 rounds likewise, from memory */
	struct composition out = {.wetness = WETNESS_STATED};
	bool air = strcmp(name, "air") == 0;
	out.dry[COMPONENT_NITROGEN] = air ? 1 - oxygen - argon : 1;
	out.dry[COMPONENT_OXYGEN] = air ? oxygen : 0;
	out.dry[COMPONENT_ARGON] = air ? argon : 0;
	out.mass = quantity_constant(
		table_arena(scene->table), KIND_MOLAR_MASS, gas_molar_mass(out.dry), "IUPAC 2021, ISO 6976");
	return out;
}
