#include "compute/suction.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/phase.h"
#include "compute/derived.h"
#include "compute/solvent.h"
#include "resolve/service.h"

static const double STANDARD_GRAVITY = 9.80665; /* m/s2 */

double suction_head_available(double pressure, double vapour, double density, double height, double loss)
{
	return (pressure - vapour) / (density * STANDARD_GRAVITY) + height - loss;
}

double suction_froude(double velocity, double bore)
{
	return velocity / sqrt(STANDARD_GRAVITY * bore);
}

/* ---- what it draws from ---- */

struct source {
	const struct item *stream; /* NULL: none is named */
	const struct item *vessel; /* that the stream leaves; NULL: none is named */
	const char *boils;	   /* the name of the pressure at which its liquid boils; NULL: it does not */
};

static const char *boils_at(const struct item *vessel)
{
	if (item_is(vessel, "regenerator"))
		return "bottom-pressure";
	return item_is_any(vessel, "flash-drum reflux-drum reboiler") ? "pressure" : NULL;
}

static struct source source_of(const struct scene *scene)
{
	struct source source = {.stream = table_follow(scene->table, scene->item, scene->operating_case, "suction")};
	if (!item_is(source.stream, "stream"))
		source.stream = table_follow(scene->table, scene->item, scene->operating_case, "stream");
	if (!item_is(source.stream, "stream"))
		return (struct source){.stream = NULL};
	source.vessel = table_follow(scene->table, source.stream, scene->operating_case, "from");
	source.boils = boils_at(source.vessel);
	return source;
}

static double bubble(const struct solution_input *state, void *unused)
{
	(void)unused;
	return phase_bubble_pressure(&terms_own, state);
}

/* Of the vessel where it boils there, else of the amine at the temperature of the stream; unknown of anything else. */
static struct input vapour_pressure(const struct scene *scene, const struct source *source)
{
	struct arena *arena = table_arena(scene->table);
	if (source->boils)
		return scene_input_of(scene, source->vessel, "p_v", source->boils);
	if (!service_is(scene_word_of(scene, source->stream, "service"), SERVICE_CIRCULATED))
		return scene_input_is("p_v", "vapour pressure",
			quantity_unknown(arena, KIND_PRESSURE, "the liquid pumped is not an amine solution"));
	struct stream_solution solution = solvent_of_stream(scene, source->stream, true);
	double pressure = solution.known ? bubble(&solution.state, NULL) : (double)NAN;
	double error = solution.known ? solvent_spread(&solution, bubble, NULL) : 0;
	if (solution.known)
		solvent_weigh(&solution, bubble, NULL, &error);
	return scene_input_is("p_v", "bubble pressure at the suction",
		quantity_computed(arena, KIND_PRESSURE, pressure, error, &formulas[FORMULA_BUBBLE_PRESSURE],
			solution.inputs, solution.count));
}

/* Friction that nobody states is not none: the head is then at most what is left without it. */
static const struct quantity *at_most(
	const struct scene *scene, const struct quantity *computed, const struct input *loss)
{
	if (loss->quantity->known != UNKNOWN || computed->known == UNKNOWN)
		return computed;
	struct quantity *most = arena_alloc(table_arena(scene->table), sizeof *most);
	*most = *computed;
	most->bound = BOUND_BELOW;
	most->reached = true;
	quantity_lacks(most, input_missing(table_arena(scene->table), loss));
	return most;
}

/* Height and friction, which is zero in the head where nobody states it. */
struct height {
	struct input height, loss;
	double head;  /* m */
	size_t count; /* of the two, those that are stated */
};

static struct height height_of(const struct scene *scene)
{
	struct height of = {.height = input_rises(scene_input(scene, "h", "static-head")),
		.loss = input_falls(scene_input(scene, "f", "suction-loss"))};
	bool known = of.loss.quantity->known != UNKNOWN;
	of.head = of.height.quantity->si - (known ? of.loss.quantity->si : 0);
	of.count = known ? 2 : 1;
	return of;
}

/* Over a liquid that boils in its vessel. */
static const struct quantity *by_height(const struct scene *scene)
{
	struct height of = height_of(scene);
	struct input inputs[] = {of.height, of.loss};
	return at_most(scene,
		quantity_computed(table_arena(scene->table), KIND_DISTANCE, of.head, 0,
			&formulas[FORMULA_SUCTION_BY_HEIGHT], inputs, of.count),
		&of.loss);
}

/* Over a liquid that is colder than it boils at in its vessel. */
static const struct quantity *by_vessel(const struct scene *scene, const struct source *source)
{
	struct height of = height_of(scene);
	struct input inputs[] = {input_rises(scene_input_of(scene, source->vessel, "P", "pressure")),
		input_falls(vapour_pressure(scene, source)), scene_input_of(scene, source->stream, "rho", "density"),
		of.height, of.loss};
	double head = suction_head_available(
		inputs[0].quantity->si, inputs[1].quantity->si, inputs[2].quantity->si, of.head, 0);
	double error = (inputs[0].quantity->uncertainty + inputs[1].quantity->uncertainty) /
		(inputs[2].quantity->si * STANDARD_GRAVITY);
	return at_most(scene,
		quantity_computed(table_arena(scene->table), KIND_DISTANCE, head, error,
			&formulas[FORMULA_SUCTION_BY_VESSEL], inputs, 3 + of.count),
		&of.loss);
}

/* By the pressure that is stated at its suction. */
static const struct quantity *by_pressure(const struct scene *scene, const struct source *source)
{
	struct input inputs[] = {input_rises(scene_input(scene, "P", "suction-pressure")),
		input_falls(vapour_pressure(scene, source)), scene_input_of(scene, source->stream, "rho", "density")};
	double weight = inputs[2].quantity->si * STANDARD_GRAVITY;
	return quantity_computed(table_arena(scene->table), KIND_DISTANCE,
		suction_head_available(inputs[0].quantity->si, inputs[1].quantity->si, inputs[2].quantity->si, 0, 0),
		(inputs[0].quantity->uncertainty + inputs[1].quantity->uncertainty) / weight,
		&formulas[FORMULA_SUCTION_BY_PRESSURE], inputs, COUNT(inputs));
}

static void suction_available(const struct scene *scene)
{
	struct source source = source_of(scene);
	bool height =
		scene_get(scene, "static-head") && (source.boils || scene_get_of(scene, source.vessel, "pressure"));
	if (scene_get(scene, "npsh-available"))
		derived_judge_as_stated(scene, "npsh-available", KIND_DISTANCE);
	if (!source.stream || (!height && !scene_get(scene, "suction-pressure")))
		return;
	const struct quantity *head = !height ? by_pressure(scene, &source)
		: source.boils		      ? by_height(scene)
					      : by_vessel(scene, &source);
	bool stated = scene_stated(scene, "npsh-available");
	const char *beside = stated ? "npsh-available-calculated" : "npsh-available";
	if (stated && head->known == UNKNOWN)
		return;
	scene_put(scene, beside, head);
	derived_judge(scene, "npsh-available", CAREFUL_SMALLER, beside, 0);
}

/* ---- head, power, least flow ---- */

static struct input at_pump(const struct scene *scene, const char *symbol, const char *own, const char *reference)
{
	const struct item *stream = table_follow(scene->table, scene->item, scene->operating_case, reference);
	return scene_get(scene, own) || !item_is(stream, "stream") ? scene_input(scene, symbol, own)
								   : scene_input_of(scene, stream, symbol, "pressure");
}

static void head(const struct scene *scene)
{
	struct source source = source_of(scene);
	struct input inputs[] = {input_rises(at_pump(scene, "P_d", "discharge-pressure", "discharge")),
		input_falls(at_pump(scene, "P_s", "suction-pressure", "suction")),
		input_falls(source.stream ? scene_input_of(scene, source.stream, "rho", "density")
					  : scene_input(scene, "rho", "suction"))};
	if (!scene_get(scene, "rated-head") || !source.stream)
		return;
	double weight = inputs[2].quantity->si * STANDARD_GRAVITY;
	double needed = (inputs[0].quantity->si - inputs[1].quantity->si) / weight;
	scene_compute(scene, "head-needed", KIND_DISTANCE, needed,
		(inputs[0].quantity->uncertainty + inputs[1].quantity->uncertainty) / weight +
			needed * relative_uncertainty(inputs[2].quantity),
		FORMULA_HEAD_NEEDED, inputs, COUNT(inputs));
	struct input of[] = {input_rises(scene_input(scene, "x", "head-needed")),
		input_falls(scene_input(scene, "y", "rated-head"))};
	scene_compute(scene, "head-over-rated", KIND_RATIO, of[0].quantity->si / of[1].quantity->si,
		of[0].quantity->uncertainty / of[1].quantity->si, FORMULA_QUOTIENT, of, 2);
}

/* Power and flow are of one pump, and of one case. */
static void efficiency(const struct scene *scene)
{
	const struct quantity *each = scene_get(scene, "flow-each");
	struct input inputs[] = {input_rises(scene_input(scene, "Q", "flow-each")),
		input_rises(at_pump(scene, "P_d", "discharge-pressure", "discharge")),
		input_falls(at_pump(scene, "P_s", "suction-pressure", "suction")),
		input_falls(scene_input(scene, "W", "power"))};
	if (!scene_describes(scene, scene->item, "power") || !scene_get(scene, "power") ||
		(each && each->known != UNKNOWN && each->kind != KIND_LIQUID_FLOW))
		return;
	double rise = inputs[1].quantity->si - inputs[2].quantity->si,
	       share = inputs[0].quantity->si * rise / inputs[3].quantity->si;
	scene_compute(scene, "efficiency", KIND_SHARE, share, share * relative_uncertainty(inputs[0].quantity),
		FORMULA_PUMP_EFFICIENCY, inputs, COUNT(inputs));
}

static void with_recirculation(const struct scene *scene)
{
	const struct quantity *back = scene_get(scene, "recirculation"), *least = scene_get(scene, "minimum-flow");
	struct input inputs[] = {input_rises(scene_input(scene, "r", "flow-over-minimum-judged")),
		input_rises(scene_input(scene, "Q_r", "recirculation")),
		input_falls(scene_input(scene, "Q_min", "minimum-flow"))};
	if (!back || !least || (back->known != UNKNOWN && least->known != UNKNOWN && back->kind != least->kind))
		return;
	scene_compute(scene, "flow-with-recirculation", KIND_RATIO,
		inputs[0].quantity->si + inputs[1].quantity->si / inputs[2].quantity->si,
		inputs[0].quantity->uncertainty, FORMULA_WITH_RECIRCULATION, inputs, COUNT(inputs));
}

/* Of a line that runs full of liquid; vapour rises against it where the number is small. */
static void froude(const struct scene *scene)
{
	const char *place = scene_word_of(scene, scene->item, "place");
	if (!item_is(scene->item, "line") || !text_same(place, "hot lean draw") ||
		!scene_get(scene, "velocity-judged") || !scene_get(scene, "bore-judged"))
		return;
	struct input inputs[] = {input_rises(scene_input(scene, "v", "velocity-judged")),
		input_falls(scene_input(scene, "D", "bore-judged"))};
	double number = suction_froude(inputs[0].quantity->si, inputs[1].quantity->si);
	scene_compute(scene, "froude", KIND_RATIO, number,
		number * (relative_uncertainty(inputs[0].quantity) + relative_uncertainty(inputs[1].quantity) / 2),
		FORMULA_FROUDE, inputs, COUNT(inputs));
}

static void suction_of(const struct scene *scene)
{
	froude(scene);
	if (!item_is(scene->item, "pump"))
		return;
	suction_available(scene);
	head(scene);
	efficiency(scene);
}

static void margin_judged(const struct scene *scene)
{
	struct input inputs[] = {input_rises(scene_input(scene, "x", "npsh-available-judged")),
		input_falls(scene_input(scene, "y", "npsh-required"))};
	if (!scene_get(scene, "npsh-available-judged"))
		return;
	scene_compute(scene, "suction-head-margin-judged", KIND_DISTANCE,
		fmax(inputs[0].quantity->si - inputs[1].quantity->si, 0),
		hypot(inputs[0].quantity->uncertainty, inputs[1].quantity->uncertainty), FORMULA_SUCTION_HEAD, inputs,
		2);
}

static void spare_of(const struct scene *scene)
{
	if (!item_is(scene->item, "pump"))
		return;
	margin_judged(scene);
	with_recirculation(scene);
}

void suction_compute(struct table *table)
{
	scene_each(table, suction_of);
}

void suction_spare(struct table *table)
{
	scene_each(table, spare_of);
}
