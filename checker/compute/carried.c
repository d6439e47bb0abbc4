#include "compute/carried.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/discrepancy.h"
#include "compute/holdup.h"
#include "compute/restated.h"
#include "compute/streams.h"
#include "resolve/equipment.h"

/*
 * What two places of one line or side may differ by for other reasons than a slip: friction and height, heat lost. Common practice,
 * no source. A pressure: the larger of the two, Pa and share.
 */
static const double PRESSURE_ALONG = 1e5, PRESSURE_SHARE_ALONG = 0.1, TEMPERATURE_ALONG = 3;

static struct scene in_case(struct table *table, const struct item *item, int operating_case)
{
	return (struct scene){.table = table, .into = table, .item = item, .operating_case = operating_case};
}

/* The value that an item states itself in a case, not what it has from what it is part of; NULL: none. */
static const struct quantity *own_value(const struct scene *scene, const char *name)
{
	const struct quantity *value = table_stated(scene->table, scene->item, scene->operating_case, name);
	const struct item *parent = scene->item->parent;

	return value && value->known == STATED &&
			!(parent && table_stated(scene->table, parent, scene->operating_case, name) == value)
		? value
		: NULL;
}

/* Is there something new to compare: the first case, and every case that the item states by name? */
static bool is_first_or_stated(const struct scene *scene, const char *name)
{
	return scene->operating_case == 0 ||
		own_value(scene, name) != table_stated(scene->table, scene->item, EVERY_CASE, name);
}

static struct meeting meeting_with(const struct scene *scene, const char *name, const struct quantity *own,
	const struct item *stream, const struct quantity *there)
{
	bool gas = item_is(stream, "gas") ||
		text_same(table_word(scene->table, stream, scene->operating_case, "phase"), "gas");
	struct meeting meeting = {.item = scene->item,
		.quantity = name,
		.operating_case = table_stated(scene->table, scene->item, EVERY_CASE, name) == own
			? EVERY_CASE
			: scene->operating_case,
		.used = side_of(scene->item, name, own),
		.other = side_of(stream, name, there),
		.through = "",
		.why = "it is the item's own",
		.sorts = slips_of_kind(own->kind, gas)};

	meeting.one_document = same_document(&meeting.used, &meeting.other);
	return meeting;
}

/* The title of the only case that the figures are of; "" of all. */
static const char *title_of(const struct scene *scene)
{
	return table_case_count(scene->table) > 1 ? table_case(scene->table, scene->operating_case)->title : "";
}

/* ---- temperature, pressure, service ---- */

/* The hotter of what enters and leaves, with the item it is of. */
static const struct quantity *hottest(const struct scene *scene, const struct item **of)
{
	const struct quantity *found = NULL;

	size_t at = 0;
	for (size_t i = 0; i < 2; i++) {
		const struct item *stream = stream_next(scene, &at);
		const struct quantity *here = stream ? scene_get_of(scene, stream, "temperature") : NULL;
		if (here && is_number(here) && (!found || here->si > found->si)) {
			found = here;
			*of = stream;
		}
	}
	return found;
}

/* A line list prints one temperature, often that of the hottest case. */
static bool is_of_hottest_case(const struct scene *scene, const struct meeting *meeting)
{
	struct meeting other = *meeting;

	for (int c = 1; c < (int)table_case_count(scene->table); c++) {
		struct scene there = in_case(scene->into, scene->item, c);
		const struct item *stream = NULL;
		const struct quantity *hot = hottest(&there, &stream);
		if (hot && (hot->si > other.other.si || hot->si > meeting->used.si))
			other.other = side_of(stream, "temperature", hot);
	}
	other.one_document = same_document(&other.used, &other.other);
	return meeting_agrees(&other) == YES;
}

static void compare_temperature(const struct scene *scene)
{
	const struct quantity *own = own_value(scene, "temperature");
	const struct item *stream = NULL;
	const struct quantity *there = hottest(scene, &stream);

	if (!own || !there || !is_first_or_stated(scene, "temperature"))
		return;
	struct meeting meeting = meeting_with(scene, "temperature", own, stream, there);
	meeting.allowed = TEMPERATURE_ALONG;
	meeting_read(scene->table, &meeting);
	if (meeting_agrees(&meeting) == NO && !(own->si > there->si && is_of_hottest_case(scene, &meeting)))
		meeting_put(scene->into, &meeting, title_of(scene), NULL);
}

/* What a side states of one end beside the stream that it names there. */
static void compare_end(const struct scene *scene, const char *end, const char *name, const char *there)
{
	const struct quantity *own = own_value(scene, name);
	const struct item *stream = own ? table_follow(scene->table, scene->item, scene->operating_case, end) : NULL;
	const struct quantity *of_stream = stream ? scene_get_of(scene, stream, there) : NULL;

	if (!own || !is_number(of_stream) || !is_number(own) || !is_first_or_stated(scene, name))
		return;
	struct meeting meeting = meeting_with(scene, name, own, stream, of_stream);
	meeting.other = side_of(stream, there, of_stream);
	if (own->kind == KIND_TEMPERATURE)
		meeting.allowed = TEMPERATURE_ALONG;
	else
		meeting.allowed = fmax(PRESSURE_ALONG, PRESSURE_SHARE_ALONG * fmax(own->si, of_stream->si));
	meeting_read(scene->table, &meeting);
	if (meeting_agrees(&meeting) == NO)
		meeting_put(scene->into, &meeting, title_of(scene), NULL);
}

static void compare_ends(const struct scene *scene)
{
	if (!item_in(scene->item, CLASS_SIDE))
		return;
	compare_end(scene, "inlet", "inlet-temperature", "temperature");
	compare_end(scene, "outlet", "outlet-temperature", "temperature");
	compare_end(scene, "inlet", "inlet-pressure", "pressure");
	compare_end(scene, "outlet", "outlet-pressure", "pressure");
}

static bool crosses_a_valve(const struct scene *scene)
{
	size_t end = table_parts_end(scene->table, scene->item);

	for (size_t i = scene->item->index + 1; i < end; i++)
		if (item_is(table_item(scene->table, i), "valve"))
			return true;
	return false;
}

/* The same figure, once as gauge and once as absolute. */
static bool is_gauge_slip(const struct quantity *a, const struct quantity *b)
{
	double figure = a->written ? strtod(a->written, NULL) : 0;

	return a->known == STATED && b->known == STATED && b->written && (a->datum > 0) != (b->datum > 0) &&
		fabs(figure - strtod(b->written, NULL)) <= 1e-9 * fabs(figure);
}

/* Along a line with a valve the pressure is that of one end; what the ends are is not stated. */
static void compare_pressure(const struct scene *scene)
{
	const struct quantity *own = own_value(scene, "pressure");
	const struct item *stream = stream_touching(scene);
	const struct quantity *there = stream ? scene_get_of(scene, stream, "pressure") : NULL;

	if (!own || !there || !is_number(there) || crosses_a_valve(scene) || !is_first_or_stated(scene, "pressure"))
		return;
	struct meeting meeting = meeting_with(scene, "pressure", own, stream, there);
	if (!is_gauge_slip(own, there))
		meeting.allowed = fmax(PRESSURE_ALONG, PRESSURE_SHARE_ALONG * fmax(own->si, there->si));
	meeting_read(scene->table, &meeting);
	if (meeting_agrees(&meeting) == NO)
		meeting_put(scene->into, &meeting, title_of(scene), NULL);
}

static void compare_service(const struct scene *scene)
{
	const struct quantity *own = own_value(scene, "service");
	const struct item *stream = stream_touching(scene);
	const struct quantity *there = stream ? scene_get_of(scene, stream, "service") : NULL;

	if (!own || !there || there->known == UNKNOWN || scene->operating_case != 0)
		return;
	struct meeting meeting = meeting_with(scene, "service", own, stream, there);
	meeting_read(scene->table, &meeting);
	if (meeting_agrees(&meeting) == NO)
		meeting_put(scene->into, &meeting, title_of(scene), NULL);
}

/* ---- flow ---- */

/* The flow that a stream states itself, else its mass flow by what it comes from. */
static const struct quantity *flow_of_stream(const struct scene *scene, const struct item *stream, const char **name)
{
	const struct quantity *stated = table_stated(scene->table, stream, scene->operating_case, "flow");

	*name = stated && stated->known != UNKNOWN ? "flow" : "mass-flow";
	return scene_get_of(scene, stream, *name);
}

/* The case whose flow of the stream the item states instead of that of the first. */
static const char *of_other_case(const struct scene *scene, const struct meeting *meeting, const struct item *stream)
{
	for (int c = 1; c < (int)table_case_count(scene->table); c++) {
		struct scene there = in_case(scene->into, scene->item, c);
		struct meeting other = *meeting;
		const char *name, *through = "";
		const struct quantity *flow = flow_of_stream(&there, stream, &name);
		if (!flow || !is_number(flow))
			continue;
		other.other = side_of(stream, name, flow);
		if (flow_to_mass(&there, stream, &other.other, &through, &other.missing) &&
			meeting_agrees(&other) == YES)
			return arena_format(table_arena(scene->table), "the flow of %s stated without its case",
				table_case(scene->table, c)->title);
	}
	return NULL;
}

/* Items beside this one: how many there are with it, and their flows together where each states one, kg/s; NaN otherwise. */
static size_t flows_beside(const struct scene *scene, const struct item *stream, double *together, bool *is_first)
{
	struct items others = table_of_kind(scene->table, scene->item->kind);
	size_t count = 1;

	*is_first = true;
	for (size_t i = 0; i < others.count; i++) {
		struct scene there = in_case(scene->into, others.rows[i], scene->operating_case);
		const char *through;
		struct missing missing = nothing_missing;
		if (others.rows[i] == scene->item || !stream_beside(scene, others.rows[i]))
			continue;
		count++;
		*is_first = *is_first && scene->item->index < others.rows[i]->index;
		const struct quantity *flow = own_value(&there, "flow");
		struct side_stated side = flow ? side_of(others.rows[i], "flow", flow) : (struct side_stated){.si = 0};
		*together += flow && flow_to_mass(scene, stream, &side, &through, &missing) ? side.si : (double)NAN;
	}
	return count;
}

/* All that run beside each other as one flow. */
static void as_sum(const struct scene *scene, struct meeting *meeting, double together)
{
	struct arena *arena = table_arena(scene->table);
	const struct quantity *own = meeting->used.quantity;

	meeting->used.quantity =
		quantity_assumed(arena, KIND_MASS_FLOW, together, own->uncertainty, "the sum of parallel flows");
	meeting->used.name = arena_format(arena, "flows beside each other at %s, the first", scene->item->tag);
	meeting->used.uncertainty *= together / meeting->used.si;
	meeting->used.si = together;
}

static void compare_flow(const struct scene *scene, const struct item *stream, bool part)
{
	const struct quantity *own = own_value(scene, "flow");
	const char *name;
	const struct quantity *there = stream ? flow_of_stream(scene, stream, &name) : NULL;
	bool is_first = true;

	if (!own || own->known == UNKNOWN || !there || there->known == UNKNOWN || !is_first_or_stated(scene, "flow"))
		return;
	struct meeting meeting = meeting_with(scene, "flow", own, stream, there);
	meeting.other.name = name;
	meeting.at_most = part;
	if (own->kind != there->kind &&
		!(flow_to_mass(scene, stream, &meeting.used, &meeting.through, &meeting.missing) &&
			flow_to_mass(scene, stream, &meeting.other, &meeting.through, &meeting.missing)))
		meeting.used.si = (double)NAN;
	double together = meeting.used.si;
	bool mass = own->kind != there->kind || own->kind == KIND_MASS_FLOW;
	if (mass && !part && flows_beside(scene, stream, &together, &is_first) > 1) {
		meeting.at_most = isnan(together);
		if (!isnan(together) && !is_first)
			return;
		if (!isnan(together))
			as_sum(scene, &meeting, together);
	}
	meeting_read(scene->table, &meeting);
	if (meeting_agrees(&meeting) != YES)
		meeting_put(scene->into, &meeting, title_of(scene), of_other_case(scene, &meeting, stream));
}

/* A filter or bed that takes a share of the circulation: its flow is that share of its stream. */
static void compare_share(const struct scene *scene, const struct item *stream)
{
	const struct quantity *own = own_value(scene, "flow"), *share = scene_get(scene, "slip");
	struct input mass = scene_input_of(scene, stream, "m", "mass-flow");
	const char *through = "";
	struct missing missing = nothing_missing;

	if (!own || !share || !is_number(own) || !is_number(share) || !is_number(mass.quantity) ||
		!scene_stated(scene, "slip") || !is_first_or_stated(scene, "flow"))
		return;
	struct meeting meeting = meeting_with(scene, "flow", own, stream, mass.quantity);
	meeting.other = side_times(side_of(stream,
					   arena_format(table_arena(scene->table), "%s of the mass flow",
						   quantity_show(table_arena(scene->table), share, NULL)),
					   mass.quantity),
		share->si, relative_uncertainty(share));
	if (!flow_to_mass(scene, stream, &meeting.used, &through, &missing))
		return;
	meeting.through = through;
	meeting_read(scene->table, &meeting);
	if (meeting_agrees(&meeting) == NO)
		meeting_put(scene->into, &meeting, title_of(scene), NULL);
}

static void of_carrier(const struct scene *scene)
{
	bool nested = scene->item->parent && carries_flow(scene->item->parent); /* an elbow: of its line */

	if (scene->operating_case == EVERY_CASE || !carries_flow(scene->item) || nested)
		return;
	compare_flow(scene, stream_touching(scene), false);
	compare_temperature(scene);
	compare_pressure(scene);
	compare_ends(scene);
	compare_service(scene);
}

static void of_side_stream(const struct scene *scene)
{
	const struct item *stream = table_follow(scene->table, scene->item, scene->operating_case, "stream");

	if (scene->operating_case == EVERY_CASE || !item_is_any(scene->item, "filter carbon-bed") ||
		!item_is(stream, "stream"))
		return;
	if (scene_stated(scene, "slip"))
		compare_share(scene, holdup_circulation(scene, stream));
	else
		compare_flow(scene, stream, true);
}

/* ---- pumps ---- */

/* What the pump moves: its discharge, since what it draws from may part before it. */
static const struct item *moved_by(const struct scene *scene, const struct item *pump)
{
	static const char *const references[] = {"discharge", "stream", "suction"};

	for (size_t i = 0; i < COUNT(references); i++) {
		const struct quantity *word = scene_get_of(scene, pump, references[i]);
		const struct item *stream =
			word && word->known != UNKNOWN ? table_find(scene->table, word->word) : NULL;
		if (item_is(stream, "stream"))
			return stream;
	}
	return NULL;
}

/* A pump's flow in kg/s of its stream, a bound at its bound; NaN where it states none or it cannot be brought to mass, and `missing`. */
static double rated_mass(
	const struct scene *scene, const struct item *pump, const struct item *stream, struct missing *missing)
{
	const struct quantity *rated = scene_get_of(scene, pump, "flow");
	const char *through;

	if (!rated || rated->known == UNKNOWN)
		return (double)NAN;
	struct side_stated side = side_of(pump, "flow", rated);
	const struct quantity *share = scene_get_of(scene, pump, "flow-share"); /* one item for several in use */
	double each = share && share->known != UNKNOWN && share->si > 0 ? share->si : 1;
	return flow_to_mass(scene, stream, &side, &through, missing) ? side.si / each : (double)NAN;
}

static void of_pump(const struct scene *scene)
{
	const struct item *stream = item_is(scene->item, "pump") ? moved_by(scene, scene->item) : NULL;
	struct items pumps = table_of_kind(scene->table, "pump");
	struct input inputs[6];
	size_t count = 0;
	double rated = 0;
	struct missing missing = nothing_missing;

	if (!stream || !scene_stated(scene, "flow"))
		return;
	inputs[count++] = input_rises(scene_input_of(scene, stream, "m", "mass-flow"));
	for (size_t i = 0; i < pumps.count; i++)
		if (moved_by(scene, pumps.rows[i]) == stream) {
			rated += rated_mass(scene, pumps.rows[i], stream, &missing);
			if (count < COUNT(inputs))
				inputs[count++] = input_falls(scene_input_of(scene, pumps.rows[i], "Q", "flow"));
		}
	double ratio = inputs[0].quantity->si / rated;
	if (isnan(rated) && missing.reason) {
		scene_put(scene, "stream-over-pump", quantity_lacking(table_arena(scene->table), KIND_RATIO, missing));
		return;
	}
	scene_compute(scene, "stream-over-pump", KIND_RATIO, ratio,
		ratio * hypot(relative_uncertainty(inputs[0].quantity), relative_uncertainty(inputs[1].quantity)),
		FORMULA_FLOW_OVER_RATED, inputs, count);
	const struct slip_site site = slip_site_of(agreement_barometric(scene->table));
	const char *slip = is_number(inputs[0].quantity) && is_number(inputs[1].quantity) && rated > 0
		? slip_between(table_arena(scene->table), KIND_LIQUID_FLOW, slips_of_kind(KIND_LIQUID_FLOW, false),
			  inputs[0].quantity->si, rated, 0.03, &site)
		: NULL;
	if (slip)
		slip_put(scene, "slip", slip);
}

void carried_compute(struct table *table)
{
	scene_each(table, of_carrier);
	scene_each(table, of_side_stream);
	scene_each(table, of_pump);
}
