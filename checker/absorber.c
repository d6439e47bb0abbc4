#include "absorber.h"

#include <math.h>
#include <string.h>

#include "scene.h"

static void approach(const struct scene *scene, const char *name, const struct item *lean, const struct item *gas,
	const char *of_gas)
{
	struct input inputs[] = {
		scene_input_of(scene, lean, "x", "temperature"), scene_input_of(scene, gas, "y", of_gas)};
	const struct quantity *warm = inputs[0].quantity, *cold = inputs[1].quantity;
	scene_compute(scene, name, KIND_TEMPERATURE_DIFFERENCE, warm->si - cold->si,
		hypot(warm->uncertainty, cold->uncertainty), FORMULA_DIFFERENCE, inputs, 2);
}

static void of_absorber(const struct scene *scene)
{
	if (strcmp(scene->item->kind, "absorber") != 0)
		return;
	const struct item *lean = table_follow(scene->table, scene->item, scene->operating_case, "lean");
	const struct item *gas = table_follow(scene->table, scene->item, scene->operating_case, "gas");
	if (!lean || !gas)
		return;
	approach(scene, "approach-to-gas", lean, gas, "temperature");
	approach(scene, "approach-to-dew-point", lean, gas, "hydrocarbon-dew-point");
}

void absorber_compute(struct table *table)
{
	scene_each(table, of_absorber);
}
