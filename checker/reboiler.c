#include "reboiler.h"

#include <string.h>

#include "chemistry/water.h"
#include "scene.h"

/* A value of the reboiler itself, else of the steam stream it names. */
static struct input of_steam(const struct scene *scene, const char *symbol, const char *own, const char *of_stream)
{
	const struct item *steam = table_follow(scene->table, scene->item, scene->operating_case, "steam");
	if (scene_stated(scene, own) || !steam)
		return scene_input(scene, symbol, own);
	return scene_input_of(scene, steam, symbol, of_stream);
}

static void of_reboiler(const struct scene *scene)
{
	if (strcmp(scene->item->kind, "reboiler") != 0 || scene_stated(scene, "superheat"))
		return;
	struct input inputs[] = {of_steam(scene, "t", "steam-temperature", "temperature"),
		of_steam(scene, "p", "steam-pressure", "pressure")};
	if (!inputs_known(inputs, 1) && !inputs_known(inputs + 1, 1))
		return; /* nothing is said of steam: it may be heated otherwise */
	double saturation = inputs_known(inputs, 2) ? water_saturation_temperature(inputs[1].quantity->si) : 0;
	scene_compute(scene, "superheat", KIND_TEMPERATURE_DIFFERENCE, inputs[0].quantity->si - saturation,
		inputs[0].quantity->uncertainty, FORMULA_SUPERHEAT, inputs, 2);
}

void reboiler_compute(struct table *table)
{
	scene_each(table, of_reboiler);
}
