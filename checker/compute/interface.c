#include "compute/interface.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "compute/scene.h"

static const double STANDARD_ATMOSPHERE = 101325; /* Pa: where the site's barometer is not stated */

static bool is_kind(const struct item *item, const char *kind)
{
	return item && strcmp(item->kind, kind) == 0;
}

/* ---- the two sides of an exchanger ---- */

enum { SIDES = 2 };

/* Sides that state a design pressure, and how many; a shell without an element of its own is the item itself. */
static size_t sides_of(const struct scene *scene, const struct item *sides[SIDES])
{
	size_t count = 0;
	bool shell = false;
	size_t behind = table_behind(scene->table, scene->item);
	for (size_t i = scene->item->index + 1; i < behind; i++) {
		const struct item *side = table_item(scene->table, i);
		bool is_side = is_kind(side, "tube-side") || is_kind(side, "shell-side") || is_kind(side, "plate-side");
		if (side->parent != scene->item || !is_side)
			continue;
		shell = shell || !is_kind(side, "tube-side");
		if (count < SIDES)
			sides[count] = side;
		count++;
	}
	const char *type = table_word(scene->table, scene->item, scene->operating_case, "type");
	bool no_shell = type && strcmp(type, "air cooled") == 0;
	if (count == 1 && !shell && !no_shell)
		sides[count++] = scene->item;
	return count;
}

/* Tube rupture is a matter of the pressures that each side is built for, as gauges show them. */
static void ratio_of_sides(const struct scene *scene)
{
	static const char exchangers[] = "exchanger reboiler condenser cooler";
	const struct item *sides[SIDES];
	if (!text_has_word(exchangers, scene->item->kind))
		return;
	size_t count = sides_of(scene, sides);
	if (count != SIDES) {
		struct arena *arena = table_arena(scene->table);
		scene_put(scene, "ratio-of-design-pressures",
			quantity_unknown(arena, KIND_RATIO,
				count > SIDES ? arena_format(arena,
							"%s has more than two sides, and one ratio does not serve",
							scene->item->tag)
					      : arena_format(arena, "design-pressure of both sides of %s is not stated",
							scene->item->tag)));
		return;
	}
	const struct item *basis = table_sole(scene->table, "basis");
	const struct quantity *site = scene_get_of(scene, basis, "barometric-pressure");
	if (!is_number(site))
		site = quantity_assumed(
			table_arena(scene->table), KIND_PRESSURE, STANDARD_ATMOSPHERE, 0, "the standard atmosphere");
	double outside = site->si;
	struct input inputs[] = {scene_input_of(scene, sides[0], "P1", "design-pressure"),
		scene_input_of(scene, sides[1], "P2", "design-pressure"),
		scene_input_is("p_s", "atmosphere at the site", site)};
	double a = inputs[0].quantity->si - outside, b = inputs[1].quantity->si - outside;
	double low = fmax(fmin(a, b), 0), high = fmax(a, b);
	scene_compute(scene, "ratio-of-design-pressures", KIND_RATIO, high > 0 ? low / high : 1, 0,
		FORMULA_RATIO_OF_DESIGN_PRESSURES, inputs, SIDES + 1);
}

/* ---- pumps ---- */

/* A pressure of the pump itself, else of the stream on that side. */
static struct input pressure_at(const struct scene *scene, const char *symbol, const char *own, const char *reference)
{
	const struct item *stream = table_follow(scene->table, scene->item, scene->operating_case, reference);
	if (scene_get(scene, own) || !is_kind(stream, "stream"))
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

/* The flow beside the least the maker allows; both by volume or both by mass. */
static void flow_over_least(const struct scene *scene)
{
	struct input inputs[] = {scene_input(scene, "Q", "flow"), scene_input(scene, "Q_min", "minimum-flow")};
	const struct item *stream = table_follow(scene->table, scene->item, scene->operating_case, "stream");
	const struct item *discharge = table_follow(scene->table, scene->item, scene->operating_case, "discharge");
	const struct item *carried = is_kind(stream, "stream") ? stream : discharge;
	if (inputs[0].quantity->known == UNKNOWN && is_kind(carried, "stream"))
		inputs[0] = scene_input_of(
			scene, carried, "Q", inputs[1].quantity->kind == KIND_MASS_FLOW ? "mass-flow" : "volume-flow");
	inputs[0] = input_rises(inputs[0]);
	inputs[1] = input_falls(inputs[1]);
	if (inputs_known(inputs, 2) && inputs[0].quantity->kind != inputs[1].quantity->kind)
		return;
	double ratio = inputs[0].quantity->si / inputs[1].quantity->si;
	scene_compute(scene, "flow-over-minimum", KIND_RATIO, ratio, ratio * relative_uncertainty(inputs[0].quantity),
		FORMULA_FLOW_OVER_MINIMUM, inputs, 2);
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

static void of_item(const struct scene *scene)
{
	ratio_of_sides(scene);
	if (!is_kind(scene->item, "pump"))
		return;
	pressure_over_pump(scene);
	flow_over_least(scene);
	suction_head(scene);
}

void interface_compute(struct table *table)
{
	scene_each(table, of_item);
}
