#include "resolve/handed_down.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "resolve/equipment.h"
#include "resolve/extent.h"

/* The zone of this name that is in the same item, or NULL. */
static const struct item *zone_beside(const struct table *table, const struct item *item)
{
	const char *name = !item_is(item, "zone") ? table_word(table, item, EVERY_CASE, "zone") : NULL;
	struct items zones = table_of_kind(table, "zone");
	for (size_t i = 0; name && i < zones.count; i++)
		if (zones.rows[i]->parent == item->parent &&
			text_same(table_word(table, zones.rows[i], EVERY_CASE, "name"), name))
			return zones.rows[i];
	return NULL;
}

/* The zone that the item or what it is part of names, or NULL. */
static const struct item *zone_named(const struct table *table, const struct item *item)
{
	const struct item *zone = NULL;
	for (; item && item->parent && !zone; item = item->parent)
		zone = zone_beside(table, item);
	return zone;
}

/* In every case in which the item has only what it has from what it is in. */
static void take_over(struct table *table, const struct item *item, const struct item *zone, const char *name)
{
	const struct item *above = item_is(zone, "part") ? item->parent : zone->parent;
	int cases = (int)table_case_count(table);
	bool *takes = arena_alloc(table_arena(table), ((size_t)cases + 1) * sizeof *takes);
	for (int c = EVERY_CASE; c < cases; c++)
		takes[c + 1] = table_get(table, item, c, name) == table_get(table, above, c, name);
	for (int c = EVERY_CASE; c < cases; c++) {
		const struct quantity *there = table_get(table, zone, c, name);
		if (takes[c + 1] && there)
			table_put_if_other(table, item, c, name, there);
	}
}

const struct item *hand_down_from(const struct table *table, const struct item *item)
{
	const char *part = item_is_any(item, "weld repair") ? table_word(table, item, EVERY_CASE, "part") : NULL;
	const struct item *named = part ? extent_part(table, item, part) : NULL;
	return named ? named : zone_named(table, item);
}

static void of_place(struct table *table, const struct element *unit, const struct item *item)
{
	struct arena *arena = table_arena(table);
	const struct item *zone = hand_down_from(table, item);
	const struct vocabulary_element *meaning = zone ? element_meaning(unit, item->kind) : NULL;
	for (size_t k = 0; meaning && k < meaning->attribute_count; k++) {
		const struct vocabulary_attribute *attribute = &meaning->attributes[k];
		if (!attribute->inherited)
			continue;
		take_over(table, item, zone, attribute->name);
		take_over(table, item, zone, arena_format(arena, "%s-family", attribute->name));
	}
}

/* ---- what is found on an exchanger ---- */

static const char *const of_whole_exchanger[] = {"hardness-base", "hardness-weld", "hardness-haz", "cold-strain",
	"heat-treated-after-forming", "socket-welds", "dissimilar-welds", "bake-out-before-welding", "corrosion-rate",
	"blisters-found", "cracks-found", "inspected-by"};

bool hand_down_looks_at(const char *name)
{
	bool any = strcmp(name, "zone") == 0 || strcmp(name, "part") == 0 || strcmp(name, "name") == 0;
	for (size_t i = 0; i < COUNT(of_whole_exchanger); i++)
		any = any || strcmp(of_whole_exchanger[i], name) == 0;
	return any;
}

static bool has_shell(const struct table *table, const struct item *exchanger)
{
	size_t end = table_parts_end(table, exchanger);
	bool found = false;
	for (size_t i = exchanger->index + 1; i < end && !found; i++)
		found = table_item(table, i)->parent == exchanger && item_is(table_item(table, i), "shell-side");
	return found;
}

static void of_exchanger(struct table *table, const struct item *side)
{
	bool shell = item_is(side, "shell-side");
	if (!item_in(side->parent, CLASS_HEAT_EXCHANGER) || item_in(side->parent, CLASS_KETTLE) ||
		!item_in(side, CLASS_SIDE) || (!shell && has_shell(table, side->parent)))
		return;
	for (size_t i = 0; i < COUNT(of_whole_exchanger); i++)
		for (int c = EVERY_CASE; c < (int)table_case_count(table); c++) {
			const struct quantity *there = table_get(table, side->parent, c, of_whole_exchanger[i]);
			if (there && !table_get(table, side, c, of_whole_exchanger[i]))
				table_put_if_other(table, side, c, of_whole_exchanger[i], there);
		}
}

void hand_down(struct table *table, const struct element *unit)
{
	for (size_t i = 0; i < table_item_count(table); i++) {
		of_place(table, unit, table_item(table, i));
		of_exchanger(table, table_item(table, i));
	}
}
