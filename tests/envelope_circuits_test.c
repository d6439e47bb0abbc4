/*
 * Random circuits: vessels joined by chains of lines, filters, shells, pumps and letdown valves. In half of them one item is too weak for
 * what it is connected with, or for the pump. A search of its own, over every simple path and by the drawing of the circuit, not by the
 * program's graph, says what each item sees; the rules must name the weak item and what it sees, and no other.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "review_support.h"

enum { BATCHES = 3, CIRCUITS = 12, NODES = 48, EDGES = 96, VESSELS = 3 };

static const double NONE = -1, OVER = 0.5; /* bar: what a sound item has beyond what it sees */

enum sort { VESSEL, LINE, FILTER, SHELL, SUCTION, DISCHARGE };

struct node {
	enum sort sort;
	char tag[24];
	double pressure; /* barg: of a vessel what it is designed for, of a pump what it gives against a closed valve */
	double low, high, fed; /* barg, by the search: vessels in the open, lowest and highest; pumps */
	int lowest, feeder;    /* nodes that give them */
	double design;
	bool starts_at_pump, has_valve;
	int from, to; /* of what is drawn */
};

struct edge {
	int from, to;
	bool valve; /* lets down from `from` to `to` */
};

struct circuit {
	struct node nodes[NODES];
	struct edge edges[EDGES];
	int node_count, edge_count;
	int weak; /* node, or -1 */
	bool by_pump;
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
	*node = (struct node){
		.sort = sort, .low = NONE, .high = NONE, .fed = NONE, .lowest = -1, .feeder = -1, .from = -1, .to = -1};
	(void)snprintf(node->tag, sizeof node->tag, "%s-%d-%d", letter, number, circuit->node_count);
	return circuit->node_count++;
}

static void join(struct circuit *circuit, int from, int to, bool valve)
{
	cr_assert(circuit->edge_count < EDGES);
	circuit->edges[circuit->edge_count++] = (struct edge){from, to, valve};
}

/* A line from one to the other, with a letdown valve in it or not; returns the line. */
static int add_line(struct circuit *circuit, int number, int from, int to, bool valve)
{
	int line = add(circuit, LINE, "L", number);
	circuit->nodes[line].from = from;
	circuit->nodes[line].to = to;
	circuit->nodes[line].has_valve = valve;
	circuit->nodes[line].starts_at_pump = circuit->nodes[from].sort == DISCHARGE;
	join(circuit, from, line, false);
	join(circuit, line, to, valve);
	return line;
}

/* From vessel to vessel, through up to three items, with a pump or a valve somewhere or nothing. */
static void add_chain(struct circuit *circuit, int number, int from, int to)
{
	int here = from, items = 1 + (int)draw(3), pump_at = draw(2) ? -1 : (int)draw((unsigned)items),
	    valve_at = draw(2) ? -1 : (int)draw((unsigned)items + 1);
	for (int i = 0; i < items; i++) {
		if (i == pump_at) {
			int suction = add(circuit, SUCTION, "P", number),
			    discharge = add(circuit, DISCHARGE, "P", number);
			memcpy(circuit->nodes[discharge].tag, circuit->nodes[suction].tag,
				sizeof circuit->nodes[suction].tag);
			circuit->nodes[discharge].pressure = 40 + (double)draw(600) / 10;
			add_line(circuit, number, here, suction, valve_at == i);
			here = discharge;
			continue;
		}
		bool shell = draw(2);
		int next = add(circuit, shell ? SHELL : FILTER, shell ? "E" : "F", number);
		add_line(circuit, number, here, next, valve_at == i);
		here = next;
	}
	add_line(circuit, number, here, to, valve_at == items);
}

static void draw_circuit(struct circuit *circuit, int number)
{
	*circuit = (struct circuit){.weak = -1};
	for (int i = 0; i < VESSELS; i++) {
		int vessel = add(circuit, VESSEL, "V", number);
		circuit->nodes[vessel].pressure = 3 + (double)draw(700) / 10;
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

static void search_all(struct circuit *circuit)
{
	for (int i = 0; i < circuit->node_count; i++) {
		struct search from_item = {.circuit = circuit, .arrive = meet_vessel, .start = i};
		struct search from_pump = {.circuit = circuit, .arrive = feed, .start = i, .through_valves = true};
		if (is_judged(&circuit->nodes[i]))
			walk(&from_item, i);
		if (circuit->nodes[i].sort == DISCHARGE)
			walk(&from_pump, i);
	}
}

/* ---- sound, but for one ---- */

static void design_all(struct circuit *circuit)
{
	for (int i = 0; i < circuit->node_count; i++) {
		struct node *node = &circuit->nodes[i];
		node->design = fmax(fmax(node->high, node->fed), 1) + OVER;
	}
}

/* By a pump where that is asked for, or by the vessels that it is open to. */
static bool plant(struct circuit *circuit, bool for_pump)
{
	int first = (int)draw((unsigned)circuit->node_count);
	for (int i = 0; i < circuit->node_count && circuit->weak < 0; i++) {
		struct node *node = &circuit->nodes[(first + i) % circuit->node_count];
		bool by_pump = node->fed > node->low && !node->starts_at_pump;
		if (!is_judged(node) || by_pump != for_pump || (!by_pump && node->lowest < 0) ||
			(by_pump && node->high >= node->fed - OVER))
			continue;
		circuit->weak = (int)(node - circuit->nodes);
		circuit->by_pump = by_pump;
		/* Of the pump alone, so that one rule speaks; or of the vessels, and then perhaps of a pump as well. */
		node->design = by_pump ? fmax(node->high, 0) + OVER / 2 : node->low - OVER;
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
			node->has_valve ? "<valve role='letdown'/>" : "");
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
		text_addf(text, "<pump tag='%s' shut-off-pressure='%.17g barg'/>", node->tag, node->pressure);
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
		cr_expect(departs(by_vessel) == vessel, "%s: ENV-003", node->tag);
		cr_expect(departs(by_pump) == pump, "%s: ENV-004", node->tag);
		if (departs(by_vessel) && vessel)
			cr_expect_str_eq(word(by_vessel, "with"), circuit->nodes[node->lowest].tag);
		if (departs(by_pump) && pump)
			cr_expect_str_eq(word(by_pump, "pump"), circuit->nodes[node->feeder].tag);
		cr_expect(i == circuit->weak || (!vessel && !pump), "%s is weak and was not planted", node->tag);
		found += i == circuit->weak && (vessel || pump);
	}
	return found;
}

Test(envelope_circuits, the_planted_weak_item_is_named_and_no_other)
{
	static struct circuit circuits[CIRCUITS];
	size_t planted = 0, found = 0, by_pump = 0;
	trial_open(&trial, NULL);
	state = 20; /* fixed: the same circuits each time */
	for (int batch = 0; batch < BATCHES; batch++) {
		struct text text = text_in(&trial.arena);
		for (int i = 0; i < CIRCUITS; i++) {
			draw_circuit(&circuits[i], i);
			search_all(&circuits[i]);
			design_all(&circuits[i]);
			if (i % 2 && !plant(&circuits[i], i % 4 == 1))
				plant(&circuits[i], i % 4 != 1);
			planted += circuits[i].weak >= 0;
			by_pump += circuits[i].weak >= 0 && circuits[i].by_pump;
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
	cr_expect(planted >= BATCHES * CIRCUITS / 2 - 2 && by_pump >= 3 && by_pump + 3 <= planted, "%zu, %zu", planted,
		by_pump);
	cr_expect(found == planted, "%zu of %zu", found, planted);
	trial_close(&trial);
}
