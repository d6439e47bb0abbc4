#include "compute/film.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/water.h"
#include "compute/derived.h"

/* Boiling amine solution on tubes, W/(m2 K); the reported figures lie within a half of it either way. A choice, from memory. */
static const double BOILING_COEFFICIENT = 2000, BOILING_SPREAD = 0.5;

static const struct item *followed(
	const struct scene *scene, const struct item *item, const char *name, const char *kind)
{
	const struct item *found = item ? table_follow(scene->table, item, scene->operating_case, name) : NULL;
	return item_is(found, kind) ? found : NULL;
}

/* ---- bulk ---- */

static void bulk(const struct scene *scene)
{
	const struct item *regenerator = followed(scene, scene->item, "regenerator", "regenerator");
	const struct {
		const struct item *item;
		const char *name;
	} sources[] = {{followed(scene, scene->item, "lean", "stream"), "temperature"},
		{regenerator, "bottom-temperature"}, {followed(scene, regenerator, "lean", "stream"), "temperature"}};
	const char *beside =
		scene_stated(scene, "bulk-temperature") ? "bulk-temperature-calculated" : "bulk-temperature";
	if (!item_is(scene->item, "reboiler"))
		return;
	derived_judge_as_stated(scene, "bulk-temperature", KIND_TEMPERATURE);
	for (size_t i = 0; i < COUNT(sources); i++)
		if (is_number(scene_get_of(scene, sources[i].item, sources[i].name))) {
			scene_take(scene, beside, sources[i].item, sources[i].name);
			derived_judge(scene, "bulk-temperature", CAREFUL_LARGER, beside, 0);
			return;
		}
}

void film_bulk(struct table *table)
{
	scene_each(table, bulk);
}

/* ---- film ---- */

/* Steam at its saturation: superheat is gone before the wall is wet. */
static struct input saturated_steam(const struct scene *scene)
{
	const struct item *steam = followed(scene, scene->item, "steam", "stream");
	bool own = scene_stated(scene, "steam-pressure") || !steam;
	struct input pressure = input_rises(
		own ? scene_input(scene, "p", "steam-pressure") : scene_input_of(scene, steam, "p", "pressure"));
	const struct quantity *boiling = quantity_computed(table_arena(scene->table), KIND_TEMPERATURE,
		water_saturation_temperature(pressure.quantity->si), 0, &formulas[FORMULA_SATURATION], &pressure, 1);
	return scene_input_is("t_s", "steam saturated at its pressure", boiling);
}

/* The hottest of what heats, which no wall exceeds; unknown where nothing tells. */
static struct input hottest_medium(const struct scene *scene)
{
	static const char *const names[] = {"hot-oil-temperature", "medium-inlet-temperature"};
	for (size_t i = 0; i < COUNT(names); i++)
		if (scene_get(scene, names[i]))
			return scene_input(scene, "t_s", names[i]);
	return saturated_steam(scene);
}

static void by_flux(const struct scene *scene, struct input bulk)
{
	struct input inputs[] = {input_rises(bulk), input_rises(scene_input(scene, "q", "heat-flux")),
		scene_input_is("h", "heat transfer to boiling amine",
			quantity_assumed(table_arena(scene->table), KIND_HEAT_TRANSFER, BOILING_COEFFICIENT,
				BOILING_SPREAD * BOILING_COEFFICIENT, "boiling amine solution on tubes, from memory"))};
	double rise = inputs[1].quantity->si / BOILING_COEFFICIENT;
	if (inputs_known(inputs + 1, 1))
		scene_compute(scene, "film-temperature", KIND_TEMPERATURE, inputs[0].quantity->si + rise,
			BOILING_SPREAD * rise + inputs[0].quantity->uncertainty, FORMULA_FILM_BY_FLUX, inputs, 3);
}

/* No wall is hotter than what heats it. Where nobody states a skin temperature, that may be enough to judge it by. */
static void skin(const struct scene *scene)
{
	static const char *const names[] = {"hot-oil-temperature", "medium-inlet-temperature"};
	struct arena *arena = table_arena(scene->table);
	derived_judge_as_stated(scene, "skin-temperature", KIND_TEMPERATURE);
	for (size_t i = 0; i < COUNT(names) && !scene_stated(scene, "skin-temperature"); i++) {
		struct input input = input_rises(scene_input(scene, "t_1", names[i]));
		if (!is_number(input.quantity))
			continue;
		struct quantity *most = arena_alloc(arena, sizeof *most);
		*most = *quantity_computed(arena, KIND_TEMPERATURE, input.quantity->si + input.quantity->uncertainty, 0,
			&formulas[FORMULA_HOTTEST_WALL], &input, 1);
		most->bound = BOUND_BELOW;
		most->reached = true;
		quantity_lacks(most, item_lacks(arena, scene->item, "skin-temperature"));
		scene_put(scene, "skin-temperature-judged", most);
		return;
	}
}

static void film(const struct scene *scene)
{
	struct input inputs[] = {
		input_rises(scene_input(scene, "t_b", "bulk-temperature-judged")), scene_input(scene, "t_s", "")};
	if (!item_is(scene->item, "reboiler"))
		return;
	skin(scene);
	inputs[1] = input_rises(hottest_medium(scene));
	double apart = inputs[1].quantity->si - inputs[0].quantity->si;
	if (!inputs_known(inputs + 1, 1))
		by_flux(scene, inputs[0]);
	else
		scene_compute(scene, "film-temperature", KIND_TEMPERATURE, inputs[0].quantity->si + apart / 2,
			fabs(apart) / 4, FORMULA_FILM, inputs, 2);
}

void film_compute(struct table *table)
{
	scene_each(table, film);
}
