#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "resolve/equipment.h"
#include "resolve/piping_runs.h"

/* What equipment calls the streams at its ends. */
static const struct port {
	const char *kinds, *reference;
	bool leaves;
} ports[] = {
	{"absorber treater", "rich", true},
	{"absorber treater", "lean", false},
	{"absorber", "semi-lean", false},
	{"flash-drum", "rich", false},
	{"flash-drum", "rich-outlet", true},
	{"regenerator", "feed", false},
	{"regenerator", "lean", true},
	{"regenerator", "acid-gas", true},
	{"regenerator", "reflux", false},
	{"condenser", "acid-gas", false},
	{"condenser", "outlet", true},
	{"reflux-drum", "inlet", false},
	{"reflux-drum", "acid-gas", false},
	{"reflux-drum", "reflux", true},
	{"pump", "suction", false},
	{"pump", "discharge", true},
	{"tube-side shell-side plate-side", "inlet", false},
	{"tube-side shell-side plate-side", "outlet", true},
};

static bool has_port(const struct item *item)
{
	bool has = false;
	for (size_t k = 0; k < COUNT(ports) && !has; k++)
		has = item_is_any(item, ports[k].kinds);
	return has;
}

/* Once, since the lines of a long list are none of it and every stream asks. */
static void gather_passing(struct piping_builder *builder)
{
	size_t count = table_item_count(builder->table);
	if (builder->passing)
		return;
	builder->passing = arena_alloc(builder->arena, (count + 1) * sizeof *builder->passing);
	builder->known = arena_alloc(builder->arena, (2 * count + 1) * sizeof *builder->known);
	for (size_t i = 0; i < count; i++) {
		const struct item *item = table_item(builder->table, i);
		if (has_port(item) || item_in(item, CLASS_SIDE) || item_is_any(item, "split mix"))
			builder->passing[builder->passing_count++] = item;
	}
}

static const char *word_of(const struct piping_builder *builder, const struct item *item, const char *name)
{
	return item ? table_word(builder->table, item, EVERY_CASE, name) : NULL;
}

static const struct item *follow(const struct piping_builder *builder, const struct item *item, const char *name)
{
	return table_find(builder->table, word_of(builder, item, name));
}

void piping_ends_put(struct piping_ends *ends, size_t node)
{
	for (size_t i = 0; i < ends->count; i++)
		if (ends->at[i] == node)
			return;
	if (node != NO_NODE && ends->count < PIPING_ENDS)
		ends->at[ends->count++] = node;
}

static void drop(struct piping_ends *ends, size_t node)
{
	size_t kept = 0;
	for (size_t i = 0; i < ends->count; i++)
		if (ends->at[i] != node)
			ends->at[kept++] = ends->at[i];
	ends->count = kept;
}

static bool has(const struct piping_ends *ends, size_t node)
{
	for (size_t i = 0; i < ends->count; i++)
		if (ends->at[i] == node)
			return true;
	return false;
}

/* ---- which node of an item ---- */

/* What a side holds by its own word or by its streams. */
static const char *service_of_side(const struct piping_builder *builder, const struct item *side)
{
	const char *own = word_of(builder, side, "service");
	const char *in = word_of(builder, follow(builder, side, "inlet"), "service");
	return own ? own : in ? in : word_of(builder, follow(builder, side, "outlet"), "service");
}

/* The side of an exchanger that a carrier of this stream and service ends at; the item itself: its shell; NULL: nobody says. */
static const struct item *side_of(const struct piping_builder *builder, const struct item *exchanger,
	const struct item *stream, const char *service)
{
	const struct item *alike = NULL, *only = NULL;
	size_t sides = 0;
	for (size_t i = exchanger->index + 1; i < table_parts_end(builder->table, exchanger); i++) {
		const struct item *side = table_item(builder->table, i);
		if (side->parent != exchanger || !item_in(side, CLASS_SIDE))
			continue;
		sides++;
		only = side;
		if (stream && (follow(builder, side, "inlet") == stream || follow(builder, side, "outlet") == stream))
			return side;
		if (service && text_same(service_of_side(builder, side), service))
			alike = side;
	}
	if (sides == 0 || alike)
		return alike ? alike : exchanger;
	const char *type = word_of(builder, exchanger, "type"), *holds = service_of_side(builder, only);
	bool air_cooled = text_same(type, "air cooled");
	if (sides == 1 && (air_cooled || !holds))
		return only;
	return sides == 1 && item_is(only, "tube-side") ? exchanger : NULL;
}

static size_t node_of(struct piping_builder *builder, const struct item *item, const struct item *stream,
	const char *service, bool from)
{
	if (item_is(item, "pump"))
		return piping_node(builder, item, from ? PIPING_DISCHARGE : PIPING_SUCTION);
	if (item_in(item, CLASS_HEAT_EXCHANGER))
		item = side_of(builder, item, stream, service);
	if (!item || item_is_any(item, "stream gas line hydrocarbon-feed"))
		return NO_NODE;
	return piping_node(builder, item, PIPING_WHOLE);
}

/* ---- what passes a stream on ---- */

static bool lists(
	const struct piping_builder *builder, const struct item *item, const char *name, const struct item *stream)
{
	const char *words = word_of(builder, item, name);
	return words && stream->tag && text_has_word(words, stream->tag);
}

/* Do a pump and a side, split or mix both pass the one stream on as the other? Then they stand in series. */
struct pair {
	size_t first, first_out, second, second_out; /* where the first is entered and left, and the second */
	const struct item *a, *b;
	bool ordered; /* false: nobody says which is the first */
};

/* Does a line lead from the one to the other? NULL: from or to anything, in the stream `of`. */
static bool leads(
	const struct piping_builder *builder, const struct item *from, const struct item *to, const struct item *of)
{
	struct items lines = table_of_kind(builder->table, "line");
	for (size_t i = 0; i < lines.count; i++)
		if ((!from || follow(builder, lines.rows[i], "from") == from) &&
			(!to || follow(builder, lines.rows[i], "to") == to) &&
			(!of || follow(builder, lines.rows[i], "stream") == of))
			return true;
	return false;
}

/* 1: the pump is first, -1: the other; 0: nobody says. Streams tell first, then what leads into the two, then what leads away. */
static int order_of(const struct piping_builder *builder, const struct item *pump, const struct item *other,
	const struct item *a, const struct item *b)
{
	if (item_is_any(other, "split mix"))
		return item_is(other, "mix") ? 1 : -1;
	const struct item *exchanger = other->parent;
	const struct item *to = follow(builder, a, "to"), *from = follow(builder, b, "from");
	if (to == pump || from == exchanger)
		return 1;
	if (to == exchanger || from == pump)
		return -1;
	if (leads(builder, pump, exchanger, NULL) || leads(builder, NULL, pump, a))
		return 1;
	if (leads(builder, exchanger, pump, NULL) || leads(builder, NULL, exchanger, a))
		return -1;
	return leads(builder, exchanger, NULL, b) ? 1 : leads(builder, pump, NULL, b) ? -1 : 0;
}

static bool passes_on(
	const struct piping_builder *builder, const struct item *other, const struct item *a, const struct item *b)
{
	if (item_is_any(other, "split mix"))
		return lists(builder, other, "from", a) && lists(builder, other, "to", b);
	return item_in(other, CLASS_SIDE) && follow(builder, other, "inlet") == a &&
		follow(builder, other, "outlet") == b;
}

static bool pair_of(
	struct piping_builder *builder, const struct item *pump, const struct item *other, struct pair *pair)
{
	const struct item *a = follow(builder, pump, "suction"), *b = follow(builder, pump, "discharge");
	if (!item_is(a, "stream") || !item_is(b, "stream") || !passes_on(builder, other, a, b))
		return false;
	int order = order_of(builder, pump, other, a, b);
	size_t suction = piping_node(builder, pump, PIPING_SUCTION),
	       discharge = piping_node(builder, pump, PIPING_DISCHARGE);
	size_t beside = piping_node(builder, other, PIPING_WHOLE);
	*pair = order >= 0 ? (struct pair){suction, discharge, beside, beside, a, b, order != 0}
			   : (struct pair){beside, beside, suction, discharge, a, b, true};
	return true;
}

/* Calls `visit` for each series of two. */
static void each_pair(struct piping_builder *builder,
	void (*visit)(struct piping_builder *builder, const struct pair *pair, void *data), void *data)
{
	struct items pumps = table_of_kind(builder->table, "pump");
	gather_passing(builder);
	for (size_t i = 0; i < pumps.count; i++)
		for (size_t k = 0; k < builder->passing_count; k++) {
			struct pair pair;
			if (pair_of(builder, pumps.rows[i], builder->passing[k], &pair))
				visit(builder, &pair, data);
		}
}

static void join_pair(struct piping_builder *builder, const struct pair *pair, void *data)
{
	(void)data;
	if (pair->ordered)
		piping_join(builder, (struct joint){.from = pair->first_out, .to = pair->second, .sort = JOINT_OPEN});
}

void piping_series(struct piping_builder *builder)
{
	each_pair(builder, join_pair, NULL);
}

struct thinning {
	struct piping_ends *ends;
	const struct item *stream;
	bool from;
};

/*
 * The stream before a series enters the first alone, the stream after it leaves the second alone. Where nobody says which is the first
 * the cooler is left out: hung on both streams it would join the two ends of the pump.
 */
static void thin_out(struct piping_builder *builder, const struct pair *pair, void *data)
{
	const struct thinning *thinning = data;
	(void)builder;
	bool after = thinning->from && thinning->stream == pair->b;
	if (after && !pair->ordered && has(thinning->ends, pair->first_out))
		drop(thinning->ends, pair->second_out);
	else if (after && has(thinning->ends, pair->second_out))
		drop(thinning->ends, pair->first_out);
	if (!thinning->from && thinning->stream == pair->a && has(thinning->ends, pair->first))
		drop(thinning->ends, pair->second);
}

/* ---- the ends of streams and lines ---- */

static void put_ports(struct piping_builder *builder, struct piping_ends *ends, const struct item *stream, bool from)
{
	const char *service = word_of(builder, stream, "service");
	for (size_t i = 0; i < builder->passing_count; i++) {
		const struct item *item = builder->passing[i];
		for (size_t k = 0; k < COUNT(ports); k++)
			if (ports[k].leaves == from && item_is_any(item, ports[k].kinds) &&
				follow(builder, item, ports[k].reference) == stream)
				piping_ends_put(ends, node_of(builder, item, stream, service, from));
		if (item_is_any(item, "split mix") && lists(builder, item, from ? "to" : "from", stream))
			piping_ends_put(ends, piping_node(builder, item, PIPING_WHOLE));
	}
}

/* The drum takes its vapour and condensate from the condenser, not from the column. */
static void leave_out_drum(const struct piping_builder *builder, struct piping_ends *ends)
{
	bool condenser = false;
	for (size_t i = 0; i < ends->count; i++)
		condenser = condenser || item_is(piping_equipment(builder, ends->at[i]), "condenser");
	for (size_t i = ends->count; condenser && i-- > 0;)
		if (item_is(builder->piping.nodes[ends->at[i]].item, "reflux-drum"))
			drop(ends, ends->at[i]);
}

static struct piping_ends ends_of_stream(struct piping_builder *builder, const struct item *stream, bool from)
{
	struct piping_ends ends = {.count = 0};
	const struct item *stated = follow(builder, stream, from ? "from" : "to");
	if (stated && !item_is(stated, "stream"))
		piping_ends_put(&ends, node_of(builder, stated, stream, word_of(builder, stream, "service"), from));
	if (ends.count)
		return ends;
	put_ports(builder, &ends, stream, from);
	struct thinning thinning = {.ends = &ends, .stream = stream, .from = from};
	each_pair(builder, thin_out, &thinning);
	leave_out_drum(builder, &ends);
	return ends;
}

struct piping_ends piping_ends_of_stream(struct piping_builder *builder, const struct item *stream, bool from)
{
	gather_passing(builder);
	const struct piping_ends **known = &builder->known[2 * stream->index + from];
	if (!*known) {
		struct piping_ends *ends = arena_alloc(builder->arena, sizeof *ends);
		*ends = ends_of_stream(builder, stream, from);
		*known = ends;
	}
	return **known;
}

struct piping_ends piping_ends_of_line(struct piping_builder *builder, const struct item *line, bool from)
{
	const struct item *stream = follow(builder, line, "stream"),
			  *stated = follow(builder, line, from ? "from" : "to");
	const char *own = word_of(builder, line, "service");
	struct piping_ends ends = {.count = 0};
	if (stated && !item_is(stated, "stream"))
		piping_ends_put(
			&ends, node_of(builder, stated, stream, own ? own : word_of(builder, stream, "service"), from));
	else if (item_is(stream, "stream"))
		ends = piping_ends_of_stream(builder, stream, from);
	return ends;
}
