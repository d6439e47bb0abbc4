#include "compute/flash.h"

#include <math.h>
#include <string.h>

#include "chemistry/phase.h"
#include "chemistry/range.h"
#include "compute/solvent.h"
#include "compute/two_phase.h"
#include "resolve/equipment.h"
#include "resolve/service.h"

bool flash_is_rich(const struct scene *scene, const struct item *item)
{
	const char *service = item ? table_word(scene->table, item, scene->operating_case, "service") : NULL;
	return service_is(service, SERVICE_RICH | SERVICE_STREAM);
}

static double bubble_pressure(const struct solution_input *state, void *unused)
{
	(void)unused;
	return phase_bubble_pressure(&terms_own, state);
}

/* Of the sum of partial pressures, what the chemistry is uncertain by, Pa. */
static double chemistry_error(const struct solution_input *state)
{
	struct solution solution;
	double error = 0;

	if (!solution_solve(&terms_own, state, &solution))
		return 0;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		error = hypot(error, solution.partial_pressure[gas] * (range_factor(&solution, (enum gas)gas) - 1));
	return error;
}

static void put_yes_no(const struct scene *scene, const char *name, bool yes, const char *reason)
{
	scene_put_new_made(
		scene, name, quantity_assumed_word(table_arena(scene->table), KIND_YES_NO, yes ? "yes" : "no", reason));
}

/* ---- streams ---- */

static const struct quantity *put_margin(
	const struct scene *scene, struct input pressure, const struct quantity *bubble)
{
	struct input inputs[] = {input_rises(pressure), input_falls(scene_input_is("p_b", "bubble pressure", bubble))};

	return scene_computed(scene, "bubble-margin", KIND_PRESSURE_DIFFERENCE, inputs[0].quantity->si - bubble->si,
		hypot(inputs[0].quantity->uncertainty, quantity_reach(bubble, inputs[0].quantity->si)),
		FORMULA_BUBBLE_MARGIN, inputs, 2);
}

static const struct quantity *put_bubble(const struct scene *scene, const struct stream_solution *of)
{
	struct stream_solution weighed = *of, *solution = &weighed;
	double bubble = (double)NAN, error = 0;

	if (solution->known) {
		bubble = bubble_pressure(&solution->state, NULL);
		error = hypot(solvent_spread(solution, bubble_pressure, NULL), chemistry_error(&solution->state));
		solvent_weigh(solution, bubble_pressure, NULL, &error);
	}
	return scene_compute_by_factor(scene, "bubble-pressure", KIND_PRESSURE, bubble, error, FORMULA_BUBBLE_PRESSURE,
		solution->inputs, solution->count);
}

static size_t with_pressure(const struct stream_solution *solution, struct input pressure, struct input *inputs)
{
	memcpy(inputs, solution->inputs, solution->count * sizeof *inputs);
	inputs[solution->count] = pressure;
	return solution->count + 1;
}

/* A flash of a solution at `to`, from `from` through a valve or, where that is NaN, at its own temperature. */
struct flash_of {
	const struct stream_solution *solution;
	struct input from, to; /* without a quantity where there is none */
	double (*wanted)(const struct two_phase *);
};

static double mass_share(const struct two_phase *mixture)
{
	return mixture->mass_share;
}

static double volume_share(const struct two_phase *mixture)
{
	return mixture->volume_share;
}

static double gas_share(const struct two_phase *mixture)
{
	return mixture->gas_share;
}

static double liquid_density(const struct two_phase *mixture)
{
	return mixture->liquid_density;
}

static double mixture_density(const struct two_phase *mixture)
{
	return mixture->density;
}

/* Where it boils dry, or is not solved, every number is NaN, and what is put from it unknown. */
static struct two_phase flash_at(const struct flash_of *flash, const struct solution_input *state)
{
	struct two_phase mixture;

	if (flash->from.quantity)
		two_phase_let_down(&terms_own, state, flash->from.quantity->si, flash->to.quantity->si, &mixture);
	else
		two_phase_at(&terms_own, state, flash->to.quantity->si, &mixture);
	return mixture;
}

/* "at 1.05 bara: it boils dry ...", of a flash that has no answer although all that goes in is known; else NULL. */
static const char *no_answer(const struct scene *scene, const struct flash_of *flash, const struct two_phase *mixture)
{
	struct arena *arena = table_arena(scene->table);

	if (mixture->fault == SOLUTION_FINE)
		return NULL;
	return arena_format(arena, "the flash at %s has no answer: %s", quantity_show(arena, flash->to.quantity, NULL),
		solution_fault_words(mixture->fault));
}

static double wanted_of(const struct solution_input *state, void *data)
{
	const struct flash_of *flash = data;
	struct two_phase mixture = flash_at(flash, state);

	return flash->wanted(&mixture);
}

/* One value of the mixture; `relative` is its uncertainty. */
static void put_flashed(const struct scene *scene, const char *name, enum kind kind, struct flash_of flash,
	double (*wanted)(const struct two_phase *), const struct two_phase *mixture, enum formula_code formula)
{
	struct stream_solution solution = *flash.solution;
	struct input inputs[SOLVENT_INPUTS + 2];
	double value = wanted(mixture), error = wanted == volume_share ? 0 : fabs(value) * mixture->uncertainty;

	const char *why_not = no_answer(scene, &flash, mixture);
	if (why_not) {
		scene_put_made(scene, name, quantity_unknown(table_arena(scene->table), kind, why_not));
		return;
	}
	flash.wanted = wanted;
	solvent_weigh(&solution, wanted_of, &flash, &error);
	size_t count = solution.count;
	memcpy(inputs, solution.inputs, count * sizeof *inputs);
	if (flash.from.quantity)
		inputs[count++] = flash.from;
	inputs[count++] = flash.to;
	scene_compute(scene, name, kind, value, error, formula, inputs, count);
}

static void put_mixture(const struct scene *scene, struct flash_of flash, const struct two_phase *mixture)
{
	if (!scene_stated(scene, "vapour-fraction"))
		put_flashed(scene, "vapour-fraction", KIND_MASS_FRACTION, flash, mass_share, mixture, FORMULA_FLASH);
	if (!scene_stated(scene, "density"))
		put_flashed(scene, "density", KIND_DENSITY, flash, mixture_density, mixture, FORMULA_MIXTURE_DENSITY);
	put_flashed(
		scene, "liquid-density", KIND_DENSITY, flash, liquid_density, mixture, FORMULA_FLASHED_LIQUID_DENSITY);
}

/* A flow stated by volume is that of the liquid: then the stream keeps the density of the liquid. */
static bool by_mass(const struct scene *scene)
{
	const struct quantity *flow = scene_get(scene, "flow");

	return !flow || flow->known == UNKNOWN || flow->kind == KIND_MASS_FLOW;
}

/* A margin within its uncertainty of nothing: it may as well be the other, and rules are judged on both sides. */
static void put_doubtful(const struct scene *scene, bool boils)
{
	static const char why[] =
		"by its bubble pressure, calculated here, which is within its uncertainty of the pressure";
	struct arena *arena = table_arena(scene->table);
	struct quantity *doubtful = arena_alloc(arena, sizeof *doubtful);

	*doubtful = *quantity_assumed_word(arena, KIND_YES_NO, boils ? "yes" : "no", why);
	doubtful->uncertainty = 1;
	scene_put_new(scene, "two-phase", doubtful);
}

/* Whether it boils, by its margin: of a margin that is only a bound as far as that decides it. */
static void put_boils(const struct scene *scene, const struct quantity *margin)
{
	bool boils = margin->si < 0;

	if (margin->bound == BOUND_NONE && fabs(margin->si) <= margin->uncertainty)
		put_doubtful(scene, boils);
	else if (margin->bound == BOUND_NONE || boils == (margin->bound == BOUND_BELOW))
		put_yes_no(scene, "two-phase", boils, "by its bubble pressure, calculated here");
	else
		scene_put_new_made(scene, "two-phase",
			quantity_lacking(table_arena(scene->table), KIND_YES_NO, quantity_missing(margin)));
}

static void put_open(const struct scene *scene, const char *name, enum kind kind, const struct quantity *margin)
{
	scene_put_new_made(scene, name, quantity_lacking(table_arena(scene->table), kind, quantity_missing(margin)));
}

/*
 * Where a bound leaves it open whether the solution boils, or it is said to boil and nobody knows how much, its density is
 * open too, and of what boils that of its liquid. False: it is that of the liquid.
 */
static bool put_open_density(const struct scene *scene, const struct quantity *margin)
{
	const struct quantity *two = table_stated(scene->table, scene->item, scene->operating_case, "two-phase");
	bool boils = quantity_truth(two) == YES, open = boils || is_bound(margin);

	if (two && two->known != UNKNOWN && !boils)
		return false;
	for (size_t i = 0; i < margin->input_count && !open; i++) {
		const struct quantity *of = margin->inputs[i].quantity;

		open = is_bound(of);
		for (size_t k = 0; k < of->input_count; k++)
			open = open || is_bound(of->inputs[k].quantity);
	}
	if (open) {
		put_open(scene, "density", KIND_DENSITY, margin);
		put_open(scene, "vapour-fraction", KIND_MASS_FRACTION, margin);
	}
	if (boils)
		put_open(scene, "liquid-density", KIND_DENSITY, margin);
	return open;
}

/* Where the values for every case boil and those of this case do not, the vapour of the former is not that of the latter. */
static void put_no_vapour(const struct scene *scene, const struct quantity *margin)
{
	struct input of = scene_input_is("P - p_b", "margin over the bubble pressure", margin);

	of.effect = margin->bound == BOUND_ABOVE ? EFFECT_WITHIN : EFFECT_UNSAID;
	if (scene->operating_case != EVERY_CASE && scene_get(scene, "vapour-fraction") && margin->si >= 0 &&
		!scene_stated(scene, "vapour-fraction"))
		scene_compute(scene, "vapour-fraction", KIND_MASS_FRACTION, 0, 0, FORMULA_FLASH, &of, 1);
}

bool flash_stream(const struct scene *scene)
{
	if (!flash_is_rich(scene, scene->item))
		return false;
	struct stream_solution solution = solvent_of_stream(scene, scene->item, true);
	struct flash_of flash = {.solution = &solution, .to = scene_input(scene, "P", "pressure")};
	const struct quantity *margin = put_margin(scene, flash.to, put_bubble(scene, &solution));
	if (margin->known == UNKNOWN)
		return by_mass(scene) && put_open_density(scene, margin);
	put_boils(scene, margin);
	const struct quantity *two = scene_get(scene, "two-phase");
	if (two->known == UNKNOWN && by_mass(scene) && put_open_density(scene, margin))
		return true;
	if (!(two->si > 0) || !(margin->si < 0) || !by_mass(scene)) {
		put_no_vapour(scene, margin);
		return false;
	}
	struct two_phase mixture = flash_at(&flash, &solution.state);
	put_mixture(scene, flash, &mixture);
	return true;
}

/* ---- what carries them ---- */

double flash_starts(const struct solution_input *state, const struct flash_way *way)
{
	enum { STATIONS = 80 };

	for (int i = 0; i <= STATIONS; i++) {
		struct solution_input here = *state;
		double at = (double)i / STATIONS;
		here.temperature = way->cold + at * (state->temperature - way->cold);
		double bubble = bubble_pressure(&here, NULL);
		if (isnan(bubble))
			return (double)NAN;
		if (bubble > way->first + at * (way->last - way->first))
			return at;
	}
	return 1;
}

static double starts_at(const struct solution_input *state, void *way)
{
	return flash_starts(state, way);
}

static void along_the_side(const struct scene *scene)
{
	const double station = 1.0 / 80;
	const struct item *in = table_follow(scene->table, scene->item, scene->operating_case, "inlet");
	const struct item *out = table_follow(scene->table, scene->item, scene->operating_case, "outlet");
	if (!flash_is_rich(scene, scene->item) || !item_is(in, "stream") || !item_is(out, "stream"))
		return;
	struct stream_solution solution = solvent_state(scene, scene->item, PLACE_OUTLET);
	struct input inputs[SOLVENT_INPUTS + 3];
	struct input ends[] = {scene_input_of(scene, out, "P", "pressure"),
		scene_input_of(scene, in, "t_in", "temperature"), scene_input_of(scene, in, "P_in", "pressure")};
	struct flash_way way = {
		.cold = ends[1].quantity->si, .first = ends[2].quantity->si, .last = ends[0].quantity->si};
	double share = (double)NAN, error = station;
	if (solution.known && inputs_known(ends, 3)) {
		share = flash_starts(&solution.state, &way);
		solvent_weigh(&solution, starts_at, &way, &error);
	}
	size_t count = with_pressure(&solution, ends[0], inputs);
	inputs[count++] = ends[1];
	inputs[count++] = ends[2];
	scene_compute(scene, "flash-starts", KIND_SHARE, share, error > station ? error : 0, FORMULA_FLASH_STARTS,
		inputs, count);
}

/* The regenerator that a stream feeds, or NULL. */
static const struct item *fed_by(const struct scene *scene, const struct item *stream)
{
	struct items regenerators = table_of_kind(scene->table, "regenerator");
	for (size_t i = 0; stream && i < regenerators.count; i++) {
		const struct item *item = regenerators.rows[i];
		const char *feed = table_word(scene->table, item, scene->operating_case, "feed");
		if (feed && strcmp(feed, stream->tag) == 0)
			return item;
	}
	return NULL;
}

/* What the stream says of itself ahead of the valve is no answer downstream of it, where the flash cannot be calculated. */
static void ask_downstream_of_valve(const struct scene *scene, struct missing missing)
{
	const struct quantity *two = scene_get(scene, "two-phase");
	if (!(two && two->si > 0))
		scene_put_made(scene, "two-phase", quantity_lacking(table_arena(scene->table), KIND_YES_NO, missing));
}

static struct missing why_no_flash(
	const struct scene *scene, const struct flash_of *flash, const struct two_phase *mixture)
{
	const struct input ends[] = {flash->from, flash->to};
	for (size_t i = 0; i < flash->solution->count; i++)
		if (flash->solution->inputs[i].quantity->known == UNKNOWN)
			return quantity_missing(flash->solution->inputs[i].quantity);
	for (size_t i = 0; i < 2; i++)
		if (ends[i].quantity->known == UNKNOWN || is_bound(ends[i].quantity))
			return input_missing(table_arena(scene->table), &ends[i]);
	return (struct missing){.reason = no_answer(scene, flash, mixture)};
}

static void put_let_down(const struct scene *scene, const struct item *stream, struct input to)
{
	struct stream_solution solution = solvent_of_stream(scene, stream, true);
	struct flash_of flash = {
		.solution = &solution, .from = scene_input_of(scene, stream, "P", "pressure"), .to = to};
	struct two_phase mixture = {.density = (double)NAN, .mass_share = (double)NAN, .uncertainty = 0};
	bool known = solution.known && inputs_known(&flash.from, 1) && inputs_known(&to, 1);
	if (known && flash.from.quantity->si <= to.quantity->si)
		return; /* no valve ahead: the stream is at the tower's pressure already */
	if (known)
		mixture = flash_at(&flash, &solution.state);
	known = known && isfinite(mixture.density);
	if (known && !mixture.vapour)
		return;
	if (known)
		put_yes_no(scene, "two-phase", true, "downstream of the letdown valve, by the flash calculated here");
	else
		ask_downstream_of_valve(scene, why_no_flash(scene, &flash, &mixture));
	put_mixture(scene, flash, &mixture);
}

const struct item *flash_tower(const struct scene *scene, const struct item **stream)
{
	const char *place = table_word(scene->table, scene->item, scene->operating_case, "place");
	*stream = table_follow(scene->table, scene->item, scene->operating_case, "stream");
	if (!flash_is_rich(scene, scene->item) || !item_is(*stream, "stream"))
		return NULL;
	bool nozzle = item_is(scene->item, "nozzle") && item_is(scene->item->parent, "regenerator");
	bool line = item_is(scene->item, "line") && place && strcmp(place, "downstream of letdown") == 0;
	return nozzle ? scene->item->parent : line ? fed_by(scene, *stream) : NULL;
}

/* The feed nozzle of the regenerator and lines downstream of the valve run at the tower's pressure, whatever their stream's says. */
static void downstream_of_valve(const struct scene *scene)
{
	const struct item *stream, *tower = flash_tower(scene, &stream);
	const struct item *const of[] = {scene->item, stream, tower};
	if (!tower || scene_stated(scene, "density") || scene_repeats(scene, of, 3))
		return;
	put_let_down(scene, stream, scene_input_of(scene, tower, "P'", "top-pressure"));
	struct input inputs[] = {
		input_rises(scene_input(scene, "m", "mass-flow")), input_falls(scene_input(scene, "rho", "density"))};
	scene_compute(scene, "volume-flow", KIND_LIQUID_FLOW, inputs[0].quantity->si / inputs[1].quantity->si,
		inputs[0].quantity->si / inputs[1].quantity->si *
			(relative_uncertainty(inputs[0].quantity) + relative_uncertainty(inputs[1].quantity)),
		FORMULA_VOLUME_FLOW, inputs, 2);
}

/* ---- letdown valves ---- */

/* The stream that reaches a valve: of the line it is in, or the rich outlet of its vessel. */
static const struct item *reaches(const struct scene *scene)
{
	const struct item *parent = scene->item->parent, *stream = NULL;

	if (item_is(parent, "line"))
		stream = table_follow(scene->table, parent, scene->operating_case, "stream");
	else if (item_in(parent, CLASS_CONTACTOR))
		stream = table_follow(scene->table, parent, scene->operating_case, "rich");
	return item_is(stream, "stream") ? stream : NULL;
}

/* How far the valve is from its vessel, in bores of the line it is in. */
static void valve_distance(const struct scene *scene)
{
	if (scene_stated(scene, "distance-to-vessel-diameters")) {
		scene_take(scene, "distance-in-diameters", scene->item, "distance-to-vessel-diameters");
		return;
	}
	if (!item_is(scene->item->parent, "line"))
		return;
	struct input inputs[] = {
		scene_input(scene, "x", "distance-to-vessel"), scene_input_of(scene, scene->item->parent, "D", "bore")};
	scene_compute(scene, "distance-in-diameters", KIND_RATIO, inputs[0].quantity->si / inputs[1].quantity->si, 0,
		FORMULA_DIAMETERS, inputs, 2);
}

static void put_downstream(
	const struct scene *scene, const struct stream_solution *solution, struct input from, struct input to)
{
	struct flash_of flash = {.solution = solution, .from = from, .to = to};
	struct two_phase mixture = {
		.mass_share = (double)NAN, .volume_share = (double)NAN, .gas_share = (double)NAN, .uncertainty = 0};
	if (solution->known && inputs_known(&from, 1) && inputs_known(&to, 1))
		mixture = flash_at(&flash, &solution->state);
	put_flashed(
		scene, "vapour-fraction", KIND_MASS_FRACTION, flash, mass_share, &mixture, FORMULA_FLASH_DOWNSTREAM);
	put_flashed(scene, "vapour-volume-share", KIND_SHARE, flash, volume_share, &mixture, FORMULA_FLASH_DOWNSTREAM);
	put_flashed(scene, "gas-flashed", KIND_SHARE, flash, gas_share, &mixture, FORMULA_FLASH_DOWNSTREAM);
}

static bool is_letdown(const struct scene *scene)
{
	const char *role = table_word(scene->table, scene->item, scene->operating_case, "role");

	return item_is(scene->item, "valve") && role && strcmp(role, "letdown") == 0;
}

const struct item *flash_before_valve(const struct scene *scene)
{
	const struct item *stream = is_letdown(scene) ? reaches(scene) : NULL;

	return stream && flash_is_rich(scene, stream) ? stream : NULL;
}

static void of_valve(const struct scene *scene)
{
	if (!is_letdown(scene))
		return;
	valve_distance(scene);
	const struct item *stream = flash_before_valve(scene);
	const struct item *const of[] = {scene->item, stream};
	if (!stream || scene_repeats(scene, of, 2))
		return;
	struct stream_solution solution = solvent_of_stream(scene, stream, true);
	struct input from = scene_get(scene, "upstream-pressure") ? scene_input(scene, "P", "upstream-pressure")
								  : scene_input_of(scene, stream, "P", "pressure");
	put_margin(scene, from, put_bubble(scene, &solution));
	put_downstream(scene, &solution, from, scene_input(scene, "P'", "downstream-pressure"));
}

static void of_carrier(const struct scene *scene)
{
	if (item_in(scene->item, CLASS_SIDE))
		along_the_side(scene);
	downstream_of_valve(scene);
}

void flash_carriers(struct table *table)
{
	scene_each(table, of_carrier);
}

static void erosion(const struct scene *scene)
{
	const double continuous = 100; /* C of API RP 14E in ft/s and lb/ft3: corrosive service takes no more */
	const struct quantity *two = scene_get(scene, "two-phase");
	if (!(item_is(scene->item, "line") || item_is(scene->item, "nozzle")) || !flash_is_rich(scene, scene->item) ||
		!two || two->known == UNKNOWN || !(two->si > 0))
		return;
	struct input density = input_falls(scene_input(scene, "rho", "density"));
	const struct quantity *limit = scene_computed(scene, "erosional-velocity", KIND_VELOCITY,
		two_phase_erosional(continuous, density.quantity->si),
		two_phase_erosional(continuous, density.quantity->si) * relative_uncertainty(density.quantity) / 2,
		FORMULA_EROSIONAL_VELOCITY, &density, 1);
	struct input inputs[] = {input_rises(scene_input(scene, "v", "velocity-judged")),
		input_falls(scene_input_is("v_e", "erosional velocity", limit))};
	double ratio = inputs[0].quantity->si / limit->si;
	scene_compute(scene, "erosional-ratio", KIND_RATIO, ratio,
		ratio * (relative_uncertainty(inputs[0].quantity) + relative_uncertainty(limit)), FORMULA_RATIO, inputs,
		2);
}

void flash_erosion(struct table *table)
{
	scene_each(table, erosion);
	scene_each(table, of_valve); /* after the bores */
}
