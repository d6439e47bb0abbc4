#include "compute/relief.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/envelope.h"
#include "compute/scene.h"
#include "resolve/equipment.h"

static void put_open(const struct scene *scene, const char *name, const char *lacks)
{
	struct arena *arena = table_arena(scene->table);
	scene_put_new_made(scene, name, quantity_lacking(arena, KIND_YES_NO, item_lacks(arena, scene->item, lacks)));
}

/* Is one relief case covered, by all that is said of it? */
struct cover {
	size_t count;
	enum truth all; /* PERHAPS: nobody says, of one of them or of any */
};

static void count_answer(struct cover *cover, const struct quantity *answer)
{
	enum truth one = quantity_truth(answer);
	cover->all = cover->count++ ? truth_and(cover->all, one) : one;
}

/* A relief case of the item or of a relief valve of it, or a relief valve that is sized for the case. */
static bool concerns(const struct scene *scene, const struct item *holder, const struct item *part, const char *relief)
{
	bool of_holder = part->parent == holder;
	bool of_valve = item_is(part->parent, "relief-valve") && part->parent->parent == holder;
	if (item_is(part, "relief-case") && (of_holder || of_valve))
		return text_same(table_word(scene->table, part, scene->operating_case, "name"), relief);
	return item_is(part, "relief-valve") && of_holder &&
		text_same(table_word(scene->table, part, scene->operating_case, "sized-for"), relief);
}

/* A valve that is sized for a case covers it, unless it is known to pass less than the case needs. */
static const struct quantity *answer_of(const struct scene *scene, const struct item *part)
{
	static const char why[] = "a relief valve is sized for it";
	struct arena *arena = table_arena(scene->table);
	const struct quantity *ratio = scene_get_of(scene, part, "capacity-over-required");
	if (item_is(part, "relief-case"))
		return scene_get_of(scene, part, "covered");
	if (ratio && ratio->known == UNKNOWN && ratio->owed)
		return ratio;
	bool too_small = ratio && is_number(ratio) && ratio->si < 1;
	return quantity_assumed_word(arena, KIND_YES_NO, too_small ? "no" : "yes", why);
}

/* The item's own word of it (NULL: it has none), and its relief cases of that name, or those of what a side is in. */
static struct cover cover_of(const struct scene *scene, const char *relief, const char *own)
{
	struct cover cover = {.all = PERHAPS};
	const struct item *holder = scene->item;
	if (own && scene_stated(scene, own))
		count_answer(&cover, scene_get(scene, own));
	for (size_t found = 0; holder && !item_is(holder, "unit") && !found; holder = holder->parent) {
		size_t end = table_parts_end(scene->table, holder);
		for (size_t i = holder->index + 1; i < end; i++) {
			const struct item *part = table_item(scene->table, i);
			if (!concerns(scene, holder, part, relief))
				continue;
			count_answer(&cover, answer_of(scene, part));
			found++;
		}
	}
	return cover;
}

static bool names_a_case(const struct scene *scene, const struct item *holder)
{
	for (size_t i = holder->index + 1; i < table_parts_end(scene->table, holder); i++) {
		const struct item *part = table_item(scene->table, i);
		if (part->parent == holder && item_is(part, "relief-case"))
			return true;
	}
	return false;
}

/*
 * A relief valve of which nobody says what it is for, where the item lists no relief cases either: it may be for this one. NULL: none.
 * Nothing is said against vacuum by a valve that opens on pressure.
 */
static const struct item *valve_of_unsaid_case(const struct scene *scene, const char *relief)
{
	if (text_same(relief, "vacuum") || names_a_case(scene, scene->item))
		return NULL;
	for (size_t i = scene->item->index + 1; i < table_parts_end(scene->table, scene->item); i++) {
		const struct item *part = table_item(scene->table, i);
		if (item_is(part, "relief-valve") && part->parent == scene->item && !names_a_case(scene, part) &&
			!scene_word_of(scene, part, "sized-for"))
			return part;
	}
	return NULL;
}

/* Does the package say that the relief cases it lists are all? Only then is silence a no. */
static bool lists_all(const struct scene *scene)
{
	const struct item *basis = table_sole(scene->table, "basis");
	const struct quantity *all = basis ? scene_get_of(scene, basis, "relief-cases-complete") : NULL;
	return all && all->known != UNKNOWN && all->si > 0;
}

/* Covered when all that is said of it says so: of two relief cases of one name, or a case and the item's own word, both. */
static void covers(const struct scene *scene, const char *relief, const char *own, const char *name)
{
	struct cover cover = cover_of(scene, relief, own);
	struct arena *arena = table_arena(scene->table);
	bool complete = !cover.count && lists_all(scene);
	const struct item *unsaid = complete ? valve_of_unsaid_case(scene, relief) : NULL;
	if (cover.all != PERHAPS)
		scene_put_new_made(scene, name,
			quantity_assumed_word(
				arena, KIND_YES_NO, cover.all == NO ? "no" : "yes", "from its relief cases"));
	else if (unsaid)
		scene_put_new_made(
			scene, name, quantity_lacking(arena, KIND_YES_NO, item_lacks(arena, unsaid, "sized-for")));
	else if (complete)
		scene_put_new_made(scene, name,
			quantity_assumed_word(
				arena, KIND_YES_NO, "no", "the list of relief cases is complete and has none of it"));
	else
		put_open(scene, name, arena_format(arena, "relief case '%s'", relief));
}

static void relief_of_vessel(const struct scene *scene)
{
	if (!item_in(scene->item, CLASS_RELIEVED))
		return;
	covers(scene, "gas blow-by", "blow-by-relief", "covers-blow-by");
	covers(scene, "vacuum", NULL, "covers-vacuum");
	if (item_in(scene->item, CLASS_HEAT_EXCHANGER))
		covers(scene, "tube rupture", "tube-rupture-relief", "covers-tube-rupture");
}

/* What is said of the valve itself comes before a relief case of the vessel that it feeds, which may be meant for another. */
static void blow_by_of_valve(const struct scene *scene)
{
	if (!item_is(scene->item, "valve"))
		return;
	const struct item *vessel = table_follow(scene->table, scene->item, scene->operating_case, "to");
	const struct quantity *own = scene_get(scene, "blow-by-relief");
	if (own && own->known != UNKNOWN)
		scene_take(scene, "covers-blow-by", scene->item, "blow-by-relief");
	else if (scene_get_of(scene, vessel, "covers-blow-by"))
		scene_take(scene, "covers-blow-by", vessel, "covers-blow-by");
	else
		put_open(scene, "covers-blow-by", "blow-by-relief");
}

/* ---- which cases are spoken of ---- */

/* Cases that a relief study cannot leave out; what stands in another's relief system need not list them again. */
static const struct demand {
	const char *kinds, *relief;
} demands[] = {
	{"absorber treater flash-drum regenerator knock-out-drum", "blocked outlet"},
	{"absorber treater flash-drum regenerator knock-out-drum reflux-drum", "fire"},
	{"regenerator", "cooling failure"},
	{"regenerator", "reflux failure"},
	{"regenerator", "steam failure open"},
};

/* A side full of liquid that valves shut in while the other goes on heating it. */
static bool can_be_blocked_in(const struct scene *scene)
{
	bool blocked = false;
	for (size_t i = scene->item->index + 1; i < table_parts_end(scene->table, scene->item); i++) {
		const struct item *part = table_item(scene->table, i);
		blocked = blocked || item_is(part, "isolation") ||
			(item_is(part, "valve") && text_same(scene_word_of(scene, part, "role"), "block"));
	}
	return blocked && item_in(scene->item, CLASS_HEAT_EXCHANGER);
}

/* Is the case spoken of at a vessel that is always open to it, and that relieves no higher than it is built for? */
static bool is_told_nearby(const struct scene *scene, const struct piping *piping, const char *relief)
{
	struct arena *arena = table_arena(scene->table);
	size_t node = piping_find(piping, scene->item, PIPING_WHOLE);
	const struct quantity *design = scene_get(scene, "design-pressure");
	const bool *open = node == NO_NODE ? NULL : piping_flood(arena, piping, node, PASS_NO_BLOCK);
	for (size_t i = 0; open && is_number(design) && i < piping->node_count; i++) {
		struct scene other = *scene;
		other.item = piping->nodes[i].item;
		if (!open[i] || i == node || !other.item || !piping_is_vessel(other.item))
			continue;
		struct pressure_level level = envelope_level(scene->table, other.item);
		if (level.item && level.si <= design->si && cover_of(&other, relief, NULL).count)
			return true;
	}
	return false;
}

static void add_silent(const struct scene *scene, const struct piping *piping, const char *relief, struct text *silent)
{
	if (cover_of(scene, relief, NULL).count == 0 && !is_told_nearby(scene, piping, relief))
		text_addf(silent, "%s%s of %s", silent->length ? ", " : "", relief, scene->item->tag);
}

static bool speaks_of_relief(const struct table *table)
{
	return table_of_kind(table, "relief-valve").count + table_of_kind(table, "relief-case").count > 0;
}

/* One question for the whole unit: the cases that nobody speaks of. */
static void put_listed(struct table *table)
{
	struct arena *arena = table_arena(table);
	const struct item *unit = table_sole(table, "unit");
	struct text silent = text_in(arena);
	if (!unit || !speaks_of_relief(table))
		return;
	const struct piping piping = piping_of(arena, table);
	for (size_t i = 0; i < table_item_count(table); i++) {
		struct scene scene = {.table = table, .item = table_item(table, i), .operating_case = EVERY_CASE};
		for (size_t k = 0; k < COUNT(demands); k++)
			if (item_is_any(scene.item, demands[k].kinds))
				add_silent(&scene, &piping, demands[k].relief, &silent);
		if (can_be_blocked_in(&scene))
			add_silent(&scene, &piping, "thermal expansion", &silent);
	}
	table_put(table, unit, EVERY_CASE, "relief-described",
		quantity_assumed_word(arena, KIND_YES_NO, "yes", "it has relief valves or relief cases"));
	table_put(table, unit, EVERY_CASE, "relief-cases-listed",
		silent.length
			? quantity_lacking(arena, KIND_YES_NO,
				  item_lacks(arena, unit, arena_format(arena, "relief cases (%s)", silent.data)))
			: quantity_assumed_word(arena, KIND_YES_NO, "yes", "from the relief cases of its vessels"));
}

void relief_compute(struct table *table)
{
	put_listed(table);
	scene_each(table, relief_of_vessel);
	scene_each(table, blow_by_of_valve); /* after the vessels */
}
