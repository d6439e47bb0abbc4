#include "compute/envelope.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/interface.h"
#include "compute/operating.h"
#include "compute/scene.h"
#include "resolve/equipment.h"

static const double GRAVITY = 9.80665; /* m/s2 */
/* kg/m3, where the solution below a level has no density: amine solutions lie within 5 % of water. */
static const double LIQUID = 1000;

struct view {
	struct table *table;
	struct arena *arena;
	struct piping piping;
};

static const struct quantity *value(const struct table *table, const struct item *item, const char *name)
{
	return item ? table_get(table, item, EVERY_CASE, name) : NULL;
}

/* What a reference attribute of the item itself names. */
static const struct item *named(
	const struct table *table, const struct item *item, const char *name, int operating_case)
{
	return table_find(table, table_word(table, item, operating_case, name));
}

static bool is_yes(const struct quantity *answer)
{
	return answer && answer->known != UNKNOWN && answer->si > 0;
}

static struct scene scene_at(const struct view *view, const struct item *item)
{
	return (struct scene){.table = view->table, .into = view->table, .item = item, .operating_case = EVERY_CASE};
}

static void put_text(const struct view *view, const struct item *item, const char *name, const char *words)
{
	table_put(view->table, item, EVERY_CASE, name,
		quantity_assumed_word(view->arena, KIND_TEXT, words, "by what it is connected with"));
}

/* ---- levels and relief ---- */

struct pressure_level envelope_level(const struct table *table, const struct item *vessel)
{
	struct pressure_level level = {.item = NULL, .name = "set-pressure", .si = (double)INFINITY};
	for (size_t i = vessel ? vessel->index + 1 : 0; vessel && i < table_parts_end(table, vessel); i++) {
		const struct item *part = table_item(table, i);
		const struct quantity *set = item_is(part, "relief-valve") ? value(table, part, level.name) : NULL;
		if (set && is_number(set) && set->si < level.si)
			level = (struct pressure_level){part, level.name, set->si};
	}
	const struct quantity *design = level.item ? NULL : value(table, vessel, "design-pressure");
	if (design && is_number(design))
		level = (struct pressure_level){vessel, "design-pressure", design->si};
	return level;
}

const struct quantity *envelope_own_relief(const struct table *table, const struct item *item, const char *relief)
{
	const struct quantity *answer = NULL;
	bool valve = false;
	for (const struct item *holder = item; holder && !item_is(holder, "unit"); holder = holder->parent)
		for (size_t i = holder->index + 1; i < table_parts_end(table, holder); i++) {
			const struct item *part = table_item(table, i);
			if (item_is(part, "relief-valve") && part->parent == holder)
				valve = true;
			if (item_is(part, "relief-case") &&
				text_same(table_word(table, part, EVERY_CASE, "name"), relief) && !is_yes(answer))
				answer = value(table, part, "covered");
		}
	return answer || !valve
		? answer
		: quantity_assumed_word(table_arena(table), KIND_YES_NO, "yes", "it has a relief valve of its own");
}

/* ---- what is connected ---- */

struct exposure {
	struct pressure_level least, most;	       /* of what surely is connected; of all that may be */
	const struct item *least_unsure, *most_unsure; /* whose pressure would tell what is open to it */
	const struct item *unrated;		       /* may be connected, and states no pressure */
};

static void look_at(struct exposure *exposure, const struct table *table, const struct item *vessel, bool surely)
{
	struct pressure_level level = envelope_level(table, vessel);
	if (!level.item && !item_is_any(vessel, "tank sump battery-limit"))
		exposure->unrated = vessel;
	if (!level.item)
		return;
	if (!exposure->most.item || level.si > exposure->most.si)
		exposure->most = level;
	if (surely && (!exposure->least.item || level.si < exposure->least.si))
		exposure->least = level;
}

/* A vessel that is open to it only if a pressure that nobody gives as a number says so. */
static void doubt(
	struct exposure *exposure, const struct table *table, const struct item *vessel, const struct item *of)
{
	struct pressure_level level = envelope_level(table, vessel);
	if (!level.item)
		return;
	if (!exposure->least.item || level.si < exposure->least.si)
		exposure->least_unsure = of;
	if (!exposure->most.item || level.si > exposure->most.si)
		exposure->most_unsure = of;
}

static const struct item *first_unsure(const struct piping *piping, const bool *reached)
{
	for (size_t i = 0; i < piping->joint_count; i++)
		if (piping->joints[i].sort == JOINT_UNSURE && reached[piping->joints[i].from] &&
			reached[piping->joints[i].to])
			return piping->joints[i].device;
	return NULL;
}

static struct exposure exposure_of(const struct view *view, size_t node)
{
	const struct piping *piping = &view->piping;
	unsigned passes = piping_is_vessel(piping->nodes[node].item) ? PASS_UP : 0;
	struct exposure exposure = {.unrated = NULL};
	const bool *surely = piping_flood(view->arena, piping, node, passes),
		   *perhaps = piping_flood(view->arena, piping, node, passes | PASS_PERHAPS),
		   *open = piping_flood(view->arena, piping, node, passes | PASS_PERHAPS | PASS_UNSURE);
	for (size_t i = 0; i < piping->node_count; i++)
		if (i != node && perhaps[i] && piping_is_vessel(piping->nodes[i].item))
			look_at(&exposure, view->table, piping->nodes[i].item, surely[i]);
	for (size_t i = 0; i < piping->node_count; i++)
		if (i != node && open[i] && !perhaps[i] && piping_is_vessel(piping->nodes[i].item))
			doubt(&exposure, view->table, piping->nodes[i].item, first_unsure(piping, open));
	return exposure;
}

static const char *name_of(const struct pressure_level *level)
{
	return item_is(level->item, "relief-valve") ? level->item->parent->tag : level->item->tag;
}

static void lacks(
	const struct view *view, const struct item *item, const char *name, const struct item *of, const char *what)
{
	table_put(view->table, item, EVERY_CASE, name,
		quantity_lacking(view->arena, KIND_PRESSURE, item_lacks(view->arena, of, what)));
}

static void connected(const struct view *view, size_t node)
{
	const struct item *item = view->piping.nodes[node].item;
	struct exposure exposure = exposure_of(view, node);
	struct scene scene = scene_at(view, item);
	if (!exposure.most.item && !exposure.most_unsure)
		return;
	if (exposure.least_unsure) {
		lacks(view, item, "connected-pressure", exposure.least_unsure, "pressure");
	} else if (exposure.least.item) {
		scene_take(&scene, "connected-pressure", exposure.least.item, exposure.least.name);
		put_text(view, item, "connected-with", name_of(&exposure.least));
	} else {
		lacks(view, item, "connected-pressure", item, "place");
		if (exposure.most.item)
			put_text(view, item, "connected-with", name_of(&exposure.most));
	}
	const struct quantity *design = value(view->table, item, "design-pressure");
	if (exposure.most_unsure)
		lacks(view, item, "connected-pressure-most", exposure.most_unsure, "pressure");
	else if (exposure.unrated && design && is_number(design) && design->si >= exposure.most.si)
		lacks(view, item, "connected-pressure-most", exposure.unrated, "design-pressure");
	else
		scene_take(&scene, "connected-pressure-most", exposure.most.item, exposure.most.name);
}

static void own_relief(const struct view *view, const struct item *item)
{
	const struct quantity *answer = envelope_own_relief(view->table, item, "blocked outlet");
	struct missing missing = item_lacks(view->arena, item, "relief case 'blocked outlet'");
	table_put(view->table, item, EVERY_CASE, "own-relief",
		answer ? answer : quantity_lacking(view->arena, KIND_YES_NO, missing));
}

/* ---- pumps against a closed valve ---- */

/* A line that starts at the pump is held against it already, by the shut-off pressure of its `from`. */
static bool is_judged_by_pump(const struct view *view, const struct item *item, const struct item *pump)
{
	return item_is(item, "line") && named(view->table, item, "from", EVERY_CASE) == pump;
}

/* Of several pumps the one with the highest pressure; one that has none known is named while no other is known. */
static void put_shut_off(const struct view *view, const struct item *item, const struct item *pump)
{
	const struct quantity *now = value(view->table, pump, "shut-off-pressure");
	const struct quantity *before = table_peek(view->table, item, EVERY_CASE, "shut-off-reaching");
	struct scene scene = scene_at(view, item);
	if (before && before->known != UNKNOWN && !(is_number(now) && now->si > before->si))
		return;
	put_text(view, item, "shut-off-from", pump->tag);
	if (now && now->known != UNKNOWN)
		scene_take(&scene, "shut-off-reaching", pump, "shut-off-pressure");
	else
		lacks(view, item, "shut-off-reaching", pump, "shut-off-pressure");
}

/* It hangs on one side of a valve or the other, nobody says on which, and the pump reaches both. */
static bool is_reached_anyway(const struct piping *piping, size_t node, const bool *reached)
{
	size_t from = 0;
	for (size_t i = 0; i < piping->joint_count; i++) {
		if (piping->joints[i].to != node || piping->joints[i].sort != JOINT_PERHAPS)
			continue;
		if (!reached[piping->joints[i].from])
			return false;
		from++;
	}
	return from > 1;
}

static void shut_off_of(const struct view *view, const struct item *pump)
{
	size_t start = piping_find(&view->piping, pump, PIPING_DISCHARGE);
	if (start == NO_NODE)
		return;
	const bool *reached = piping_flood(view->arena, &view->piping, start, PASS_DEVICES);
	for (size_t i = 0; i < view->piping.node_count; i++) {
		const struct piping_node *node = &view->piping.nodes[i];
		if ((reached[i] || is_reached_anyway(&view->piping, i, reached)) && node->item &&
			node->end == PIPING_WHOLE && !piping_is_vessel(node->item) &&
			item_in(node->item, CLASS_WETTED) && !is_judged_by_pump(view, node->item, pump))
			put_shut_off(view, node->item, pump);
	}
}

/* ---- letdown stations ---- */

/* What lies between a letdown valve and a block valve downstream of it: with that shut it fills to the pressure upstream. */
static void let_down(const struct view *view, const struct joint *joint)
{
	const struct piping *piping = &view->piping;
	struct exposure upstream = exposure_of(view, joint->from);
	const bool *open = piping_flood(view->arena, piping, joint->to, PASS_DOWN),
		   *shut = piping_flood(view->arena, piping, joint->to, PASS_DOWN | PASS_NO_BLOCK);
	bool blocked = false;
	for (size_t i = 0; i < piping->node_count; i++)
		blocked = blocked || (open[i] && !shut[i]);
	for (size_t i = 0; i < piping->node_count; i++) {
		const struct item *item = piping->nodes[i].item;
		if (!blocked || !shut[i] || !item || piping_is_vessel(item) || !upstream.least.item ||
			upstream.least_unsure)
			continue;
		struct scene scene = scene_at(view, item);
		scene_take(&scene, "let-down-pressure", upstream.least.item, upstream.least.name);
		put_text(view, item, "let-down-by",
			joint->device->tag ? joint->device->tag
					   : arena_format(view->arena, "the valve of %s", joint->device->parent->tag));
	}
}

/* ---- static head ---- */

static bool is_liquid(const struct view *view, const struct item *item)
{
	const struct item *stream = named(view->table, item, "stream", EVERY_CASE);
	const char *service = table_word(view->table, item, EVERY_CASE, "service");
	service = service ? service : stream ? table_word(view->table, stream, EVERY_CASE, "service") : NULL;
	return service && text_has_word("lean semi-lean rich reflux", service);
}

/* What it bears with the head over what it is designed for, both as gauges show them. */
static void over_design(const struct scene *scene)
{
	struct input inputs[] = {input_rises(scene_input(scene, "x", "pressure-with-head")),
		input_falls(scene_input(scene, "y", "design-pressure")),
		scene_input_is("p_s", "atmosphere at the site", interface_atmosphere(scene))};
	double outside = inputs[2].quantity->si, design = inputs[1].quantity->si - outside;
	if (is_number(scene_get(scene, "design-pressure")) && design > 0)
		scene_compute(scene, "head-over-design", KIND_RATIO, (inputs[0].quantity->si - outside) / design, 0,
			FORMULA_GAUGE_QUOTIENT, inputs, COUNT(inputs));
}

/* At what a vessel runs out through: the pressure at its top and the liquid that stands in it. */
static void static_head(const struct view *view, size_t node)
{
	const struct item *vessel = view->piping.nodes[node].item;
	const struct quantity *height = value(view->table, vessel, "level");
	struct pressure_level level = envelope_level(view->table, vessel);
	if (!level.item || !is_number(height) || height->kind != KIND_DISTANCE)
		return;
	const bool *reached = piping_flood(view->arena, &view->piping, node, PASS_DOWN);
	for (size_t i = 0; i < view->piping.node_count; i++) {
		const struct item *item = view->piping.nodes[i].item;
		if (!reached[i] || !item || piping_is_vessel(item) || !item_in(item, CLASS_FLOW) ||
			!is_liquid(view, item))
			continue;
		struct scene scene = scene_at(view, item);
		struct input inputs[] = {input_rises(scene_input_of(&scene, level.item, "P", level.name)),
			input_rises(scene_input_of(&scene, vessel, "h", "level"))};
		struct quantity *bottom = arena_alloc(view->arena, sizeof *bottom);
		*bottom = *quantity_computed(view->arena, KIND_PRESSURE, level.si + LIQUID * GRAVITY * height->si, 0,
			&formulas[FORMULA_STATIC_HEAD], inputs, COUNT(inputs));
		bottom->datum = inputs[0].quantity->datum; /* shown as the vessel's own is */
		scene_put(&scene, "pressure-with-head", bottom);
		over_design(&scene);
		put_text(view, item, "head-of", vessel->tag);
	}
}

/* ---- pumping out ---- */

/* Does a pump draw from the vessel, no other vessel between? A tank is emptied by one that need not be described. */
static void pumped_out(const struct view *view, const struct item *vessel)
{
	size_t node = piping_find(&view->piping, vessel, PIPING_WHOLE);
	bool tank = item_is(vessel, "tank");
	struct items pumps = table_of_kind(view->table, "pump");
	const char *surely = NULL, *perhaps = NULL;
	for (size_t i = 0; node != NO_NODE && i < pumps.count; i++) {
		size_t suction = piping_find(&view->piping, pumps.rows[i], PIPING_SUCTION);
		const unsigned all = PASS_UP | PASS_PERHAPS | PASS_UNSURE;
		if (piping_flood(view->arena, &view->piping, suction, PASS_UP)[node])
			surely = pumps.rows[i]->tag;
		else if (piping_flood(view->arena, &view->piping, suction, all)[node])
			perhaps = pumps.rows[i]->tag;
	}
	if (surely)
		put_text(view, vessel, "pumped-out-by", surely);
	if (surely || tank || (node != NO_NODE && !perhaps))
		table_put(view->table, vessel, EVERY_CASE, "pumped-out",
			quantity_assumed_word(view->arena, KIND_YES_NO, surely || tank ? "yes" : "no",
				surely	       ? "a pump draws from it"
					: tank ? "a tank is emptied by a pump"
					       : "no pump is described that draws from it"));
}

/* ---- the unit ---- */

static void design_stated(const struct view *view, const char *value_of, const char *name)
{
	const struct item *unit = table_sole(view->table, "unit");
	bool stated = false;
	for (size_t i = 0; i < table_item_count(view->table); i++)
		stated = stated || is_number(table_peek(view->table, table_item(view->table, i), EVERY_CASE, value_of));
	if (unit)
		table_put(view->table, unit, EVERY_CASE, name,
			quantity_assumed_word(
				view->arena, KIND_YES_NO, stated ? "yes" : "no", "does any item state it"));
}

void envelope_compute(struct table *table)
{
	struct view view = {.table = table, .arena = table_arena(table)};
	view.piping = piping_of(view.arena, table);
	design_stated(&view, "design-pressure", "design-pressures-stated");
	design_stated(&view, "design-temperature", "design-temperatures-stated");
	operating_compute(table, &view.piping);
	for (size_t i = 0; i < table_item_count(table); i++)
		if (piping_is_vessel(table_item(table, i)))
			pumped_out(&view, table_item(table, i));
	for (size_t i = 0; i < view.piping.node_count; i++) {
		const struct piping_node *node = &view.piping.nodes[i];
		if (node->end != PIPING_WHOLE || !item_in(node->item, CLASS_WETTED))
			continue;
		connected(&view, i);
		own_relief(&view, node->item);
		if (piping_is_vessel(node->item))
			static_head(&view, i);
	}
	for (size_t i = 0; i < view.piping.joint_count; i++)
		if (view.piping.joints[i].sort == JOINT_DEVICE && view.piping.joints[i].device)
			let_down(&view, &view.piping.joints[i]);
	struct items pumps = table_of_kind(table, "pump");
	for (size_t i = 0; i < pumps.count; i++)
		shut_off_of(&view, pumps.rows[i]);
}
