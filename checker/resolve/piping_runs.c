#include "resolve/piping_runs.h"

#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "resolve/equipment.h"

/* Pa: more than friction and height take between two vessels, so that a device stands between. This program's choice. */
static const double DEVICE_BETWEEN = 3e5;

/* All that lies between two nodes in one service. `up` and `down` are one point where nothing stands between. */
struct run {
	size_t from, to, up, down;
	const char *service; /* NULL: nobody says */
	bool perhaps, has_device, pumped;
	const struct item
		*unsure; /* its pressure would tell whether a device stands in the run, or on which side a line lies */
	const struct item **carriers; /* streams and lines */
	size_t count, capacity;
};

struct runs {
	struct run *rows;
	size_t count, capacity;
};

/* ---- nodes and joints ---- */

size_t piping_node(struct piping_builder *builder, const struct item *item, enum piping_end end)
{
	struct piping *piping = &builder->piping;
	size_t found = piping_find(piping, item, end);
	if (found != NO_NODE)
		return found;
	piping->nodes =
		arena_grow(builder->arena, piping->nodes, piping->node_count, &builder->nodes, sizeof *piping->nodes);
	piping->nodes[piping->node_count] = (struct piping_node){item, end};
	return piping->node_count++;
}

void piping_join(struct piping_builder *builder, struct joint joint)
{
	struct piping *piping = &builder->piping;
	if (joint.from == NO_NODE || joint.to == NO_NODE || joint.from == joint.to)
		return;
	piping->joints = arena_grow(
		builder->arena, piping->joints, piping->joint_count, &builder->joints, sizeof *piping->joints);
	piping->joints[piping->joint_count++] = joint;
}

const struct item *piping_equipment(const struct piping_builder *builder, size_t node)
{
	const struct item *item = node == NO_NODE ? NULL : builder->piping.nodes[node].item;
	return item && item_in(item, CLASS_SIDE) ? item->parent : item;
}

static const char *word_of(const struct piping_builder *builder, const struct item *item, const char *name)
{
	return item ? table_word(builder->table, item, EVERY_CASE, name) : NULL;
}

static const struct item *follow(const struct piping_builder *builder, const struct item *item, const char *name)
{
	return table_find(builder->table, word_of(builder, item, name));
}

/* ---- which carriers make one run ---- */

static bool same_service(const char *a, const char *b)
{
	return !a || !b || text_same(a, b);
}

static struct run *run_between(
	struct piping_builder *builder, struct runs *runs, size_t from, size_t to, const char *service)
{
	for (size_t i = 0; i < runs->count; i++) {
		struct run *run = &runs->rows[i];
		if (run->from == from && run->to == to && same_service(run->service, service)) {
			run->service = run->service ? run->service : service;
			return run;
		}
	}
	runs->rows = arena_grow(builder->arena, runs->rows, runs->count, &runs->capacity, sizeof *runs->rows);
	runs->rows[runs->count] = (struct run){.from = from, .to = to, .service = service};
	return &runs->rows[runs->count++];
}

static void add_carrier(struct piping_builder *builder, struct runs *runs, struct run added, const struct item *carrier)
{
	struct run *run = run_between(builder, runs, added.from, added.to, added.service);
	run->perhaps = run->count ? run->perhaps && added.perhaps : added.perhaps;
	run->carriers = arena_grow(builder->arena, run->carriers, run->count, &run->capacity, sizeof *run->carriers);
	run->carriers[run->count++] = carrier;
}

/* A vessel at both ends of a carrier stands in it: what comes goes into the vessel, what goes comes from there. */
static bool is_in_between(const struct piping_ends *from, const struct piping_ends *to, size_t node)
{
	bool leaves = false, enters = false;
	for (size_t i = 0; i < from->count; i++)
		leaves = leaves || from->at[i] == node;
	for (size_t i = 0; i < to->count; i++)
		enters = enters || to->at[i] == node;
	return leaves && enters;
}

static void run_of(struct piping_builder *builder, struct runs *runs, const struct item *carrier,
	const struct piping_ends *from, const struct piping_ends *to)
{
	const char *own = word_of(builder, carrier, "service");
	const char *service = own ? own : word_of(builder, follow(builder, carrier, "stream"), "service");
	size_t between = 0;
	for (size_t i = 0; i < from->count; i++)
		between += is_in_between(from, to, from->at[i]);
	bool perhaps = from->count - between > 1 || to->count - between > 1 || between > 1;
	struct run added = {.service = service, .perhaps = perhaps, .from = NO_NODE, .to = NO_NODE};
	for (size_t i = 0; i < from->count; i++)
		for (size_t k = 0; k < to->count; k++) {
			bool chained = between == 0 ||
				is_in_between(from, to, from->at[i]) != is_in_between(from, to, to->at[k]);
			added.from = from->at[i];
			added.to = to->at[k];
			if (chained && added.from != added.to)
				add_carrier(builder, runs, added, carrier);
		}
	/* One end alone: what is known of it still hangs together. */
	for (size_t i = 0; to->count == 0 && i < from->count; i++) {
		added.from = from->at[i];
		add_carrier(builder, runs, added, carrier);
	}
	added.from = NO_NODE;
	for (size_t i = 0; from->count == 0 && i < to->count; i++) {
		added.to = to->at[i];
		add_carrier(builder, runs, added, carrier);
	}
}

static struct runs gather(struct piping_builder *builder)
{
	struct runs runs = {.count = 0};
	struct items streams = table_of_kind(builder->table, "stream"), lines = table_of_kind(builder->table, "line");
	for (size_t i = 0; i < streams.count; i++) {
		struct piping_ends from = piping_ends_of_stream(builder, streams.rows[i], true);
		struct piping_ends to = piping_ends_of_stream(builder, streams.rows[i], false);
		run_of(builder, &runs, streams.rows[i], &from, &to);
	}
	for (size_t i = 0; i < lines.count; i++) {
		struct piping_ends from = piping_ends_of_line(builder, lines.rows[i], true);
		struct piping_ends to = piping_ends_of_line(builder, lines.rows[i], false);
		run_of(builder, &runs, lines.rows[i], &from, &to);
	}
	return runs;
}

static bool carries(const struct run *run, const struct item *item)
{
	for (size_t i = 0; i < run->count; i++)
		if (run->carriers[i] == item)
			return true;
	return false;
}

/* ---- what stands in a run ---- */

static bool takes_pressure_down(const struct piping_builder *builder, const struct item *valve)
{
	const char *role = word_of(builder, valve, "role");
	return item_is(valve, "valve") &&
		(role ? text_same(role, "letdown") || text_same(role, "control")
		      : word_of(builder, valve, "to") != NULL);
}

/* In a line of the run; or at the equipment on one end, letting down into that on the other or into the rich amine of its own. */
static bool stands_in(const struct piping_builder *builder, const struct run *run, const struct item *valve)
{
	const struct item *holder = valve->parent, *into = follow(builder, valve, "to");
	const struct item *from = piping_equipment(builder, run->from), *to = piping_equipment(builder, run->to);
	if (item_is(holder, "line"))
		return carries(run, holder);
	if (!from || (holder != from && holder != to))
		return false;
	if (into && into == to)
		return true;
	const struct item *rich = follow(builder, from, "rich-outlet");
	rich = rich ? rich : item_is(from, "flash-drum") ? NULL : follow(builder, from, "rich");
	return holder == from && rich && carries(run, rich) && (!to || !piping_is_vessel(to));
}

struct span {
	double low, high;	   /* Pa; NaN: unknown */
	const struct item *unsure; /* whose pressure is stated, and no number: owed, or a bound */
};

static void widen(struct span *range, const struct item *whose, const struct quantity *pressure)
{
	if (pressure && (pressure->bound || pressure->owed))
		range->unsure = whose;
	if (!pressure || pressure->known == UNKNOWN || pressure->bound || pressure->kind != KIND_PRESSURE)
		return;
	range->low = fmin(range->low, pressure->si);
	range->high = fmax(range->high, pressure->si);
}

static void widen_by(
	const struct piping_builder *builder, struct span *range, const struct item *item, const char *name)
{
	if (item)
		widen(range, item, table_get(builder->table, item, EVERY_CASE, name));
}

/* What a vessel operates at, else the header at a split or mix, else the stream at that side of an exchanger. */
static struct span operates_at(const struct piping_builder *builder, const struct run *run, bool from)
{
	static const char *const names[] = {"pressure", "top-pressure", "bottom-pressure"};
	size_t node = from ? run->from : run->to;
	const struct item *item = node == NO_NODE ? NULL : builder->piping.nodes[node].item;
	struct span range = {(double)NAN, (double)NAN, NULL};
	if (piping_is_vessel(item)) {
		for (size_t i = 0; i < COUNT(names); i++)
			widen_by(builder, &range, item, names[i]);
		const struct item *gas = item_is(item, "absorber") ? follow(builder, item, "gas") : NULL;
		if (item_is(gas, "gas"))
			widen_by(builder, &range, gas, "pressure");
	} else if (item_is_any(item, "split mix")) {
		widen_by(builder, &range, follow(builder, item, item_is(item, "split") ? "from" : "to"), "pressure");
	} else if (item_in(item, CLASS_SIDE)) {
		widen_by(builder, &range, follow(builder, item, from ? "outlet" : "inlet"), "pressure");
	}
	for (size_t i = 0; isnan(range.low) && i < run->count; i++)
		widen_by(builder, &range, run->carriers[i], "pressure");
	return range;
}

static void split_up(struct piping_builder *builder, struct run *run, struct joint joint)
{
	if (!run->has_device) {
		run->down = piping_node(builder, NULL, PIPING_WHOLE);
		run->has_device = true;
	}
	run->pumped = joint.sort == JOINT_PUMP;
	joint.from = run->up;
	joint.to = run->down;
	piping_join(builder, joint);
}

static void put_pumps(struct piping_builder *builder, struct run *run)
{
	struct items pumps = table_of_kind(builder->table, "pump");
	for (size_t i = 0; i < pumps.count; i++) {
		const struct item *stream = follow(builder, pumps.rows[i], "stream");
		if (!item_is(stream, "stream") || !carries(run, stream) || run->has_device)
			continue;
		run->has_device = run->pumped = true;
		run->down = piping_node(builder, NULL, PIPING_WHOLE);
		piping_join(builder,
			(struct joint){.from = run->up,
				.to = piping_node(builder, pumps.rows[i], PIPING_SUCTION),
				.sort = JOINT_OPEN});
		piping_join(builder,
			(struct joint){.from = piping_node(builder, pumps.rows[i], PIPING_DISCHARGE),
				.to = run->down,
				.sort = JOINT_OPEN});
	}
}

static void put_devices(struct piping_builder *builder, struct run *run)
{
	struct items valves = table_of_kind(builder->table, "valve");
	for (size_t i = 0; i < valves.count; i++)
		if (takes_pressure_down(builder, valves.rows[i]) && stands_in(builder, run, valves.rows[i]))
			split_up(builder, run, (struct joint){.sort = JOINT_DEVICE, .device = valves.rows[i]});
	put_pumps(builder, run);
	struct span from = operates_at(builder, run, true), to = operates_at(builder, run, false);
	run->unsure = from.unsure ? from.unsure : to.unsure;
	if (!run->has_device && from.low - to.high > DEVICE_BETWEEN)
		split_up(builder, run, (struct joint){.sort = JOINT_DEVICE});
	if (!run->has_device && to.low - from.high > DEVICE_BETWEEN)
		split_up(builder, run, (struct joint){.sort = JOINT_PUMP});
}

/* ---- on which side of it ---- */

enum lies { UPSTREAM, DOWNSTREAM, EITHER };

static bool holds_device(const struct piping_builder *builder, const struct item *line)
{
	for (size_t i = line->index + 1; i < table_parts_end(builder->table, line); i++)
		if (takes_pressure_down(builder, table_item(builder->table, i)))
			return true;
	return false;
}

static size_t lines_of(const struct run *run)
{
	size_t lines = 0;
	for (size_t i = 0; i < run->count; i++)
		lines += item_is(run->carriers[i], "line");
	return lines;
}

static enum lies place_of(const struct piping_builder *builder, struct run *run, const struct item *line)
{
	const char *place = word_of(builder, line, "place");
	if (text_same(place, run->pumped ? "pump suction" : "upstream of letdown"))
		return UPSTREAM;
	if (text_same(place, run->pumped ? "pump discharge" : "downstream of letdown"))
		return DOWNSTREAM;
	/* Part of what holds the valve, and of a bypass of it, stands upstream. */
	if (text_same(place, "bypass") || holds_device(builder, line))
		return UPSTREAM;
	struct span own = {(double)NAN, (double)NAN, NULL}, from = operates_at(builder, run, true),
		    to = operates_at(builder, run, false);
	/* Unless it states one its pressure is that of its stream, which tells nothing where several lines share that. */
	if (lines_of(run) == 1 || table_stated(builder->table, line, EVERY_CASE, "pressure"))
		widen(&own, line, table_get(builder->table, line, EVERY_CASE, "pressure"));
	if (own.unsure)
		run->unsure = own.unsure;
	if (isnan(own.low))
		return EITHER;
	double half = (from.low + to.high) / 2;
	return fabs(from.low - to.high) > DEVICE_BETWEEN
		? ((own.low > half) == (from.low > to.high) ? UPSTREAM : DOWNSTREAM)
		: EITHER;
}

static bool is_block(const struct piping_builder *builder, const struct item *valve)
{
	const char *role = word_of(builder, valve, "role");
	return item_is(valve, "valve") && (text_same(role, "block") || text_same(role, "emergency shut-off"));
}

/* A block valve in a line: on the side of the device on which it is described, first to last. */
static void note_blocks(const struct piping_builder *builder, const struct item *line, bool downstream,
	const struct item **upper, const struct item **lower)
{
	bool passed = downstream;
	for (size_t i = line->index + 1; i < table_parts_end(builder->table, line); i++) {
		const struct item *part = table_item(builder->table, i);
		passed = passed || takes_pressure_down(builder, part);
		if (is_block(builder, part))
			*(passed ? lower : upper) = part;
	}
}

static enum joint_sort sort_of(const struct run *run, bool either)
{
	if (run->perhaps || (either && run->up != run->down && !run->unsure))
		return JOINT_PERHAPS;
	return run->unsure && (either || !run->has_device) ? JOINT_UNSURE : JOINT_OPEN;
}

static void hang_line(struct piping_builder *builder, const struct run *run, const struct item *line, enum lies lies)
{
	size_t node = piping_node(builder, line, PIPING_WHOLE);
	struct joint joint = {.to = node, .sort = JOINT_OPEN, .device = NULL};
	if (run->up != run->down)
		joint.sort = sort_of(run, lies == EITHER);
	else if (run->perhaps)
		joint.sort = JOINT_PERHAPS;
	joint.device = joint.sort == JOINT_UNSURE ? run->unsure : NULL;
	joint.from = run->up;
	if (lies != DOWNSTREAM || run->up == run->down)
		piping_join(builder, joint);
	joint.from = run->down;
	if (lies != UPSTREAM && run->up != run->down)
		piping_join(builder, joint);
}

static void hang_run(struct piping_builder *builder, struct run *run)
{
	const struct item *upper = NULL, *lower = NULL;
	run->up = run->down = piping_node(builder, NULL, PIPING_WHOLE);
	put_devices(builder, run);
	for (size_t i = 0; i < run->count; i++) {
		if (!item_is(run->carriers[i], "line"))
			continue;
		enum lies lies = place_of(builder, run, run->carriers[i]);
		hang_line(builder, run, run->carriers[i], lies);
		note_blocks(builder, run->carriers[i], lies == DOWNSTREAM, &upper, &lower);
	}
	enum joint_sort sort = sort_of(run, false);
	const struct item *unsure = sort == JOINT_UNSURE ? run->unsure : NULL;
	piping_join(builder,
		(struct joint){.from = run->from,
			.to = run->up,
			.sort = sort,
			.device = unsure,
			.block = run->has_device ? upper : NULL});
	piping_join(builder,
		(struct joint){.from = run->down,
			.to = run->to,
			.sort = sort,
			.device = unsure,
			.block = lower		  ? lower
				: run->has_device ? NULL
						  : upper});
}

/* ---- what names a stream and no ends ---- */

static void hang_riders(struct piping_builder *builder, const struct runs *runs)
{
	for (size_t i = 0; i < table_item_count(builder->table); i++) {
		const struct item *item = table_item(builder->table, i), *stream = follow(builder, item, "stream");
		if (!item_is_any(item, "filter carbon-bed reclaimer vessel") || !item_is(stream, "stream") ||
			piping_find(&builder->piping, item, PIPING_WHOLE) != NO_NODE)
			continue;
		size_t node = piping_node(builder, item, PIPING_WHOLE);
		for (size_t k = 0; k < runs->count; k++) {
			const struct run *run = &runs->rows[k];
			enum joint_sort sort = run->has_device || run->perhaps ? JOINT_PERHAPS : JOINT_OPEN;
			if (!carries(run, stream))
				continue;
			piping_join(builder, (struct joint){.from = run->up, .to = node, .sort = sort});
			if (run->has_device)
				piping_join(builder, (struct joint){.from = run->down, .to = node, .sort = sort});
		}
	}
}

/* The column, its reboilers, its condensers and the drum are one space wherever no other piping is described. */
static void join_overhead(struct piping_builder *builder, const struct runs *runs)
{
	struct items reboilers = table_of_kind(builder->table, "reboiler");
	const struct item *drum = table_sole(builder->table, "reflux-drum"),
			  *column = table_sole(builder->table, "regenerator");
	for (size_t i = 0; drum && i < runs->count; i++)
		if (item_is(piping_equipment(builder, runs->rows[i].to), "condenser") &&
			same_service(runs->rows[i].service, "acid gas"))
			piping_join(builder,
				(struct joint){.from = runs->rows[i].to,
					.to = piping_node(builder, drum, PIPING_WHOLE),
					.sort = JOINT_OPEN});
	for (size_t i = 0; i < reboilers.count; i++) {
		const struct item *serves = follow(builder, reboilers.rows[i], "regenerator");
		serves = serves ? serves : column;
		if (serves)
			piping_join(builder,
				(struct joint){.from = piping_node(builder, reboilers.rows[i], PIPING_WHOLE),
					.to = piping_node(builder, serves, PIPING_WHOLE),
					.sort = JOINT_OPEN});
	}
}

static void join_pumps(struct piping_builder *builder)
{
	struct items pumps = table_of_kind(builder->table, "pump");
	for (size_t i = 0; i < pumps.count; i++)
		piping_join(builder,
			(struct joint){.from = piping_node(builder, pumps.rows[i], PIPING_SUCTION),
				.to = piping_node(builder, pumps.rows[i], PIPING_DISCHARGE),
				.sort = JOINT_PUMP,
				.device = pumps.rows[i]});
}

void piping_runs(struct piping_builder *builder)
{
	struct runs runs = gather(builder);
	for (size_t i = 0; i < runs.count; i++)
		hang_run(builder, &runs.rows[i]);
	hang_riders(builder, &runs);
	piping_series(builder);
	join_overhead(builder, &runs);
	join_pumps(builder);
}
