#include "compute/blow_by.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/envelope.h"
#include "compute/interface.h"
#include "compute/scene.h"

/* From memory of IEC 60534-2-1: globe valves; natural gas has k near 1.3; water at 15.6 degC, to which coefficients refer. */
static const double TERMINAL_RATIO = 0.75, HEAT_RATIO = 1.3 / 1.4, REFERENCE_WATER = 999.1;
/* Relief is full open at a tenth over its set pressure: ASME VIII-1, UG-125(c), from memory. */
static const double ACCUMULATION = 1.1;
/* Of the flow, which goes with the root of xT: trims have 0.6 to 0.9, and 0.75 is taken of all. */
static const double BY_TERMINAL_RATIO = 0.1;

double blow_by_rate(double coefficient, double upstream, double downstream, double density, double choked)
{
	double x = fmin((upstream - downstream) / upstream, choked);
	if (x <= 0)
		return 0;
	double expansion = 1 - x / (3 * choked);
	return coefficient * expansion * sqrt(x * upstream * density * REFERENCE_WATER);
}

/* ---- between which vessels ---- */

struct letdown {
	const struct item *valve, *up, *down;
};

struct letdowns {
	struct letdown *rows;
	size_t count;
};

/* The only vessel that is reached; NULL: none, or several. */
static const struct item *vessel_from(struct arena *arena, const struct piping *piping, size_t start, unsigned passes)
{
	const bool *reached = piping_flood(arena, piping, start, passes);
	const struct item *found = NULL;
	for (size_t i = 0; i < piping->node_count; i++) {
		if (!reached[i] || !piping->nodes[i].item || !piping_is_vessel(piping->nodes[i].item))
			continue;
		if (found && found != piping->nodes[i].item)
			return NULL;
		found = piping->nodes[i].item;
	}
	return found;
}

static void add_bypasses(const struct table *table, struct letdowns *letdowns, struct letdown beside)
{
	struct items valves = table_of_kind(table, "valve");
	for (size_t i = 0; i < valves.count; i++) {
		bool bypass = text_same(table_word(table, valves.rows[i], EVERY_CASE, "role"), "bypass");
		if (bypass && valves.rows[i]->parent == beside.valve->parent)
			letdowns->rows[letdowns->count++] = (struct letdown){valves.rows[i], beside.up, beside.down};
	}
}

static bool is_listed(const struct letdowns *letdowns, const struct item *valve)
{
	for (size_t i = 0; i < letdowns->count; i++)
		if (letdowns->rows[i].valve == valve)
			return true;
	return false;
}

static struct letdowns letdowns_of(const struct table *table)
{
	struct arena *arena = table_arena(table);
	struct piping piping = piping_of(arena, table);
	size_t valves = table_of_kind(table, "valve").count;
	struct letdowns found = {
		.rows = arena_alloc(arena, (valves * (piping.joint_count + 1) + 1) * sizeof *found.rows)};
	for (size_t i = 0; i < piping.joint_count; i++) {
		const struct joint *joint = &piping.joints[i];
		if (joint->sort != JOINT_DEVICE || !joint->device || is_listed(&found, joint->device) ||
			!text_same(table_word(table, joint->device, EVERY_CASE, "role"), "letdown"))
			continue;
		struct letdown one = {joint->device, vessel_from(arena, &piping, joint->from, PASS_UP),
			vessel_from(arena, &piping, joint->to, PASS_DOWN)};
		if (!one.up || !one.down || one.up == one.down)
			continue;
		bool first = true;
		for (size_t k = 0; k < found.count; k++)
			first = first && found.rows[k].valve->parent != one.valve->parent;
		found.rows[found.count++] = one;
		if (first)
			add_bypasses(table, &found, one);
	}
	return found;
}

/* ---- what the relief passes ---- */

static bool is_for_gas(const struct scene *scene, const struct item *valve)
{
	const char *sized = scene_word_of(scene, valve, "sized-for");
	bool named = !sized || text_same(sized, "gas blow-by");
	for (size_t i = valve->index + 1; !named && i < table_parts_end(scene->table, valve); i++)
		named = text_same(scene_word_of(scene, table_item(scene->table, i), "name"), "gas blow-by");
	return named;
}

/* The valve of the vessel that is meant for the gas, or any; NULL: none, or more than one, whose flows would have to be added. */
static const struct item *relief_of(const struct scene *scene, const struct item *vessel, bool any)
{
	const struct item *found = NULL;
	for (size_t i = vessel->index + 1; i < table_parts_end(scene->table, vessel); i++) {
		const struct item *part = table_item(scene->table, i);
		if (!item_is(part, "relief-valve") || part->parent != vessel || (!any && !is_for_gas(scene, part)))
			continue;
		if (found)
			return NULL;
		found = part;
	}
	return found;
}

/* Of the relief valve by mass; a flow by moles needs the molar mass of the gas. */
static void beside(const struct scene *scene, const char *name, const struct item *relief, const char *what,
	struct input rate, const struct item *gas)
{
	const struct quantity *passes = scene_get_of(scene, relief, what);
	struct input inputs[] = {input_rises(rate), input_falls(scene_input_of(scene, relief, "W", what)),
		input_falls(scene_input_of(scene, gas, "M", "molar-mass"))};
	bool molar = passes && passes->kind == KIND_MOLAR_FLOW;
	double mass = molar ? passes->si * inputs[2].quantity->si : inputs[1].quantity->si;
	if (!passes || passes->known == UNKNOWN)
		return;
	if (!molar && passes->kind != KIND_MASS_FLOW)
		scene_put_made(scene, name,
			quantity_unknown(
				table_arena(scene->table), KIND_RATIO, "the flow of its relief is stated by volume"));
	else
		scene_compute(scene, name, KIND_RATIO, rate.quantity->si / mass, rate.quantity->uncertainty / mass,
			molar ? FORMULA_QUOTIENT_OF_MOLES : FORMULA_QUOTIENT, inputs, molar ? 3 : 2);
}

/* ---- what comes ---- */

static struct input downstream_of(const struct scene *scene, const struct letdown *letdown)
{
	struct pressure_level level = envelope_level(scene->table, letdown->down);
	if (level.item)
		return scene_input_of(scene, level.item, "P_2", level.name);
	return scene_input(scene, "P_2", "downstream-pressure");
}

/* Coefficients of all that lies between the same vessels: at least what is known, while one of them is not stated. */
static struct input coefficient_of(const struct scene *scene, const struct letdowns *all, const struct letdown *one)
{
	struct arena *arena = table_arena(scene->table);
	struct input only = scene_input(scene, "C", "cv");
	const struct item *unknown = NULL;
	double total = 0;
	size_t count = 0;
	for (size_t i = 0; i < all->count; i++) {
		const struct quantity *next = scene_get_of(scene, all->rows[i].valve, "cv");
		if (all->rows[i].up != one->up || all->rows[i].down != one->down)
			continue;
		unknown = is_number(next) ? unknown : all->rows[i].valve;
		total += is_number(next) ? next->si : 0;
		count++;
	}
	if (count < 2 || !(total > 0))
		return only;
	const struct quantity *sum = quantity_assumed(arena, KIND_FLOW_COEFFICIENT, total, 0, "wide open, all of them");
	return scene_input_is("C",
		arena_format(
			arena, "flow coefficients of %zu valves from %s to %s", count, one->up->tag, one->down->tag),
		unknown ? quantity_at_least(arena, sum, item_lacks(arena, unknown, "cv"), NULL) : sum);
}

/* Gas to a relief that is set higher than all that stands upstream does not come: nothing to judge. */
static void of_valve(const struct scene *scene, const struct letdowns *all, const struct letdown *one)
{
	const struct item *gas = table_follow(scene->table, one->up, scene->operating_case, "gas");
	const struct item *relief = relief_of(scene, one->down, false);
	/* Sized for something else it is all the relief that the gas finds, unless the package says what else relieves it. */
	bool other = !relief && quantity_truth(scene_get(scene, "covers-blow-by")) != YES;
	relief = other ? relief_of(scene, one->down, true) : relief;
	if (!item_is(gas, "gas") || !relief ||
		(!scene_get_of(scene, relief, "capacity") && (other || !scene_get_of(scene, relief, "required"))))
		return;
	struct input inputs[] = {input_rises(coefficient_of(scene, all, one)),
		input_rises(scene_input(scene, "P_1", "upstream-pressure")), input_falls(downstream_of(scene, one)),
		input_rises(scene_input_of(scene, gas, "rho", "density")), scene_input_of(scene, gas, "P", "pressure")};
	if (scene_get_of(scene, relief, "capacity"))
		scene_take(scene, "relief-capacity", relief, "capacity");
	double upstream = inputs[1].quantity->si, outside = interface_atmosphere(scene)->si;
	double stands = outside + ACCUMULATION * (inputs[2].quantity->si - outside);
	double density = inputs[3].quantity->si * upstream / inputs[4].quantity->si;
	double rate = blow_by_rate(inputs[0].quantity->si, upstream, stands, density, HEAT_RATIO * TERMINAL_RATIO);
	scene_compute(scene, "blow-by-flow", KIND_MASS_FLOW, rate,
		rate * (relative_uncertainty(inputs[3].quantity) / 2 + BY_TERMINAL_RATIO), FORMULA_GAS_THROUGH_VALVE,
		inputs, COUNT(inputs));
	struct input flow = scene_input(scene, "m", "blow-by-flow");
	beside(scene, "blow-by-over-capacity", relief, "capacity", flow, gas);
	if (!other)
		beside(scene, "blow-by-over-required", relief, "required", flow, gas);
}

/* Of several valves between two vessels: all that are fitted over all that the relief study counted, of which one at least is stated. */
static void together(const struct scene *scene, const struct letdowns *all, const struct letdown *one)
{
	struct arena *arena = table_arena(scene->table);
	double sized = 0;
	size_t valves = 0, counted = 0;
	for (size_t i = 0; i < all->count; i++) {
		const struct quantity *counts = scene_get_of(scene, all->rows[i].valve, "relief-cv");
		if (all->rows[i].up != one->up || all->rows[i].down != one->down)
			continue;
		valves++;
		counted += is_number(counts);
		sized += is_number(counts) ? counts->si : 0;
	}
	struct input inputs[] = {input_rises(coefficient_of(scene, all, one)),
		scene_input_is("C_r",
			arena_format(arena, "flow coefficients that the relief study counts for %s", one->down->tag),
			quantity_assumed(arena, KIND_FLOW_COEFFICIENT, sized, 0, "the sum of those that are stated"))};
	if (valves < 2 || !counted)
		return;
	scene_put(scene, "relief-cv-together", inputs[1].quantity);
	scene_compute(scene, "cv-together-over-relief", KIND_RATIO, inputs[0].quantity->si / sized, 0, FORMULA_QUOTIENT,
		inputs, COUNT(inputs));
}

/* The highest pressure upstream over that to which the vessel downstream is built, as gauges show them. */
static void over_rating(const struct scene *scene, const struct letdown *one)
{
	struct pressure_level up = envelope_level(scene->table, one->up);
	if (!up.item || !scene_get_of(scene, one->down, "design-pressure"))
		return;
	const struct quantity *atmosphere = interface_atmosphere(scene);
	struct input inputs[] = {input_rises(scene_input_of(scene, up.item, "x", up.name)),
		input_falls(scene_input_of(scene, one->down, "y", "design-pressure")),
		scene_input_is("p_s", "atmosphere at the site", atmosphere)};
	scene_compute(scene, "upstream-over-rating", KIND_RATIO,
		(inputs[0].quantity->si - atmosphere->si) / (inputs[1].quantity->si - atmosphere->si), 0,
		FORMULA_GAUGE_QUOTIENT, inputs, COUNT(inputs));
}

void blow_by_compute(struct table *table)
{
	struct letdowns all = letdowns_of(table);
	for (size_t i = 0; i < all.count; i++)
		for (int c = EVERY_CASE; c < (int)table_case_count(table); c++) {
			struct scene scene = {
				.table = table, .into = table, .item = all.rows[i].valve, .operating_case = c};
			if (text_same(scene_word_of(&scene, scene.item, "role"), "bypass"))
				continue;
			over_rating(&scene, &all.rows[i]);
			together(&scene, &all, &all.rows[i]);
			of_valve(&scene, &all, &all.rows[i]);
		}
}
