#include "compute/ends.h"

#include <string.h>

#include "base/count.h"
#include "compute/scene.h"

/* A value of an end, the stream that has it, and whether only one that starts at the vessel tells. The first row of an end goes. */
static const struct end {
	const char *kind, *reference, *there, *here;
	bool leaves;
} ends[] = {
	{"absorber", "rich", "temperature", "bottom-temperature", true},
	{"regenerator", "lean", "temperature", "bottom-temperature", true},
	{"regenerator", "lean", "pressure", "bottom-pressure", true},
	{"regenerator", "acid-gas", "temperature", "top-temperature", true},
	{"regenerator", "acid-gas", "pressure", "top-pressure", true},
	{"flash-drum", "rich-outlet", "temperature", "temperature", false},
	{"flash-drum", "rich-outlet", "pressure", "pressure", true},
	{"flash-drum", "rich", "temperature", "temperature", false},
	{"reflux-drum", "reflux", "temperature", "temperature", false},
};

/* A pump or a valve downstream of the vessel has another pressure: only a stream that starts there counts. */
static bool starts_at(const struct scene *scene, const struct item *stream)
{
	const char *from = table_word(scene->table, stream, scene->operating_case, "from");
	return from && scene->item->tag && strcmp(from, scene->item->tag) == 0;
}

/* Is the end known in this case by a stream of an earlier row? */
static bool is_taken(const struct scene *scene, const struct end *end)
{
	for (const struct end *before = ends; before < end; before++)
		if (strcmp(before->kind, end->kind) == 0 && strcmp(before->here, end->here) == 0 &&
			item_is(table_follow(scene->table, scene->item, scene->operating_case, before->reference),
				"stream"))
			return true;
	return false;
}

static void take(const struct scene *scene, const struct end *end)
{
	const struct item *stream = table_follow(scene->table, scene->item, scene->operating_case, end->reference);
	bool tells = item_is(stream, "stream") && (!end->leaves || starts_at(scene, stream)) && !is_taken(scene, end);
	if (tells && is_number(scene_get_of(scene, stream, end->there)))
		scene_take(scene, end->here, stream, end->there);
}

static void of_item(const struct scene *scene)
{
	for (size_t i = 0; i < COUNT(ends); i++)
		if (item_is(scene->item, ends[i].kind) && !scene_stated(scene, ends[i].here))
			take(scene, &ends[i]);
}

void ends_compute(struct table *table)
{
	scene_each(table, of_item);
}
