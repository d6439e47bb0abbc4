#include "compute/rating.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/derived.h"
#include "compute/steam.h"
#include "compute/still.h"
#include "resolve/equipment.h"

/* ---- the duty that a case needs ---- */

static const struct item *regenerator_of(const struct scene *scene)
{
	const struct item *named = table_follow(scene->table, scene->item, scene->operating_case, "regenerator");
	return named ? named : table_sole(scene->table, "regenerator");
}

/* Of one reboiler the rated duty is its own; of several that of all, which share what the regenerator asks for. */
static struct input needed_of_reboiler(const struct scene *scene, struct input *rated)
{
	const struct item *regenerator = regenerator_of(scene);
	if (derived_is_stated(scene, scene->item, "duty") || !regenerator)
		return scene_input(scene, "E", "duty");
	struct scene own = *scene;
	own.item = regenerator;
	*rated = input_falls(still_together(&own, regenerator, "E_r", "rated-duty"));
	return scene_input_of(scene, regenerator, "E", "duty-asked");
}

static struct input needed(const struct scene *scene, struct input *rated)
{
	bool stated = scene_stated(scene, "duty"), here = derived_is_stated(scene, scene->item, "duty");
	*rated = input_falls(scene_input(scene, "E_r", "rated-duty"));
	if (item_is(scene->item, "reboiler"))
		return needed_of_reboiler(scene, rated);
	if (here || !stated)
		return scene_input(scene, "E", scene_get(scene, "duty") ? "duty" : "lean-duty");
	const char *calculated = scene_get(scene, "lean-duty") ? "lean-duty" : "duty-calculated";
	if (scene_get(scene, calculated))
		return scene_input(scene, "E", calculated);
	return scene_input_is("E", "duty in the case",
		quantity_lacking(table_arena(scene->table), KIND_POWER,
			item_lacks(table_arena(scene->table), scene->item, "duty")));
}

static void duty_over_rated(const struct scene *scene)
{
	if (!item_in(scene->item, CLASS_HEAT_EXCHANGER) || !scene_get(scene, "rated-duty"))
		return;
	struct input inputs[2];
	inputs[0] = input_rises(needed(scene, &inputs[1]));
	double ratio = inputs[0].quantity->si / inputs[1].quantity->si;
	scene_compute(scene, "duty-over-rated", KIND_RATIO, ratio, ratio * relative_uncertainty(inputs[0].quantity),
		FORMULA_DUTY_USED, inputs, COUNT(inputs));
}

/* ---- steam ---- */

/* Of one reboiler: as stated for the case, else what its duty needs; of several of a regenerator only as stated. */
static struct input steam_of(const struct scene *scene, const struct item *reboiler)
{
	struct scene own = *scene;
	own.item = reboiler;
	const struct item *regenerator = regenerator_of(&own);
	bool alone = regenerator && !still_reboiler(scene, regenerator, 1);
	bool stated = derived_is_stated(&own, reboiler, "steam-flow") || derived_is_stated(&own, reboiler, "duty");
	if (stated || !alone)
		return input_rises(scene_input_of(scene, reboiler, "m_i", "steam-flow"));
	struct input inputs[] = {input_rises(scene_input_of(scene, regenerator, "E", "duty-asked")),
		scene_input_of(scene, reboiler, "p", "steam-pressure")};
	double steam = inputs[0].quantity->si / steam_heat(inputs[1].quantity->si, (double)NAN);
	return input_rises(scene_input_is("m_i",
		arena_format(table_arena(scene->table), "steam that %s needs", reboiler->tag),
		quantity_computed(table_arena(scene->table), KIND_MASS_FLOW, steam,
			steam * relative_uncertainty(inputs[0].quantity), &formulas[FORMULA_STEAM_FLOW], inputs, 2)));
}

static void steam_over_supply(const struct scene *scene)
{
	struct items reboilers = table_of_kind(scene->table, "reboiler");
	struct input inputs[REBOILERS_MOST];
	size_t count = 0;
	double sum = 0, error = 0;
	if (!item_is(scene->item, "basis") || !scene_get(scene, "steam-supply") || reboilers.count == 0)
		return;
	for (size_t i = 0; i < reboilers.count && count < REBOILERS_MOST; i++) {
		const char *medium = scene_word_of(scene, reboilers.rows[i], "heating-medium");
		if (medium && !text_same(medium, "steam"))
			continue;
		inputs[count] = steam_of(scene, reboilers.rows[i]);
		sum += inputs[count].quantity->si;
		error = hypot(error, inputs[count].quantity->uncertainty);
		count++;
	}
	if (count == 0)
		return;
	scene_compute(scene, "steam-needed", KIND_MASS_FLOW, sum, error, FORMULA_STEAM_NEEDED, inputs, count);
	struct input of[] = {input_rises(scene_input(scene, "x", "steam-needed")),
		input_falls(scene_input(scene, "y", "steam-supply"))};
	double ratio = of[0].quantity->si / of[1].quantity->si;
	scene_compute(scene, "steam-over-supply", KIND_RATIO, ratio, ratio * relative_uncertainty(of[0].quantity),
		FORMULA_QUOTIENT, of, 2);
}

/* ---- filters and carbon beds ---- */

static void side_stream(const struct scene *scene)
{
	const struct quantity *flow = scene_get(scene, "flow"), *rated = scene_get(scene, "rated-flow");
	if (!item_is_any(scene->item, "filter carbon-bed") || !rated ||
		(flow && flow->known != UNKNOWN && rated->known != UNKNOWN && flow->kind != rated->kind))
		return;
	struct input inputs[] = {
		input_rises(scene_input(scene, "Q", "flow")), input_falls(scene_input(scene, "Q_r", "rated-flow"))};
	double ratio = inputs[0].quantity->si / inputs[1].quantity->si;
	scene_compute(scene, "flow-over-rated", KIND_RATIO, ratio, ratio * relative_uncertainty(inputs[0].quantity),
		FORMULA_OVER_RATED, inputs, 2);
}

/* ---- pumps ---- */

/* Of one pump, beside the flow at which it is most efficient. */
static void over_best(const struct scene *scene)
{
	const struct quantity *flow = scene_get(scene, "flow-each"), *best = scene_get(scene, "best-efficiency-flow");
	if (!item_is(scene->item, "pump") || !best ||
		(flow && flow->known != UNKNOWN && best->known != UNKNOWN && flow->kind != best->kind))
		return;
	struct input inputs[] = {input_rises(scene_input(scene, "Q", "flow-each")),
		input_falls(scene_input(scene, "Q_b", "best-efficiency-flow"))};
	double ratio = inputs[0].quantity->si / inputs[1].quantity->si;
	scene_compute(scene, "flow-over-best", KIND_RATIO, ratio, ratio * relative_uncertainty(inputs[0].quantity),
		FORMULA_OVER_BEST, inputs, 2);
}

static void of_item(const struct scene *scene)
{
	over_best(scene);
	duty_over_rated(scene);
	steam_over_supply(scene);
	side_stream(scene);
}

void rating_compute(struct table *table)
{
	scene_each(table, of_item);
}
