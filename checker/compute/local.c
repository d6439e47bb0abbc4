#include "compute/local.h"

#include <math.h>
#include <string.h>

#include "compute/scene.h"

static const double PI = 3.14159265358979323846;
static const double LONG_RADIUS = 1.5;	   /* diameters: the common elbow (ASME B16.9) */
static const double ROUGHNESS_OF_IT = 0.1; /* of potential flow at a wall; a judgement, no source */

double bend_factor(double x)
{
	double inner = x - 0.5, outer = x + 0.5;
	return inner > 0 ? 1 / (inner * log(outer / inner)) : 0;
}

/* The bore of what narrows the flow is not stated, so that it was taken as that of its line: the velocity may be higher. */
static const struct quantity *bore_open(const struct scene *scene, const struct quantity *value)
{
	struct arena *arena = table_arena(scene->table);
	return quantity_at_least(arena, value, item_lacks(arena, scene->item, "bore"), NULL);
}

/* `at_least`: the factor is the least it can be. */
static void put(const struct scene *scene, double factor, bool at_least, enum formula_code formula,
	const struct input *inputs, size_t count)
{
	double local = inputs[0].quantity->si * factor;
	/* The factors first: at a long-radius elbow it is the mean itself, to the last bit, and nothing above it. */
	double equivalent = inputs[0].quantity->si * (factor / bend_factor(LONG_RADIUS));
	double error = relative_uncertainty(inputs[0].quantity) + ROUGHNESS_OF_IT;
	struct arena *arena = table_arena(scene->table);
	const struct quantity *found =
		quantity_computed(arena, KIND_VELOCITY, local, local * error, &formulas[formula], inputs, count);
	struct input input = input_rises(scene_input_is("v_max", "local velocity", found));
	const struct quantity *as_mean = quantity_computed(arena, KIND_VELOCITY, equivalent, equivalent * error,
		&formulas[FORMULA_EQUIVALENT_VELOCITY], &input, 1);
	scene_put(scene, "local-velocity", at_least ? bore_open(scene, found) : found);
	scene_put(scene, "equivalent-velocity", at_least ? bore_open(scene, as_mean) : as_mean);
}

/* A radius that nobody states leaves an elbow open; a line that states none has no elbow worth a figure of its own. */
static void of_bend(const struct scene *scene, const char *radius)
{
	struct input inputs[] = {
		input_rises(scene_input(scene, "v", "velocity-judged")), input_falls(scene_input(scene, "x", radius))};
	bool known = inputs_known(inputs + 1, 1);
	double factor = known ? bend_factor(inputs[1].quantity->si) : 0;
	if (item_is(scene->item, "line"))
		scene_put_word(scene, "turns", KIND_WORD, known ? "described" : "not described",
			"from the radius of its elbows");
	if (factor > 0 || !item_is(scene->item, "line"))
		put(scene, factor > 0 ? factor : (double)NAN, false, FORMULA_BEND_VELOCITY, inputs, 2);
}

/* What only narrows is a pipe of its own: its velocity is a mean already. */
static void of_fitting(const struct scene *scene)
{
	const char *type = table_word(scene->table, scene->item, scene->operating_case, "type");
	struct input inputs[] = {
		input_rises(scene_input(scene, "v", "velocity-judged")), scene_input(scene, "type", "type")};
	if (!type)
		put(scene, (double)NAN, false, FORMULA_BEND_VELOCITY, inputs, 2);
	else if (strcmp(type, "orifice plate") == 0)
		put(scene, (PI + 2) / PI, !scene_stated(scene, "bore"), FORMULA_JET_VELOCITY, inputs, 1);
	else if (strcmp(type, "thermowell") == 0)
		put(scene, 2, false, FORMULA_CYLINDER_VELOCITY, inputs, 1);
	else
		put(scene, bend_factor(LONG_RADIUS), false, FORMULA_BEND_VELOCITY, inputs, 1);
}

/* An elbow or fitting without a bore of its own runs at the mean of its line. */
static void mean_of_line(const struct scene *scene)
{
	const struct quantity *own = scene_get(scene, "velocity");
	if (scene->item->parent && (!own || own->known == UNKNOWN) && !scene_get(scene, "size") &&
		!scene_stated(scene, "bore")) {
		scene_take(scene, "velocity", scene->item->parent, "velocity");
		scene_take(scene, "velocity-judged", scene->item->parent, "velocity-judged");
	}
}

static void of_item(const struct scene *scene)
{
	if (item_is(scene->item, "line")) {
		of_bend(scene, "elbow-radius");
	} else if (item_is(scene->item, "elbow")) {
		mean_of_line(scene);
		of_bend(scene, "radius");
	} else if (item_is(scene->item, "fitting")) {
		mean_of_line(scene);
		of_fitting(scene);
	}
}

void local_compute(struct table *table)
{
	scene_each(table, of_item);
}
