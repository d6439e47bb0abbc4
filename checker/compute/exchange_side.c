#include "compute/exchange_side.h"

#include <math.h>
#include <string.h>

#include "chemistry/properties.h"

static bool is_stream(const struct item *item)
{
	return item && strcmp(item->kind, "stream") == 0;
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

	side.solution = solvent_of_stream(scene, side.in, false);
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
	return quantity_computed(table_arena(scene->table), KIND_POWER, sign * duty, error,
		&formulas[FORMULA_EXCHANGER_DUTY], side->inputs, side->count);
}
