#include "compute/protection.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/interface.h"
#include "compute/scene.h"
#include "resolve/equipment.h"

/* ---- relief valves ---- */

/* The one of an item that opens first: the others may be set higher. */
static bool opens_first(const struct scene *scene)
{
	const struct item *holder = scene->item->parent;
	const struct quantity *own = scene_get(scene, "set-pressure");
	for (size_t i = holder->index + 1; own && is_number(own) && i < table_parts_end(scene->table, holder); i++) {
		const struct item *other = table_item(scene->table, i);
		const struct quantity *set =
			item_is(other, "relief-valve") && other->parent == holder && other != scene->item
			? scene_get_of(scene, other, "set-pressure")
			: NULL;
		if (set && is_number(set) &&
			(set->si < own->si || (!(set->si > own->si) && other->index < scene->item->index)))
			return false;
	}
	return true;
}

/* Of one that opens later, as gauges show the two. */
static void set_over_rating(const struct scene *scene, const struct input set_and_design[2])
{
	const struct quantity *outside = interface_atmosphere(scene);
	struct input inputs[] = {
		set_and_design[0], set_and_design[1], scene_input_is("p_s", "atmosphere at the site", outside)};
	scene_compute(scene, "set-over-rating", KIND_RATIO,
		(inputs[0].quantity->si - outside->si) / (inputs[1].quantity->si - outside->si), 0,
		FORMULA_GAUGE_QUOTIENT, inputs, COUNT(inputs));
}

/* What is lost before a valve, and builds up downstream of it, beside the pressure that it opens at, as a gauge shows it. */
static void losses(const struct scene *scene)
{
	static const char *const names[][2] = {
		{"inlet-loss", "inlet-loss-over-set"}, {"back-pressure", "back-pressure-over-set"}};
	const struct quantity *outside = interface_atmosphere(scene);
	for (size_t i = 0; i < COUNT(names); i++) {
		struct input inputs[] = {input_rises(scene_input(scene, "d", names[i][0])),
			input_falls(scene_input(scene, "P", "set-pressure")),
			scene_input_is("p_s", "atmosphere at the site", outside)};
		double share = inputs[0].quantity->si / (inputs[1].quantity->si - outside->si);
		if (scene_get(scene, names[i][0]))
			scene_compute(scene, names[i][1], KIND_SHARE, share,
				share * relative_uncertainty(inputs[0].quantity), FORMULA_LOSS_OVER_SET, inputs,
				COUNT(inputs));
	}
}

static void set_over_design(const struct scene *scene)
{
	const struct item *holder = scene->item->parent;
	struct input inputs[] = {input_rises(scene_input(scene, "x", "set-pressure")),
		input_falls(scene_input_of(scene, holder, "y", "design-pressure"))};
	if (!scene_get(scene, "set-pressure"))
		return;
	bool first = opens_first(scene);
	scene_put_word(scene, "opens-first", KIND_YES_NO, first ? "yes" : "no",
		first ? "no other of its item is set lower" : "another of its item is set as low, or lower");
	if (!first) {
		set_over_rating(scene, inputs);
		return;
	}
	scene_compute(scene, "set-over-design", KIND_PRESSURE_DIFFERENCE,
		inputs[0].quantity->si - inputs[1].quantity->si, 0, FORMULA_DIFFERENCE, inputs, 2);
}

const struct item *protection_valve(const struct scene *scene)
{
	const struct item *holder = scene->item->parent, *found = NULL;
	if (item_is(scene->item, "relief-valve"))
		return scene->item;
	if (item_is(holder, "relief-valve"))
		return holder;
	for (size_t i = holder->index + 1; i < table_parts_end(scene->table, holder); i++) {
		const struct item *part = table_item(scene->table, i);
		if (!item_is(part, "relief-valve") || part->parent != holder)
			continue;
		if (found)
			return NULL;
		found = part;
	}
	return found;
}

/* A valve for liquid, of a case of vapour that the study calls covered: the two figures are not meant to be compared. */
static void put_sized_otherwise(const struct scene *scene)
{
	bool covered = scene_stated(scene, "covered") && quantity_truth(scene_get(scene, "covered")) == YES;
	scene_put_word(scene, "sized-otherwise", KIND_YES_NO, covered ? "yes" : "no",
		"the capacity of the valve is stated in other terms than the load of the case");
}

static void capacity_over_required(const struct scene *scene)
{
	const struct item *valve = protection_valve(scene);
	if (!valve || !scene_get(scene, "required"))
		return;
	struct input inputs[] = {input_rises(scene_input_of(scene, valve, "W", "capacity")),
		input_falls(scene_input(scene, "W_r", "required"))};
	if (inputs_known(inputs, 2) && inputs[0].quantity->kind != inputs[1].quantity->kind) {
		scene_put(scene, "capacity-over-required",
			quantity_unknown(table_arena(scene->table), KIND_RATIO,
				"capacity and required flow are not both by mass, by moles or by volume"));
		put_sized_otherwise(scene);
		return;
	}
	/* What a relief study writes is a result of it, no measurement: the figures are taken as they are. */
	scene_compute(scene, "capacity-over-required", KIND_RATIO, inputs[0].quantity->si / inputs[1].quantity->si, 0,
		FORMULA_QUOTIENT, inputs, 2);
}

/* A relief valve that is sized for the case of which it is part covers it, unless it passes less than the case needs. */
static void cover_by_capacity(const struct scene *scene)
{
	const struct quantity *ratio = scene_get(scene, "capacity-over-required");
	if (!is_number(ratio) || scene_stated(scene, "covered"))
		return;
	scene_put_new(scene, "covered",
		quantity_assumed_word(table_arena(scene->table), KIND_YES_NO, ratio->si >= 1 ? "yes" : "no",
			"from the capacity of its relief valve beside what the case needs"));
}

/* ---- trips ---- */

static bool names(const struct scene *scene, const struct item *trip, const char *list, const struct item *item)
{
	const char *tags = table_word(scene->table, trip, scene->operating_case, list);
	return tags && item && text_has_word(tags, item->tag);
}

/* The valve itself, the line it is in, or another valve or isolation in that line. */
static bool closes(const struct scene *scene, const struct item *trip, const struct item *valve)
{
	const struct item *line = item_is(valve->parent, "line") ? valve->parent : NULL;
	bool found = names(scene, trip, "closes", valve) || names(scene, trip, "closes", line);
	for (size_t i = line ? line->index + 1 : 0; line && !found && i < table_parts_end(scene->table, line); i++)
		found = names(scene, trip, "closes", table_item(scene->table, i));
	return found;
}

static bool acts_on(const struct scene *scene, const struct item *trip, const char *what)
{
	return text_same(table_word(scene->table, trip, scene->operating_case, "on"), what);
}

static void put_yes(const struct scene *scene, const char *name, const struct item *trip)
{
	if (!scene_stated(scene, name))
		scene_put_word(scene, name, KIND_YES_NO, "yes",
			arena_format(table_arena(scene->table), "by the trip %s", trip->tag));
}

/* A shut-off that shares its sensor with the level control is lost with it. */
static bool is_independent(const struct scene *scene, const struct item *trip)
{
	const struct quantity *answer = scene_get_of(scene, trip, "independent");
	return !answer || quantity_truth(answer) == YES;
}

/* In what heats: that it fails open does not empty the vessel that the trip guards. */
static bool is_on_heating(const struct scene *scene, const struct item *valve)
{
	static const char heating[] = "steam condensate";
	const struct item *around = valve->parent;
	if (item_is_any(around, "reboiler reclaimer"))
		return true;
	const struct item *stream = around ? table_follow(scene->table, around, scene->operating_case, "stream") : NULL;
	const char *service = scene_word_of(scene, stream ? stream : valve, "service");
	return text_same(service, "hot oil") || (service && text_has_word(heating, service));
}

/* Does the trip close more than control and letdown valves, of which one may be what has failed? */
static void put_reliance(const struct scene *scene)
{
	bool any = false, other = false; /* is anything closed that is described; anything but a control valve */
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *item = table_item(scene->table, i);
		if (!names(scene, scene->item, "closes", item))
			continue;
		bool valve = item_is(item, "valve");
		const char *role = valve ? scene_word_of(scene, item, "role") : NULL;
		bool controls =
			text_same(role, "letdown") || (text_same(role, "control") && !is_on_heating(scene, item));
		any = true;
		other = other || !controls;
	}
	if (any)
		scene_put_word(scene, "closes-apart", KIND_YES_NO, other ? "yes" : "no", "by what the trip closes");
}

static void of_trip(const struct scene *scene, const struct item *trip)
{
	struct scene there = *scene;
	bool low_level = acts_on(scene, trip, "low level") && is_independent(scene, trip);
	if (acts_on(scene, trip, "low level") || acts_on(scene, trip, "low flow"))
		put_reliance(scene);
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		there.item = table_item(scene->table, i);
		if (low_level && item_is(there.item, "valve") && closes(scene, trip, there.item))
			put_yes(&there, "low-level-shut-off", trip);
		if (!acts_on(scene, trip, "low flow") || !item_is(there.item, "pump"))
			continue;
		if (names(scene, trip, "stops", there.item))
			put_yes(&there, "minimum-flow-protection", trip);
		if (trip->parent == there.item && scene_get_of(scene, trip, "closes"))
			put_yes(&there, "low-flow-shut-off", trip);
	}
}

static void of_item(const struct scene *scene)
{
	if (item_is_any(scene->item, "relief-valve relief-case"))
		capacity_over_required(scene);
	if (item_is(scene->item, "relief-case"))
		cover_by_capacity(scene);
	if (item_is(scene->item, "relief-valve")) {
		set_over_design(scene);
		losses(scene);
	}
	if (item_is(scene->item, "trip"))
		of_trip(scene, scene->item);
}

void protection_compute(struct table *table)
{
	scene_each(table, of_item);
}
