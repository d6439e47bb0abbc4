#include "resolve/doubtful.h"
#include "revamp/cases.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "compute/scene.h"

static const double FULL = 1;
static const double RICHER = 1.10, MORE_FLOW = 1.10, TURNDOWN = 0.5, FOULED = 0.7; /* where nothing is stated */
static const double HOTTER_AIR = 10, HOTTER_WATER = 5; /* K, where no other case states a hotter site */

/* ---- rows ---- */

static void leave_out(struct cases *cases, const char *words)
{
	struct arena *arena = cases->circuit.arena;
	cases->left_out = arena_grow(
		arena, cases->left_out, cases->left_out_count, &cases->left_out_capacity, sizeof *cases->left_out);
	cases->left_out[cases->left_out_count++] = words;
}

static struct solved_case *add_case(struct cases *cases, const char *id, const char *title)
{
	struct arena *arena = cases->circuit.arena;
	cases->rows = arena_grow(arena, cases->rows, cases->count, &cases->capacity, sizeof *cases->rows);
	struct solved_case *row = &cases->rows[cases->count++];
	*row = (struct solved_case){.id = id,
		.title = title,
		.what = "",
		.circuit = circuit_copy(arena, &cases->circuit),
		.circulation = FULL,
		.feed = FULL,
		.steam = FULL,
		.reflux = FULL,
		.overhead = FULL,
		.air = (double)NAN,
		.water = (double)NAN};
	return row;
}

static void solve(struct solved_case *row)
{
	if (!circuit_solve(&row->circuit))
		row->why = row->circuit.why;
}

/* ---- conditions ---- */

static void scale_gas(struct circuit *circuit, double flow, double acid)
{
	for (size_t i = 0; i < circuit->count; i++) {
		struct tower_gas *gas = &circuit->units[i].gas;
		double before = gas->inert + gas->acid[GAS_H2S] + gas->acid[GAS_CO2];
		for (size_t g = 0; g < GAS_COUNT; g++)
			gas->acid[g] *= flow * acid;
		gas->inert = before * flow - gas->acid[GAS_H2S] - gas->acid[GAS_CO2];
	}
}

static void scale_amine(struct circuit *circuit, double factor)
{
	for (size_t i = 0; i < circuit->sheet.stream_count; i++)
		circuit->amine[i] *= factor;
	for (size_t i = 0; i < circuit->count; i++)
		if (circuit->units[i].heat != HEAT_FIXED)
			circuit->units[i].duty *= factor;
}

static bool any_held(const struct circuit *circuit, enum circuit_sort sort)
{
	for (size_t i = 0; i < circuit->count; i++)
		if (circuit->units[i].sort == sort && circuit->units[i].held)
			return true;
	return false;
}

static size_t solved_of(const struct circuit *circuit, enum circuit_sort sort)
{
	size_t count = 0;
	for (size_t i = 0; i < circuit->count; i++)
		count += circuit->units[i].sort == sort && !circuit->units[i].held;
	return count;
}

static double site(const struct table *table, int operating_case, const char *name)
{
	const struct item *basis = table_sole(table, "basis");
	const struct quantity *value = basis ? table_peek(table, basis, operating_case, name) : NULL;
	return value && value->known != UNKNOWN ? value->si : (double)NAN;
}

static double acid_gas(const struct circuit *circuit)
{
	double sum = 0;
	for (size_t i = 0; i < circuit->count; i++)
		sum += circuit->units[i].gas.acid[GAS_H2S] + circuit->units[i].gas.acid[GAS_CO2];
	return sum;
}

/* ---- the base, with what nobody states ---- */

static bool states(const struct table *table, const struct item *stream, const char *name)
{
	const struct quantity *value = table_peek(table, stream, 0, name);
	return value && value->known != UNKNOWN;
}

/* A row where a stream leaves out a temperature or a loading that is solved. */
static void add_filled(const struct table *table, struct cases *cases)
{
	const struct flowsheet *sheet = &cases->circuit.sheet;
	bool all = true;
	for (size_t i = 0; i < sheet->stream_count; i++) {
		const struct item *stream = sheet->streams[i].stream;
		if (circuit_gives(&cases->circuit, i, false))
			all = all && states(table, stream, "temperature");
		if (circuit_gives(&cases->circuit, i, true))
			all = all && states(table, stream, "h2s") && states(table, stream, "co2");
	}
	cases->filled = !all;
	if (all)
		return;
	struct solved_case *row = add_case(cases, "solved-base", "Base, with what is not stated");
	row->what =
		"temperatures and loadings that nobody states, as solved; the cases that follow are compared with this";
	solve(row);
	cases->filled = !row->why;
}

/* ---- cases that the package states ---- */

static bool is_steady(const struct table *table, int operating_case)
{
	return !table_case(table, operating_case)->upset;
}

static void add_stated(struct arena *arena, const struct table *table, struct cases *cases)
{
	for (int c = 1; c < (int)table_case_count(table); c++) {
		const struct operating_case *stated = table_case(table, c);
		if (!is_steady(table, c))
			continue;
		struct solved_case *row = add_case(cases, stated->id, stated->title ? stated->title : stated->id);
		row->stated = true;
		row->operating_case = c;
		row->what = "stated by the package: solved with the feeds, flows and heat that it states";
		row->circuit = circuit_read(arena, table, c);
		row->why = row->circuit.fault;
		if (row->why)
			continue;
		circuit_take(&row->circuit, &cases->circuit);
		solve(row);
	}
}

/* The stated case for which `is` holds, and that brings least acid gas of several; or NULL. */
static const struct solved_case *stated_with(const struct cases *cases, const struct table *table,
	bool (*is)(const struct cases *cases, const struct table *table, const struct solved_case *row))
{
	const struct solved_case *found = NULL;
	for (size_t i = 0; i < cases->count; i++)
		if (cases->rows[i].stated && is(cases, table, &cases->rows[i]) &&
			(!found || acid_gas(&cases->rows[i].circuit) < acid_gas(&found->circuit)))
			found = &cases->rows[i];
	return found;
}

static bool is_hotter(const struct cases *cases, const struct table *table, const struct solved_case *row)
{
	(void)cases;
	return site(table, row->operating_case, "air-temperature") > site(table, 0, "air-temperature") ||
		site(table, row->operating_case, "water-temperature") > site(table, 0, "water-temperature");
}

static bool is_turndown(const struct cases *cases, const struct table *table, const struct solved_case *row)
{
	const double less = 0.9;
	(void)table;
	return acid_gas(&row->circuit) < less * acid_gas(&cases->circuit);
}

static void say_stated(struct arena *arena, struct cases *cases, const char *what, const struct solved_case *row)
{
	leave_out(cases, arena_format(arena, "%s: stated as case %s, which is solved beside it", what, row->id));
}

/* ---- the site, and cooling that is lost ---- */

static bool is_air(const struct circuit *circuit, const struct item *item)
{
	return text_same(table_word(circuit->table, item, circuit->operating_case, "cooling-medium"), "air");
}

static const struct item *condenser_of(const struct circuit *circuit)
{
	return table_sole(circuit->table, "condenser");
}

/* Each by the difference to what the base has, since the site's own may not be stated. */
static void warm(struct circuit *circuit, double air, double water)
{
	const struct item *condenser = condenser_of(circuit);
	for (size_t i = 0; i < circuit->count; i++) {
		struct circuit_unit *unit = &circuit->units[i];
		if (unit->sort == CIRCUIT_COOLER)
			unit->medium += is_air(circuit, unit->item) ? air : water;
		if (unit->sort == CIRCUIT_REGENERATOR && condenser)
			unit->column.drum_temperature += is_air(circuit, condenser) ? air : water;
	}
}

/* Is anything cooled by air, or by anything else? */
static bool uses(const struct circuit *circuit, bool air)
{
	const struct item *condenser = condenser_of(circuit);
	bool found = condenser && is_air(circuit, condenser) == air;
	for (size_t i = 0; i < circuit->count; i++)
		found = found ||
			(circuit->units[i].sort == CIRCUIT_COOLER && is_air(circuit, circuit->units[i].item) == air);
	return found;
}

/* How warm what cools the first cooler of the sort comes in the base, where the site does not say it. */
static double site_or_cooler(const struct circuit *circuit, double site, bool air)
{
	for (size_t i = 0; i < circuit->count && isnan(site); i++)
		if (circuit->units[i].sort == CIRCUIT_COOLER && is_air(circuit, circuit->units[i].item) == air)
			site = circuit->units[i].medium;
	return site;
}

static double hotter(double asked, double base, double by)
{
	return isnan(asked) || isnan(base) ? by : asked - base;
}

/* "" where nothing is cooled by it. */
static const char *site_words(struct arena *arena, const char *what, double stated, double by, bool used)
{
	if (!used)
		return "";
	if (isnan(stated))
		return arena_format(
			arena, "%s %.0f K warmer than in the base case (assumed: the site's is not stated)", what, by);
	return arena_format(arena, "%s of %s instead of %s", what,
		quantity_show_si(arena, stated + by, KIND_TEMPERATURE, "degC"),
		quantity_show_si(arena, stated, KIND_TEMPERATURE, "degC"));
}

static void add_hottest(struct arena *arena, const struct table *table, struct cases_asked asked, struct cases *cases)
{
	const struct solved_case *stated = stated_with(cases, table, is_hotter);
	double air = site(table, 0, "air-temperature"), water = site(table, 0, "water-temperature");
	double air_by = hotter(asked.air, site_or_cooler(&cases->circuit, air, true), HOTTER_AIR);
	double water_by = hotter(asked.water, site_or_cooler(&cases->circuit, water, false), HOTTER_WATER);
	if (stated && isnan(asked.air) && isnan(asked.water)) {
		say_stated(arena, cases, "hottest site", stated);
		return;
	}
	bool condenses = condenser_of(&cases->circuit) && solved_of(&cases->circuit, CIRCUIT_REGENERATOR);
	if (!solved_of(&cases->circuit, CIRCUIT_COOLER) && !condenses) {
		leave_out(cases, "hottest site: no cooler or condenser is solved");
		return;
	}
	struct solved_case *row = add_case(cases, "solved-hottest", "Hottest site");
	bool by_air = uses(&row->circuit, true), by_water = uses(&row->circuit, false);
	row->what = arena_format(arena, "%s%s%s", site_words(arena, "air", air, air_by, by_air),
		by_air && by_water ? ", " : "", site_words(arena, "cooling water", water, water_by, by_water));
	row->air = air + air_by;
	row->water = water + water_by;
	warm(&row->circuit, air_by, water_by);
	solve(row);
}

static void add_no_cooling(struct cases *cases)
{
	if (!solved_of(&cases->circuit, CIRCUIT_COOLER)) {
		leave_out(cases, "lean cooling lost: no cooler of the lean solution is solved");
		return;
	}
	struct solved_case *row = add_case(cases, "solved-no-lean-cooling", "Lean cooling lost");
	row->failure = true;
	row->what = "the lean cooler does not cool, and the circuit runs to a steady state; judged as if it lasted";
	for (size_t i = 0; i < row->circuit.count; i++)
		if (row->circuit.units[i].sort == CIRCUIT_COOLER)
			row->circuit.units[i].cooled = false;
	solve(row);
}

static void add_no_condenser(struct cases *cases)
{
	if (!condenser_of(&cases->circuit) || !solved_of(&cases->circuit, CIRCUIT_REGENERATOR)) {
		leave_out(cases, "condenser lost: no condenser of a regenerator that is solved");
		return;
	}
	struct solved_case *row = add_case(cases, "solved-no-condensing", "Condenser lost");
	row->failure = true;
	row->what = "the condenser does not cool: no water returns; steam and strength stay as they are; judged as if "
		    "it lasted";
	for (size_t i = 0; i < row->circuit.count; i++)
		if (row->circuit.units[i].sort == CIRCUIT_REGENERATOR)
			row->circuit.units[i].cooled = false;
	solve(row);
}

/* ---- a surface ---- */

static void add_fouled(struct arena *arena, const struct table *table, struct cases *cases)
{
	size_t number = 0;
	for (size_t i = 0; i < cases->circuit.count; i++) {
		const struct circuit_unit *unit = &cases->circuit.units[i];
		if (unit->sort != CIRCUIT_EXCHANGER || unit->held)
			continue;
		const struct quantity *allowance = table_peek(table, unit->item, 0, "fouling-allowance");
		bool stated = allowance && allowance->known != UNKNOWN;
		double left = stated ? 1 - allowance->si : FOULED;
		struct solved_case *row = add_case(cases, arena_format(arena, "solved-fouled-%zu", ++number),
			arena_format(arena, "%s fouled", unit->item->tag));
		row->what = arena_format(arena, "%.0f %% of the U A of %s (%s)", 100 * left, unit->item->tag,
			stated ? "its fouling allowance is lost" : "assumed");
		row->circuit.units[i].surface = left;
		solve(row);
	}
	if (!number)
		leave_out(cases,
			any_held(&cases->circuit, CIRCUIT_EXCHANGER)
				? "exchanger fouled: the lean/rich exchanger is not solved"
				: "exchanger fouled: no lean/rich exchanger is described");
}

/* ---- throughput and feed ---- */

/* The least flow of a lean pump over its flow; 0 where it is not stated. */
static double least_flow(const struct table *table)
{
	struct items pumps = table_of_kind(table, "pump");
	double most = 0;
	for (size_t i = 0; i < pumps.count; i++) {
		const struct quantity *least = table_peek(table, pumps.rows[i], 0, "minimum-flow");
		const struct quantity *flow = table_peek(table, pumps.rows[i], 0, "flow");
		if (text_same(table_word(table, pumps.rows[i], 0, "service"), "lean") && is_number(least) &&
			is_number(flow) && least->kind == flow->kind && least->si < flow->si)
			most = fmax(most, least->si / flow->si);
	}
	return most;
}

static void add_throughput(
	struct cases *cases, const char *id, const char *title, const char *what, double feed, double circulation)
{
	struct solved_case *row = add_case(cases, id, title);
	row->what = what;
	row->feed = feed;
	row->circulation = circulation;
	scale_gas(&row->circuit, feed, 1);
	scale_amine(&row->circuit, circulation);
	solve(row);
}

static void add_turndown(struct arena *arena, const struct table *table, struct cases *cases)
{
	const struct solved_case *stated = stated_with(cases, table, is_turndown);
	double circulation = fmax(TURNDOWN, least_flow(table));
	if (stated) {
		say_stated(arena, cases, "turndown", stated);
		return;
	}
	add_throughput(cases, "solved-turndown", "Turndown",
		arena_format(arena, "%.0f %% of the feed (assumed) and %.0f %% of the circulation%s", 100 * TURNDOWN,
			100 * circulation, circulation > TURNDOWN ? " (least flow of the lean pump)" : ""),
		TURNDOWN, circulation);
}

/* By how much acid gas of the feed may be more: the largest uncertainty that is stated of it. */
static double richer_by(const struct table *table, const struct circuit *circuit, bool *stated)
{
	static const char *const names[] = {"h2s", "co2"};
	double most = 0;
	for (size_t i = 0; i < circuit->count; i++) {
		const char *tag = circuit->units[i].sort == CIRCUIT_ABSORBER
			? table_word(table, circuit->units[i].item, 0, "gas")
			: NULL;
		const struct item *gas = tag ? table_find(table, tag) : NULL;
		for (size_t g = 0; gas && g < GAS_COUNT; g++) {
			const struct quantity *content = table_peek(table, gas, 0, names[g]);
			if (content && content->known == STATED && quantity_states_uncertainty(content))
				most = fmax(most, relative_uncertainty(content));
		}
	}
	*stated = most > 0;
	return *stated ? 1 + most : RICHER;
}

static void add_richer(struct arena *arena, const struct table *table, struct cases *cases)
{
	bool stated = false;
	double by = richer_by(table, &cases->circuit, &stated);
	struct solved_case *row = add_case(cases, "solved-richer-feed", "Richer feed");
	row->what = arena_format(arena, "%.3g times the H2S and CO2 of each feed (%s), circulation as it is", by,
		stated ? "the uncertainty stated" : "assumed");
	scale_gas(&row->circuit, 1, by);
	for (size_t i = 0; i < row->circuit.count; i++)
		if (!(row->circuit.units[i].gas.inert >= 0))
			row->why = "so much acid gas is more than the feed";
	if (!row->why)
		solve(row);
}

/* ---- absorbers at their worst at once ---- */

static double acid_of(const struct circuit_unit *unit)
{
	return unit->gas.acid[GAS_H2S] + unit->gas.acid[GAS_CO2];
}

/* The stated case in which the feed of the i-th unit of the base brings most acid gas; NULL: the base. */
static const struct solved_case *worst_of(const struct cases *cases, size_t i)
{
	const double more = 1.001;
	const struct solved_case *worst = NULL;
	double most = more * acid_of(&cases->circuit.units[i]);
	for (size_t k = 0; k < cases->count; k++) {
		const struct circuit *circuit = &cases->rows[k].circuit;
		if (cases->rows[k].stated && i < circuit->count &&
			circuit->units[i].item == cases->circuit.units[i].item && acid_of(&circuit->units[i]) > most) {
			worst = &cases->rows[k];
			most = acid_of(&circuit->units[i]);
		}
	}
	return worst;
}

static void add_worst(struct arena *arena, struct cases *cases)
{
	const struct solved_case *of[TOWER_STAGES] = {NULL};
	size_t absorbers = 0, at[TOWER_STAGES];
	bool differ = false;
	for (size_t i = 0; i < cases->circuit.count && absorbers < TOWER_STAGES; i++)
		if (cases->circuit.units[i].sort == CIRCUIT_ABSORBER && !cases->circuit.units[i].held) {
			at[absorbers] = i;
			of[absorbers] = worst_of(cases, i);
			differ = differ || (absorbers && of[absorbers] != of[0]);
			absorbers++;
		}
	if (!differ) {
		leave_out(cases,
			absorbers < 2 ? "absorbers at their worst at once: there is one absorber"
				      : "absorbers at their worst at once: one stated case has it");
		return;
	}
	struct tower_gas gas[TOWER_STAGES];
	struct text what = text_in(arena);
	for (size_t k = 0; k < absorbers; k++) {
		gas[k] = of[k] ? of[k]->circuit.units[at[k]].gas : cases->circuit.units[at[k]].gas;
		text_addf(&what, "%s%s as in case %s", k ? ", " : "", cases->circuit.units[at[k]].item->tag,
			of[k] ? of[k]->id : cases->base);
	}
	struct solved_case *row = add_case(cases, "solved-worst-feeds", "Absorbers at their worst at once");
	row->what = arena_format(arena, "feed of %s; circulation as in case %s", what.data, cases->base);
	for (size_t k = 0; k < absorbers; k++)
		row->circuit.units[at[k]].gas = gas[k];
	solve(row);
}

/* ---- all of them ---- */

void cases_make(struct arena *arena, const struct table *table, struct cases_asked asked, struct cases *cases)
{
	add_filled(table, cases);
	add_stated(arena, table, cases);
	add_hottest(arena, table, asked, cases);
	add_no_cooling(cases);
	add_no_condenser(cases);
	add_fouled(arena, table, cases);
	if (!solved_of(&cases->circuit, CIRCUIT_ABSORBER)) {
		leave_out(cases, "turndown, richer feed, more flow: no absorber is solved");
		return;
	}
	add_turndown(arena, table, cases);
	add_richer(arena, table, cases);
	add_worst(arena, cases);
	add_throughput(cases, "solved-more-flow", "10 % more flow", "1.1 times every feed and the circulation",
		MORE_FLOW, MORE_FLOW);
}

struct cases cases_of(struct arena *arena, const struct element *unit, const struct table *table,
	const struct catalogue *catalogue, struct cases_asked asked)
{
	struct cases cases = {.unit = unit, .base = table_case(table, 0)->id, .circuit = circuit_read(arena, table, 0)};
	struct doubtful doubtful = doubtful_statements(arena, table);
	for (size_t i = 0; i < doubtful.count; i++)
		circuit_note(&cases.circuit, doubtful.words[i]);
	cases.fault = cases.circuit.fault;
	if (!cases.fault) {
		circuit_calibrate(&cases.circuit);
		if (!circuit_solve_or_hold(&cases.circuit))
			cases.fault = cases.circuit.why;
	}
	if (cases.fault)
		return cases;
	cases_make(arena, table, asked, &cases);
	cases_values(arena, table, &cases);
	cases_build(arena, table, &cases);
	cases_judge(arena, catalogue, &cases);
	return cases;
}
