#include "compute/holdup.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/derived.h"
#include "compute/solvent_salts.h"
#include "resolve/equipment.h"

static const double PI = 3.14159265358979323846;
static const double MOLAR_MASS_SODA = 0.105988; /* kg/mol of Na2CO3, IUPAC 2021 atomic weights */

static const struct item *stream_of(const struct scene *scene, const char *reference)
{
	const struct quantity *named = scene_get(scene, reference);
	const struct item *stream =
		named && named->kind == KIND_REFERENCE ? table_find(scene->table, named->word) : NULL;
	return item_is(stream, "stream") ? stream : NULL;
}

/* ---- vessels ---- */

/* How a kind is built where nobody says, and the streams by which its liquid leaves, the first that is named. */
static const struct holder {
	const char *kind;
	bool vertical;
	enum heads heads;
	const char *outlets[2];
} holders[] = {
	{"flash-drum", false, HEADS_ELLIPTICAL, {"rich-outlet", "rich"}},
	{"reflux-drum", false, HEADS_ELLIPTICAL, {"reflux", NULL}},
	{"tank", true, HEADS_FLAT, {"stream", NULL}},
	{"sump", true, HEADS_FLAT, {NULL, NULL}},
	{"vessel", true, HEADS_ELLIPTICAL, {"stream", NULL}},
	{"absorber", true, HEADS_ELLIPTICAL, {"rich", NULL}},
	{"regenerator", true, HEADS_ELLIPTICAL, {"lean", NULL}},
};

static const struct holder *holder_of(const struct item *item)
{
	for (size_t i = 0; i < COUNT(holders); i++)
		if (item_is(item, holders[i].kind))
			return &holders[i];
	return NULL;
}

static bool is_tower(const struct item *item)
{
	return item_in(item, CLASS_TOWER);
}

static const char *const head_words[] = {[HEADS_ELLIPTICAL] = "2:1 elliptical",
	[HEADS_TORISPHERICAL] = "torispherical",
	[HEADS_HEMISPHERICAL] = "hemispherical",
	[HEADS_FLAT] = "flat",
	[HEADS_CONICAL] = "conical"};

/* What a vessel is long between its tangent lines, as its kind calls it. */
static const char *length_name(const struct item *item)
{
	return item_is_any(item, "absorber regenerator tank") ? "height" : "length";
}

/* A word of the item, else the one assumed; `*input` gets whichever it is. */
static bool word_is(const struct scene *scene, struct input *input, const char *assumed, const char *word)
{
	const char *own = table_word(scene->table, scene->item, scene->operating_case, input_property(input));
	if (!own)
		input->quantity = quantity_assumed_word(
			table_arena(scene->table), KIND_WORD, assumed, "not stated: usual for such a vessel");
	return strcmp(own ? own : assumed, word) == 0;
}

/* The vessel with its words and sizes as inputs: orientation, heads, diameter, length. */
static struct vessel shape(const struct scene *scene, const struct holder *holder, struct input inputs[4])
{
	struct vessel vessel = {.heads = holder->heads};
	inputs[0] = scene_input(scene, "orientation", "orientation");
	inputs[1] = scene_input(scene, "heads", "heads");
	inputs[2] = input_rises(scene_input(scene, "D", "diameter"));
	inputs[3] = input_rises(scene_input(scene, "L", length_name(scene->item)));
	vessel.vertical = word_is(scene, &inputs[0], holder->vertical ? "vertical" : "horizontal", "vertical");
	for (size_t i = 0; i < COUNT(head_words); i++)
		if (word_is(scene, &inputs[1], head_words[holder->heads], head_words[i]))
			vessel.heads = (enum heads)i;
	vessel.diameter = inputs[2].quantity->si;
	vessel.length = inputs[3].quantity->si;
	return vessel;
}

bool holdup_shape(const struct scene *scene, struct vessel *vessel, struct input inputs[4])
{
	const struct holder *holder = holder_of(scene->item);
	if (!holder || item_is(scene->item, "sump"))
		return false;
	*vessel = shape(scene, holder, inputs);
	return true;
}

/* Of the bottom of a tower only a stated level tells; of a drum half is taken where no level is stated. */
static struct input level_of(const struct scene *scene)
{
	struct input level = input_rises(scene_input(scene, "h", "level"));
	const struct quantity *stated = scene_get(scene, "level");
	if (!stated && !is_tower(scene->item))
		level.quantity = quantity_assumed(table_arena(scene->table), KIND_SHARE, 0.5, 0.3,
			"no level is stated: half full, for screening");
	return level;
}

/* `open`, m3: what is left open by a level or heads that nobody states. */
static const struct quantity *held(const struct scene *scene, double volume, double error, enum formula_code formula,
	const struct input *inputs, size_t count, double open)
{
	return derived_put(scene, "liquid-volume", CAREFUL_NEITHER,
		quantity_computed(
			table_arena(scene->table), KIND_VOLUME, volume, error, &formulas[formula], inputs, count),
		open);
}

/* In the bottom of a tower, by a level in m: its height does not count. */
static void held_in_tower(const struct scene *scene, const struct holder *holder)
{
	struct input inputs[5];
	struct vessel vessel = shape(scene, holder, inputs);
	struct input level = level_of(scene);
	if (level.quantity->kind == KIND_SHARE)
		return; /* of a span that nobody states */
	inputs[3] = level;
	vessel.length = vessel.diameter + 2 * level.quantity->si;
	double volume = vessel_liquid(&vessel, level.quantity->si);
	held(scene, volume, 0, FORMULA_LIQUID_HELD, inputs, 4, 0);
}

static void held_in_drum(const struct scene *scene, const struct holder *holder)
{
	struct input inputs[5];
	struct vessel vessel = shape(scene, holder, inputs);
	inputs[4] = level_of(scene);
	const struct quantity *level = inputs[4].quantity;
	double unit = level->kind == KIND_SHARE ? vessel_height(&vessel) : 1;
	double volume = vessel_liquid(&vessel, level->si * unit);
	double more = vessel_liquid(&vessel, (level->si + level->uncertainty) * unit);
	double open = level->known == ASSUMED ? volume : 0;
	struct vessel straight = vessel;
	straight.heads = HEADS_FLAT;
	if (inputs[1].quantity->known == ASSUMED) /* many state what the shell holds between its tangent lines */
		open = fmax(open, volume - vessel_liquid(&straight, level->si * unit));
	if (item_is_any(scene->item, "tank vessel")) {
		vessel.vertical = false; /* full, both heads count */
		derived_compute(scene, "volume", CAREFUL_NEITHER, KIND_VOLUME, vessel_liquid(&vessel, vessel.diameter),
			0, FORMULA_VESSEL_VOLUME, inputs, 4);
	}
	held(scene, volume, more - volume, FORMULA_LIQUID_HELD, inputs, 5, open);
}

/* Of its whole volume, where no dimensions are stated. */
static void held_of_volume(const struct scene *scene)
{
	struct input inputs[] = {input_rises(scene_input(scene, "V_t", "volume")), level_of(scene)};
	const struct quantity *level = inputs[1].quantity;
	if (level->kind == KIND_SHARE)
		held(scene, inputs[0].quantity->si * level->si, inputs[0].quantity->si * level->uncertainty,
			FORMULA_LIQUID_OF_VOLUME, inputs, 2,
			level->known == ASSUMED ? inputs[0].quantity->si * level->si : 0);
}

/* A sump of stated orientation whose cross section is as wide one way as the other is a drum, without its heads. */
static bool is_round_sump(const struct scene *scene, bool *vertical)
{
	const double same = 0.01;
	const char *orientation = scene_word_of(scene, scene->item, "orientation");
	const struct quantity *width = scene_get(scene, "width");
	*vertical = text_same(orientation, "vertical");
	const struct quantity *across = scene_get(scene, *vertical ? "length" : "depth");
	return orientation && is_number(width) && is_number(across) && fabs(width->si - across->si) <= same * width->si;
}

static void held_in_round_sump(const struct scene *scene, bool vertical)
{
	struct input inputs[] = {scene_input(scene, "orientation", "orientation"),
		input_rises(scene_input(scene, "D", "width")),
		input_rises(scene_input(scene, "L", vertical ? "depth" : "length")), level_of(scene)};
	struct vessel vessel = {.vertical = vertical,
		.heads = HEADS_FLAT,
		.diameter = inputs[1].quantity->si,
		.length = inputs[2].quantity->si};
	const struct quantity *level = inputs[3].quantity;
	double unit = level->kind == KIND_SHARE ? vessel_height(&vessel) : 1;
	double volume = vessel_liquid(&vessel, level->si * unit);
	double more = vessel_liquid(&vessel, (level->si + level->uncertainty) * unit);
	derived_compute(scene, "volume", CAREFUL_NEITHER, KIND_VOLUME, vessel_liquid(&vessel, vessel_height(&vessel)),
		0, FORMULA_ROUND_SUMP_VOLUME, inputs + 1, 2);
	held(scene, volume, more - volume, FORMULA_LIQUID_IN_ROUND_SUMP, inputs, 4,
		level->known == ASSUMED ? volume : 0);
}

/* A sump is a pit with straight walls. */
static void held_in_pit(const struct scene *scene)
{
	struct input inputs[] = {input_rises(scene_input(scene, "L", "length")),
		input_rises(scene_input(scene, "w", "width")), input_rises(scene_input(scene, "d", "depth")),
		level_of(scene)};
	const struct quantity *level = inputs[3].quantity;
	double area = inputs[0].quantity->si * inputs[1].quantity->si, depth = inputs[2].quantity->si;
	double unit = level->kind == KIND_SHARE ? depth : 1, high = fmin(level->si * unit, depth);
	derived_compute(scene, "volume", CAREFUL_NEITHER, KIND_VOLUME, area * depth, 0, FORMULA_PIT_VOLUME, inputs, 3);
	held(scene, area * high, area * level->uncertainty * unit, FORMULA_LIQUID_IN_PIT, inputs, 4,
		level->known == ASSUMED ? area * high : 0);
}

static void volume(const struct scene *scene, const struct holder *holder)
{
	bool vertical;
	if (is_tower(scene->item)) {
		if (scene_get(scene, "level") && scene_get(scene, "diameter"))
			held_in_tower(scene, holder);
	} else if (item_is(scene->item, "sump") && is_round_sump(scene, &vertical)) {
		held_in_round_sump(scene, vertical);
	} else if (item_is(scene->item, "sump") && scene_get(scene, "width")) {
		held_in_pit(scene);
	} else if (scene_get(scene, "diameter") && scene_get(scene, length_name(scene->item))) {
		held_in_drum(scene, holder);
	} else if (scene_stated(scene, "volume")) {
		held_of_volume(scene);
	}
}

static const struct item *outlet_of(const struct scene *scene, const struct holder *holder)
{
	const struct item *first = holder->outlets[0] ? stream_of(scene, holder->outlets[0]) : NULL;
	return first || !holder->outlets[1] ? first : stream_of(scene, holder->outlets[1]);
}

/* By the size of the vessel where a level is stated and that makes less than the volume stated. */
static struct input held_in(const struct scene *scene)
{
	const struct quantity *stated = scene_get(scene, "liquid-volume"),
			      *sized = scene_get(scene, "liquid-volume-calculated");
	bool less = is_number(stated) && is_number(sized) && scene_stated(scene, "liquid-volume") &&
		scene_stated(scene, "level") && sized->si < stated->si;
	return input_rises(scene_input(scene, "V", less ? "liquid-volume-calculated" : "liquid-volume"));
}

static bool is_half_full(const struct quantity *volume)
{
	for (size_t i = 0; i < volume->input_count; i++)
		if (strcmp(volume->inputs[i].symbol, "h") == 0 && volume->inputs[i].quantity->known == ASSUMED)
			return true;
	return false;
}

/*
 * How much shorter the time is by what the shell holds between its tangent lines, as many state it, where the time stated is
 * that; no more than makes it the stated one, since nobody counts heads twice.
 */
static double without_heads(
	const struct scene *scene, const struct holder *holder, const struct quantity *volume, double time)
{
	const struct quantity *stated = scene_get(scene, "residence-time"), *level = scene_get(scene, "level");
	const double same = 0.15; /* as much as the rule on stated values allows */
	bool sized = volume->formula == &formulas[FORMULA_LIQUID_HELD];
	if (!sized || is_tower(scene->item) || !is_number(stated) || !is_number(level))
		return 0;
	struct input inputs[4];
	struct vessel vessel = shape(scene, holder, inputs);
	double high = level->si * (level->kind == KIND_SHARE ? vessel_height(&vessel) : 1);
	double whole = vessel_liquid(&vessel, high);
	vessel.heads = HEADS_FLAT;
	double straight = time * vessel_liquid(&vessel, high) / whole;
	return stated->si >= straight * (1 - same) ? fmax(0, fmin(time - straight, time - stated->si)) : 0;
}

/* What leaves over the weir of a reboiler is drawn from that, not from the bottom of the column. */
static bool leaves_reboiler(const struct scene *scene, const struct item *stream)
{
	return item_is(table_follow(scene->table, stream, scene->operating_case, "from"), "reboiler");
}

/* The time liquid has to give off gas, let hydrocarbon rise, or last when the feed fails. */
static void residence(const struct scene *scene, const struct holder *holder)
{
	const struct item *stream = outlet_of(scene, holder);
	if (!stream || leaves_reboiler(scene, stream) || !scene_get(scene, "liquid-volume")) {
		derived_judge_as_stated(scene, "residence-time", KIND_DURATION);
		return;
	}
	struct input inputs[] = {held_in(scene), input_falls(scene_input_of(scene, stream, "Q", "volume-flow"))};
	double time = inputs[0].quantity->si / inputs[1].quantity->si;
	derived_put(scene, "residence-time", CAREFUL_SMALLER,
		quantity_computed(table_arena(scene->table), KIND_DURATION, time, time * derived_error(inputs, 2),
			&formulas[FORMULA_RESIDENCE], inputs, 2),
		is_half_full(inputs[0].quantity) ? time : without_heads(scene, holder, inputs[0].quantity, time));
}

/* ---- carbon, filters ---- */

/* By the stated volume of the bed, or by its diameter and depth where they make less. */
static void contact_by_volume(const struct scene *scene, double sized, const struct input *of_bed)
{
	if (inputs_known(of_bed + 1, 2))
		derived_compute(
			scene, "volume", CAREFUL_SMALLER, KIND_VOLUME, sized, 0, FORMULA_BED_VOLUME, of_bed + 1, 2);
	else
		derived_judge_as_stated(scene, "volume", KIND_VOLUME);
	struct input inputs[] = {input_rises(scene_input(scene, "V", "volume-judged")), input_falls(of_bed[0])};
	double time = inputs[0].quantity->si / inputs[1].quantity->si;
	derived_compute(scene, "contact-time", CAREFUL_SMALLER, KIND_DURATION, time,
		time * derived_error(inputs + 1, 1), FORMULA_RESIDENCE, inputs, 2);
}

static void carbon_bed(const struct scene *scene)
{
	struct input inputs[] = {input_rises(scene_input(scene, "Q", "flow")),
		input_falls(scene_input(scene, "D", "diameter")), input_rises(scene_input(scene, "h", "depth"))};
	double flow = inputs[0].quantity->si, diameter = inputs[1].quantity->si;
	double area = PI * diameter * diameter / 4;
	derived_compute(scene, "flux", CAREFUL_LARGER, KIND_SURFACE_FLOW, flow / area,
		flow / area * derived_error(inputs, 1), FORMULA_BED_FLUX, inputs, 2);
	if (scene_stated(scene, "volume")) {
		contact_by_volume(scene, area * inputs[2].quantity->si, inputs);
		return;
	}
	double time = area * inputs[2].quantity->si / flow;
	inputs[0] = input_falls(inputs[0]);
	inputs[1] = input_rises(inputs[1]);
	derived_compute(scene, "contact-time", CAREFUL_SMALLER, KIND_DURATION, time, time * derived_error(inputs, 1),
		FORMULA_BED_CONTACT, inputs, 3);
}

/* The stream that this one is drawn from, by itself or by a split; NULL: none is named. */
static const struct item *drawn_from(const struct scene *scene, const struct item *stream)
{
	struct items splits = table_of_kind(scene->table, "split");
	const struct item *source = table_follow(scene->table, stream, scene->operating_case, "from");
	for (size_t i = 0; !item_is(source, "stream") && i < splits.count; i++) {
		const char *branches = scene_word_of(scene, splits.rows[i], "to");
		if (branches && stream->tag && text_has_word(branches, stream->tag))
			source = table_follow(scene->table, splits.rows[i], scene->operating_case, "from");
	}
	return item_is(source, "stream") ? source : NULL;
}

const struct item *holdup_circulation(const struct scene *scene, const struct item *stream)
{
	enum { STREAMS_UPSTREAM = 4 }; /* so far a slip stream is followed back: what circles ends, too */

	static const double same = 0.1; /* of the share: what rounding and the margin of a slip stream leave open */
	const struct quantity *share = scene_get(scene, "slip"), *own = scene_get_of(scene, stream, "mass-flow");
	if (!scene_stated(scene, "slip") || !is_number(share) || !is_number(own))
		return stream;
	const struct item *source = drawn_from(scene, stream);
	for (int i = 0; source && i < STREAMS_UPSTREAM; i++, source = drawn_from(scene, source)) {
		const struct quantity *whole = scene_get_of(scene, source, "mass-flow");
		if (is_number(whole) && fabs(own->si - share->si * whole->si) <= same * own->si)
			return source;
	}
	return stream;
}

/* The share of the circulation that a filter, a bed or a reclaimer takes, and its flow where only the share is stated. */
static void slip_of_flow(const struct scene *scene, const struct item *stream)
{
	const struct quantity *flow = scene_get(scene, "flow");
	struct input inputs[] = {input_rises(scene_input(scene, "q", "flow")),
		input_falls(scene_input_of(
			scene, stream, "Q", flow->kind == KIND_MASS_FLOW ? "mass-flow" : "volume-flow"))};
	double share = inputs[0].quantity->si / inputs[1].quantity->si;
	derived_compute(scene, "slip", CAREFUL_SMALLER, KIND_SHARE, share, share * derived_error(inputs, 2),
		FORMULA_SLIP, inputs, 2);
}

static void flow_of_slip(const struct scene *scene, const struct item *stream)
{
	struct input inputs[] = {input_rises(scene_input(scene, "s", "slip")),
		input_rises(scene_input_of(scene, stream, "Q", "volume-flow"))};
	double flow = inputs[0].quantity->si * inputs[1].quantity->si;
	scene_compute(
		scene, "flow", KIND_LIQUID_FLOW, flow, flow * derived_error(inputs, 2), FORMULA_SLIP_FLOW, inputs, 2);
}

static void slip(const struct scene *scene)
{
	if (!item_in(scene->item, CLASS_SIDE_STREAM))
		return;
	const struct item *stream = stream_of(scene, "stream");
	bool flow = scene_get(scene, "flow") && scene_stated(scene, "flow"), share = scene_stated(scene, "slip");
	derived_judge_as_stated(scene, "slip", KIND_SHARE);
	if (stream && flow)
		slip_of_flow(scene, holdup_circulation(scene, stream));
	else if (stream && share)
		flow_of_slip(scene, holdup_circulation(scene, stream));
}

/* One mole of soda frees two of bound amine: what the salts of the charge need, and what it is given. */
static void soda(const struct scene *scene)
{
	struct solvent_ions ions = solvent_ions(scene);
	struct input *inputs = arena_alloc(table_arena(scene->table), (ions.count + 3) * sizeof *inputs);
	const struct item *solvent = table_sole(scene->table, "solvent");
	size_t count = 2;
	double net = 0, error = 0; /* eq in a kilogram of solution */

	if (!scene_get(scene, "soda-dose") || !solvent)
		return;
	inputs[0] = input_rises(scene_input(scene, "m", "soda-dose"));
	inputs[1] = input_falls(scene_input(scene, "m_c", "charge"));
	for (size_t i = 0; i < ions.count; i++) {
		const struct ion_part *part = &ions.parts[i];
		inputs[count++] = part->equivalents < 0 ? input_rises(part->input) : input_falls(part->input);
		net += part->equivalents;
		error += part->uncertainty;
	}
	if (ions.count == 0) /* nothing is said of salts: their analysis is asked for */
		inputs[count++] = scene_input_of(scene, solvent, "e", "bound-amine");
	double needed = inputs[1].quantity->si * net / 2 * MOLAR_MASS_SODA;
	double ratio = needed > 0 ? inputs[0].quantity->si / needed : (double)NAN;
	scene_compute(scene, "soda-over-need", KIND_RATIO, ratio, ratio * (derived_error(inputs, 2) + error / net),
		FORMULA_SODA, inputs, count);
}

static void of_item(const struct scene *scene)
{
	const struct holder *holder = holder_of(scene->item);
	slip(scene);
	if (holder) {
		volume(scene, holder);
		residence(scene, holder);
	}
	if (item_is(scene->item, "carbon-bed"))
		carbon_bed(scene);
	else if (item_is(scene->item, "reclaimer"))
		soda(scene);
}

void holdup_compute(struct table *table)
{
	scene_each(table, of_item);
}
