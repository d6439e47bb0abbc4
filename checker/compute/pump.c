#include "compute/pump.h"

#include "compute/derived.h"

static const double RISE_AT_NO_FLOW = 1.25; /* over the rated rise: common practice, no source */

double pump_shut_off(double highest_suction, double suction, double discharge)
{
	return highest_suction + RISE_AT_NO_FLOW * (discharge - suction);
}

/* Of the pump itself, else of the stream that its reference names. */
static struct input at_pump(const struct scene *scene, const char *symbol, const char *own, const char *reference)
{
	const struct item *stream = table_follow(scene->table, scene->item, scene->operating_case, reference);
	if (scene_get(scene, own) || !item_is(stream, "stream"))
		return scene_input(scene, symbol, own);
	return scene_input_of(scene, stream, symbol, "pressure");
}

/* The highest of all cases, as far as it is known. */
static struct input highest_suction(const struct scene *scene)
{
	struct input highest = at_pump(scene, "P_s", "suction-pressure", "suction");
	for (int c = EVERY_CASE; c < (int)table_case_count(scene->table); c++) {
		struct scene other = {.table = scene->table, .item = scene->item, .operating_case = c};
		struct input own = at_pump(&other, "P_s", "suction-pressure", "suction");
		if (is_number(own.quantity) &&
			!(is_number(highest.quantity) && highest.quantity->si >= own.quantity->si))
			highest = own;
	}
	return highest;
}

static void of_pump(const struct scene *scene)
{
	if (!item_is(scene->item, "pump"))
		return;
	struct input inputs[] = {input_rises(highest_suction(scene)),
		input_rises(at_pump(scene, "P_d", "discharge-pressure", "discharge")),
		input_falls(at_pump(scene, "P_r", "suction-pressure", "suction"))};
	double pressure = pump_shut_off(inputs[0].quantity->si, inputs[2].quantity->si, inputs[1].quantity->si);
	double error = inputs[0].quantity->uncertainty + RISE_AT_NO_FLOW * inputs[1].quantity->uncertainty;
	/* A stated one may lie anywhere from the rated discharge to this. */
	double range = (RISE_AT_NO_FLOW - 1) * (inputs[1].quantity->si - inputs[2].quantity->si);
	if (!inputs_known(inputs, 3))
		return;
	struct quantity *shut_off = arena_alloc(table_arena(scene->table), sizeof *shut_off);
	*shut_off = *quantity_computed(
		table_arena(scene->table), KIND_PRESSURE, pressure, error, &formulas[FORMULA_SHUT_OFF], inputs, 3);
	shut_off->datum = inputs[1].quantity->datum; /* shown as a gauge shows it where the discharge is */
	derived_put(scene, "shut-off-pressure", CAREFUL_NEITHER, shut_off, range);
}

void pump_compute(struct table *table)
{
	scene_each(table, of_pump);
}
