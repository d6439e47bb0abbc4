#include "compute/amine_flow.h"

#include <string.h>

#include "chemistry/properties.h"
#include "compute/solvent.h"

static double moles_of(const struct solution_input *state, void *mass)
{
	return *(const double *)mass / property_loaded_mass(state->mass_fraction, state->loading);
}

static void of_stream(const struct scene *scene)
{
	if (!item_is(scene->item, "stream"))
		return;
	const char *service = table_word(scene->table, scene->item, scene->operating_case, "service");
	if (!service ||
		(strcmp(service, "lean") != 0 && strcmp(service, "rich") != 0 && strcmp(service, "semi-lean") != 0))
		return;
	struct stream_solution solution = solvent_of_stream(scene, scene->item, false);
	struct input inputs[SOLVENT_INPUTS + 1], mass = input_rises(scene_input(scene, "m", "mass-flow"));
	double relative = 0, amine = solvent_amine_flow(scene, scene->item, &solution, &relative);
	double error = amine * relative, flow = mass.quantity->si;
	solvent_weigh(&solution, moles_of, &flow, &error);
	memcpy(inputs, solution.inputs, solution.count * sizeof *inputs);
	inputs[solution.count] = mass;
	if (solution.known && inputs_known(inputs, solution.count + 1))
		scene_compute(scene, "amine-flow", KIND_MOLAR_FLOW, amine, error, FORMULA_AMINE_FLOW, inputs,
			solution.count + 1);
}

void amine_flow_compute(struct table *table)
{
	scene_each(table, of_stream);
}
