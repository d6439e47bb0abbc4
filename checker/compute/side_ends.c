#include "compute/side_ends.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "resolve/equipment.h"

/* One end has no temperature: the side is at least as hot as the other. */
static void of_one_end(const struct scene *scene, const char *known, const char *unknown)
{
	struct arena *arena = table_arena(scene->table);
	struct input *end = arena_alloc(arena, sizeof *end);
	*end = scene_input(scene, "from", known);
	struct input other = scene_input(scene, "from", unknown);
	struct quantity taken = *end->quantity;
	taken.known = COMPUTED;
	taken.formula = &formulas[FORMULA_TAKEN];
	taken.inputs = end;
	taken.input_count = 1;
	scene_put(scene, "temperature", quantity_at_least(arena, &taken, input_missing(arena, &other), &other));
}

static void temperature_of_ends(const struct scene *scene)
{
	const struct quantity *in = scene_get(scene, "inlet-temperature"),
			      *out = scene_get(scene, "outlet-temperature");
	if (scene_stated(scene, "temperature"))
		return;
	if (is_number(in) && is_number(out))
		scene_take(scene, "temperature", scene->item,
			in->si >= out->si ? "inlet-temperature" : "outlet-temperature");
	else if (is_number(in))
		of_one_end(scene, "inlet-temperature", "outlet-temperature");
	else if (is_number(out))
		of_one_end(scene, "outlet-temperature", "inlet-temperature");
}

/* A side that names a stream has what that says, in streams.h. */
static bool names_stream(const struct scene *scene)
{
	static const char *const ends[] = {"inlet", "outlet"};
	for (size_t i = 0; i < COUNT(ends); i++)
		if (table_follow(scene->table, scene->item, scene->operating_case, ends[i]))
			return true;
	return false;
}

static void of_side(const struct scene *scene)
{
	if (!item_in(scene->item, CLASS_SIDE) || names_stream(scene))
		return;
	temperature_of_ends(scene);
	if (!scene_stated(scene, "pressure") && is_number(scene_get(scene, "inlet-pressure")))
		scene_take(scene, "pressure", scene->item, "inlet-pressure");
}

void side_ends_compute(struct table *table)
{
	scene_each(table, of_side);
}

const struct item *side_of_service(const struct scene *scene, const char *service)
{
	const struct item *found = NULL;
	for (size_t i = scene->item->index + 1; i < table_parts_end(scene->table, scene->item); i++) {
		const struct item *side = table_item(scene->table, i);
		if (!item_in(side, CLASS_SIDE) || side->parent != scene->item ||
			!text_same(table_word(scene->table, side, scene->operating_case, "service"), service))
			continue;
		if (found)
			return NULL;
		found = side;
	}
	return found;
}
