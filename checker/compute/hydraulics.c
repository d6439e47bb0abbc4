#include "compute/hydraulics.h"

#include <math.h>
#include <string.h>

#include "compute/scene.h"
#include "compute/streams.h"
#include "resolve/pipe.h"

static const double PI = 3.14159265358979323846;

static bool is_kind(const struct item *item, const char *kind)
{
	return strcmp(item->kind, kind) == 0;
}

static void put_bore_and_wall(const struct scene *scene, const struct pipe *pipe)
{
	struct arena *arena = table_arena(scene->table);
	struct input inputs[] = {scene_input(scene, "size", "size"), scene_input(scene, "schedule", "schedule"),
		scene_input_is("d", "outside diameter of the size",
			quantity_constant(arena, KIND_LENGTH, pipe->outside, "ASME B36.10M or B36.19M")),
		scene_input_is("s", "nominal wall of size and schedule",
			quantity_constant(arena, KIND_LENGTH, pipe->wall, "ASME B36.10M or B36.19M"))};
	if (!scene_stated(scene, "bore"))
		scene_compute(scene, "bore", KIND_LENGTH, pipe->bore, 0, FORMULA_PIPE_BORE, inputs, 4);
	if (!scene_stated(scene, "thickness"))
		scene_compute(scene, "thickness", KIND_LENGTH, pipe->wall, 0, FORMULA_PIPE_WALL, inputs, 2);
}

static void bore_from_size(const struct scene *scene)
{
	struct arena *arena = table_arena(scene->table);
	const char *size = table_word(scene->table, scene->item, scene->operating_case, "size");
	const char *schedule = table_word(scene->table, scene->item, scene->operating_case, "schedule");
	struct pipe pipe;
	if (size && schedule && pipe_find(size, schedule, &pipe))
		put_bore_and_wall(scene, &pipe);
	else if (scene_stated(scene, "bore"))
		return;
	else if (size && schedule)
		scene_put(scene, "bore",
			quantity_unknown(arena, KIND_LENGTH,
				arena_format(
					arena, "%s: %s is not made in schedule %s", scene->item->tag, size, schedule)));
	else
		scene_put(scene, "bore",
			quantity_unknown(arena, KIND_LENGTH,
				arena_format(arena, "%s of %s is not stated", size ? "schedule" : "size or bore",
					scene->item->tag)));
}

static void bore_from_wall(const struct scene *scene)
{
	if (scene_stated(scene, "bore"))
		return;
	struct input inputs[] = {scene_input(scene, "d", "tube-od"), scene_input(scene, "s", "tube-wall")};
	scene_compute(scene, "bore", KIND_LENGTH, inputs[0].quantity->si - 2 * inputs[1].quantity->si, 0,
		FORMULA_BORE_FROM_WALL, inputs, 2);
}

static void pipe_velocity(const struct scene *scene)
{
	if (scene_stated(scene, "velocity"))
		return;
	struct input inputs[] = {scene_input(scene, "Q", "volume-flow"), scene_input(scene, "D", "bore")};
	double flow = inputs[0].quantity->si, bore = inputs[1].quantity->si;
	double velocity = 4 * flow / (PI * bore * bore);
	scene_compute(scene, "velocity", KIND_VELOCITY, velocity, velocity * relative_uncertainty(inputs[0].quantity),
		FORMULA_VELOCITY, inputs, 2);
}

static void tube_velocity(const struct scene *scene)
{
	if (scene_stated(scene, "velocity"))
		return;
	struct input inputs[] = {scene_input(scene, "Q", "volume-flow"), scene_input(scene, "D", "bore"),
		scene_input(scene, "N", "tubes"), scene_input(scene, "n", "passes")};
	double flow = inputs[0].quantity->si, bore = inputs[1].quantity->si;
	double tubes = inputs[2].quantity->si / inputs[3].quantity->si;
	double velocity = 4 * flow / (PI * bore * bore * tubes);
	scene_compute(scene, "velocity", KIND_VELOCITY, velocity, velocity * relative_uncertainty(inputs[0].quantity),
		FORMULA_TUBE_VELOCITY, inputs, 4);
}

static void channel_velocity(const struct scene *scene)
{
	if (!scene_stated(scene, "velocity"))
		scene_take(scene, "velocity", scene->item, "channel-velocity");
}

static void momentum_flux(const struct scene *scene)
{
	if (scene_stated(scene, "momentum-flux"))
		return;
	struct input inputs[] = {scene_input(scene, "rho", "density"), scene_input(scene, "v", "velocity")};
	double flux = inputs[0].quantity->si * inputs[1].quantity->si * inputs[1].quantity->si;
	/* Of a velocity that came from mass over density, density counts once: rho v^2 = (m / A)^2 / rho. */
	const struct quantity *mass = scene_get(scene, "mass-flow");
	bool by_mass = mass && is_number(mass) && !scene_stated(scene, "velocity") && !scene_stated(scene, "flow");
	double of_velocity = relative_uncertainty(by_mass ? mass : inputs[1].quantity);
	scene_compute(scene, "momentum-flux", KIND_MOMENTUM_FLUX, flux,
		flux * (relative_uncertainty(inputs[0].quantity) + 2 * of_velocity), FORMULA_MOMENTUM_FLUX, inputs, 2);
}

static void next_size(const struct scene *scene)
{
	const char *size = table_word(scene->table, scene->item, scene->operating_case, "size");
	const char *schedule = table_word(scene->table, scene->item, scene->operating_case, "schedule");
	struct arena *arena = table_arena(scene->table);
	struct pipe pipe;
	if (!size || !schedule || !pipe_next(size, schedule, &pipe))
		return;
	const char *word = arena_format(arena, "%s schedule %s", pipe.size, pipe.schedule);
	scene_put(scene, "next-size",
		quantity_assumed_word(arena, KIND_TEXT, word, "the next larger size of the pipe table"));
	struct input inputs[] = {scene_input(scene, "v", "velocity"), scene_input(scene, "D", "bore"),
		scene_input_is(
			"D'", "bore of the next size", quantity_assumed(arena, KIND_LENGTH, pipe.bore, 0, word))};
	double ratio = inputs[1].quantity->si / pipe.bore;
	scene_compute(scene, "velocity-next-size", KIND_VELOCITY, inputs[0].quantity->si * ratio * ratio,
		inputs[0].quantity->uncertainty * ratio * ratio, FORMULA_NEXT_VELOCITY, inputs, 3);
}

/* A shell takes the impact of its hardest nozzle. */
static void hardest_nozzle(const struct scene *scene)
{
	const struct item *hardest = NULL;
	double flux = 0;
	size_t behind = table_behind(scene->table, scene->item);
	for (size_t i = scene->item->index + 1; i < behind; i++) {
		const struct item *nozzle = table_item(scene->table, i);
		const struct quantity *own = scene_get_of(scene, nozzle, "momentum-flux");
		if (nozzle->parent != scene->item || !is_kind(nozzle, "nozzle") || !is_number(own) || own->si <= flux)
			continue;
		hardest = nozzle;
		flux = own->si;
	}
	if (hardest && !scene_stated(scene, "momentum-flux"))
		scene_take(scene, "momentum-flux", hardest, "momentum-flux");
}

static void of_shell(const struct scene *scene)
{
	if (is_kind(scene->item, "shell-side"))
		hardest_nozzle(scene);
}

static void of_item(const struct scene *scene)
{
	if (!carries_flow(scene->item))
		return;
	if (is_kind(scene->item, "tube-side")) {
		bore_from_wall(scene);
		tube_velocity(scene);
	} else if (is_kind(scene->item, "plate-side")) {
		channel_velocity(scene);
	} else if (!is_kind(scene->item, "shell-side")) {
		bore_from_size(scene);
		pipe_velocity(scene);
		momentum_flux(scene);
		next_size(scene);
	}
}

void hydraulics_compute(struct table *table)
{
	scene_each(table, of_item);
	scene_each(table, of_shell); /* after its nozzles */
}
