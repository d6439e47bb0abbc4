#include "compute/judged.h"

#include "compute/derived.h"
#include "compute/streams.h"

/* ---- temperature ---- */

/* A line or a side has what its header has by mixing: the hotter of its streams. */
static void take_mixed(const struct scene *scene)
{
	static const char name[] = "temperature-calculated";
	const struct item *stream, *hottest = NULL;
	for (size_t at = 0; (stream = stream_next(scene, &at)) != NULL;) {
		const struct quantity *own = scene_get_of(scene, stream, name);
		if (is_number(own) && (!hottest || own->si > scene_get_of(scene, hottest, name)->si))
			hottest = stream;
	}
	if (hottest)
		scene_take(scene, name, hottest, name);
}

static void temperature(const struct scene *scene)
{
	if (carries_flow(scene->item))
		take_mixed(scene);
	derived_judge_as_stated(scene, "temperature", KIND_TEMPERATURE);
	derived_judge(scene, "temperature", CAREFUL_LARGER, "temperature-calculated", 0);
}

/* ---- loading ---- */

/* Used are the parts where both are stated; a total that is stated for the same case and is larger is judged all the same. */
static void loading(const struct scene *scene)
{
	const struct quantity *used = scene_get(scene, "loading");
	const struct quantity *stated = table_stated(scene->table, scene->item, scene->operating_case, "loading");
	bool both = is_number(stated) && is_number(used) && derived_is_stated(scene, scene->item, "loading");
	derived_judge_as_stated(scene, "loading", KIND_LOADING);
	if (both && stated->si - used->si > stated->uncertainty + used->uncertainty)
		scene_put(scene, "loading-judged", stated);
}

/* ---- salts ---- */

/* The anions listed are salts, whatever the total that is stated. */
static void salts(const struct scene *scene)
{
	const struct quantity *total = scene_get(scene, "salts-on-solution");
	const struct quantity *anions = scene_get(scene, "anions-together");
	derived_judge_as_stated(scene, "salts-on-solution", KIND_MASS_FRACTION);
	if (!is_number(anions))
		return;
	if (is_number(total) ? anions->si - total->si > anions->uncertainty + total->uncertainty
			     : !total || (total->known == UNKNOWN && !total->owed))
		scene_take(scene, "salts-on-solution-judged", scene->item, "anions-together");
	if (!is_number(total) && scene_get(scene, "salts-on-solution-judged")->known != UNKNOWN)
		scene_put(scene, "salts-on-solution-judged",
			quantity_at_least(table_arena(scene->table), scene_get(scene, "salts-on-solution-judged"),
				total ? quantity_missing(total)
				      : item_lacks(table_arena(scene->table), scene->item, "salts"),
				NULL));
}

static void of_item(const struct scene *scene)
{
	bool stream = item_is(scene->item, "stream");
	if (stream || carries_flow(scene->item))
		temperature(scene);
	if (stream)
		loading(scene);
	if (item_is(scene->item, "solvent"))
		salts(scene);
}

void judged_compute(struct table *table)
{
	scene_each(table, of_item);
}
