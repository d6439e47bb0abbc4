#include "compute/exchange_side.h"

#include <math.h>
#include <string.h>

#include "chemistry/phase.h"
#include "chemistry/properties.h"
#include "chemistry/solution.h"
#include "resolve/equipment.h"

static bool is_stream(const struct item *item)
{
	return item_is(item, "stream");
}

static void add_input(struct side *side, struct input input)
{
	side->inputs[side->count++] = input;
}

struct side side_between(
	const struct scene *scene, const struct item *item, const struct item *in, const struct item *out)
{
	struct side side = {.item = item, .in = in, .out = out};
	const char *service = table_word(scene->table, in, scene->operating_case, "service");

	side.solution = item ? solvent_state(scene, item, PLACE_SIDE) : solvent_of_stream(scene, in, false);
	memcpy(side.inputs, side.solution.inputs, side.solution.count * sizeof *side.inputs);
	side.count = side.solution.count;
	add_input(&side, scene_input_of(scene, side.in, "m", "mass-flow"));
	add_input(&side, scene_input_of(scene, side.in, "t_in", "temperature"));
	add_input(&side, scene_input_of(scene, side.out, "t_out", "temperature"));
	side.known = side.solution.known && inputs_known(side.inputs + side.solution.count, 3);
	side.side = (struct exchange_side){.solution = side.solution.state,
		.mass_flow = side.inputs[side.count - 3].quantity->si,
		.inlet = side.inputs[side.count - 2].quantity->si,
		.outlet = side.inputs[side.count - 1].quantity->si,
		.outlet_pressure = (double)NAN};
	const struct quantity *pressure = scene_get_of(scene, side.out, "pressure");
	if (pressure && (pressure->known != UNKNOWN || pressure->owed) && service && strcmp(service, "rich") == 0) {
		side.known = side.known && !pressure->owed; /* whether it flashes is to be told yet */
		side.side.outlet_pressure = pressure->owed ? (double)NAN : pressure->si;
		add_input(&side, scene_input_of(scene, side.out, "P", "pressure"));
	}
	return side;
}

struct side side_called(const struct scene *scene, const char *service)
{
	size_t behind = table_parts_end(scene->table, scene->item);
	for (size_t i = scene->item->index + 1; i < behind; i++) {
		const struct item *item = table_item(scene->table, i);
		const struct item *in = item->parent == scene->item
			? table_follow(scene->table, item, scene->operating_case, "inlet")
			: NULL;
		const char *word =
			is_stream(in) ? table_word(scene->table, in, scene->operating_case, "service") : NULL;

		if (!word || strcmp(word, service) != 0)
			continue;
		const struct item *out = table_follow(scene->table, item, scene->operating_case, "outlet");
		return is_stream(out) ? side_between(scene, item, in, out) : (struct side){.count = 0};
	}
	return (struct side){.count = 0};
}

/* Relative: temperatures independent, heat capacity and flow; flashing by the uncertainty of heats and chemistry. */
static double duty_error(const struct side *side, double duty)
{
	double capacity = exchange_capacity(&side->side), temperature = 0;
	struct property heat =
		property_heat_capacity(side->side.solution.mass_fraction, (side->side.inlet + side->side.outlet) / 2);

	for (size_t i = 0; i < side->count; i++)
		if (side->inputs[i].symbol[0] == 't')
			temperature = hypot(temperature, side->inputs[i].quantity->uncertainty);
		else if (strcmp(side->inputs[i].symbol, "m") == 0)
			temperature =
				hypot(temperature, relative_uncertainty(side->inputs[i].quantity) * duty / capacity);
	return hypot(
		capacity * temperature, hypot(duty * heat.uncertainty, exchange_flashing(&terms_own, &side->side) / 2));
}

static double duty_with(const struct solution_input *state, void *data)
{
	struct exchange_side side = *(const struct exchange_side *)data;

	side.solution = *state;
	return exchange_duty(&terms_own, &side);
}

/* Why a side whose figures are all known has no duty: its outlet boils dry, or an end is outside what the chemistry takes. */
static const char *no_duty(const struct scene *scene, const struct side *side)
{
	struct solution_input at = side->side.solution;
	struct flash flash = {.fault = SOLUTION_FINE};
	struct solution liquid = {.fault = SOLUTION_FINE};

	at.temperature = side->side.outlet;
	if (isfinite(side->side.outlet_pressure))
		phase_flash(&terms_own, &at, 0, side->side.outlet_pressure, &flash);
	if (flash.fault == SOLUTION_FINE && solution_solve(&terms_own, &at, &liquid)) {
		at.temperature = side->side.inlet;
		solution_solve(&terms_own, &at, &liquid);
	}
	return arena_format(table_arena(scene->table), "the heat of %s has no answer: %s",
		side->item ? side->item->tag : scene->item->tag,
		solution_fault_words(flash.fault != SOLUTION_FINE ? flash.fault : liquid.fault));
}

const struct quantity *side_duty(const struct scene *scene, struct side *side, double sign)
{
	struct stream_solution weighed = side->solution;
	double duty = (double)NAN, error = 0;

	if (side->known) {
		duty = exchange_duty(&terms_own, &side->side);
		error = duty_error(side, duty);
		solvent_weigh(&weighed, duty_with, &side->side, &error);
		/* Of the heat taken up a rise is a fall. */
		for (size_t i = 0; i < weighed.count && sign < 0; i++)
			if (weighed.inputs[i].effect == EFFECT_RISES || weighed.inputs[i].effect == EFFECT_FALLS)
				weighed.inputs[i].effect =
					weighed.inputs[i].effect == EFFECT_RISES ? EFFECT_FALLS : EFFECT_RISES;
		memcpy(side->inputs, weighed.inputs, weighed.count * sizeof *side->inputs);
	}
	if (side->known && !isfinite(duty))
		return quantity_unknown(table_arena(scene->table), KIND_POWER, no_duty(scene, side));
	return quantity_computed(table_arena(scene->table), KIND_POWER, sign * duty, error,
		&formulas[FORMULA_EXCHANGER_DUTY], side->inputs, side->count);
}
