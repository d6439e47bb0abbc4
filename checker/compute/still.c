#include "compute/still.h"

#include <string.h>

#include "chemistry/water.h"

static const struct item *stream_called(const struct scene *scene, const struct item *item, const char *reference)
{
	const struct quantity *word = scene_get_of(scene, item, reference);
	const struct item *stream =
		word && word->known != UNKNOWN && word->word ? table_find(scene->table, word->word) : NULL;

	return item_is(stream, "stream") ? stream : NULL;
}

/* The item of a kind that names this regenerator, or the only one of its kind. */
static const struct item *belonging(const struct scene *scene, const char *kind, const char *reference, const char *tag)
{
	struct items all = table_of_kind(scene->table, kind);

	for (size_t i = 0; tag && i < all.count; i++) {
		const struct item *item = all.rows[i];
		const char *word = table_word(scene->table, item, scene->operating_case, reference);

		if (word && strcmp(word, tag) == 0)
			return item;
	}
	return table_sole(scene->table, kind);
}

struct still still_of(const struct scene *scene, const struct item *regenerator)
{
	struct still still = {.scene = scene, .item = regenerator};

	still.reboiler = belonging(scene, "reboiler", "regenerator", regenerator->tag);
	still.lean = stream_called(scene, regenerator, "lean");
	still.feed = stream_called(scene, regenerator, "feed");
	still.acid_gas = stream_called(scene, regenerator, "acid-gas");
	still.reflux = stream_called(scene, regenerator, "reflux");
	still.drum = belonging(scene, "reflux-drum", "reflux", still.reflux ? still.reflux->tag : NULL);
	if (still.lean)
		still.lean_solution = solvent_of_stream(scene, still.lean, false);
	if (still.feed)
		still.feed_solution = solvent_state(scene, regenerator, PLACE_FEED);
	return still;
}

double still_carried_off(
	const struct scene *scene, const struct still *still, struct input *temperature, struct input *pressure)
{
	*temperature = still->reflux ? scene_input_of(scene, still->reflux, "t_d", "temperature")
				     : scene_input(scene, "t_d", "reflux temperature");
	*pressure = still->drum && scene_get_of(scene, still->drum, "pressure")
		? scene_input_of(scene, still->drum, "P_d", "pressure")
		: scene_input(scene, "P_d", "top-pressure");
	double partial = water_saturation_pressure(temperature->quantity->si) / pressure->quantity->si;
	return partial / (1 - partial);
}
