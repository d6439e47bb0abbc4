/*
 * Random circuits: vessels joined by chains of lines, filters, shells, pumps (one or two in series), letdown and block
 * valves. In half of them one item is too weak for what it is connected with, for the pump, or for what fills it when a
 * block valve is shut. A search of its own, over every simple path and by the drawing of the circuit, not by the
 * program's graph, says what each item sees; the rules must name the weak item and what it sees, and no other.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "review_support.h"

enum { BATCHES = 4, CIRCUITS = 6, NODES = 48, EDGES = 96, VESSELS = 3 };

static const double NONE = -1, OVER = 0.5; /* bar: what a sound item has beyond what it sees */

enum sort { VESSEL, LINE, FILTER, SHELL, SUCTION, DISCHARGE };

struct node {
	enum sort sort;
	char tag[24];
	double pressure; /* barg: of a vessel what it is designed for, of a pump what it gives against a closed valve */
	double suction, rise;  /* barg and bar, of a pump at its rated flow */
	double low, high, fed; /* barg, by the search: vessels in the open, lowest and highest; pumps */
	double shut_in; /* barg, by the search: what stands upstream of a letdown valve, a block valve downstream being shut */
	int lowest, feeder; /* nodes that give them */
	double design;
	bool starts_at_pump, has_valve, has_block;
	int from, to; /* of what is drawn */
};

struct edge {
	int from, to;
	bool valve; /* lets down from `from` to `to` */
	bool block; /* downstream of it, where there is one */
};

struct circuit {
	struct node nodes[NODES];
	struct edge edges[EDGES];
	int node_count, edge_count;
	int weak; /* node, or -1 */
	enum { BY_VESSEL, BY_PUMP, BY_BLOCK, KINDS } by;
};

/* Numerical Recipes' quick generator (ranqd1): the same circuits on every machine. */
static unsigned state;

static unsigned draw(unsigned below)
{
	state = state * 1664525u + 1013904223u;
	return (state >> 16) % below;
}

/* ---- drawing ---- */

static int add(struct circuit *circuit, enum sort sort, const char *letter, int number)
{
	struct node *node = &circuit->nodes[circuit->node_count];
	cr_assert(circuit->node_count < NODES);
	*node = (struct node){.sort = sort,
		.low = NONE,
		.high = NONE,
		.fed = NONE,
		.shut_in = NONE,
		.lowest = -1,
		.feeder = -1,
		.from = -1,
		.to = -1};
	(void)snprintf(node->tag, sizeof node->tag, "%s-%d-%d", letter, number, circuit->node_count);
	return circuit->node_count++;
}

static void join(struct circuit *circuit, int from, int to, bool valve, bool block)
{
	cr_assert(circuit->edge_count < EDGES);
	circuit->edges[circuit->edge_count++] = (struct edge){from, to, valve, block};
}

/* A line from one to the other, with a letdown valve in it, a block valve at its end, or neither. */
static void add_line(struct circuit *circuit, int number, int from, int to, bool valve)
{
	int line = add(circuit, LINE, "L", number);
	circuit->nodes[line].from = from;
	circuit->nodes[line].to = to;
	circuit->nodes[line].has_valve = valve;
	circuit->nodes[line].starts_at_pump = circuit->nodes[from].sort == DISCHARGE;
	circuit->nodes[line].has_block = draw(3) == 0;
	join(circuit, from, line, false, false);
	join(circuit, line, to, valve, circuit->nodes[line].has_block);
}

static int add_pump(struct circuit *circuit, int number)
{
	int suction = add(circuit, SUCTION, "P", number), discharge = add(circuit, DISCHARGE, "P", number);
	struct node *node = &circuit->nodes[discharge];
	memcpy(node->tag, circuit->nodes[suction].tag, sizeof node->tag);
	node->suction = 1 + (double)draw(100) / 10;
	node->rise = 20 + (double)draw(500) / 10;
	return suction;
}

/* From vessel to vessel, through two or three items, with a pump or two, or a valve, somewhere or nothing. */
static void add_chain(struct circuit *circuit, int number, int from, int to)
{
	int here = from, items = 2 + (int)draw(2), pump_at = draw(2) ? -1 : (int)draw((unsigned)items),
	    valve_at = draw(2) ? -1 : (int)draw((unsigned)items + 1);
	bool boosted = draw(2);
	for (int i = 0; i < items; i++) {
		bool valve = valve_at == i;
		if (i == pump_at || (boosted && pump_at >= 0 && i == pump_at + 1)) {
			int suction = add_pump(circuit, number);
			add_line(circuit, number, here, suction, valve);
			here = suction + 1;
			continue;
		}
		bool shell = draw(2);
		int next = add(circuit, shell ? SHELL : FILTER, shell ? "E" : "F", number);
		add_line(circuit, number, here, next, valve);
		here = next;
	}
	add_line(circuit, number, here, to, valve_at == items);
}

static void draw_circuit(struct circuit *circuit, int number)
{
	*circuit = (struct circuit){.weak = -1};
	for (int i = 0; i < VESSELS; i++) {
		int vessel = add(circuit, VESSEL, "V", number);
		circuit->nodes[vessel].pressure = 3 + (double)draw(400) / 10;
	}
	for (int i = 0; i < VESSELS; i++)
		if (i < 2 || draw(2))
			add_chain(circuit, number, i, (i + 1) % VESSELS);
	if (draw(2))
		add_chain(circuit, number, 0, 1); /* a second way */
}

/* ---- the search over every simple path ---- */

struct search {
	struct circuit *circuit;
	bool seen[NODES];
	void (*arrive)(struct circuit *circuit, int start, int node);
	int start;
	bool through_valves;
};

static void walk(struct search *search, int node)
{
	struct circuit *circuit = search->circuit;
	search->arrive(circuit, search->start, node);
	if (node != search->start && circuit->nodes[node].sort == VESSEL)
		return;
	search->seen[node] = true;
	for (int i = 0; i < circuit->edge_count; i++) {
		const struct edge *edge = &circuit->edges[i];
		bool with = edge->from == node, against = edge->to == node && !edge->valve;
		if (!(with && (!edge->valve || search->through_valves)) && !against)
			continue;
		int next = with ? edge->to : edge->from;
		if (!search->seen[next])
			walk(search, next);
	}
	search->seen[node] = false; /* so that every path is walked */
}

static void meet_vessel(struct circuit *circuit, int start, int node)
{
	struct node *item = &circuit->nodes[start];
	double pressure = circuit->nodes[node].pressure;
	if (node == start || circuit->nodes[node].sort != VESSEL)
		return;
	item->high = fmax(item->high, pressure);
	if (item->lowest < 0 || pressure < item->low) {
		item->low = pressure;
		item->lowest = node;
	}
}

static void feed(struct circuit *circuit, int start, int node)
{
	struct node *item = &circuit->nodes[node];
	if (item->fed < circuit->nodes[start].pressure) {
		item->fed = circuit->nodes[start].pressure;
		item->feeder = start;
	}
}

static bool is_judged(const struct node *node)
{
	return node->sort == LINE || node->sort == FILTER || node->sort == SHELL;
}

/* With the flow alone, up to vessels, pumps and valves, and past block valves or not. */
static void fill(const struct circuit *circuit, int node, bool past_blocks, bool reached[NODES])
{
	reached[node] = true;
	if (circuit->nodes[node].sort == VESSEL)
		return;
	for (int i = 0; i < circuit->edge_count; i++) {
		const struct edge *edge = &circuit->edges[i];
		if (edge->from == node && !edge->valve && (past_blocks || !edge->block))
			fill(circuit, edge->to, past_blocks, reached);
	}
}

/* What lies between a letdown valve and a block valve downstream of it fills to the lowest vessel upstream of the letdown. */
static void shut_in(struct circuit *circuit, const struct edge *valve)
{
	bool open[NODES] = {false}, shut[NODES] = {false}, blocked = false;
	if (valve->block) /* in the same line: nothing lies between */
		return;
	fill(circuit, valve->to, true, open);
	fill(circuit, valve->to, false, shut);
	for (int i = 0; i < circuit->node_count; i++)
		blocked = blocked || (open[i] && !shut[i]);
	for (int i = 0; i < circuit->node_count; i++)
		if (blocked && shut[i])
			circuit->nodes[i].shut_in = circuit->nodes[valve->from].low;
}

static void search_all(struct circuit *circuit)
{
	for (int i = 0; i < circuit->node_count; i++) {
		struct search from_item = {.circuit = circuit, .arrive = meet_vessel, .start = i};
		struct search from_pump = {.circuit = circuit, .arrive = feed, .start = i, .through_valves = true};
		struct node *node = &circuit->nodes[i];
		if (is_judged(node))
			walk(&from_item, i);
		if (node->sort != DISCHARGE)
			continue;
		/* In the order of the flow: what feeds a pump has been walked already, and the node before it is its suction. */
		node->pressure = fmax(node->suction, circuit->nodes[i - 1].fed) + 1.25 * node->rise;
		walk(&from_pump, i);
	}
	for (int i = 0; i < circuit->edge_count; i++)
		if (circuit->edges[i].valve)
			shut_in(circuit, &circuit->edges[i]);
}

/* ---- sound, but for one ---- */

static double sees_without(const struct node *node, int kind)
{
	double sees = kind == BY_VESSEL ? 0 : node->high;
	sees = kind == BY_PUMP || node->starts_at_pump ? sees : fmax(sees, node->fed);
	return fmax(kind == BY_BLOCK ? sees : fmax(sees, node->shut_in), 0);
}

static void design_all(struct circuit *circuit)
{
	for (int i = 0; i < circuit->node_count; i++) {
		struct node *node = &circuit->nodes[i];
		node->design = fmax(fmax(fmax(node->high, node->fed), node->shut_in), 1) + OVER;
	}
}

/* For one cause: too little for it, and enough for all others; of vessels, perhaps too little for others as well. */
static bool plant(struct circuit *circuit, int kind)
{
	int first = (int)draw((unsigned)circuit->node_count);
	for (int i = 0; i < circuit->node_count && circuit->weak < 0; i++) {
		struct node *node = &circuit->nodes[(first + i) % circuit->node_count];
		double cause = kind == BY_VESSEL ? node->low : kind == BY_PUMP ? node->fed : node->shut_in;
		bool pumped = kind == BY_PUMP && node->starts_at_pump;
		double enough = kind == BY_VESSEL ? cause - 2 * OVER : sees_without(node, kind);
		if (!is_judged(node) || pumped || cause <= 0 || enough >= cause - OVER)
			continue;
		circuit->weak = (int)(node - circuit->nodes);
		circuit->by = (unsigned)kind;
		node->design = enough + OVER / 2;
	}
	return circuit->weak >= 0;
}

/* ---- as a description ---- */

static void write_node(struct text *text, const struct circuit *circuit, const struct node *node)
{
	switch (node->sort) {
	case VESSEL:
		text_addf(text,
			"<vessel tag='%s' design-pressure='%.17g barg'><relief-valve tag='PSV-%s' set-pressure='%.17g "
			"barg'/></vessel>",
			node->tag, node->pressure, node->tag, node->pressure);
		break;
	case LINE:
		text_addf(text, "<line tag='%s' from='%s' to='%s' design-pressure='%.17g barg'>%s</line>", node->tag,
			circuit->nodes[node->from].tag, circuit->nodes[node->to].tag, node->design,
			arena_format(text->arena, "%s%s", node->has_valve ? "<valve role='letdown'/>" : "",
				node->has_block ? "<valve role='block'/>" : ""));
		break;
	case FILTER:
		text_addf(text, "<filter tag='%s' design-pressure='%.17g barg'/>", node->tag, node->design);
		break;
	case SHELL:
		text_addf(text, "<exchanger tag='%s'><shell-side design-pressure='%.17g barg'/></exchanger>", node->tag,
			node->design);
		break;
	case SUCTION:
		break;
	case DISCHARGE:
		text_addf(text, "<pump tag='%s' suction-pressure='%.17g barg' discharge-pressure='%.17g barg'/>",
			node->tag, node->suction, node->suction + node->rise);
		break;
	}
}

static struct trial trial;

static const struct finding *finding_of(const char *rule, const struct node *node)
{
	return trial_finding(
		&trial, rule, node->sort == SHELL ? arena_format(&trial.arena, "%s shell side", node->tag) : node->tag);
}

static bool departs(const struct finding *finding)
{
	return finding && finding->verdict == VERDICT_DEPARTS;
}

static const char *word(const struct finding *finding, const char *name)
{
	for (size_t i = 0; i < finding->input_count; i++)
		if (text_same(finding->rule->inputs[i].name, name))
			return finding->inputs[i].quantity->word;
	return "";
}

static size_t compare(const struct circuit *circuit)
{
	size_t found = 0;
	for (int i = 0; i < circuit->node_count; i++) {
		const struct node *node = &circuit->nodes[i];
		if (!is_judged(node))
			continue;
		bool vessel = node->lowest >= 0 && node->design < node->low,
		     pump = node->feeder >= 0 && !node->starts_at_pump && node->design < node->fed;
		const struct finding *by_vessel = finding_of("ENV-003", node), *by_pump = finding_of("ENV-004", node);
		bool block = node->shut_in > 0 && node->design < node->shut_in;
		cr_expect(departs(by_vessel) == vessel, "%s: ENV-003", node->tag);
		cr_expect(departs(finding_of("ENV-006", node)) == block, "%s: ENV-006", node->tag);
		cr_expect(departs(by_pump) == pump, "%s: ENV-004", node->tag);
		if (departs(by_vessel) && vessel)
			cr_expect_str_eq(word(by_vessel, "with"), circuit->nodes[node->lowest].tag);
		if (departs(by_pump) && pump)
			cr_expect_str_eq(word(by_pump, "pump"), circuit->nodes[node->feeder].tag);
		cr_expect(i == circuit->weak || (!vessel && !pump && !block), "%s is weak and was not planted",
			node->tag);
		found += i == circuit->weak && (vessel || pump || block);
	}
	return found;
}

Test(envelope_circuits, the_planted_weak_item_is_named_and_no_other)
{
	static struct circuit circuits[CIRCUITS];
	const char *more = getenv("LEANRICH_CIRCUITS"); /* batches of six, by hand */
	int batches = more ? (int)strtol(more, NULL, 10) : BATCHES;
	size_t planted = 0, found = 0, by[KINDS] = {0};
	trial_open(&trial, NULL);
	state = 29; /* fixed: the same circuits each time */
	for (int batch = 0; batch < batches; batch++) {
		struct text text = text_in(&trial.arena);
		for (int i = 0; i < CIRCUITS; i++) {
			draw_circuit(&circuits[i], i);
			search_all(&circuits[i]);
			design_all(&circuits[i]);
			for (int kind = 0; i % 2 && kind < KINDS; kind++)
				plant(&circuits[i], ((i % 4 == 1 ? BY_PUMP : BY_BLOCK) + kind) % KINDS);
			planted += circuits[i].weak >= 0;
			by[circuits[i].by] += circuits[i].weak >= 0;
			for (int k = 0; k < circuits[i].node_count; k++)
				write_node(&text, &circuits[i], &circuits[i].nodes[k]);
		}
		char *body = checked_strdup(text.data);
		trial_review_unit(&trial, "MDEA", body);
		free(body);
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		for (int i = 0; i < CIRCUITS; i++)
			found += compare(&circuits[i]);
	}
	cr_expect(planted + 2 * (size_t)batches >= (size_t)batches * CIRCUITS / 2 && by[BY_VESSEL] >= 3 &&
			by[BY_PUMP] >= 3 && by[BY_BLOCK] >= 3,
		"%zu: %zu, %zu, %zu", planted, by[BY_VESSEL], by[BY_PUMP], by[BY_BLOCK]);
	cr_expect(found == planted, "%zu of %zu", found, planted);
	trial_close(&trial);
}
