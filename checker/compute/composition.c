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

/* A bound counts at its end: "<5 ppmv" is 5 +/- 5. */
static const struct quantity *without_bound(struct arena *arena, const struct quantity *quantity)
{
	if (quantity->bound == BOUND_NONE)
		return quantity;
	struct quantity *end = arena_alloc(arena, sizeof *end);
	*end = *quantity;
	end->bound = BOUND_NONE;
	end->uncertainty = fmax(quantity->uncertainty, quantity->bound == BOUND_BELOW ? fabs(quantity->si) : 0);
	return end;
}

/* ---- contents ---- */

/* What a reading of the contents finds, on the basis on which they are stated. */
struct contents {
	double share[COMPONENT_COUNT], error[COMPONENT_COUNT]; /* mol/mol */
	double water;					       /* mol/mol, where stated */
	bool water_stated;
	const struct quantity *open; /* a content that is owed, or NULL */
};

static void read_content(
	const struct scene *scene, const struct item *gas, size_t i, struct contents *contents, struct composition *out)
{
	const struct component_row *row = &component_rows[i];
	const struct quantity *stated = scene_get_of(scene, gas, row->name);
	if (stated && stated->known == UNKNOWN)
		contents->open = stated;
	if (!stated_number(stated))
		return;
	stated = without_bound(table_arena(scene->table), stated);
	double per = stated->kind == KIND_GAS_MASS_CONTENT ? row->molar_mass : 1;
	contents->share[i] = stated->si / per;
	contents->error[i] = stated->uncertainty / per;
	if (stated->si > 0)
		out->inputs[out->count++] = scene_input_is(arena_format(table_arena(scene->table), "y_%s", row->name),
			arena_format(table_arena(scene->table), "%s of %s", row->name, gas->tag), stated);
}

static struct contents read_contents(const struct scene *scene, const struct item *gas, struct composition *out)
{
	struct contents contents = {.open = NULL};
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
	struct input inputs[] = {scene_input_of(scene, gas, "g", "gravity"),
		scene_input_is("M_air", "molar mass of air",
			quantity_constant(arena, KIND_MOLAR_MASS, AIR_MOLAR_MASS, "ISO 6976, from memory"))};
	return quantity_computed(arena, KIND_MOLAR_MASS, inputs[0].quantity->si * AIR_MOLAR_MASS, 0,
		&formulas[FORMULA_MASS_BY_GRAVITY], inputs, 2);
}

/* Molar mass of the dry gas as a document gives it, or NULL. */
static const struct quantity *stated_mass(const struct scene *scene, const struct item *gas)
{
	const struct quantity *mass = table_stated(scene->table, gas, scene->operating_case, "molar-mass");
	if (stated_number(mass))
		return without_bound(table_arena(scene->table), mass);
	return stated_number(scene_get_of(scene, gas, "gravity")) ? by_gravity(scene, gas) : NULL;
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
		if (made && strcmp(made, treated->tag) == 0 && gas && gas != treated && strcmp(gas->kind, "gas") == 0)
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

/* The feed without its H2S and CO2, for the rest of a gas made from it; false where the feed is not known. */
static bool rest_of_feed(const struct scene *scene, const struct item *gas, int absorbers, double rest[COMPONENT_COUNT],
	struct composition *out)
{
	const struct item *feed = feed_of(scene, gas);
	if (!feed || absorbers == ABSORBERS_IN_SERIES)
		return false;
	struct composition whole = composition_after(scene, feed, absorbers + 1);
	double sum = 1 - whole.dry[COMPONENT_HYDROGEN_SULFIDE] - whole.dry[COMPONENT_CARBON_DIOXIDE];
	if (whole.mass->known == UNKNOWN || !(sum > ROUNDING))
		return false;
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		rest[i] = is_acid(i) ? 0 : whole.dry[i] / sum;
	out->inputs[out->count++] = scene_input_is(
		"M_f", arena_format(table_arena(scene->table), "molar mass of %s, dry", feed->tag), whole.mass);
	return true;
}

static const struct quantity *computed_mass(
	const struct scene *scene, const struct composition *out, double error, enum formula_code formula)
{
	double mass = gas_molar_mass(out->dry);
	return quantity_computed(
		table_arena(scene->table), KIND_MOLAR_MASS, mass, error, &formulas[formula], out->inputs, out->count);
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

/* The contents are all there is. */
static void complete(const struct scene *scene, const struct contents *contents, const struct quantity *stated,
	struct composition *out)
{
	take_contents(out, contents, sum_of(contents->share));
	double mass = gas_molar_mass(out->dry), error = spread_of(contents, mass);
	out->spread = error / mass;
	out->mass = stated ? stated : computed_mass(scene, out, error, FORMULA_MOLAR_MASS_OF_GAS);
}

/* A rest of the molar mass that the stated one of the whole asks for. */
static void with_rest_by_mass(const struct scene *scene, const struct item *gas, const struct contents *contents,
	const struct quantity *stated, struct composition *out)
{
	double rest = 1 - sum_of(contents->share);
	double mass = (stated->si - gas_molar_mass(contents->share)) / rest;
	take_contents(out, contents, 1);
	out->inputs[out->count++] =
		scene_input_is("M", arena_format(table_arena(scene->table), "molar mass of %s", gas->tag), stated);
	out->mass = stated;
	if (!gas_add_by_molar_mass(out->dry, rest, mass))
		out->mass = unknown_mass(scene,
			arena_format(table_arena(scene->table),
				"the molar mass of %s leaves %s g/mol to what its contents leave over, which is no gas",
				gas->tag, number_show(table_arena(scene->table), mass * 1000)));
}

static void with_rest(const struct scene *scene, const struct item *gas, int absorbers, const struct contents *contents,
	struct composition *out)
{
	double rest = 1 - sum_of(contents->share), of_feed[COMPONENT_COUNT];
	take_contents(out, contents, 1);
	if (rest_of_feed(scene, gas, absorbers, of_feed, out)) {
		for (size_t i = 0; i < COMPONENT_COUNT; i++)
			out->dry[i] += rest * of_feed[i];
		double error = spread_of(contents, gas_molar_mass(out->dry));
		out->spread = error / gas_molar_mass(out->dry);
		out->mass = computed_mass(scene, out, error, FORMULA_MOLAR_MASS_AS_FEED);
	} else if (rest <= SMALL_REST) {
		gas_add_by_molar_mass(out->dry, rest, REST_MOLAR_MASS);
		double error = spread_of(contents, gas_molar_mass(out->dry)) + rest * REST_SPREAD;
		out->spread = error / gas_molar_mass(out->dry);
		out->mass = computed_mass(scene, out, error, FORMULA_MOLAR_MASS_SMALL_REST);
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
	else if (saturated && saturated->known != UNKNOWN)
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
	if (contents.open)
		out.mass = unknown_mass(scene, contents.open->reason);
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
	double of_h2s, of_co2, h2s = given_up(&out, 0, 1, &of_h2s), co2 = given_up(&out, 2, 3, &of_co2);
	out.dry[COMPONENT_HYDROGEN_SULFIDE] = h2s / (h2s + co2);
	out.dry[COMPONENT_CARBON_DIOXIDE] = co2 / (h2s + co2);
	bool gives = h2s >= 0 && co2 >= 0 && h2s + co2 > 0;
	double step = MOLAR_MASS_CO2 - MOLAR_MASS_H2S; /* of the molar mass, from all H2S to all CO2 */
	double error = gives ? step * (co2 * of_h2s + h2s * of_co2) / ((h2s + co2) * (h2s + co2)) : 0;
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
