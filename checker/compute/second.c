#include "compute/second.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/phase.h"
#include "chemistry/published.h"
#include "compute/flash.h"
#include "compute/solvent.h"
#include "compute/two_phase.h"
#include "resolve/equipment.h"

/* A rich solution by the other correlation. */
struct opinion {
	struct solution_input state;
	struct published by;
	double bubble; /* Pa */
};

/* False: nothing is published for it here, something is not known, or the two are near enough to each other. */
static bool opinion_of(const struct scene *scene, const struct item *stream, struct opinion *out)
{
	struct stream_solution solution = solvent_of_stream(scene, stream, true);

	for (size_t i = 0; i < solution.count; i++)
		if (!is_number(solution.inputs[i].quantity))
			return false;
	if (!solution.known || !published_state(&terms_own, &solution.state, &out->state, &out->by))
		return false;
	double own = phase_bubble_pressure(&terms_own, &solution.state);
	out->bubble = phase_bubble_pressure(&terms_own, &out->state);
	return fabs(out->bubble - own) > PUBLISHED_APART * own;
}

static const struct formula *formula_of(const struct opinion *opinion)
{
	return &formulas[strcmp(opinion->by.source, formulas[FORMULA_BY_POSEY].source) == 0 ? FORMULA_BY_POSEY
											    : FORMULA_BY_KENT];
}

/* Puts the value anew with its second beside it; not of what is stated, or of no number. */
static void attach(const struct scene *scene, const char *name, double si, const struct opinion *opinion)
{
	struct arena *arena = table_arena(scene->table);
	const struct quantity *own = scene_get(scene, name);

	if (!own || own->known == UNKNOWN || own->bound != BOUND_NONE || scene_stated(scene, name) || !isfinite(si))
		return;
	struct quantity *second = arena_alloc(arena, sizeof *second), *both = arena_alloc(arena, sizeof *both);
	*second = *own;
	second->known = COMPUTED;
	second->si = si;
	second->formula = formula_of(opinion);
	second->second = NULL;
	if (own->kind == KIND_YES_NO)
		second->word = si > 0 ? "yes" : "no";
	*both = *own;
	both->second = second;
	table_put(scene->into, scene->item, scene->operating_case, name, both);
}

static double number_of(const struct scene *scene, const struct item *item, const char *name)
{
	const struct quantity *value = item ? scene_get_of(scene, item, name) : NULL;

	return value && is_number(value) ? value->si : (double)NAN;
}

/* ---- streams and sides ---- */

static void attach_mixture(const struct scene *scene, const struct opinion *opinion, const struct two_phase *mixture)
{
	attach(scene, "two-phase", mixture->vapour ? 1 : 0, opinion);
	attach(scene, "vapour-fraction", mixture->mass_share, opinion);
	attach(scene, "liquid-density", mixture->liquid_density, opinion);
}

static void of_stream(const struct scene *scene)
{
	double pressure = number_of(scene, scene->item, "pressure");
	struct opinion opinion;
	struct two_phase mixture;

	if (!opinion_of(scene, scene->item, &opinion))
		return;
	attach(scene, "bubble-pressure", opinion.bubble, &opinion);
	attach(scene, "bubble-margin", pressure - opinion.bubble, &opinion);
	if (two_phase_at(&terms_own, &opinion.state, pressure, &mixture)) {
		attach_mixture(scene, &opinion, &mixture);
		attach(scene, "density", mixture.density, &opinion);
	}
}

static void of_side(const struct scene *scene)
{
	const struct item *in = table_follow(scene->table, scene->item, scene->operating_case, "inlet");
	const struct item *out = table_follow(scene->table, scene->item, scene->operating_case, "outlet");
	struct opinion opinion;

	if (!item_is(in, "stream") || !item_is(out, "stream") || !opinion_of(scene, out, &opinion))
		return;
	struct flash_way way = {number_of(scene, in, "temperature"), number_of(scene, in, "pressure"),
		number_of(scene, out, "pressure")};
	attach(scene, "flash-starts", flash_starts(&opinion.state, &way), &opinion);
}

/* ---- what carries a stream ---- */

/* The same mass in another density: velocities and fluxes in proportion, the erosional velocity by its root. */
static void attach_flow(const struct scene *scene, const struct opinion *opinion, double density)
{
	static const char *const faster[] = {
		"velocity", "velocity-judged", "momentum-flux", "local-velocity", "volume-flow"};
	double own = number_of(scene, scene->item, "density"), ratio = own / density;

	for (size_t i = 0; i < COUNT(faster); i++)
		attach(scene, faster[i], number_of(scene, scene->item, faster[i]) * ratio, opinion);
	attach(scene, "erosional-velocity", number_of(scene, scene->item, "erosional-velocity") * sqrt(ratio), opinion);
	attach(scene, "erosional-ratio", number_of(scene, scene->item, "erosional-ratio") * sqrt(ratio), opinion);
	attach(scene, "density", density, opinion);
}

static void of_carrier(const struct scene *scene)
{
	const struct item *stream, *tower = flash_tower(scene, &stream);
	struct opinion opinion;
	struct two_phase mixture;

	if (!item_is(stream, "stream") || !opinion_of(scene, stream, &opinion))
		return;
	double pressure = number_of(scene, stream, "pressure"), at = number_of(scene, tower, "top-pressure");
	attach(scene, "bubble-pressure", opinion.bubble, &opinion);
	attach(scene, "bubble-margin", pressure - opinion.bubble, &opinion);
	bool solved = tower && pressure > at ? two_phase_let_down(&terms_own, &opinion.state, pressure, at, &mixture)
					     : two_phase_at(&terms_own, &opinion.state, pressure, &mixture);
	if (!solved)
		return;
	attach_mixture(scene, &opinion, &mixture);
	attach_flow(scene, &opinion, mixture.density);
}

static void of_valve(const struct scene *scene)
{
	const struct item *stream = flash_before_valve(scene);
	struct opinion opinion;
	struct two_phase mixture;

	if (!stream || !opinion_of(scene, stream, &opinion))
		return;
	double from = scene_get(scene, "upstream-pressure") ? number_of(scene, scene->item, "upstream-pressure")
							    : number_of(scene, stream, "pressure");
	double to = number_of(scene, scene->item, "downstream-pressure");
	attach(scene, "bubble-pressure", opinion.bubble, &opinion);
	attach(scene, "bubble-margin", from - opinion.bubble, &opinion);
	if (!isfinite(to) || !two_phase_let_down(&terms_own, &opinion.state, from, to, &mixture))
		return;
	attach(scene, "vapour-fraction", mixture.mass_share, &opinion);
	attach(scene, "vapour-volume-share", mixture.volume_share, &opinion);
	attach(scene, "gas-flashed", mixture.gas_share, &opinion);
}

static void of_item(const struct scene *scene)
{
	if (item_is(scene->item, "valve"))
		of_valve(scene);
	else if (!flash_is_rich(scene, scene->item))
		return;
	else if (item_is(scene->item, "stream"))
		of_stream(scene);
	else if (item_in(scene->item, CLASS_SIDE))
		of_side(scene);
	else if (item_is(scene->item, "line") || item_is(scene->item, "nozzle"))
		of_carrier(scene);
}

void second_compute(struct table *table)
{
	scene_each(table, of_item);
}
