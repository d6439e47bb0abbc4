#include "compute/interface.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "compute/derived.h"
#include "compute/share.h"
#include "resolve/equipment.h"

static const double STANDARD_ATMOSPHERE = 101325; /* Pa: where the site's barometer is not stated */

/* ---- the two sides of an exchanger ---- */

size_t interface_sides(const struct scene *scene, const struct item *sides[INTERFACE_SIDES])
{
	size_t count = 0;
	bool shell = false;
	size_t end = table_parts_end(scene->table, scene->item);
	for (size_t i = scene->item->index + 1; i < end; i++) {
		const struct item *side = table_item(scene->table, i);
		if (side->parent != scene->item || !item_in(side, CLASS_SIDE))
			continue;
		shell = shell || !item_is(side, "tube-side");
		if (count < INTERFACE_SIDES)
			sides[count] = side;
		count++;
	}
	const char *type = table_word(scene->table, scene->item, scene->operating_case, "type");
	bool no_shell = type && strcmp(type, "air cooled") == 0;
	if (count == 1 && !shell && !no_shell)
		sides[count++] = scene->item;
	return count;
}

const struct quantity *interface_atmosphere(const struct scene *scene)
{
	const struct quantity *site = scene_get_of(scene, table_sole(scene->table, "basis"), "barometric-pressure");
	return is_number(site) ? site
			       : quantity_default(table_arena(scene->table), KIND_PRESSURE, STANDARD_ATMOSPHERE, 0,
					 "the standard atmosphere");
}

/* Tube rupture is a matter of the pressures that each side is built for, as gauges show them. */
static void ratio_of_sides(const struct scene *scene)
{
	const struct item *sides[INTERFACE_SIDES];
	if (!item_in(scene->item, CLASS_HEAT_EXCHANGER))
		return;
	size_t count = interface_sides(scene, sides);
	if (count != INTERFACE_SIDES) {
		struct arena *arena = table_arena(scene->table);
		struct missing missing = {.quantity = "design-pressure"};
		missing.reason =
			arena_format(arena, "design-pressure of both sides of %s is not stated", scene->item->tag);
		if (count > INTERFACE_SIDES)
			missing = (struct missing){
				.reason = arena_format(arena,
					"%s has more than two sides, and one ratio does not serve", scene->item->tag)};
		scene_put(scene, "ratio-of-design-pressures", quantity_lacking(arena, KIND_RATIO, missing));
		return;
	}
	const struct quantity *site = interface_atmosphere(scene);
	double outside = site->si;
	struct input inputs[] = {scene_input_of(scene, sides[0], "P1", "design-pressure"),
		scene_input_of(scene, sides[1], "P2", "design-pressure"),
		scene_input_is("p_s", "atmosphere at the site", site)};
	double a = inputs[0].quantity->si - outside, b = inputs[1].quantity->si - outside;
	double low = fmax(fmin(a, b), 0), high = fmax(a, b);
	scene_compute(scene, "ratio-of-design-pressures", KIND_RATIO, high > 0 ? low / high : 1, 0,
		FORMULA_RATIO_OF_DESIGN_PRESSURES, inputs, INTERFACE_SIDES + 1);
}

/* ---- the shell ---- */

static const struct item *shell_of(const struct scene *scene, const struct item *exchanger)
{
	size_t end = table_parts_end(scene->table, exchanger);
	for (size_t i = exchanger->index + 1; i < end; i++)
		if (item_is(table_item(scene->table, i), "shell-side") &&
			table_item(scene->table, i)->parent == exchanger)
			return table_item(scene->table, i);
	return NULL;
}

/* "none": air coolers and plate exchangers have no shell. */
static void shell_described(const struct scene *scene)
{
	if (!item_in(scene->item, CLASS_HEAT_EXCHANGER))
		return;
	const char *type = table_word(scene->table, scene->item, scene->operating_case, "type");
	bool none = type &&
		(strcmp(type, "air cooled") == 0 || strcmp(type, "plate") == 0 || strcmp(type, "welded plate") == 0);
	scene_put_word(scene, "shell-described", KIND_WORD,
		shell_of(scene, scene->item) ? "yes"
			: none		     ? "none"
					     : "no",
		"is its shell an element of its own");
}

/* What runs around tubes: the service of the shell, what cools; in a lean/rich exchanger the one that the tubes do not hold. */
static const char *fluid_outside(const struct scene *scene, const struct item *exchanger)
{
	const struct item *shell = shell_of(scene, exchanger);
	const char *around = shell ? table_word(scene->table, shell, scene->operating_case, "service") : NULL;
	const char *inside = table_word(scene->table, scene->item, scene->operating_case, "service");
	const char *does = table_word(scene->table, exchanger, scene->operating_case, "service");
	const char *type = table_word(scene->table, exchanger, scene->operating_case, "type");
	const char *medium = table_word(scene->table, exchanger, scene->operating_case, "cooling-medium");
	if (around)
		return around;
	if (type && strcmp(type, "air cooled") == 0)
		return "air";
	if (medium && inside && strcmp(inside, medium) != 0)
		return medium;
	if (!inside || !does || strcmp(does, "lean/rich") != 0)
		return NULL;
	return strcmp(inside, "rich") == 0 ? "lean" : "rich";
}

static void around_the_tubes(const struct scene *scene)
{
	const struct item *exchanger = scene->item->parent;
	struct arena *arena = table_arena(scene->table);
	if (!item_is(scene->item, "tube-side") || !exchanger)
		return;
	const char *fluid = fluid_outside(scene, exchanger);
	scene_put(scene, "service-outside",
		fluid ? quantity_assumed_word(arena, KIND_WORD, fluid, "what runs in the shell around the tubes")
		      : quantity_lacking(arena, KIND_WORD,
				(struct missing){NULL, "service",
					arena_format(
						arena, "service of the shell of %s is not stated", exchanger->tag)}));
}

/* ---- pumps ---- */

/* A pressure of the pump itself, else of the stream on that side. */
static struct input pressure_at(const struct scene *scene, const char *symbol, const char *own, const char *reference)
{
	const struct item *stream = table_follow(scene->table, scene->item, scene->operating_case, reference);
	if (scene_get(scene, own) || !item_is(stream, "stream"))
		return scene_input(scene, symbol, own);
	return scene_input_of(scene, stream, symbol, "pressure");
}

static void pressure_over_pump(const struct scene *scene)
{
	struct input inputs[] = {input_rises(pressure_at(scene, "P2", "discharge-pressure", "discharge")),
		input_falls(pressure_at(scene, "P1", "suction-pressure", "suction"))};
	double ratio = inputs[0].quantity->si / inputs[1].quantity->si;
	scene_compute(scene, "pressure-ratio", KIND_RATIO, ratio,
		ratio * (relative_uncertainty(inputs[0].quantity) + relative_uncertainty(inputs[1].quantity)),
		FORMULA_PRESSURE_RATIO, inputs, 2);
}

static void over_least(const struct scene *scene, const char *name, const struct input inputs[2])
{
	double ratio = inputs[0].quantity->si / inputs[1].quantity->si;
	scene_compute(scene, name, KIND_RATIO, ratio, ratio * relative_uncertainty(inputs[0].quantity),
		FORMULA_FLOW_OVER_MINIMUM, inputs, 2);
}

/* The flow beside the least the maker allows; both by volume or both by mass. By its stream where that gives less. */
static void flow_over_least(const struct scene *scene)
{
	struct input inputs[] = {scene_input(scene, "Q", "flow"), scene_input(scene, "Q_min", "minimum-flow")};
	const struct item *stream = table_follow(scene->table, scene->item, scene->operating_case, "stream");
	const struct item *discharge = table_follow(scene->table, scene->item, scene->operating_case, "discharge");
	const struct item *carried = item_is(stream, "stream") ? stream : discharge;
	if (inputs[0].quantity->known == UNKNOWN && scene_get(scene, "flow-share") && scene_get(scene, "flow-each"))
		inputs[0] = scene_input(scene, "Q", "flow-each"); /* one of those in use */
	else if (inputs[0].quantity->known == UNKNOWN && item_is(carried, "stream"))
		inputs[0] = scene_input_of(
			scene, carried, "Q", inputs[1].quantity->kind == KIND_MASS_FLOW ? "mass-flow" : "volume-flow");
	inputs[0] = input_rises(inputs[0]);
	inputs[1] = input_falls(inputs[1]);
	if (inputs_known(inputs, 2) && inputs[0].quantity->kind != inputs[1].quantity->kind)
		return;
	over_least(scene, "flow-over-minimum", inputs);
	derived_judge_as_stated(scene, "flow-over-minimum", KIND_RATIO);
	if (inputs[1].quantity->known == UNKNOWN || !share_of_sole_pump(scene, inputs[1].quantity, &inputs[0]))
		return;
	inputs[0] = input_rises(inputs[0]);
	over_least(scene, "flow-over-minimum-by-stream", inputs);
	derived_judge(scene, "flow-over-minimum", CAREFUL_SMALLER, "flow-over-minimum-by-stream", 0);
}

static void suction_head(const struct scene *scene)
{
	struct input inputs[] = {input_rises(scene_input(scene, "x", "npsh-available")),
		input_falls(scene_input(scene, "y", "npsh-required"))};
	scene_compute(scene, "suction-head-margin", KIND_DISTANCE,
		fmax(inputs[0].quantity->si - inputs[1].quantity->si, 0),
		hypot(inputs[0].quantity->uncertainty, inputs[1].quantity->uncertainty), FORMULA_SUCTION_HEAD, inputs,
		2);
}

/* ---- check valves ---- */

/* The check valves described in the pump, or in a line that starts at it. */
static bool is_in_discharge(const struct scene *scene, const struct item *valve)
{
	const struct item *holder = valve->parent;
	const char *from =
		item_is(holder, "line") ? table_word(scene->table, holder, scene->operating_case, "from") : NULL;
	return item_is(valve, "check-valve") &&
		(holder == scene->item || (from && strcmp(from, scene->item->tag) == 0));
}

/* One element is one valve where it gives no number. Of two different kinds: two elements are where their types differ. */
static void check_valves_described(const struct scene *scene)
{
	struct arena *arena = table_arena(scene->table);
	static const char why[] = "the check valves described at it and in its discharge line";
	const char *type = NULL;
	double number = 0;
	bool unlike = false;
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *valve = table_item(scene->table, i);
		if (!is_in_discharge(scene, valve))
			continue;
		const struct quantity *own = scene_get_of(scene, valve, "number");
		const struct quantity *dissimilar = scene_get_of(scene, valve, "dissimilar");
		const char *built = table_word(scene->table, valve, scene->operating_case, "type");
		number += is_number(own) ? own->si : 1;
		unlike = unlike || quantity_truth(dissimilar) == YES || (type && built && strcmp(type, built) != 0);
		type = built ? built : type;
	}
	if (!(number > 0))
		return;
	scene_put_new(scene, "check-valves", quantity_assumed(arena, KIND_COUNT, number, 0, why));
	if (unlike)
		scene_put_new(scene, "dissimilar-check-valves", quantity_assumed_word(arena, KIND_YES_NO, "yes", why));
}

static void of_item(const struct scene *scene)
{
	ratio_of_sides(scene);
	shell_described(scene);
	around_the_tubes(scene);
	if (!item_is(scene->item, "pump"))
		return;
	pressure_over_pump(scene);
	flow_over_least(scene);
	suction_head(scene);
	check_valves_described(scene);
}

void interface_compute(struct table *table)
{
	scene_each(table, of_item);
}
