#include "compute/gas_load.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/scene.h"
#include "resolve/service.h"

static const double PI = 3.14159265358979323846;
static const double LIQUID = 1000; /* kg/m3, what the drum takes out */

double gas_load_velocity(double density)
{
	const double most = 60, factor = 175, power = -0.43;
	return fmin(most, factor * pow(density, power));
}

double gas_load_factor(double velocity, double density)
{
	return velocity * sqrt(density / (LIQUID - density));
}

static void of_line(const struct scene *scene)
{
	if (!item_is(scene->item, "line") || !service_is(scene_word_of(scene, scene->item, "service"), SERVICE_GAS) ||
		!scene_get(scene, "velocity-judged") || !scene_get(scene, "density"))
		return;
	struct input inputs[] = {input_rises(scene_input(scene, "v", "velocity-judged")),
		input_rises(scene_input(scene, "rho", "density"))};
	double ratio = inputs[0].quantity->si / gas_load_velocity(inputs[1].quantity->si);
	scene_compute(scene, "velocity-over-gas-limit", KIND_RATIO, ratio,
		ratio * (relative_uncertainty(inputs[0].quantity) + 0.43 * relative_uncertainty(inputs[1].quantity)),
		FORMULA_GAS_VELOCITY_LIMIT, inputs, COUNT(inputs));
}

static void of_drum(const struct scene *scene)
{
	const struct item *gas = table_follow(scene->table, scene->item, scene->operating_case, "gas");
	if (!item_is(scene->item, "knock-out-drum") || !item_is(gas, "gas") || !scene_get(scene, "diameter") ||
		text_same(scene_word_of(scene, scene->item, "orientation"), "horizontal"))
		return;
	struct input inputs[] = {input_rises(scene_input_of(scene, gas, "Q", "volume-flow")),
		input_rises(scene_input_of(scene, gas, "rho_v", "density")),
		input_falls(scene_input(scene, "D", "diameter"))};
	double diameter = inputs[2].quantity->si, velocity = inputs[0].quantity->si / (PI * diameter * diameter / 4);
	double factor = gas_load_factor(velocity, inputs[1].quantity->si);
	scene_compute(scene, "gas-load-factor", KIND_VELOCITY, factor,
		factor * relative_uncertainty(inputs[0].quantity), FORMULA_SOUDERS_BROWN, inputs, COUNT(inputs));
}

static void of_item(const struct scene *scene)
{
	of_line(scene);
	of_drum(scene);
}

void gas_load_compute(struct table *table)
{
	scene_each(table, of_item);
}
