#include "compute/upset.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/scene.h"
#include "resolve/equipment.h"

/* K: two temperatures closer than this are one, so that a pump passes its stream on as it is. */
static const double SAME = 2;

double upset_outlet(double upset, double inlet, double outlet, double medium)
{
	double effectiveness = (inlet - outlet) / (inlet - medium);
	return inlet > medium && outlet >= medium && outlet < inlet ? upset - effectiveness * (upset - medium)
								    : (double)NAN;
}

/* ---- what streams reach ---- */

struct reach {
	const struct quantity *temperature; /* NULL: no failure warms it */
	const char *by;
};

struct upsets {
	struct scene scene; /* without item */
	struct items streams;
	struct reach *reach; /* of each stream */
};

static size_t index_of(const struct upsets *upsets, const struct item *stream)
{
	for (size_t i = 0; stream && i < upsets->streams.count; i++)
		if (upsets->streams.rows[i] == stream)
			return i;
	return upsets->streams.count;
}

static const struct item *follow(const struct upsets *upsets, const struct item *item, const char *name)
{
	const struct item *there = table_find(upsets->scene.table, scene_word_of(&upsets->scene, item, name));
	return item_is(there, "stream") ? there : NULL;
}

static const struct quantity *temperature_of(const struct upsets *upsets, const struct item *stream)
{
	const struct quantity *own = scene_get_of(&upsets->scene, stream, "temperature");
	return is_number(own) ? own : NULL;
}

/* Is it warmer than in operation, and than what is known of it already? */
static bool raise_to(struct upsets *upsets, const struct item *stream, const struct quantity *to, const char *by)
{
	size_t at = index_of(upsets, stream);
	const struct quantity *own = temperature_of(upsets, stream);
	if (at == upsets->streams.count || !own || !(to->si > own->si + SAME) ||
		(upsets->reach[at].temperature && upsets->reach[at].temperature->si >= to->si - SAME / 2))
		return false;
	upsets->reach[at] = (struct reach){to, by};
	return true;
}

static const struct quantity *computed(
	const struct upsets *upsets, double si, enum formula_code formula, const struct input *inputs, size_t count)
{
	return quantity_computed(table_arena(upsets->scene.table), KIND_TEMPERATURE, si,
		inputs[0].quantity->uncertainty, &formulas[formula], inputs, count);
}

/* ---- what fails ---- */

static void fail(struct upsets *upsets, const struct item *side)
{
	const struct item *in = follow(upsets, side, "inlet"), *out = follow(upsets, side, "outlet");
	const struct item *exchanger = side->parent;
	if (!item_in(side, CLASS_SIDE) || !temperature_of(upsets, in) || !out)
		return;
	struct input input = input_rises(scene_input_of(&upsets->scene, in, "t_1", "temperature"));
	const char *by = arena_format(table_arena(upsets->scene.table),
		item_is_any(exchanger, "cooler condenser") ? "%s does not cool" : "%s has no flow on its other side",
		exchanger->tag);
	raise_to(upsets, out, computed(upsets, input.quantity->si, FORMULA_OTHER_SIDE_LOST, &input, 1), by);
}

/* ---- where it goes ---- */

static bool cool(struct upsets *upsets, const struct item *side)
{
	const struct item *in = follow(upsets, side, "inlet"), *out = follow(upsets, side, "outlet");
	size_t at = index_of(upsets, in);
	const struct quantity *medium = scene_get_of(&upsets->scene, side->parent, "medium-inlet-temperature");
	if (!item_in(side, CLASS_SIDE) || !item_is_any(side->parent, "cooler condenser") ||
		at == upsets->streams.count || !upsets->reach[at].temperature || !medium || !is_number(medium) || !in ||
		!temperature_of(upsets, out))
		return false;
	const struct scene *scene = &upsets->scene;
	struct input inputs[] = {input_rises(scene_input_is("t_u",
					 arena_format(table_arena(scene->table), "upset temperature of %s", in->tag),
					 upsets->reach[at].temperature)),
		scene_input_of(scene, in, "t_1", "temperature"), scene_input_of(scene, out, "t_2", "temperature"),
		scene_input_of(scene, side->parent, "t_m", "medium-inlet-temperature")};
	double leaves =
		upset_outlet(inputs[0].quantity->si, inputs[1].quantity->si, inputs[2].quantity->si, medium->si);
	return isfinite(leaves) &&
		raise_to(upsets, out, computed(upsets, leaves, FORMULA_COOLER_IN_UPSET, inputs, COUNT(inputs)),
			upsets->reach[at].by);
}

/* What stands in one temperature with a stream: the far end of a pump, the branches of a header. */
static bool pass_on(struct upsets *upsets, const struct item *item)
{
	const struct item *in = follow(upsets, item, item_is(item, "pump") ? "suction" : "from");
	const char *outs = table_word(
		upsets->scene.table, item, upsets->scene.operating_case, item_is(item, "pump") ? "discharge" : "to");
	size_t at = index_of(upsets, in);
	bool more = false;
	if (!item_is_any(item, "pump split") || at == upsets->streams.count || !upsets->reach[at].temperature || !outs)
		return false;
	for (size_t i = 0; i < upsets->streams.count; i++) {
		const struct item *out = upsets->streams.rows[i];
		const struct quantity *after = temperature_of(upsets, out), *before = temperature_of(upsets, in);
		if (out->tag && text_has_word(outs, out->tag) && after && before && fabs(after->si - before->si) < SAME)
			more = raise_to(upsets, out, upsets->reach[at].temperature, upsets->reach[at].by) || more;
	}
	return more;
}

static void spread(struct upsets *upsets)
{
	const struct table *table = upsets->scene.table;
	for (size_t round = 0, more = 1; more && round <= upsets->streams.count; round++) {
		more = 0;
		for (size_t i = 0; i < table_item_count(table); i++) {
			const struct item *item = table_item(table, i);
			more += cool(upsets, item);
			more += pass_on(upsets, item);
		}
	}
}

/* ---- what it meets ---- */

static void put(const struct upsets *upsets, const struct item *item, const struct reach *reach)
{
	struct scene scene = upsets->scene;
	scene.item = item;
	scene_put(&scene, "upset-reach", reach->temperature);
	scene_put_made(&scene, "upset-by",
		quantity_assumed_word(
			table_arena(scene.table), KIND_TEXT, reach->by, "by the failure that warms it most"));
}

/* A pump runs in its suction, unless the stream downstream of a cooler comes from it. */
static const struct item *stream_of_pump(const struct upsets *upsets, const struct item *pump)
{
	const struct item *out = follow(upsets, pump, "discharge"), *in = follow(upsets, pump, "suction");
	bool is_last = out && table_find(upsets->scene.table, scene_word_of(&upsets->scene, out, "from")) == pump;
	return is_last ? out : in ? in : follow(upsets, pump, "stream");
}

static const struct item *stream_through(const struct upsets *upsets, const struct item *item)
{
	if (item_is(item, "stream"))
		return item;
	if (item_is(item, "pump"))
		return stream_of_pump(upsets, item);
	if (item_in(item, CLASS_SIDE))
		return follow(upsets, item, "inlet");
	return item_is_any(item, "line filter carbon-bed") ? follow(upsets, item, "stream") : NULL;
}

/* The drum when its condenser fails: the overhead as it leaves the column. */
static void put_drum(const struct upsets *upsets, const struct item *drum)
{
	const struct item *condenser = table_sole(upsets->scene.table, "condenser");
	const struct item *overhead = condenser ? follow(upsets, condenser, "acid-gas") : NULL;
	if (!condenser || !temperature_of(upsets, overhead))
		return;
	struct input input = input_rises(scene_input_of(&upsets->scene, overhead, "t_1", "temperature"));
	struct reach reach = {computed(upsets, input.quantity->si, FORMULA_OTHER_SIDE_LOST, &input, 1),
		arena_format(table_arena(upsets->scene.table), "%s does not cool", condenser->tag)};
	put(upsets, drum, &reach);
}

/* ---- gas through a letdown valve ---- */

/* K/Pa: natural gas near ambient temperature cools by about half a kelvin for each bar; common practice, no source. */
static const double COOLING_OF_GAS = 0.5e-5;

static void blow_by(struct table *table, const struct item *valve, int operating_case)
{
	struct scene scene = {.table = table, .into = table, .item = valve, .operating_case = operating_case};
	const char *name =
		scene_get_of(&scene, valve->parent, "bottom-temperature") ? "bottom-temperature" : "temperature";
	struct input inputs[] = {input_rises(scene_input_of(&scene, valve->parent, "t_1", name)),
		input_falls(scene_input(&scene, "P_1", "upstream-pressure")),
		input_rises(scene_input(&scene, "P_2", "downstream-pressure"))};
	if (text_same(scene_word_of(&scene, valve, "role"), "letdown"))
		scene_compute(&scene, "blow-by-temperature", KIND_TEMPERATURE,
			inputs[0].quantity->si - COOLING_OF_GAS * (inputs[1].quantity->si - inputs[2].quantity->si), 0,
			FORMULA_GAS_LET_DOWN, inputs, COUNT(inputs));
}

static void of_case(struct table *table, int operating_case)
{
	struct upsets upsets = {.scene = {.table = table, .into = table, .operating_case = operating_case},
		.streams = table_of_kind(table, "stream")};
	upsets.reach = arena_alloc(table_arena(table), (upsets.streams.count + 1) * sizeof *upsets.reach);
	for (size_t i = 0; i < table_item_count(table); i++)
		fail(&upsets, table_item(table, i));
	spread(&upsets);
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		size_t at = index_of(&upsets, stream_through(&upsets, item));
		if (at < upsets.streams.count && upsets.reach[at].temperature)
			put(&upsets, item, &upsets.reach[at]);
		if (item_is(item, "valve"))
			blow_by(table, item, operating_case);
		if (item_is(item, "reflux-drum") && table_of_kind(table, "reflux-drum").count == 1)
			put_drum(&upsets, item);
	}
}

void upset_compute(struct table *table)
{
	for (int c = EVERY_CASE; c < (int)table_case_count(table); c++)
		of_case(table, c);
}
