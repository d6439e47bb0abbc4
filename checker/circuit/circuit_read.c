#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "circuit/circuit.h"
#include "compute/absorber.h"
#include "compute/regenerator_solve.h"
#include "compute/solvent.h"

static const double USUAL_GAS_HEAT = 40; /* J/mol/K, as compute/absorber.h takes */

static struct scene look(const struct circuit *circuit, const struct item *item)
{
	return (struct scene){.table = circuit->table, .item = item, .operating_case = circuit->operating_case};
}

/* NaN: not known. A bound counts at its bound. */
static double number(const struct circuit *circuit, const struct item *item, const char *name)
{
	const struct quantity *quantity = item ? table_peek(circuit->table, item, circuit->operating_case, name) : NULL;
	return quantity && quantity->known != UNKNOWN && kind_is_number(quantity->kind) ? quantity->si : (double)NAN;
}

static const char *word(const struct circuit *circuit, const struct item *item, const char *name)
{
	return item ? table_word(circuit->table, item, circuit->operating_case, name) : NULL;
}

void circuit_note(struct circuit *circuit, const char *words)
{
	circuit->notes = arena_grow(
		circuit->arena, circuit->notes, circuit->note_count, &circuit->note_capacity, sizeof *circuit->notes);
	circuit->notes[circuit->note_count++] = words;
}

/* ---- streams ---- */

static void read_stream(struct circuit *circuit, size_t i)
{
	static const char *const names[] = {"h2s", "co2"};
	const struct passing *passing = &circuit->sheet.streams[i];
	double temperature = number(circuit, passing->stream, "temperature");
	double *loading = circuit->loading[passing->loading];
	double found[GAS_COUNT], total = number(circuit, passing->stream, "loading");
	for (size_t g = 0; g < GAS_COUNT; g++)
		found[g] = number(circuit, passing->stream, names[g]);
	for (size_t g = 0; g < GAS_COUNT; g++) /* one gas and the whole give the other */
		if (isnan(found[g]) && !isnan(found[1 - g]))
			found[g] = isfinite(total) ? fmax(total - found[1 - g], 0) : 0;
	if (isnan(loading[0]) && !isnan(found[0]))
		memcpy(loading, found, sizeof found);
	if (isnan(circuit->temperature[passing->temperature]))
		circuit->temperature[passing->temperature] = temperature;
}

static void read_flow(struct circuit *circuit, size_t i)
{
	const struct passing *passing = &circuit->sheet.streams[i];
	const double *loading = circuit->loading[passing->loading], none[GAS_COUNT] = {0, 0};
	double mass = number(circuit, passing->stream, "mass-flow");
	double each = property_loaded_mass(circuit->solvent.mass_fraction, isnan(loading[0]) ? none : loading);
	if (isnan(circuit->amine[passing->amine]))
		circuit->amine[passing->amine] = mass / each;
}

static double sum_of(const struct circuit *circuit, const struct stream_list *list, size_t *unknown, size_t *missing)
{
	double sum = 0;
	for (size_t i = 0; i < list->count; i++) {
		size_t root = circuit->sheet.streams[list->at[i]].amine;
		if (isnan(circuit->amine[root])) {
			*unknown = root;
			(*missing)++;
		} else {
			sum += circuit->amine[root];
		}
	}
	return sum;
}

/* The one flow of a junction that nothing states. */
static void close_flows(struct circuit *circuit)
{
	for (size_t round = 0; round < circuit->sheet.junction_count; round++)
		for (size_t i = 0; i < circuit->sheet.junction_count; i++) {
			const struct junction *junction = &circuit->sheet.junctions[i];
			size_t unknown = NO_STREAM, in = 0, out = 0;
			double enters = sum_of(circuit, &junction->in, &unknown, &in);
			double leaves = sum_of(circuit, &junction->out, &unknown, &out);
			double rest = in ? leaves - enters : enters - leaves;
			if (in + out == 1 && rest > 0)
				circuit->amine[unknown] = rest;
		}
}

static void read_streams(struct circuit *circuit)
{
	size_t count = circuit->sheet.stream_count + 1;
	circuit->amine = arena_alloc(circuit->arena, count * sizeof *circuit->amine);
	circuit->loading = arena_alloc(circuit->arena, count * sizeof *circuit->loading);
	circuit->temperature = arena_alloc(circuit->arena, count * sizeof *circuit->temperature);
	for (size_t i = 0; i < count; i++)
		circuit->amine[i] = circuit->temperature[i] = circuit->loading[i][0] = circuit->loading[i][1] =
			(double)NAN;
	for (size_t i = 0; i < circuit->sheet.stream_count; i++)
		read_stream(circuit, i);
	for (size_t i = 0; i < circuit->sheet.stream_count; i++)
		read_flow(circuit, i);
	close_flows(circuit);
}

/* ---- equipment ---- */

/* mol/mol of a gas; of what is not stated none. */
static void read_shares(struct circuit *circuit, const struct item *gas, double share[GAS_COUNT])
{
	static const char *const partial[] = {"h2s-partial-pressure", "co2-partial-pressure"},
				 *const names[] = {"h2s", "co2"};
	double pressure = number(circuit, gas, "pressure");
	for (size_t g = 0; g < GAS_COUNT; g++) {
		share[g] = number(circuit, gas, partial[g]) / pressure;
		if (isnan(share[g])) {
			circuit_note(circuit,
				arena_format(
					circuit->arena, "%s of %s is not known: taken as none", names[g], gas->tag));
			share[g] = 0;
		}
	}
}

static const char *read_gas(struct circuit *circuit, const struct junction *junction, struct circuit_unit *unit)
{
	const struct item *gas = junction->gas_in;
	struct scene scene = look(circuit, junction->item);
	struct input input;
	double share[GAS_COUNT] = {0, 0}, heat = number(circuit, junction->item, "gas-heat-capacity");
	if (!item_is(gas, "gas"))
		return "no feed gas is described";
	double flow = absorber_gas_flow(&scene, gas, &input);
	unit->gas.pressure = number(circuit, gas, "pressure");
	unit->gas.temperature = number(circuit, gas, "temperature");
	if (isnan(flow) || isnan(unit->gas.pressure))
		return arena_format(
			circuit->arena, "%s of %s is not known", isnan(flow) ? "flow" : "pressure", gas->tag);
	read_shares(circuit, gas, share);
	if (!(share[GAS_H2S] + share[GAS_CO2] > 0))
		return arena_format(circuit->arena, "neither H2S nor CO2 of %s is known", gas->tag);
	if (!(share[GAS_H2S] + share[GAS_CO2] < 1))
		return arena_format(circuit->arena, "%s is all acid gas", gas->tag);
	for (size_t g = 0; g < GAS_COUNT; g++)
		unit->gas.acid[g] = flow * share[g];
	unit->gas.inert = flow - unit->gas.acid[GAS_H2S] - unit->gas.acid[GAS_CO2];
	unit->gas.heat_capacity = isnan(heat) ? USUAL_GAS_HEAT : heat;
	enum truth saturated =
		quantity_truth(table_peek(circuit->table, gas, circuit->operating_case, "water-saturated"));
	unit->gas.saturated = saturated != NO;
	if (saturated == PERHAPS)
		circuit_note(circuit,
			arena_format(circuit->arena, "%s: taken as saturated with water, as nothing says otherwise",
				gas->tag));
	return NULL;
}

static const struct item *condenser_of(const struct circuit *circuit, const struct item *regenerator)
{
	struct items condensers = table_of_kind(circuit->table, "condenser");
	const char *overhead = word(circuit, regenerator, "acid-gas");
	for (size_t i = 0; overhead && i < condensers.count; i++)
		if (text_same(word(circuit, condensers.rows[i], "acid-gas"), overhead))
			return condensers.rows[i];
	return table_sole(circuit->table, "condenser");
}

static enum circuit_heat heat_of(struct circuit *circuit, const struct item *column, const struct item *reboiler)
{
	const char *control = word(circuit, column, "heat-control");
	if (!control)
		control = word(circuit, reboiler, "heat-control");
	if (text_same(control, "fixed") || text_same(control, "none"))
		return HEAT_FIXED;
	if (text_same(control, "overhead temperature") || text_same(control, "reflux flow"))
		return HEAT_BY_REFLUX;
	if (!control)
		circuit_note(circuit,
			arena_format(circuit->arena,
				"what controls the heat of %s is not stated: taken in ratio to the circulation",
				column->tag));
	return HEAT_BY_CIRCULATION;
}

/* The feed as the circuit has it; where it is not known a round figure, with which nothing is calculated but by reflux. */
static struct stream_solution feed_of(const struct circuit *circuit, const struct circuit_unit *unit, bool *known)
{
	const double loading = 0.35, temperature = 370; /* mol/mol, K */
	struct stream_solution feed = {.known = true, .state = circuit_solution(circuit, unit->in->at[0])};
	*known = isfinite(feed.state.loading[0]) && isfinite(feed.state.temperature);
	for (size_t g = 0; g < GAS_COUNT; g++)
		if (isnan(feed.state.loading[g]))
			feed.state.loading[g] = loading / GAS_COUNT;
	if (isnan(feed.state.temperature))
		feed.state.temperature = temperature;
	return feed;
}

static const char *missing_of(const struct circuit *circuit, const struct regenerator_inputs *inputs)
{
	for (size_t i = 0; i < inputs->count; i++)
		if (!inputs_known(&inputs->rows[i], 1)) {
			const char *reason = input_missing(circuit->arena, &inputs->rows[i]).reason;
			return reason ? reason : arena_format(circuit->arena, "%s is not known", inputs->rows[i].name);
		}
	return inputs->known ? NULL : "not all of it is known";
}

/* W: as stated, or what gives the reflux that is. NULL, or why there is none. */
static const char *read_duty(struct regenerator_inputs *inputs, const struct solution_input *feed, bool feed_known,
	struct circuit_unit *unit)
{
	enum { HEAT = 5, LOSS = 6 }; /* rows of the inputs */
	struct column column;
	unit->column = inputs->column;
	unit->column.heat_loss = inputs->rows[LOSS].quantity->si; /* W, until it is solved */
	unit->duty = inputs->rows[HEAT].quantity->si;
	if (isnan(inputs->reflux_ratio) && isnan(inputs->reflux))
		return NULL;
	if (!feed_known)
		return "its heat follows from its reflux, and loading or temperature of its feed is not known";
	if (!regenerator_solve(inputs, feed, &column))
		return column_fault_words(column.fault);
	unit->duty = column.duty * inputs->amine;
	return NULL;
}

/* What it lacks, or why its heat is not found. */
static const char *read_column(struct circuit *circuit, struct circuit_unit *unit)
{
	struct scene scene = look(circuit, unit->item);
	double amine = circuit_amine(circuit, unit->out->at[0]);
	bool feed_known = false;
	scene.into = circuit->table;
	struct still still = still_of(&scene, unit->item);
	struct stream_solution feed = feed_of(circuit, unit, &feed_known);
	if (!still.reboiler)
		return "no reboiler is described";
	if (!still.feed || !still.lean)
		return "it names no feed or no lean stream";
	struct regenerator_inputs inputs = regenerator_inputs(&scene, &still, &feed);
	const char *missing = missing_of(circuit, &inputs);
	if (missing)
		return missing;
	if (isfinite(amine)) {
		inputs.lean_mass_flow = (double)NAN;
		inputs.column.heat_loss *= inputs.amine / amine;
		inputs.amine = amine;
	}
	const char *no_duty = read_duty(&inputs, &feed.state, feed_known, unit);
	if (no_duty)
		return no_duty;
	unit->duty_taken = inputs.heat_assumed;
	unit->heat = heat_of(circuit, unit->item, still.reboiler);
	unit->least = unit->column.drum_temperature;
	unit->medium = number(circuit, condenser_of(circuit, unit->item), "medium-inlet-temperature");
	return NULL;
}

/* ---- units ---- */

static struct circuit_unit new_unit(enum circuit_sort sort, const struct item *item)
{
	const double none = (double)NAN;
	struct circuit_unit unit = {.sort = sort,
		.item = item,
		.hot_in = NO_STREAM,
		.hot_out = NO_STREAM,
		.cold_in = NO_STREAM,
		.cold_out = NO_STREAM,
		.pressure = none,
		.medium = none,
		.surface = 1,
		.cooled = true,
		.duty = none,
		.conductance = none,
		.least = none,
		.duty_share = 1,
		.split = {1, 1},
		.reflux_ratio = none,
		.uncalibrated = none,
		.heat_moved = none};
	unit.profile[0] = none;
	return unit;
}

static void add_junction(struct circuit *circuit, const struct junction *junction)
{
	static const struct {
		enum junction_sort junction;
		enum circuit_sort sort;
	} sorts[] = {{JUNCTION_REGENERATOR, CIRCUIT_REGENERATOR}, {JUNCTION_MIX, CIRCUIT_MIX},
		{JUNCTION_ABSORBER, CIRCUIT_ABSORBER}, {JUNCTION_FLASH, CIRCUIT_FLASH}};
	for (size_t k = 0; k < COUNT(sorts); k++) {
		if (junction->sort != sorts[k].junction)
			continue;
		struct circuit_unit unit = new_unit(sorts[k].sort, junction->item);
		unit.in = &junction->in;
		unit.out = &junction->out;
		bool one = unit.sort == CIRCUIT_ABSORBER || unit.sort == CIRCUIT_REGENERATOR;
		if (one && junction->in.count != 1)
			unit.held = "more than one stream of amine enters it (semi-lean, or a second feed)";
		else if (junction->out.count != 1)
			unit.held = "more than one stream of amine leaves it";
		else if (unit.sort == CIRCUIT_ABSORBER)
			unit.held = read_gas(circuit, junction, &unit);
		else if (unit.sort == CIRCUIT_REGENERATOR)
			unit.held = read_column(circuit, &unit);
		else if (unit.sort == CIRCUIT_FLASH)
			unit.pressure = number(circuit, junction->item, "pressure");
		circuit->units[circuit->count++] = unit;
	}
	if (junction->sort == JUNCTION_TREATER)
		circuit_note(circuit,
			arena_format(circuit->arena, "%s: what it takes up is held as stated", junction->item->tag));
}

static void add_exchange(struct circuit *circuit, const struct exchange *exchange)
{
	bool cooler = item_is(exchange->item, "cooler");
	struct circuit_unit unit = new_unit(cooler ? CIRCUIT_COOLER : CIRCUIT_EXCHANGER, exchange->item);
	unit.hot_in = exchange->hot_in;
	unit.hot_out = exchange->hot_out;
	unit.cold_in = exchange->cold_in;
	unit.cold_out = exchange->cold_out;
	unit.medium = number(circuit, exchange->item, "medium-inlet-temperature");
	if (unit.cold_out != NO_STREAM)
		unit.pressure = number(circuit, circuit->sheet.streams[unit.cold_out].stream, "pressure");
	if (unit.hot_in == NO_STREAM || unit.hot_out == NO_STREAM)
		unit.held = "its lean inlet or outlet is not described";
	else if (!cooler && (unit.cold_in == NO_STREAM || unit.cold_out == NO_STREAM))
		unit.held = "its rich inlet or outlet is not described";
	circuit->units[circuit->count++] = unit;
}

static int by_sort(const struct circuit_unit *a, const struct circuit_unit *b)
{
	return (int)a->sort - (int)b->sort;
}

/* In the order of the way of the solution from the regenerator on: a stable insertion, as they are few. */
static void sort_units(struct circuit *circuit)
{
	for (size_t i = 1; i < circuit->count; i++)
		for (size_t k = i; k > 0 && by_sort(&circuit->units[k - 1], &circuit->units[k]) > 0; k--) {
			struct circuit_unit kept = circuit->units[k];
			circuit->units[k] = circuit->units[k - 1];
			circuit->units[k - 1] = kept;
		}
}

/* ---- temperatures that nothing of the circuit gives ---- */

static void mark(const struct circuit *circuit, size_t stream, bool *given)
{
	if (stream != NO_STREAM)
		given[circuit->sheet.streams[stream].temperature] = true;
}

static const char *held_words(double value)
{
	return isnan(value) ? "and it is not stated" : "which is held";
}

static void say_held(struct circuit *circuit, size_t stream, bool given)
{
	if (!given && circuit->follows[stream] == NO_STREAM && circuit->sheet.streams[stream].connected)
		circuit_note(circuit,
			arena_format(circuit->arena, "%s: nothing that is solved gives its temperature, %s",
				circuit->sheet.streams[stream].stream->tag,
				held_words(circuit_temperature(circuit, stream))));
}

/* Loadings that no absorber, drum, mix or regenerator gives: of what is not connected, or comes from beyond. */
static void say_held_loadings(struct circuit *circuit)
{
	size_t count = circuit->sheet.stream_count;
	bool *given = arena_alloc(circuit->arena, (count + 1) * sizeof *given);
	for (size_t i = 0; i < circuit->count; i++)
		for (size_t k = 0; circuit->units[i].out && k < circuit->units[i].out->count; k++)
			given[circuit->sheet.streams[circuit->units[i].out->at[k]].loading] = true;
	for (size_t i = 0; i < count; i++)
		if (circuit->sheet.streams[i].loading == i && !given[i] && circuit->sheet.streams[i].connected)
			circuit_note(circuit,
				arena_format(circuit->arena, "%s: nothing that is solved gives its loading, %s",
					circuit->sheet.streams[i].stream->tag, held_words(circuit->loading[i][0])));
}

/*
 * They keep their distance to the nearest of the same solution that something gives, where that is no more than a
 * pump, a valve or a tank makes.
 */
static void find_followed(struct circuit *circuit)
{
	const double furthest = 12; /* K: a choice; a cooler that is not described cools by more */
	size_t count = circuit->sheet.stream_count;
	bool *given = arena_alloc(circuit->arena, (count + 1) * sizeof *given);
	circuit->follows = arena_alloc(circuit->arena, (count + 1) * sizeof *circuit->follows);
	circuit->distance = arena_alloc(circuit->arena, (count + 1) * sizeof *circuit->distance);
	for (size_t i = 0; i < circuit->count; i++) {
		const struct circuit_unit *unit = &circuit->units[i];
		for (size_t k = 0; unit->out && k < unit->out->count; k++)
			mark(circuit, unit->out->at[k], given);
		mark(circuit, unit->hot_out, given);
		mark(circuit, unit->cold_out, given);
	}
	for (size_t i = 0; i < count; i++) {
		const struct passing *own = &circuit->sheet.streams[i];
		double least = furthest;
		circuit->follows[i] = NO_STREAM;
		circuit->distance[i] = 0;
		for (size_t k = 0; own->temperature == i && !given[i] && k < count; k++) {
			const struct passing *other = &circuit->sheet.streams[k];
			double apart = circuit->temperature[i] - circuit->temperature[other->temperature];
			apart = isnan(apart) ? 0 : apart;
			if (!given[other->temperature] || other->loading != own->loading || !(fabs(apart) < least))
				continue;
			least = fabs(apart);
			circuit->follows[i] = other->temperature;
			circuit->distance[i] = apart;
		}
		if (own->temperature == i)
			say_held(circuit, i, given[i]);
	}
}

struct circuit circuit_read(struct arena *arena, const struct table *table, int operating_case)
{
	struct circuit circuit = {.arena = arena, .operating_case = operating_case};
	struct scene scene = {.operating_case = operating_case};
	circuit.table = table_overlay(arena, table);
	scene.table = circuit.table;
	struct stream_solution solvent = solvent_without_gases(&scene);
	circuit.sheet = flowsheet_of(arena, circuit.table, operating_case);
	if (!solvent.known)
		circuit.fault = "amine or strength of the solution is not stated, or its chemistry is not known";
	else if (!circuit.sheet.junction_count && !circuit.sheet.exchange_count)
		circuit.fault = "nothing is connected: no streams are named by absorbers, exchangers or regenerators";
	if (circuit.fault)
		return circuit;
	circuit.solvent = solvent.state;
	read_streams(&circuit);
	circuit.units = arena_alloc(
		arena, (circuit.sheet.junction_count + circuit.sheet.exchange_count + 1) * sizeof *circuit.units);
	for (size_t i = 0; i < circuit.sheet.junction_count; i++)
		add_junction(&circuit, &circuit.sheet.junctions[i]);
	for (size_t i = 0; i < circuit.sheet.exchange_count; i++)
		add_exchange(&circuit, &circuit.sheet.exchanges[i]);
	sort_units(&circuit);
	find_followed(&circuit);
	say_held_loadings(&circuit);
	for (size_t i = 0; i < circuit.sheet.note_count; i++)
		circuit_note(&circuit, circuit.sheet.notes[i]);
	return circuit;
}
