#include "compute/reach.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/contact.h"
#include "compute/scene.h"
#include "compute/streams.h"
#include "resolve/equipment.h"
#include "resolve/service.h"

static enum truth answer_of(const struct scene *scene, const struct item *item, const char *name)
{
	return quantity_truth(scene_get_of(scene, item, name));
}

static void put_yes_no(const struct scene *scene, const char *name, bool yes, const char *why)
{
	scene_put_new_made(
		scene, name, quantity_assumed_word(table_arena(scene->table), KIND_YES_NO, yes ? "yes" : "no", why));
}

static void put_open(const struct scene *scene, const char *name, struct missing missing)
{
	scene_put_new_made(scene, name, quantity_lacking(table_arena(scene->table), KIND_YES_NO, missing));
}

/* ---- H2S ---- */

static bool is_feed(const struct scene *scene, const struct item *item)
{
	const char *role = item_is_any(item, "gas") ? scene_word_of(scene, item, "role") : NULL;
	return item_is_any(item, "hydrocarbon-feed") ||
		(item_is_any(item, "gas") && (!role || strcmp(role, "feed") == 0));
}

/* H2S anywhere: in a gas or liquid to be treated, or in a stream. None only where every feed is said to hold none. */
static void holds_h2s(const struct scene *scene)
{
	static const char *const contents[] = {"h2s", "h2s-content", "dissolved-sulfide"};
	bool any = false, open = false;
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *item = table_item(scene->table, i);
		bool feed = is_feed(scene, item);
		if (!feed && !item_is_any(item, "stream gas"))
			continue;
		for (size_t k = 0; k < COUNT(contents); k++) {
			const struct quantity *content = scene_get_of(scene, item, contents[k]);
			bool known = content && content->known != UNKNOWN;
			if (known && content->si > 0) {
				put_yes_no(scene, "holds-h2s", true, "from its gases and streams");
				return;
			}
			open = open || (feed && k == 0 && !known);
		}
		any = any || feed;
	}
	if (any && !open)
		put_yes_no(scene, "holds-h2s", false, "none of its gases and streams holds any");
	else
		put_open(scene, "holds-h2s", (struct missing){NULL, "h2s", "h2s of the feed gases is not stated"});
}

/* The rich stream that wets the item and says how much of each gas it holds. */
static const struct item *rich_that_wets(const struct scene *scene)
{
	const struct item *stream;
	for (size_t at = 0; (stream = stream_next(scene, &at)) != NULL;)
		if (item_is_any(stream, "stream") &&
			service_is(scene_word_of(scene, stream, "service"), SERVICE_RICH | SERVICE_STREAM) &&
			is_number(scene_get_of(scene, stream, "h2s")) && is_number(scene_get_of(scene, stream, "co2")))
			return stream;
	return NULL;
}

static void share_here(const struct scene *scene)
{
	if (!item_in(scene->item, CLASS_SOLUTION))
		return;
	const struct item *unit = table_sole(scene->table, "unit"), *gas = NULL, *rich = NULL;
	for (const struct item *holder = scene->item; holder && !gas; holder = holder->parent)
		gas = item_is_any(holder, "absorber") ? table_follow(scene->table, holder, scene->operating_case, "gas")
						      : NULL;
	rich = gas ? NULL : rich_that_wets(scene);
	struct input inputs[] = {scene_input_of(scene, rich ? rich : unit, "y_H2S", "h2s"),
		scene_input_of(scene, rich ? rich : unit, "y_CO2", "co2")};
	double h2s = inputs[0].quantity->si, total = h2s + inputs[1].quantity->si;
	if (gas && is_number(scene_get_of(scene, gas, "h2s-share")))
		scene_take(scene, "h2s-share-here", gas, "h2s-share");
	else if (rich && total > 0)
		scene_compute(scene, "h2s-share-here", KIND_SHARE, h2s / total,
			h2s / total * (1 - h2s / total) *
				(relative_uncertainty(inputs[0].quantity) + relative_uncertainty(inputs[1].quantity)),
			FORMULA_SHARE_OF_H2S, inputs, 2);
	else
		scene_take(scene, "h2s-share-here", unit, "h2s-share");
}

/* ---- steel ---- */

/* Behind the lean/rich exchanger or in it; the cold bottom of an absorber and pumps are none of it. */
static bool is_hot_place(const struct item *item)
{
	for (const struct item *holder = item; holder; holder = holder->parent)
		if (item_in(holder, CLASS_COLD))
			return false;
	return item_in(item, CLASS_HOT_RICH);
}

static bool is_place(const struct item *item)
{
	return item_in(item, CLASS_STEEL_IN_AMINE);
}

/* Yes needs one place of bare steel that `sees` says is reached; no a regenerator, a line or exchanger, and the metal of all. */
static void steel_reached(
	const struct scene *scene, const char *name, const char *sees, bool (*counts)(const struct item *))
{
	struct arena *arena = table_arena(scene->table);
	bool tower = false, way = false, open = false;
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		const struct item *item = table_item(scene->table, i);
		enum truth reached = counts(item) ? answer_of(scene, item, sees) : NO;
		const char *family = scene_word_of(scene, item, "wetted-material-family");
		if (reached == YES && contact_is_steel(family)) {
			put_yes_no(scene, name, true, arena_format(arena, "%s is of bare steel", item->tag));
			return;
		}
		open = open || (reached != NO && (!family || contact_is_steel(family)));
		tower = tower || (reached != NO && item_is_any(item, "regenerator"));
		way = way || (reached != NO && (item_is(item, "line") || item_in(item, CLASS_SIDE)));
	}
	if (tower && way && !open)
		put_yes_no(scene, name, false, "everything it wets is alloy");
	else
		put_open(scene, name,
			(struct missing){NULL, "material", "material of all that the solution touches is not stated"});
}

static bool touches(const struct scene *there, const struct item *stream)
{
	const struct item *found;
	for (size_t at = 0; (found = stream_next(there, &at)) != NULL;)
		if (found == stream)
			return true;
	return false;
}

static enum truth steel_at(const struct scene *scene, const struct item *item, bool as_welded)
{
	const char *family = scene_word_of(scene, item, "wetted-material-family");
	enum truth steel = !family ? PERHAPS : contact_is_steel(family) ? YES : NO;
	enum truth relieved = as_welded ? answer_of(scene, item, "stress-relieved") : NO;
	return truth_and(steel, truth_not(relieved));
}

/* Does the stream wet bare steel, as welded if so asked? No only where its line is described too. */
static void put_wetted(const struct scene *scene, const char *name, bool as_welded)
{
	struct arena *arena = table_arena(scene->table);
	const struct item *unclear = NULL;
	bool line = false;
	for (size_t i = 0; i < table_item_count(scene->table); i++) {
		struct scene there = *scene;
		there.item = table_item(scene->table, i);
		if (!scene_get(&there, "wetted-material") || !touches(&there, scene->item))
			continue;
		enum truth answer = steel_at(scene, there.item, as_welded);
		line = line || item_is_any(there.item, "line");
		unclear = answer == PERHAPS ? there.item : unclear;
		if (answer == YES) {
			put_yes_no(scene, name, true, arena_format(arena, "it wets %s", there.item->tag));
			return;
		}
	}
	if (line && !unclear)
		put_yes_no(scene, name, false, "from the metal and stress relief of all that it wets");
	else if (unclear)
		put_open(scene, name,
			item_lacks(arena, unclear,
				scene_word_of(scene, unclear, "wetted-material-family") ? "pwht" : "material"));
	else
		put_open(scene, name,
			(struct missing){NULL, "material",
				arena_format(arena, "material of the line of %s is not stated", scene->item->tag)});
}

/* Streams of whose water something is said that steel may not resist. */
static void wetted_by(const struct scene *scene)
{
	static const char *const said[] = {"ph", "hcn", "carbonate", "dissolved-sulfide"};
	bool any = false;
	for (size_t i = 0; i < COUNT(said); i++)
		any = any || scene_get(scene, said[i]);
	if (!any || !item_is_any(scene->item, "stream") || scene->operating_case != EVERY_CASE)
		return;
	put_wetted(scene, "wets-steel", false);
	put_wetted(scene, "wets-steel-as-welded", true);
}

static void of_item(const struct scene *scene)
{
	if (item_is_any(scene->item, "unit")) {
		holds_h2s(scene);
	}
	if (item_is_any(scene->item, "unit") && scene->operating_case == EVERY_CASE) {
		steel_reached(scene, "steel-in-hot-rich", "sees-rich", is_hot_place);
		steel_reached(scene, "steel-in-amine", "amine-wetted", is_place);
	}
	share_here(scene);
	wetted_by(scene);
}

void reach_compute(struct table *table)
{
	scene_each(table, of_item);
}
