#include "compute/letdown.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/flash.h"

/* IEC 60534-2-1 and 60534-2-3, from memory: globe valves, flow to open; the critical pressure is that of water. */
static const double RECOVERY = 0.9, CRITICAL_PRESSURE = 22.064e6, REFERENCE_WATER = 999.1;

double letdown_choked_drop(double upstream, double bubble)
{
	double ratio = 0.96 - 0.28 * sqrt(bubble / CRITICAL_PRESSURE);
	return bubble < upstream ? RECOVERY * RECOVERY * (upstream - ratio * bubble) : (double)NAN;
}

static void of_valve(const struct scene *scene)
{
	const struct item *stream = item_is(scene->item, "valve") ? flash_before_valve(scene) : NULL;
	const struct quantity *own = stream ? scene_get(scene, "flow") : NULL;
	if (!stream || !scene_get(scene, "cv") || (own && own->known != UNKNOWN && own->kind != KIND_LIQUID_FLOW))
		return;
	struct input inputs[] = {
		input_rises(own ? scene_input(scene, "Q", "flow") : scene_input_of(scene, stream, "Q", "volume-flow")),
		input_rises(scene_input_of(scene, stream, "rho", "density")),
		input_falls(scene_get(scene, "upstream-pressure") ? scene_input(scene, "P1", "upstream-pressure")
								  : scene_input_of(scene, stream, "P1", "pressure")),
		input_rises(scene_input(scene, "P2", "downstream-pressure")),
		input_rises(scene_input(scene, "p_b", "bubble-pressure"))};
	double upstream = inputs[2].quantity->si, drop = upstream - inputs[3].quantity->si;
	double driving = fmin(drop, letdown_choked_drop(upstream, inputs[4].quantity->si));
	if (inputs_known(inputs, COUNT(inputs)) && !(inputs[4].quantity->si < upstream && drop > 0))
		return;
	double needed = inputs[0].quantity->si * sqrt(inputs[1].quantity->si / REFERENCE_WATER / driving);
	scene_compute(scene, "cv-needed-flashing", KIND_FLOW_COEFFICIENT, needed,
		needed * (relative_uncertainty(inputs[0].quantity) + relative_uncertainty(inputs[1].quantity) / 2),
		FORMULA_CV_FLASHING, inputs, COUNT(inputs));
	struct input of[] = {
		input_rises(scene_input(scene, "x", "cv-needed-flashing")), input_falls(scene_input(scene, "y", "cv"))};
	double used = of[0].quantity->si / of[1].quantity->si;
	scene_compute(scene, "cv-used-flashing", KIND_RATIO, used, used * relative_uncertainty(of[0].quantity),
		FORMULA_QUOTIENT, of, 2);
}

void letdown_compute(struct table *table)
{
	scene_each(table, of_valve);
}
