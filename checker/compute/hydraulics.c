#include "compute/hydraulics.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "compute/derived.h"
#include "compute/streams.h"
#include "compute/surface.h"
#include "resolve/pipe.h"

static const double PI = 3.14159265358979323846;

static void put_bore_and_wall(const struct scene *scene, const struct pipe *pipe)
{
	struct arena *arena = table_arena(scene->table);
	struct input inputs[] = {scene_input(scene, "size", "size"), scene_input(scene, "schedule", "schedule"),
		scene_input_is("d", "outside diameter of the size",
			quantity_constant(arena, KIND_LENGTH, pipe->outside, "ASME B36.10M or B36.19M")),
		scene_input_is("s", "nominal wall of size and schedule",
			quantity_constant(arena, KIND_LENGTH, pipe->wall, "ASME B36.10M or B36.19M"))};
	derived_compute(scene, "bore", CAREFUL_SMALLER, KIND_LENGTH, pipe->bore, 0, FORMULA_PIPE_BORE, inputs, 4);
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
		derived_judge_as_stated(scene, "bore", KIND_LENGTH);
	else if (size && schedule)
		scene_put(scene, "bore",
			quantity_unknown(arena, KIND_LENGTH,
				arena_format(
					arena, "%s: %s is not made in schedule %s", scene->item->tag, size, schedule)));
	else
		scene_put(scene, "bore",
			quantity_lacking(arena, KIND_LENGTH,
				item_lacks(arena, scene->item, size ? "schedule" : "size or bore")));
}

static void bore_from_wall(const struct scene *scene)
{
	struct input inputs[] = {
		input_rises(scene_input(scene, "d", "tube-od")), input_falls(scene_input(scene, "s", "tube-wall"))};
	if (!scene_stated(scene, "bore") || inputs_known(inputs, 2))
		derived_compute(scene, "bore", CAREFUL_SMALLER, KIND_LENGTH,
			inputs[0].quantity->si - 2 * inputs[1].quantity->si, 0, FORMULA_BORE_FROM_WALL, inputs, 2);
	else
		derived_judge_as_stated(scene, "bore", KIND_LENGTH);
}

static struct input careful_bore(const struct scene *scene)
{
	return input_falls(scene_input(scene, "D", scene_get(scene, "bore-judged") ? "bore-judged" : "bore"));
}

/* Beside a stated velocity only what is known; the faster of the two is judged. */
static void put_velocity(const struct scene *scene, double velocity, double relative, enum formula_code formula,
	const struct input *inputs, size_t count)
{
	if (!scene_stated(scene, "velocity") || inputs_known(inputs, count))
		derived_compute(scene, "velocity", CAREFUL_LARGER, KIND_VELOCITY, velocity, velocity * relative,
			formula, inputs, count);
	else
		derived_judge_as_stated(scene, "velocity", KIND_VELOCITY);
}

static void pipe_velocity(const struct scene *scene)
{
	struct input inputs[] = {input_rises(scene_input(scene, "Q", "volume-flow")), careful_bore(scene)};
	double flow = inputs[0].quantity->si, bore = inputs[1].quantity->si;
	put_velocity(scene, 4 * flow / (PI * bore * bore), relative_uncertainty(inputs[0].quantity), FORMULA_VELOCITY,
		inputs, 2);
}

/* Tubes that are plugged carry nothing; each leg of a U is a tube of one pass. */
static void tube_velocity(const struct scene *scene)
{
	const char *tubes_left = scene_get(scene, "tubes-open") ? "tubes-open" : "tubes";
	struct input inputs[] = {input_rises(scene_input(scene, "Q", "volume-flow")), careful_bore(scene),
		input_falls(scene_input(scene, "N", tubes_left)), input_rises(scene_input(scene, "n", "passes")),
		surface_legs(scene, scene->item)};
	bool bent = inputs[4].quantity->si > 1;
	double flow = inputs[0].quantity->si, bore = inputs[1].quantity->si;
	double tubes = inputs[2].quantity->si * inputs[4].quantity->si / inputs[3].quantity->si;
	put_velocity(scene, 4 * flow / (PI * bore * bore * tubes), relative_uncertainty(inputs[0].quantity),
		bent ? FORMULA_U_TUBE_VELOCITY : FORMULA_TUBE_VELOCITY, inputs, bent ? 5 : 4);
}

/* ---- plates ---- */

/* Of plates in one pass every second gap is a channel of this side. */
static void channels_of_plates(const struct scene *scene)
{
	const struct quantity *plates = scene_get(scene, "plates");
	if (!is_number(plates) || !(plates->si > 2) || scene_stated(scene, "channels"))
		return;
	struct input input = input_rises(scene_input(scene, "N_p", "plates"));
	scene_compute(scene, "channels", KIND_COUNT, floor((plates->si - 1) / 2), 0, FORMULA_PLATE_CHANNELS, &input, 1);
}

/* The maker's figure for the channels is a stated velocity; what gap, width and number of channels make stands beside it. */
static void channel_velocity(const struct scene *scene)
{
	channels_of_plates(scene);
	struct input inputs[] = {input_rises(scene_input(scene, "Q", "volume-flow")),
		input_falls(scene_input(scene, "N", "channels")), input_falls(scene_input(scene, "g", "plate-gap")),
		input_falls(scene_input(scene, "b", "plate-width"))};
	double velocity =
		inputs[0].quantity->si / (inputs[1].quantity->si * inputs[2].quantity->si * inputs[3].quantity->si);
	bool makers = scene_get(scene, "channel-velocity") && !scene_stated(scene, "velocity");
	if (makers)
		scene_take(scene, "velocity", scene->item, "channel-velocity");
	if (!inputs_known(inputs, 4)) {
		derived_judge_as_stated(scene, "velocity", KIND_VELOCITY);
	} else if (makers) {
		scene_compute(scene, "velocity-calculated", KIND_VELOCITY, velocity,
			velocity * derived_error(inputs, 4), FORMULA_CHANNEL_VELOCITY, inputs, 4);
		derived_judge(scene, "velocity", CAREFUL_LARGER, "velocity-calculated", 0);
	} else {
		put_velocity(scene, velocity, derived_error(inputs, 4), FORMULA_CHANNEL_VELOCITY, inputs, 4);
	}
}

static void momentum_flux(const struct scene *scene)
{
	struct input inputs[] = {input_rises(scene_input(scene, "rho", "density")),
		input_rises(scene_input(scene, "v", "velocity-judged"))};
	double flux = inputs[0].quantity->si * inputs[1].quantity->si * inputs[1].quantity->si;
	/* Of a velocity that came from mass over density, density counts once: rho v^2 = (m / A)^2 / rho. */
	const struct quantity *mass = scene_get(scene, "mass-flow");
	bool by_mass = mass && is_number(mass) && !scene_stated(scene, "velocity") && !scene_stated(scene, "flow");
	double of_velocity = relative_uncertainty(by_mass ? mass : inputs[1].quantity);
	scene_compute(scene, "momentum-flux", KIND_MOMENTUM_FLUX, flux,
		flux * (relative_uncertainty(inputs[0].quantity) + 2 * of_velocity), FORMULA_MOMENTUM_FLUX, inputs, 2);
}

static bool says_yes(const struct quantity *answer)
{
	return quantity_truth(answer) == YES;
}

/* Was the volume found from a mass flow? A flow stated by volume is that of the liquid. */
static bool is_by_mass(const struct quantity *volume)
{
	while (volume && volume->formula == &formulas[FORMULA_TAKEN] && volume->input_count)
		volume = volume->inputs[0].quantity;
	return volume && volume->formula == &formulas[FORMULA_VOLUME_FLOW];
}

/* Why the liquid has no velocity of its own: what its density lacks, or, where nothing was put for it, what that of the whole lacks. */
static void put_open_liquid(const struct scene *scene, const struct quantity *density, const struct quantity *liquid)
{
	bool by_whole = !scene_get(scene, "liquid-density") && density && density->known == UNKNOWN && density->reason;
	const struct quantity *open = by_whole ? density : liquid;
	if (open && open->known == UNKNOWN && open->reason)
		scene_put(scene, "liquid-velocity",
			quantity_unknown(table_arena(scene->table), KIND_VELOCITY, open->reason));
}

/*
 * The velocity that the fluid would have as liquid alone. Figures for liquid are held against this one, not against the
 * velocity of a mixture: it is the least that runs here, whatever has flashed. What a document states of a two-phase
 * line, its velocity or its density, is the mixture's, and then this one follows from the mass flow, or is not known; the
 * velocity of tubes and plates is stated at their inlet.
 */
static void liquid_velocity(const struct scene *scene)
{
	const struct quantity *velocity = scene_get(scene, "velocity-judged");
	bool inside = item_is(scene->item, "tube-side") || item_is(scene->item, "plate-side");
	bool mixture = says_yes(scene_get(scene, "two-phase"));
	bool stated = scene_stated(scene, "velocity") && velocity == scene_get(scene, "velocity");
	bool of_mixture = stated && mixture && !inside && scene_get(scene, "velocity-calculated");
	struct input inputs[] = {scene_input(scene, "v", of_mixture ? "velocity-calculated" : "velocity-judged"),
		scene_input(scene, "rho", "density"), scene_input(scene, "rho_l", "liquid-density")};
	if (!velocity)
		return;
	velocity = inputs[0].quantity;
	bool by_mass = (!stated || of_mixture) && is_by_mass(scene_get(scene, "volume-flow"));
	bool as_liquid = by_mass && !scene_stated(scene, "density") && !scene_get(scene, "liquid-density");
	if (by_mass && !scene_stated(scene, "density") && inputs_known(inputs, 3)) {
		double liquid = velocity->si * inputs[1].quantity->si / inputs[2].quantity->si;
		const struct quantity *mass = scene_get(scene, "mass-flow");
		scene_compute(scene, "liquid-velocity", KIND_VELOCITY, liquid,
			liquid * relative_uncertainty(is_number(mass) ? mass : velocity), FORMULA_LIQUID_VELOCITY,
			inputs, 3);
	} else if (!mixture || (stated && inside) || (!stated && !by_mass) || (as_liquid && (of_mixture || !stated))) {
		scene_put(scene, "liquid-velocity", velocity);
	} else {
		put_open_liquid(scene, inputs[1].quantity, inputs[2].quantity);
	}
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
	scene_put_word(scene, "next-size", KIND_TEXT, word, "the next larger size of the pipe table");
	struct input inputs[] = {input_rises(scene_input(scene, "v", "velocity-judged")),
		input_rises(scene_input(scene, "D", scene_get(scene, "bore-judged") ? "bore-judged" : "bore")),
		scene_input_is(
			"D'", "bore of the next size", quantity_assumed(arena, KIND_LENGTH, pipe.bore, 0, word))};
	double ratio = inputs[1].quantity->si / pipe.bore;
	scene_compute(scene, "velocity-next-size", KIND_VELOCITY, inputs[0].quantity->si * ratio * ratio,
		inputs[0].quantity->uncertainty * ratio * ratio, FORMULA_NEXT_VELOCITY, inputs, 3);
}

/* Does the nozzle let the fluid in? One whose stream is the outlet of the side and not its inlet does not. */
static bool lets_in(const struct scene *scene, const struct item *nozzle)
{
	const char *own = table_word(scene->table, nozzle, scene->operating_case, "stream");
	const char *inlet = table_word(scene->table, scene->item, scene->operating_case, "inlet");
	const char *outlet = table_word(scene->table, scene->item, scene->operating_case, "outlet");
	if (!own)
		return true;
	return inlet ? strcmp(own, inlet) == 0 : !outlet || strcmp(own, outlet) != 0;
}

/* What leaves the momentum flux of a nozzle open beside the largest that is known; no reason: nothing. */
static struct missing open_flux(const struct scene *scene, const struct item *nozzle, double largest)
{
	const struct quantity *own = scene_get_of(scene, nozzle, "momentum-flux");
	struct input input = scene_input_of(scene, nozzle, "", "momentum-flux");
	if (!own || own->known == UNKNOWN)
		return scene_get_of(scene, nozzle, "stream") ? quantity_missing(input.quantity)
							     : nothing_missing; /* a vent carries nothing */
	bool decided = own->bound == BOUND_NONE || (own->bound == BOUND_BELOW && own->si <= largest);
	return decided ? nothing_missing : input_missing(table_arena(scene->table), &input);
}

/* As scene_take, of a value that may be larger for the reason given. */
static void take_at_least(const struct scene *scene, const char *name, const struct item *from, struct missing missing)
{
	scene_take(scene, name, from, name);
	scene_put(scene, name, quantity_at_least(table_arena(scene->table), scene_get(scene, name), missing, NULL));
}

/* A shell takes the impact of its hardest inlet nozzle, at least so much where that of another is not known, and its plate. */
static void impact_of_inlet(const struct scene *scene)
{
	const struct item *hardest = NULL, *open_nozzle = NULL;
	struct missing open = {.reason = NULL};
	double flux = 0;
	size_t end = table_parts_end(scene->table, scene->item);
	for (int pass = 0; pass < 2; pass++)
		for (size_t i = scene->item->index + 1; i < end; i++) {
			const struct item *nozzle = table_item(scene->table, i);
			const struct quantity *own = scene_get_of(scene, nozzle, "momentum-flux");
			if (nozzle->parent != scene->item || !item_is(nozzle, "nozzle") || !lets_in(scene, nozzle))
				continue;
			if (pass == 1) {
				struct missing missing = open_flux(scene, nozzle, flux);
				open_nozzle = open.reason || !missing.reason ? open_nozzle : nozzle;
				open = open.reason ? open : missing;
			} else if (is_number(own) && own->si > flux) {
				hardest = nozzle;
				flux = own->si;
			}
		}
	const struct item *plated = open_nozzle ? open_nozzle : hardest;
	if (plated && !scene_stated(scene, "impingement-plate") && scene_get_of(scene, plated, "impingement-plate"))
		scene_take(scene, "impingement-plate", plated, "impingement-plate");
	if (scene_stated(scene, "momentum-flux"))
		return;
	if (hardest && open.reason)
		take_at_least(scene, "momentum-flux", hardest, open);
	else if (hardest)
		scene_take(scene, "momentum-flux", hardest, "momentum-flux");
	else if (open.reason)
		scene_put(
			scene, "momentum-flux", quantity_lacking(table_arena(scene->table), KIND_MOMENTUM_FLUX, open));
}

static double flux_in(const struct input inputs[2], double bore)
{
	double velocity = 4 * inputs[0].quantity->si / (PI * bore * bore);
	return inputs[1].quantity->si * velocity * velocity;
}

/* The only inlet nozzle of the shell, where its size is stated and its bore is not; NULL: none such. */
static const struct item *inlet_of_open_bore(const struct scene *scene)
{
	const struct item *found = NULL;
	for (size_t i = scene->item->index + 1; i < table_parts_end(scene->table, scene->item); i++) {
		const struct item *nozzle = table_item(scene->table, i);
		if (nozzle->parent != scene->item || !item_is(nozzle, "nozzle") || !lets_in(scene, nozzle) ||
			!scene_get_of(scene, nozzle, "stream"))
			continue;
		if (found)
			return NULL;
		found = nozzle;
	}
	const struct quantity *bore = found ? scene_get_of(scene, found, "bore") : NULL;
	return bore && bore->known == UNKNOWN && scene_get_of(scene, found, "size") ? found : NULL;
}

/* What the jet can be at the least and at the most, over all schedules in which its nozzle is made. */
static void flux_at_schedules(const struct scene *scene)
{
	const struct item *nozzle = inlet_of_open_bore(scene);
	struct pipe thin, thick;
	const char *size = scene_word_of(scene, nozzle, "size");
	if (!nozzle || scene_stated(scene, "momentum-flux") || !pipe_thinnest(size, &thin) ||
		!pipe_thickest(size, &thick))
		return;
	struct input inputs[] = {input_rises(scene_input_of(scene, nozzle, "Q", "volume-flow")),
		input_rises(scene_input_of(scene, nozzle, "rho", "density")),
		scene_input_of(scene, nozzle, "size", "size")};
	double least = flux_in(inputs, thin.bore), most = flux_in(inputs, thick.bore),
	       spread = 2 * relative_uncertainty(inputs[0].quantity) + relative_uncertainty(inputs[1].quantity);
	const struct quantity *surely = quantity_computed(table_arena(scene->table), KIND_MOMENTUM_FLUX, least,
		least * spread, &formulas[FORMULA_FLUX_AT_SCHEDULE], inputs, COUNT(inputs));
	scene_put(scene, "momentum-flux",
		quantity_at_least(table_arena(scene->table), surely,
			item_lacks(table_arena(scene->table), nozzle, "schedule"), NULL));
	scene_compute(scene, "momentum-flux-most", KIND_MOMENTUM_FLUX, most, most * spread, FORMULA_FLUX_AT_SCHEDULE,
		inputs, 3);
}

static void of_shell(const struct scene *scene)
{
	if (!item_is(scene->item, "shell-side"))
		return;
	impact_of_inlet(scene);
	flux_at_schedules(scene);
}

static void of_item(const struct scene *scene)
{
	if (!carries_flow(scene->item))
		return;
	if (item_is(scene->item, "tube-side")) {
		bore_from_wall(scene);
		tube_velocity(scene);
	} else if (item_is(scene->item, "plate-side")) {
		channel_velocity(scene);
	} else if (item_is(scene->item, "shell-side")) {
		if (scene_get(scene, "velocity"))
			derived_judge_as_stated(scene, "velocity", KIND_VELOCITY);
	} else {
		bore_from_size(scene);
		pipe_velocity(scene);
		momentum_flux(scene);
		next_size(scene);
	}
	liquid_velocity(scene);
}

void hydraulics_compute(struct table *table)
{
	scene_each(table, of_item);
	scene_each(table, of_shell); /* after its nozzles */
}
