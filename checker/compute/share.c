#include "compute/share.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/derived.h"
#include "compute/streams.h"
#include "resolve/equipment.h"

/* Density of water at 15 degC, which flow coefficients are measured with: IEC 60534-1, from memory; kg/m3. */
static const double REFERENCE_WATER = 999.1;

/* ---- shares ---- */

/* Of several in use and of whose shares nobody speaks each takes the same. */
static void share_of_one(const struct scene *scene)
{
	const struct quantity *count = scene_get(scene, "in-use");
	if (scene_stated(scene, "flow-share") || !is_number(count) || !(count->si > 0) ||
		item_is(scene->item, "relief-valve"))
		return;
	struct input input = input_falls(scene_input(scene, "n", "in-use"));
	scene_compute(scene, "flow-share", KIND_SHARE, 1 / count->si, 0, FORMULA_EQUAL_SHARE, &input, 1);
}

/* A side, and a nozzle of either, takes what the item takes that it is in. */
static void share_of_part(const struct scene *scene)
{
	const struct item *holder = scene->item->parent;
	bool shares = carries_flow(scene->item) && holder && !item_is(holder, "unit") && !item_is(scene->item, "line");
	if (shares && !scene_stated(scene, "flow-share") && scene_get_of(scene, holder, "flow-share"))
		scene_take(scene, "flow-share", holder, "flow-share");
}

static void tubes_open(const struct scene *scene)
{
	if (!item_is(scene->item, "tube-side") || !scene_get(scene, "tubes-plugged"))
		return;
	struct input inputs[] = {input_rises(scene_input(scene, "N_t", "tubes")),
		input_falls(scene_input(scene, "N_p", "tubes-plugged"))};
	scene_compute(scene, "tubes-open", KIND_COUNT, inputs[0].quantity->si - inputs[1].quantity->si, 0,
		FORMULA_TUBES_OPEN, inputs, 2);
	double share = inputs[1].quantity->si / inputs[0].quantity->si;
	struct input of[] = {input_rises(inputs[1]), input_falls(inputs[0])};
	scene_compute(scene, "plugged-share", KIND_SHARE, share, 0, FORMULA_PLUGGED, of, 2);
}

static void of_item(const struct scene *scene)
{
	share_of_one(scene);
	share_of_part(scene); /* what holds a part comes before it */
	tubes_open(scene);
}

void share_compute(struct table *table)
{
	scene_each(table, of_item);
}

void share_take(const struct scene *scene, const struct item *stream, const char *name)
{
	struct input inputs[] = {input_rises(scene_input(scene, "s", "flow-share")),
		input_rises(scene_input_of(scene, stream, "Q", name))};
	const struct quantity *flow = scene_get_of(scene, stream, name);
	if (!flow)
		return;
	if (stream == scene->item->parent || !scene_get(scene, "flow-share")) {
		scene_take(scene, name, stream, name);
		return;
	}
	double share = inputs[0].quantity->si, part = share * flow->si;
	scene_compute(scene, name, flow->kind, part,
		share * flow->uncertainty + flow->si * inputs[0].quantity->uncertainty, FORMULA_SHARE_OF_FLOW, inputs,
		2);
}

/* ---- pumps ---- */

static const struct item *moved_by(const struct scene *scene)
{
	static const char *const references[] = {"stream", "discharge", "suction"};
	for (size_t i = 0; i < COUNT(references); i++) {
		const struct item *stream =
			table_follow(scene->table, scene->item, scene->operating_case, references[i]);
		if (item_is(stream, "stream"))
			return stream;
	}
	return NULL;
}

bool share_of_sole_pump(const struct scene *scene, const struct quantity *like, struct input *flow)
{
	const struct item *stream = moved_by(scene);
	struct items pumps = table_of_kind(scene->table, "pump");
	bool by_mass = like->kind == KIND_MASS_FLOW;
	if (!stream || !scene_stated(scene, "flow"))
		return false;
	for (size_t i = 0; i < pumps.count; i++) {
		struct scene other = *scene;
		other.item = pumps.rows[i];
		if (other.item != scene->item && moved_by(&other) == stream)
			return false;
	}
	*flow = scene_input_of(scene, stream, "Q", by_mass ? "mass-flow" : "volume-flow");
	if (!scene_get(scene, "flow-share"))
		return true;
	struct input inputs[] = {input_rises(scene_input(scene, "s", "flow-share")), input_rises(*flow)};
	double share = inputs[0].quantity->si;
	*flow = scene_input_is("Q", "share of the stream",
		quantity_computed(table_arena(scene->table), by_mass ? KIND_MASS_FLOW : KIND_LIQUID_FLOW,
			share * inputs[1].quantity->si, share * inputs[1].quantity->uncertainty,
			&formulas[FORMULA_SHARE_OF_FLOW], inputs, 2));
	return true;
}

static void over_rated(const struct scene *scene, const char *name, struct input flow)
{
	struct input inputs[] = {input_rises(flow), input_falls(scene_input(scene, "Q_r", "rated-flow"))};
	double ratio = inputs[0].quantity->si / inputs[1].quantity->si;
	scene_compute(scene, name, KIND_RATIO, ratio, ratio * relative_uncertainty(inputs[0].quantity),
		FORMULA_OVER_RATED, inputs, 2);
}

/* By volume or by mass, as the rated flow is. What the pump states as its flow is that of one. */
static void pump(const struct scene *scene)
{
	const struct quantity *rated = scene_get(scene, "rated-flow"), *own = scene_get(scene, "flow");
	const struct item *stream = moved_by(scene);
	bool by_mass = rated && rated->kind == KIND_MASS_FLOW;
	struct scene here = *scene;
	if (own && (!rated || own->kind == rated->kind))
		scene_take(scene, "flow-each", scene->item, "flow");
	else if (stream && scene_get(scene, "flow-share")) {
		struct input inputs[] = {input_rises(scene_input(scene, "s", "flow-share")),
			input_rises(scene_input_of(scene, stream, "Q", by_mass ? "mass-flow" : "volume-flow"))};
		double part = inputs[0].quantity->si * inputs[1].quantity->si;
		scene_compute(&here, "flow-each", by_mass ? KIND_MASS_FLOW : KIND_LIQUID_FLOW, part,
			inputs[0].quantity->si * inputs[1].quantity->uncertainty, FORMULA_SHARE_OF_FLOW, inputs, 2);
	} else if (stream && rated)
		scene_take(scene, "flow-each", stream, by_mass ? "mass-flow" : "volume-flow");
	const struct quantity *each = scene_get(scene, "flow-each");
	if (!rated || !each || (each->known != UNKNOWN && rated->known != UNKNOWN && each->kind != rated->kind))
		return;
	over_rated(scene, "flow-over-rated", scene_input(scene, "Q", "flow-each"));
	derived_judge_as_stated(scene, "flow-over-rated", KIND_RATIO);
	struct input by_stream;
	if (!share_of_sole_pump(scene, rated, &by_stream))
		return;
	over_rated(scene, "flow-over-rated-by-stream", by_stream);
	derived_judge(scene, "flow-over-rated", CAREFUL_LARGER, "flow-over-rated-by-stream", 0);
}

/* ---- valves ---- */

/* Its own flow, else that of the line it is in, by volume and with that line's density. */
static void coefficient_needed(const struct scene *scene)
{
	const struct item *line = scene->item->parent;
	bool in_line = item_is(line, "line");
	struct input flow = scene_get(scene, "flow") ? scene_input(scene, "Q", "flow")
		: in_line			     ? scene_input_of(scene, line, "Q", "volume-flow")
						     : scene_input(scene, "Q", "flow");
	struct input inputs[] = {input_rises(flow),
		input_rises(
			in_line ? scene_input_of(scene, line, "rho", "density") : scene_input(scene, "rho", "density")),
		input_falls(scene_input(scene, "P1", "upstream-pressure")),
		input_rises(scene_input(scene, "P2", "downstream-pressure"))};
	if (!in_line || (inputs_known(inputs, 1) && flow.quantity->kind != KIND_LIQUID_FLOW))
		return;
	double drop = inputs[2].quantity->si - inputs[3].quantity->si;
	double needed =
		drop > 0 ? flow.quantity->si * sqrt(inputs[1].quantity->si / REFERENCE_WATER / drop) : (double)NAN;
	if (inputs_known(inputs, 4) && !(drop > 0))
		return;
	scene_compute(scene, "cv-needed", KIND_FLOW_COEFFICIENT, needed,
		needed *
			(relative_uncertainty(flow.quantity) + relative_uncertainty(inputs[1].quantity) / 2 +
				(inputs[2].quantity->uncertainty + inputs[3].quantity->uncertainty) / drop / 2),
		FORMULA_CV_NEEDED, inputs, 4);
	struct input of[] = {
		input_rises(scene_input(scene, "x", "cv-needed")), input_falls(scene_input(scene, "y", "cv"))};
	double used = of[0].quantity->si / of[1].quantity->si;
	scene_compute(scene, "cv-used", KIND_RATIO, used, used * relative_uncertainty(of[0].quantity), FORMULA_QUOTIENT,
		of, 2);
}

static void valve(const struct scene *scene)
{
	if (scene_get(scene, "cv"))
		coefficient_needed(scene);
	if (!scene_get(scene, "relief-cv"))
		return;
	struct input inputs[] = {
		input_rises(scene_input(scene, "x", "cv")), input_falls(scene_input(scene, "y", "relief-cv"))};
	scene_compute(scene, "cv-over-relief", KIND_RATIO, inputs[0].quantity->si / inputs[1].quantity->si, 0,
		FORMULA_QUOTIENT, inputs, 2);
}

static void capacity_of(const struct scene *scene)
{
	if (item_is(scene->item, "pump"))
		pump(scene);
	else if (item_is(scene->item, "valve"))
		valve(scene);
}

void capacity_compute(struct table *table)
{
	scene_each(table, capacity_of);
}
