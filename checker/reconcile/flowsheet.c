#include "reconcile/flowsheet.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "reconcile/acid_gas.h"
#include "resolve/equipment.h"

enum relation { AMINE, LOADING, TEMPERATURE, RELATIONS };

struct builder {
	struct arena *arena;
	const struct table *table;
	int operating_case;
	struct flowsheet sheet;
	size_t *parent[RELATIONS];	    /* of each stream: union-find */
	size_t junctions, exchanges, notes; /* capacities */
};

static const char *word_of(const struct builder *builder, const struct item *item, const char *name)
{
	const struct quantity *word = table_get(builder->table, item, builder->operating_case, name);

	return word && word->known != UNKNOWN ? word->word : NULL;
}

static const struct item *named(const struct builder *builder, const struct item *item, const char *name)
{
	const char *tag = word_of(builder, item, name);

	return tag ? table_find(builder->table, tag) : NULL;
}

static void note(struct builder *builder, const char *text)
{
	struct flowsheet *sheet = &builder->sheet;

	sheet->notes =
		arena_grow(builder->arena, sheet->notes, sheet->note_count, &builder->notes, sizeof *sheet->notes);
	sheet->notes[sheet->note_count++] = text;
}

/* ---- streams ---- */

static bool is_amine(const struct builder *builder, const struct item *stream)
{
	const char *service = word_of(builder, stream, "service");

	return service && text_has_word("lean semi-lean rich", service) && strchr(service, ' ') == NULL;
}

static void gather_streams(struct builder *builder)
{
	struct items streams = table_of_kind(builder->table, "stream");
	struct flowsheet *sheet = &builder->sheet;

	sheet->streams = arena_alloc(builder->arena, (streams.count + 1) * sizeof *sheet->streams);
	for (size_t i = 0; i < streams.count; i++)
		if (is_amine(builder, streams.rows[i]))
			sheet->streams[sheet->stream_count++] = (struct passing){.stream = streams.rows[i]};
	for (int relation = 0; relation < RELATIONS; relation++) {
		builder->parent[relation] =
			arena_alloc(builder->arena, (sheet->stream_count + 1) * sizeof *builder->parent[relation]);
		for (size_t i = 0; i < sheet->stream_count; i++)
			builder->parent[relation][i] = i;
	}
}

static size_t index_of(const struct builder *builder, const struct item *stream)
{
	for (size_t i = 0; stream && i < builder->sheet.stream_count; i++)
		if (builder->sheet.streams[i].stream == stream)
			return i;
	return NO_STREAM;
}

static size_t root(const struct builder *builder, enum relation relation, size_t stream)
{
	while (builder->parent[relation][stream] != stream)
		stream = builder->parent[relation][stream];
	return stream;
}

/* The earlier stream stands for both. */
static void join(struct builder *builder, enum relation relation, size_t a, size_t b)
{
	if (a == NO_STREAM || b == NO_STREAM)
		return;
	a = root(builder, relation, a);
	b = root(builder, relation, b);
	builder->parent[relation][a > b ? a : b] = a > b ? b : a;
}

/* ---- lists ---- */

static struct stream_list new_list(const struct builder *builder)
{
	return (struct stream_list){
		.at = arena_alloc(builder->arena, (builder->sheet.stream_count + 1) * sizeof(size_t))};
}

static bool has(const struct stream_list *list, size_t stream)
{
	for (size_t i = 0; i < list->count; i++)
		if (list->at[i] == stream)
			return true;
	return false;
}

static void put(struct stream_list *list, size_t stream)
{
	if (stream != NO_STREAM && !has(list, stream))
		list->at[list->count++] = stream;
}

static void put_words(const struct builder *builder, struct stream_list *list, const char *words)
{
	while (words && *words) {
		size_t length = strcspn(words, " \t\r\n");
		const char *tag = arena_copy_span(builder->arena, words, length);
		put(list, index_of(builder, table_find(builder->table, tag)));
		words += length + strspn(words + length, " \t\r\n");
	}
}

/* What goes between a regenerator and its reboilers stays inside the envelope of the two. */
static bool is_inside(const struct builder *builder, const struct item *stream, const struct item *item)
{
	const struct item *ends[] = {named(builder, stream, "from"), named(builder, stream, "to")};

	for (size_t i = 0; i < COUNT(ends); i++)
		if (item_is(item, "regenerator") && item_is(ends[i], "reboiler"))
			return true;
	return false;
}

/* Streams whose `end` is this item, of one of these services. */
static void put_ending(const struct builder *builder, struct stream_list *list, const char *end,
	const struct item *item, const char *services)
{
	for (size_t i = 0; i < builder->sheet.stream_count; i++) {
		const struct item *stream = builder->sheet.streams[i].stream;
		const char *tag = word_of(builder, stream, end);

		if (text_same(tag, item->tag) && text_has_word(services, word_of(builder, stream, "service")) &&
			!is_inside(builder, stream, item))
			put(list, i);
	}
}

/* A stream that an item names, unless its own `end` says that it ends elsewhere. */
static void put_named(const struct builder *builder, struct stream_list *list, const struct item *item,
	const char *name, const char *end)
{
	const struct item *stream = named(builder, item, name);
	const char *tag = stream ? word_of(builder, stream, end) : NULL;

	if (!tag || text_same(tag, item->tag) || !item_is(table_find(builder->table, tag), item->kind))
		put(list, index_of(builder, stream));
}

/* ---- what only passes the solution on ---- */

/* Is the one split into the other and more, or mixed with more to make it? */
static bool are_separated(const struct builder *builder, size_t a, size_t b)
{
	for (size_t i = 0; i < builder->sheet.junction_count; i++) {
		const struct junction *junction = &builder->sheet.junctions[i];
		if ((has(&junction->in, a) && has(&junction->out, b)) ||
			(has(&junction->in, b) && has(&junction->out, a)))
			return true;
	}
	return false;
}

/* The solution goes on unchanged but for temperature and pressure; a junction between the two knows better. */
static void pass_on(struct builder *builder, size_t in, size_t out)
{
	if (are_separated(builder, in, out))
		return;
	join(builder, AMINE, in, out);
	join(builder, LOADING, in, out);
}

static void add_exchange(struct builder *builder, struct exchange exchange)
{
	struct flowsheet *sheet = &builder->sheet;

	sheet->exchanges = arena_grow(
		builder->arena, sheet->exchanges, sheet->exchange_count, &builder->exchanges, sizeof *sheet->exchanges);
	sheet->exchanges[sheet->exchange_count++] = exchange;
	pass_on(builder, exchange.hot_in, exchange.hot_out);
	pass_on(builder, exchange.cold_in, exchange.cold_out);
}

struct side {
	size_t in, out;
};

/* The passage of this service: a side that names both ends, else the only streams to and from the item. */
static struct side passage(struct builder *builder, const struct item *item, const char *services)
{
	struct side side = {NO_STREAM, NO_STREAM};
	struct stream_list in = new_list(builder), out = new_list(builder);

	for (size_t i = item->index + 1; i < table_parts_end(builder->table, item); i++) {
		const struct item *part = table_item(builder->table, i);
		size_t inlet = index_of(builder, named(builder, part, "inlet")),
		       outlet = index_of(builder, named(builder, part, "outlet"));
		size_t any = inlet != NO_STREAM ? inlet : outlet;
		if (any == NO_STREAM ||
			!text_has_word(services, word_of(builder, builder->sheet.streams[any].stream, "service")))
			continue;
		put(&in, inlet);
		put(&out, outlet);
	}
	if (in.count + out.count == 0) {
		put_ending(builder, &in, "to", item, services);
		put_ending(builder, &out, "from", item, services);
	}
	if (in.count <= 1 && out.count <= 1) {
		side.in = in.count ? in.at[0] : NO_STREAM;
		side.out = out.count ? out.at[0] : NO_STREAM;
	} else {
		note(builder,
			arena_format(builder->arena,
				"%s: several %s streams enter or leave it and are not distinguished", item->tag,
				services));
	}
	return side;
}

/* What comes out of a pump went into it: the inlet of a cooler of which only the outlet is known, and the reverse. */
static size_t across_pump(const struct builder *builder, size_t known, const char *here, const char *there)
{
	struct items pumps = table_of_kind(builder->table, "pump");

	for (size_t i = 0; known != NO_STREAM && i < pumps.count; i++)
		if (index_of(builder, named(builder, pumps.rows[i], here)) == known)
			return index_of(builder, named(builder, pumps.rows[i], there));
	return NO_STREAM;
}

static void add_exchangers(struct builder *builder)
{
	struct items exchangers = table_of_kind(builder->table, "exchanger"),
		     coolers = table_of_kind(builder->table, "cooler");

	for (size_t i = 0; i < exchangers.count; i++) {
		const struct item *item = exchangers.rows[i];
		struct side hot = passage(builder, item, "lean semi-lean"), cold = passage(builder, item, "rich");
		if (hot.in != NO_STREAM || cold.in != NO_STREAM || hot.out != NO_STREAM || cold.out != NO_STREAM)
			add_exchange(builder, (struct exchange){item, hot.in, hot.out, cold.in, cold.out});
	}
	for (size_t i = 0; i < coolers.count; i++) {
		struct side hot = passage(builder, coolers.rows[i], "lean semi-lean");
		if (hot.in == NO_STREAM)
			hot.in = across_pump(builder, hot.out, "discharge", "suction");
		else if (hot.out == NO_STREAM)
			hot.out = across_pump(builder, hot.in, "suction", "discharge");
		if (hot.in != NO_STREAM && hot.out != NO_STREAM)
			add_exchange(
				builder, (struct exchange){coolers.rows[i], hot.in, hot.out, NO_STREAM, NO_STREAM});
	}
}

static void add_pumps(struct builder *builder)
{
	static const char *const passing[] = {"pump", "filter", "carbon-bed"};

	for (size_t k = 0; k < COUNT(passing); k++) {
		struct items items = table_of_kind(builder->table, passing[k]);
		for (size_t i = 0; i < items.count; i++) {
			struct stream_list in = new_list(builder), out = new_list(builder);
			put(&in, index_of(builder, named(builder, items.rows[i], "suction")));
			put(&out, index_of(builder, named(builder, items.rows[i], "discharge")));
			if (in.count + out.count == 0) {
				put_ending(builder, &in, "to", items.rows[i], "lean semi-lean rich");
				put_ending(builder, &out, "from", items.rows[i], "lean semi-lean rich");
			}
			if (in.count == 1 && out.count == 1)
				pass_on(builder, in.at[0], out.at[0]);
		}
	}
}

/* ---- where streams meet or part ---- */

static bool same_list(const struct stream_list *a, const struct stream_list *b)
{
	bool same = a->count == b->count;

	for (size_t i = 0; same && i < a->count; i++)
		same = has(b, a->at[i]);
	return same;
}

/* Equipment and network may name the same meeting: it counts once. */
static bool is_known(const struct builder *builder, const struct junction *junction)
{
	for (size_t i = 0; i < builder->sheet.junction_count; i++)
		if (same_list(&builder->sheet.junctions[i].in, &junction->in) &&
			same_list(&builder->sheet.junctions[i].out, &junction->out))
			return true;
	return false;
}

static void add_junction(struct builder *builder, struct junction junction)
{
	struct flowsheet *sheet = &builder->sheet;

	if (junction.in.count == 0 || junction.out.count == 0) {
		note(builder,
			arena_format(builder->arena, "%s: no stream is named that %s it", junction.item->tag,
				junction.in.count == 0 ? "enters" : "leaves"));
		return;
	}
	for (size_t i = 0; i < junction.in.count; i++)
		if (has(&junction.out, junction.in.at[i])) {
			note(builder,
				arena_format(builder->arena, "%s: %s both enters and leaves it", junction.item->tag,
					sheet->streams[junction.in.at[i]].stream->tag));
			return;
		}
	if (is_known(builder, &junction))
		return;
	sheet->junctions = arena_grow(
		builder->arena, sheet->junctions, sheet->junction_count, &builder->junctions, sizeof *sheet->junctions);
	sheet->junctions[sheet->junction_count++] = junction;
}

static struct junction new_junction(const struct builder *builder, const struct item *item, enum junction_sort sort)
{
	return (struct junction){.item = item, .sort = sort, .in = new_list(builder), .out = new_list(builder)};
}

static void add_contactor(struct builder *builder, const struct item *item, enum junction_sort sort)
{
	struct junction junction = new_junction(builder, item, sort);

	put_named(builder, &junction.in, item, "lean", "to");
	put_named(builder, &junction.in, item, "semi-lean", "to");
	put_named(builder, &junction.out, item, "rich", "from");
	put_ending(builder, &junction.in, "to", item, "lean semi-lean");
	if (junction.out.count == 0)
		put_ending(builder, &junction.out, "from", item, "rich");
	junction.gas_in = named(builder, item, sort == JUNCTION_TREATER ? "hydrocarbon" : "gas");
	junction.gas_out = named(builder, item, "treated");
	add_junction(builder, junction);
}

static void add_drum(struct builder *builder, const struct item *item)
{
	struct junction junction = new_junction(builder, item, JUNCTION_FLASH);

	put_named(builder, &junction.in, item, "rich", "to");
	put_ending(builder, &junction.in, "to", item, "rich");
	put_named(builder, &junction.out, item, "rich-outlet", "from");
	put_ending(builder, &junction.out, "from", item, "rich");
	junction.gas_out = named(builder, item, "gas");
	add_junction(builder, junction);
}

static void add_column(struct builder *builder, const struct item *item)
{
	struct junction junction = new_junction(builder, item, JUNCTION_REGENERATOR);

	put(&junction.in, index_of(builder, named(builder, item, "feed")));
	put(&junction.out, index_of(builder, named(builder, item, "lean")));
	if (junction.in.count == 0)
		put_ending(builder, &junction.in, "to", item, "rich");
	if (junction.out.count == 0)
		put_ending(builder, &junction.out, "from", item, "lean");
	put_ending(builder, &junction.out, "from", item, "semi-lean");
	junction.gas_out = acid_gas_of(builder->table, item, builder->operating_case);
	add_junction(builder, junction);
}

/* A split changes neither loadings nor temperature; a mix of one stream is none. */
static void add_meeting(struct builder *builder, struct junction junction)
{
	struct stream_list *all[] = {&junction.in, &junction.out};

	if (junction.in.count == 1)
		for (size_t k = 0; k < COUNT(all); k++)
			for (size_t i = 0; i < all[k]->count; i++) {
				join(builder, LOADING, junction.in.at[0], all[k]->at[i]);
				join(builder, TEMPERATURE, junction.in.at[0], all[k]->at[i]);
			}
	if (junction.in.count == 1 && junction.out.count == 1)
		join(builder, AMINE, junction.in.at[0], junction.out.at[0]);
	else
		add_junction(builder, junction);
}

static void add_network(struct builder *builder)
{
	static const char *const kinds[] = {"split", "mix"};

	for (size_t k = 0; k < COUNT(kinds); k++) {
		struct items items = table_of_kind(builder->table, kinds[k]);
		for (size_t i = 0; i < items.count; i++) {
			struct junction junction =
				new_junction(builder, items.rows[i], k == 0 ? JUNCTION_SPLIT : JUNCTION_MIX);
			put_words(builder, &junction.in, word_of(builder, items.rows[i], "from"));
			put_words(builder, &junction.out, word_of(builder, items.rows[i], "to"));
			add_meeting(builder, junction);
		}
	}
}

/* Does a contactor, a column, a drum, a pump or an exchanger take this stream up? */
static bool is_taken_up(const struct builder *builder, size_t stream)
{
	for (size_t i = 0; i < builder->sheet.junction_count; i++)
		if (item_is_any(builder->sheet.junctions[i].item, "absorber treater flash-drum regenerator") &&
			has(&builder->sheet.junctions[i].in, stream))
			return true;
	for (size_t i = 0; i < table_item_count(builder->table); i++) {
		const struct item *item = table_item(builder->table, i);
		if ((item_is(item, "pump") && index_of(builder, named(builder, item, "suction")) == stream) ||
			(item_in(item, CLASS_SIDE) && index_of(builder, named(builder, item, "inlet")) == stream))
			return true;
	}
	return false;
}

/*
 * What is drawn from a stream that equipment takes up is a part of it: a slip to a filter or bed, whose return few packages draw. Its
 * flow is its own; it holds what the stream holds.
 */
static void add_branches_of(struct builder *builder, size_t i)
{
	struct junction split = new_junction(builder, builder->sheet.streams[i].stream, JUNCTION_SPLIT);
	put(&split.in, i);
	put_ending(builder, &split.out, "from", split.item, "lean semi-lean rich");
	if (split.out.count == 0)
		return;
	if (is_taken_up(builder, i))
		for (size_t k = 0; k < split.out.count; k++)
			join(builder, LOADING, i, split.out.at[k]);
	else if (split.out.count == 1)
		pass_on(builder, i, split.out.at[0]); /* it may be heated or cooled on its way */
	else
		add_meeting(builder, split);
}

/* Streams that say they come from, or go to, another stream. */
static void add_branches(struct builder *builder)
{
	for (size_t i = 0; i < builder->sheet.stream_count; i++) {
		const struct item *stream = builder->sheet.streams[i].stream;
		struct junction mix = new_junction(builder, stream, JUNCTION_MIX);

		add_branches_of(builder, i);
		put(&mix.out, i);
		put_ending(builder, &mix.in, "to", stream, "lean semi-lean rich");
		if (mix.in.count == 1)
			pass_on(builder, mix.in.at[0], i);
		else if (mix.in.count > 1)
			add_meeting(builder, mix);
	}
}

/* Vessels through which the solution flows with nothing said of what they do: one in, one out. */
static void add_vessels(struct builder *builder)
{
	static const char *const kinds[] = {"tank", "vessel"};

	for (size_t k = 0; k < COUNT(kinds); k++) {
		struct items items = table_of_kind(builder->table, kinds[k]);
		for (size_t i = 0; i < items.count; i++) {
			struct junction junction = new_junction(builder, items.rows[i], JUNCTION_MIX);
			put_ending(builder, &junction.in, "to", items.rows[i], "lean semi-lean rich");
			put_ending(builder, &junction.out, "from", items.rows[i], "lean semi-lean rich");
			if (junction.in.count && junction.out.count)
				add_meeting(builder, junction);
		}
	}
}

/*
 * A stream from an exchanger to a column that is not the outlet the exchanger names, beside one that is: the same stream after its
 * letdown valve, where the column names it as its feed.
 */
static void join_let_down(struct builder *builder)
{
	for (size_t i = 0; i < builder->sheet.junction_count; i++) {
		const struct junction *junction = &builder->sheet.junctions[i];
		if (junction->sort != JUNCTION_REGENERATOR || junction->in.count != 1)
			continue;
		const struct item *feed = builder->sheet.streams[junction->in.at[0]].stream;
		const char *from = word_of(builder, feed, "from");
		for (size_t k = 0; from && k < builder->sheet.stream_count; k++) {
			const struct item *other = builder->sheet.streams[k].stream;
			if (other != feed && text_same(word_of(builder, other, "from"), from) &&
				text_same(word_of(builder, other, "to"), junction->item->tag) &&
				text_same(word_of(builder, other, "service"), "rich"))
				pass_on(builder, junction->in.at[0], k);
		}
	}
}

static void add_equipment(struct builder *builder)
{
	static const struct {
		const char *kind;
		enum junction_sort sort;
	} kinds[] = {{"absorber", JUNCTION_ABSORBER}, {"treater", JUNCTION_TREATER}, {"flash-drum", JUNCTION_FLASH},
		{"regenerator", JUNCTION_REGENERATOR}};

	for (size_t k = 0; k < COUNT(kinds); k++) {
		struct items items = table_of_kind(builder->table, kinds[k].kind);
		for (size_t i = 0; i < items.count; i++)
			if (kinds[k].sort == JUNCTION_FLASH)
				add_drum(builder, items.rows[i]);
			else if (kinds[k].sort == JUNCTION_REGENERATOR)
				add_column(builder, items.rows[i]);
			else
				add_contactor(builder, items.rows[i], kinds[k].sort);
	}
}

static void connect(struct builder *builder, size_t stream)
{
	if (stream != NO_STREAM)
		builder->sheet.streams[stream].connected = true;
}

static void finish(struct builder *builder)
{
	struct flowsheet *sheet = &builder->sheet;

	for (size_t i = 0; i < sheet->junction_count; i++) {
		for (size_t k = 0; k < sheet->junctions[i].in.count; k++)
			connect(builder, sheet->junctions[i].in.at[k]);
		for (size_t k = 0; k < sheet->junctions[i].out.count; k++)
			connect(builder, sheet->junctions[i].out.at[k]);
	}
	for (size_t i = 0; i < sheet->exchange_count; i++) {
		connect(builder, sheet->exchanges[i].hot_in);
		connect(builder, sheet->exchanges[i].hot_out);
		connect(builder, sheet->exchanges[i].cold_in);
		connect(builder, sheet->exchanges[i].cold_out);
	}
	for (size_t i = 0; i < sheet->stream_count; i++) {
		struct passing *stream = &sheet->streams[i];
		stream->amine = root(builder, AMINE, i);
		stream->loading = root(builder, LOADING, i);
		stream->temperature = root(builder, TEMPERATURE, i);
		stream->connected = stream->connected || stream->amine != i;
	}
	for (size_t i = 0; i < sheet->stream_count; i++) {
		struct passing *stream = &sheet->streams[i];
		sheet->streams[stream->amine].connected |= stream->amine != i;
	}
}

struct flowsheet flowsheet_of(struct arena *arena, const struct table *table, int operating_case)
{
	struct builder builder = {.arena = arena, .table = table, .operating_case = operating_case};

	gather_streams(&builder);
	add_equipment(&builder);
	add_network(&builder);
	add_branches(&builder);
	add_vessels(&builder);
	add_exchangers(&builder);
	add_pumps(&builder);
	join_let_down(&builder);
	finish(&builder);
	return builder.sheet;
}
