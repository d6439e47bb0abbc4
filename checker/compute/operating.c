#include "compute/operating.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "base/truth.h"
#include "compute/interface.h"
#include "compute/scene.h"
#include "resolve/equipment.h"

struct view {
	struct table *table;
	struct arena *arena;
	const struct piping *piping;
};

/* What a reference attribute of the item itself names. */
static const struct item *named(
	const struct table *table, const struct item *item, const char *name, int operating_case)
{
	return table_find(table, table_word(table, item, operating_case, name));
}

/* ---- by what is stated ---- */

/* Where an item says, or what it holds says, what it operates at: the name, and whose it is ("": its own). */
static const struct held_at {
	const char *of, *name;
} held_at[] = {
	{"", "pressure"},
	{"", "top-pressure"},
	{"", "bottom-pressure"},
	{"", "discharge-pressure"},
	{"gas", "pressure"},
	{"hydrocarbon", "pressure"},
	{"stream", "pressure"},
	{"inlet", "pressure"},
	{"outlet", "pressure"},
	{"regenerator", "bottom-pressure"},
};

/*
 * Is the point that of the lower pressure at a valve or a pump? Perhaps: a pressure that is not known may hold one
 * apart, that of `*unsure`.
 */
static enum truth is_low_side(const struct piping *piping, size_t point, const struct item **unsure)
{
	enum truth low = NO;
	for (size_t i = 0; !piping->nodes[point].item && i < piping->joint_count; i++) {
		const struct joint *joint = &piping->joints[i];
		if ((joint->sort == JOINT_DEVICE && joint->to == point) ||
			(joint->sort == JOINT_PUMP && joint->from == point))
			return YES;
		if (joint->sort == JOINT_UNSURE && (joint->from == point || joint->to == point)) {
			low = PERHAPS;
			*unsure = joint->device;
		}
	}
	return low;
}

/* Does a pump move the stream that names no other at its far end? */
static bool is_pumped_on(const struct view *view, const struct item *stream)
{
	struct items pumps = table_of_kind(view->table, "pump");
	for (size_t i = 0; stream && i < pumps.count; i++)
		if (named(view->table, pumps.rows[i], "stream", EVERY_CASE) == stream)
			return true;
	return false;
}

/*
 * A stream has one pressure, and where a valve or pump stands in its run nobody says on which side of it that holds: it
 * is no statement of what hangs at the lower pressure; at the higher there is at least so much.
 */
static enum truth tells(
	const struct view *view, const struct item *item, const char *reference, const struct item **unsure)
{
	enum truth low = NO;
	size_t node = piping_find(view->piping, item, PIPING_WHOLE);
	if (is_pumped_on(view, named(view->table, item, reference, EVERY_CASE)))
		return NO;
	bool leaves = text_same(reference, "outlet"),
	     of_stream = leaves || text_same(reference, "inlet") || text_same(reference, "stream");
	for (size_t i = 0; of_stream && node != NO_NODE && i < view->piping->joint_count; i++) {
		const struct joint *joint = &view->piping->joints[i];
		size_t here = leaves ? joint->from : joint->to, there = leaves ? joint->to : joint->from;
		if (here == node)
			low = truth_or(low, is_low_side(view->piping, there, unsure));
	}
	return truth_not(low);
}

static bool has_pressure_of_its_own(const struct view *view, const struct item *item)
{
	bool exchanger = item_in(item, CLASS_HEAT_EXCHANGER);
	bool shell = exchanger && piping_find(view->piping, item, PIPING_WHOLE) != NO_NODE;
	return shell || (!exchanger && (item_in(item, CLASS_RELIEVED | CLASS_SIDE) || item_is_any(item, "line pump")));
}

/* ---- by what it is open to ---- */

static bool is_lower(const struct quantity *pressure, const struct quantity *than)
{
	return is_number(pressure) && !(than && than->si <= pressure->si);
}

/*
 * Of what states none the lowest of the vessels that it is surely open to, else of the pumps that press on it: the
 * piece downstream of a valve or a pump in a line has the pressure of its side, whatever the stream says.
 */
static void by_connection(const struct view *view, const struct scene *scene)
{
	size_t node = piping_find(view->piping, scene->item, PIPING_WHOLE);
	const bool *open = piping_flood(view->arena, view->piping, node, 0);
	const struct item *vessel = NULL, *pump = NULL;
	const struct quantity *lowest = NULL, *given = NULL;
	for (size_t i = 0; i < view->piping->node_count && node != NO_NODE; i++) {
		const struct piping_node *there = &view->piping->nodes[i];
		const struct quantity *operating = scene_get_of(scene, there->item, "operating-pressure"),
				      *discharge = scene_get_of(scene, there->item, "discharge-pressure");
		if (!open[i] || !there->item || i == node)
			continue;
		if (piping_is_vessel(there->item) && is_lower(operating, lowest)) {
			vessel = there->item;
			lowest = operating;
		} else if (there->end == PIPING_DISCHARGE && is_lower(discharge, given)) {
			pump = there->item;
			given = discharge;
		}
	}
	if (vessel)
		scene_take(scene, "operating-pressure", vessel, "operating-pressure");
	else if (pump)
		scene_take(scene, "operating-pressure", pump, "discharge-pressure");
}

static void operating(const struct view *view, const struct item *item, int operating_case)
{
	struct scene scene = {
		.table = view->table, .into = view->table, .item = item, .operating_case = operating_case};
	const struct item *whose = NULL;
	const char *name = NULL;
	double highest = 0;
	struct missing open = {.quantity = NULL}; /* what is said of it and is no number: a bound, or owed */
	for (size_t i = 0; i < COUNT(held_at); i++) {
		bool own = !held_at[i].of[0];
		/* What carries a flow has taken its pressure from its stream unless it states one. */
		bool taken = own && item_in(item, CLASS_FLOW) && !scene_stated(&scene, held_at[i].name);
		const struct item *of = own ? item : named(view->table, item, held_at[i].of, operating_case);
		bool holds = own || item_is_any(of, "gas hydrocarbon-feed stream regenerator");
		const struct quantity *said = holds ? scene_get_of(&scene, of, held_at[i].name) : NULL;
		const struct item *unsure = NULL;
		enum truth told = taken ? NO : tells(view, item, held_at[i].of, &unsure);
		const struct quantity *there = told == YES ? said : NULL;
		if (said && !is_number(said))
			open = item_lacks(view->arena, of, held_at[i].name);
		else if (said && told == PERHAPS)
			open = item_lacks(view->arena, unsure, "pressure");
		if (!there || !is_number(there) || there->kind != KIND_PRESSURE || (whose && highest >= there->si))
			continue;
		whose = of;
		name = held_at[i].name;
		highest = there->si;
	}
	if (!whose && item_in(item, CLASS_SIDE) && text_same(scene_word_of(&scene, item, "service"), "steam") &&
		scene_get_of(&scene, item->parent, "steam-pressure")) {
		whose = item->parent;
		name = "steam-pressure";
	}
	const struct quantity *stated = whose ? scene_get_of(&scene, whose, name) : NULL;
	if (stated && open.quantity)
		scene_put(&scene, "operating-pressure", quantity_at_least(view->arena, stated, open, NULL));
	else if (stated)
		scene_take(&scene, "operating-pressure", whose, name);
	else if (!open.quantity && !piping_is_vessel(item))
		by_connection(view, &scene);
	/* Every vessel has a pressure, and a package says it; what carries a stream need not. */
	if (scene_get(&scene, "operating-pressure") || (piping_is_vessel(item) && !item_is_any(item, "tank sump")))
		scene_put_word(&scene, "operating-pressure-expected", KIND_YES_NO, "yes",
			"it has a pressure that a package states");
}

/*
 * Pa; share of the gauge pressure: the usual margin is the larger (25 psi). Common practice. Near the atmosphere 25 psi would be many
 * times the pressure: there as much as the gauge pressure is enough, and 5 psi (ASME VIII-1, appendix M, from memory).
 */
static const double USUAL_MARGIN = 1.7e5, LEAST_MARGIN = 0.35e5, LEAST_SHARE = 0.1;

static void margin(const struct view *view, const struct item *item, int operating_case)
{
	struct scene scene = {
		.table = view->table, .into = view->table, .item = item, .operating_case = operating_case};
	if (!is_number(scene_get(&scene, "design-pressure")) || !is_number(scene_get(&scene, "operating-pressure")))
		return;
	struct input inputs[] = {input_rises(scene_input(&scene, "P_d", "design-pressure")),
		input_falls(scene_input(&scene, "P", "operating-pressure")),
		scene_input_is("p_s", "atmosphere at the site", interface_atmosphere(&scene))};
	double design = inputs[0].quantity->si, now = inputs[1].quantity->si;
	double gauge = now - inputs[2].quantity->si;
	double usual = fmax(fmin(USUAL_MARGIN, fmax(LEAST_MARGIN, gauge)), LEAST_SHARE * gauge);
	scene_compute(&scene, "pressure-margin", KIND_RATIO, fmax(design - now, 0) / usual, 0, FORMULA_PRESSURE_MARGIN,
		inputs, COUNT(inputs));
}

/* Vessels first: what is open to them takes their pressure. */
void operating_compute(struct table *table, const struct piping *piping)
{
	struct view view = {.table = table, .arena = table_arena(table), .piping = piping};
	for (int others = 0; others <= 1; others++)
		for (size_t i = 0; i < table_item_count(table); i++) {
			const struct item *item = table_item(table, i);
			if (piping_is_vessel(item) == (others != 0) || !has_pressure_of_its_own(&view, item))
				continue;
			for (int c = EVERY_CASE; c < (int)table_case_count(table); c++) {
				operating(&view, item, c);
				margin(&view, item, c);
			}
		}
}
