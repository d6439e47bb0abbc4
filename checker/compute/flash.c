#include "compute/flash.h"

#include <math.h>
#include <string.h>

#include "chemistry/phase.h"
#include "compute/solvent.h"
#include "compute/two_phase.h"

static bool is_kind(const struct item *item, const char *kind)
{
	return item && strcmp(item->kind, kind) == 0;
}

static bool is_rich(const struct scene *scene, const struct item *item)
{
	const char *service = item ? table_word(scene->table, item, scene->operating_case, "service") : NULL;

	return service && strcmp(service, "rich") == 0;
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
		error = hypot(error, solution.partial_pressure[gas] * solution.uncertainty[gas]);
	return error;
}

static void put_yes_no(const struct scene *scene, const char *name, bool yes, const char *reason)
{
	scene_put_new(
		scene, name, quantity_assumed_word(table_arena(scene->table), KIND_YES_NO, yes ? "yes" : "no", reason));
}

/* ---- streams ---- */

static const struct quantity *put_margin(
	const struct scene *scene, struct input pressure, const struct quantity *bubble)
{
	struct input inputs[] = {pressure, scene_input_is("p_b", "bubble pressure", bubble)};

	return scene_compute(scene, "bubble-margin", KIND_PRESSURE_DIFFERENCE, inputs[0].quantity->si - bubble->si,
		hypot(inputs[0].quantity->uncertainty, bubble->uncertainty), FORMULA_BUBBLE_MARGIN, inputs, 2);
}

static const struct quantity *put_bubble(const struct scene *scene, const struct stream_solution *solution)
{
	double bubble = 0, error = 0;

	if (solution->known) {
		bubble = bubble_pressure(&solution->state, NULL);
		error = hypot(solvent_spread(solution, bubble_pressure, NULL), chemistry_error(&solution->state));
	}
	return scene_compute(scene, "bubble-pressure", KIND_PRESSURE, bubble, error, FORMULA_BUBBLE_PRESSURE,
		solution->inputs, solution->count);
}

static size_t with_pressure(const struct stream_solution *solution, struct input pressure, struct input *inputs)
{
	memcpy(inputs, solution->inputs, solution->count * sizeof *inputs);
	inputs[solution->count] = pressure;
	return solution->count + 1;
}

static void put_mixture(
	const struct scene *scene, const struct two_phase *mixture, const struct input *inputs, size_t count)
{
	if (!scene_stated(scene, "vapour-fraction"))
		scene_compute(scene, "vapour-fraction", KIND_MASS_FRACTION, mixture->mass_share,
			mixture->mass_share * mixture->uncertainty, FORMULA_FLASH, inputs, count);
	if (!scene_stated(scene, "density"))
		scene_compute(scene, "density", KIND_DENSITY, mixture->density, mixture->density * mixture->uncertainty,
			FORMULA_MIXTURE_DENSITY, inputs, count);
	scene_compute(scene, "liquid-density", KIND_DENSITY, mixture->liquid_density, 0, FORMULA_FLASHED_LIQUID_DENSITY,
		inputs, count);
}

/* A flow stated by volume is that of the liquid: then the stream keeps the density of the liquid. */
static bool by_mass(const struct scene *scene)
{
	const struct quantity *flow = scene_get(scene, "flow");

	return !flow || flow->known == UNKNOWN || flow->kind == KIND_MASS_FLOW;
}

bool flash_stream(const struct scene *scene)
{
	struct input pressure = scene_input(scene, "P", "pressure"), inputs[SOLVENT_INPUTS + 1];
	struct stream_solution solution;
	struct two_phase mixture;

	if (!is_rich(scene, scene->item))
		return false;
	solution = solvent_of_stream(scene, scene->item, true);
	const struct quantity *margin = put_margin(scene, pressure, put_bubble(scene, &solution));
	if (!is_number(margin))
		return false;
	put_yes_no(scene, "two-phase", margin->si < 0, "by its bubble pressure, worked out here");
	const struct quantity *two = scene_get(scene, "two-phase");
	bool mixed = two->si > 0 && margin->si < 0 && by_mass(scene) &&
		two_phase_at(&terms_own, &solution.state, pressure.quantity->si, &mixture);
	if (mixed)
		put_mixture(scene, &mixture, inputs, with_pressure(&solution, pressure, inputs));
	return mixed;
}

/* ---- what carries them ---- */

/* The rich side of an exchanger: temperature and pressure run straight from inlet to outlet over its duty. */
static void along_the_side(const struct scene *scene)
{
	enum { STATIONS = 80 };
	const struct item *in = table_follow(scene->table, scene->item, scene->operating_case, "inlet");
	const struct item *out = table_follow(scene->table, scene->item, scene->operating_case, "outlet");
	if (!is_rich(scene, scene->item) || !is_kind(in, "stream") || !is_kind(out, "stream"))
		return;
	struct stream_solution solution = solvent_of_stream(scene, out, true);
	struct input inputs[SOLVENT_INPUTS + 3];
	size_t count = with_pressure(&solution, scene_input_of(scene, out, "P", "pressure"), inputs);
	inputs[count++] = scene_input_of(scene, in, "t_in", "temperature");
	inputs[count++] = scene_input_of(scene, in, "P_in", "pressure");
	double share = 1;
	for (int i = 0; i <= STATIONS && inputs_known(inputs, count); i++) {
		struct solution_input state = solution.state;
		double at = (double)i / STATIONS, cold = inputs[count - 2].quantity->si;
		double first = inputs[count - 1].quantity->si, last = inputs[count - 3].quantity->si;
		state.temperature = cold + at * (solution.state.temperature - cold);
		if (bubble_pressure(&state, NULL) > first + at * (last - first)) {
			share = at;
			break;
		}
	}
	scene_compute(scene, "flash-starts", KIND_SHARE, share, 0, FORMULA_FLASH_STARTS, inputs, count);
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

/* What the stream says of itself ahead of the valve is no answer behind it, where the flash cannot be worked out. */
static void ask_behind_valve(const struct scene *scene, const struct input *inputs, size_t count)
{
	const struct quantity *two = scene_get(scene, "two-phase");
	for (size_t i = 0; i < count && !(two && two->si > 0); i++)
		if (inputs[i].quantity->known == UNKNOWN) {
			scene_put(scene, "two-phase",
				quantity_unknown(table_arena(scene->table), KIND_YES_NO, inputs[i].quantity->reason));
			return;
		}
}

static void put_let_down(const struct scene *scene, const struct item *stream, struct input to)
{
	struct stream_solution solution = solvent_of_stream(scene, stream, true);
	struct input inputs[SOLVENT_INPUTS + 2];
	size_t count = with_pressure(&solution, scene_input_of(scene, stream, "P", "pressure"), inputs);
	struct two_phase mixture = {.vapour = false};
	inputs[count++] = to;
	bool known = inputs_known(inputs, count);
	if (known && inputs[count - 2].quantity->si <= to.quantity->si)
		return; /* no valve ahead: the stream is at the tower's pressure already */
	known = known &&
		two_phase_let_down(
			&terms_own, &solution.state, inputs[count - 2].quantity->si, to.quantity->si, &mixture);
	if (known && !mixture.vapour)
		return;
	if (known)
		put_yes_no(scene, "two-phase", true, "behind the letdown valve, by the flash worked out here");
	else
		ask_behind_valve(scene, inputs, count);
	put_mixture(scene, &mixture, inputs, count);
}

/* The feed nozzle of the regenerator and lines behind the valve run at the tower's pressure, whatever their stream's says. */
static void behind_the_valve(const struct scene *scene)
{
	const struct item *stream = table_follow(scene->table, scene->item, scene->operating_case, "stream");
	const char *place = table_word(scene->table, scene->item, scene->operating_case, "place");
	if (!is_rich(scene, scene->item) || !is_kind(stream, "stream"))
		return;
	bool nozzle = is_kind(scene->item, "nozzle") && is_kind(scene->item->parent, "regenerator");
	bool line = is_kind(scene->item, "line") && place && strcmp(place, "downstream of letdown") == 0;
	const struct item *tower = nozzle ? scene->item->parent : line ? fed_by(scene, stream) : NULL;
	const struct item *const of[] = {scene->item, stream, tower};
	if (!tower || scene_stated(scene, "density") || scene_repeats(scene, of, 3))
		return;
	put_let_down(scene, stream, scene_input_of(scene, tower, "P'", "top-pressure"));
	struct input inputs[] = {scene_input(scene, "m", "mass-flow"), scene_input(scene, "rho", "density")};
	scene_compute(scene, "volume-flow", KIND_LIQUID_FLOW, inputs[0].quantity->si / inputs[1].quantity->si,
		inputs[0].quantity->si / inputs[1].quantity->si *
			(relative_uncertainty(inputs[0].quantity) + relative_uncertainty(inputs[1].quantity)),
		FORMULA_VOLUME_FLOW, inputs, 2);
}

/* ---- letdown valves ---- */

/* The stream that reaches a valve: of the line it stands in, or the rich outlet of its vessel. */
static const struct item *reaches(const struct scene *scene)
{
	const struct item *parent = scene->item->parent, *stream = NULL;

	if (is_kind(parent, "line"))
		stream = table_follow(scene->table, parent, scene->operating_case, "stream");
	else if (is_kind(parent, "absorber") || is_kind(parent, "treater"))
		stream = table_follow(scene->table, parent, scene->operating_case, "rich");
	return is_kind(stream, "stream") ? stream : NULL;
}

/* How far the valve stands from its vessel, in bores of the line it stands in. */
static void valve_distance(const struct scene *scene)
{
	if (scene_stated(scene, "distance-to-vessel-diameters")) {
		scene_take(scene, "distance-in-diameters", scene->item, "distance-to-vessel-diameters");
		return;
	}
	if (!is_kind(scene->item->parent, "line"))
		return;
	struct input inputs[] = {
		scene_input(scene, "x", "distance-to-vessel"), scene_input_of(scene, scene->item->parent, "D", "bore")};
	scene_compute(scene, "distance-in-diameters", KIND_RATIO, inputs[0].quantity->si / inputs[1].quantity->si, 0,
		FORMULA_DIAMETERS, inputs, 2);
}

static void put_behind(
	const struct scene *scene, const struct stream_solution *solution, struct input from, struct input to)
{
	struct input inputs[SOLVENT_INPUTS + 2];
	size_t count = with_pressure(solution, from, inputs);
	struct two_phase mixture = {.vapour = false};
	inputs[count++] = to;
	if (inputs_known(inputs, count) &&
		!two_phase_let_down(&terms_own, &solution->state, from.quantity->si, to.quantity->si, &mixture))
		mixture.mass_share = mixture.volume_share = mixture.gas_share = (double)NAN;
	scene_compute(scene, "vapour-fraction", KIND_MASS_FRACTION, mixture.mass_share,
		mixture.mass_share * mixture.uncertainty, FORMULA_FLASH_BEHIND, inputs, count);
	scene_compute(
		scene, "vapour-volume-share", KIND_SHARE, mixture.volume_share, 0, FORMULA_FLASH_BEHIND, inputs, count);
	scene_compute(scene, "gas-flashed", KIND_SHARE, mixture.gas_share, mixture.gas_share * mixture.uncertainty,
		FORMULA_FLASH_BEHIND, inputs, count);
}

static void of_valve(const struct scene *scene)
{
	const char *role = table_word(scene->table, scene->item, scene->operating_case, "role");
	if (!is_kind(scene->item, "valve") || !role || strcmp(role, "letdown") != 0)
		return;
	valve_distance(scene);
	const struct item *stream = reaches(scene);
	const struct item *const of[] = {scene->item, stream};
	if (!stream || !is_rich(scene, stream) || scene_repeats(scene, of, 2))
		return;
	struct stream_solution solution = solvent_of_stream(scene, stream, true);
	struct input from = scene_get(scene, "upstream-pressure") ? scene_input(scene, "P", "upstream-pressure")
								  : scene_input_of(scene, stream, "P", "pressure");
	put_margin(scene, from, put_bubble(scene, &solution));
	put_behind(scene, &solution, from, scene_input(scene, "P'", "downstream-pressure"));
}

static void of_carrier(const struct scene *scene)
{
	if (is_kind(scene->item, "tube-side") || is_kind(scene->item, "shell-side") ||
		is_kind(scene->item, "plate-side"))
		along_the_side(scene);
	behind_the_valve(scene);
}

void flash_carriers(struct table *table)
{
	scene_each(table, of_carrier);
}

static void erosion(const struct scene *scene)
{
	const double continuous = 100; /* C of API RP 14E in ft/s and lb/ft3: corrosive service takes no more */
	const struct quantity *two = scene_get(scene, "two-phase");
	if (!(is_kind(scene->item, "line") || is_kind(scene->item, "nozzle")) || !is_rich(scene, scene->item) || !two ||
		two->known == UNKNOWN || !(two->si > 0))
		return;
	struct input density = scene_input(scene, "rho", "density");
	const struct quantity *limit = scene_compute(scene, "erosional-velocity", KIND_VELOCITY,
		two_phase_erosional(continuous, density.quantity->si),
		two_phase_erosional(continuous, density.quantity->si) * relative_uncertainty(density.quantity) / 2,
		FORMULA_EROSIONAL_VELOCITY, &density, 1);
	struct input inputs[] = {
		scene_input(scene, "v", "velocity"), scene_input_is("v_e", "erosional velocity", limit)};
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
