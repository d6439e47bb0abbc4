#include "compute/relief.h"

#include <string.h>

#include "base/text.h"
#include "compute/scene.h"
#include "resolve/equipment.h"

static void put_open(const struct scene *scene, const char *name, const char *lacks)
{
	struct arena *arena = table_arena(scene->table);
	scene_put_new(scene, name, quantity_lacking(arena, KIND_YES_NO, item_lacks(arena, scene->item, lacks)));
}

/* What is said of one relief case: some that cover it, some that do not, some of which nobody says. */
struct cover {
	size_t yes, no, open;
};

static void count_answer(struct cover *cover, const struct quantity *answer)
{
	if (!answer || answer->known == UNKNOWN)
		cover->open++;
	else if (answer->si > 0)
		cover->yes++;
	else
		cover->no++;
}

/* The item's own word of it (NULL: it has none), and its relief cases of that name, or those of what a side stands in. */
static struct cover cover_of(const struct scene *scene, const char *relief, const char *own)
{
	struct cover cover = {0};
	const struct item *holder = scene->item;
	if (own && scene_stated(scene, own))
		count_answer(&cover, scene_get(scene, own));
	for (size_t found = 0; holder && !item_is(holder, "unit") && !found; holder = holder->parent) {
		size_t end = table_parts_end(scene->table, holder);
		for (size_t i = holder->index + 1; i < end; i++) {
			const struct item *part = table_item(scene->table, i);
			const char *which = item_is(part, "relief-case") && part->parent == holder
				? table_word(scene->table, part, scene->operating_case, "name")
				: NULL;
			if (!which || strcmp(which, relief) != 0)
				continue;
			count_answer(&cover, scene_get_of(scene, part, "covered"));
			found++;
		}
	}
	return cover;
}

/* Covered when all that is said of it says so: of two relief cases of one name, or a case and the item's own word, both. */
static void covers(const struct scene *scene, const char *relief, const char *own, const char *name)
{
	struct cover cover = cover_of(scene, relief, own);
	if (cover.no || (cover.yes && !cover.open))
		scene_put_new(scene, name,
			quantity_assumed_word(table_arena(scene->table), KIND_YES_NO, cover.no ? "no" : "yes",
				"from its relief cases"));
	else
		put_open(scene, name, arena_format(table_arena(scene->table), "relief case '%s'", relief));
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

void relief_compute(struct table *table)
{
	scene_each(table, relief_of_vessel);
	scene_each(table, blow_by_of_valve); /* after the vessels */
}
