#include "circuit/circuit.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

double circuit_amine(const struct circuit *circuit, size_t stream)
{
	return circuit->amine[circuit->sheet.streams[stream].amine];
}

const double *circuit_loading(const struct circuit *circuit, size_t stream)
{
	return circuit->loading[circuit->sheet.streams[stream].loading];
}

double circuit_temperature(const struct circuit *circuit, size_t stream)
{
	return circuit->temperature[circuit->sheet.streams[stream].temperature];
}

static void follow(struct circuit *circuit)
{
	for (size_t k = 0; k < circuit->sheet.stream_count; k++)
		if (circuit->follows[k] != NO_STREAM && isfinite(circuit->temperature[circuit->follows[k]]))
			circuit->temperature[k] = circuit->temperature[circuit->follows[k]] + circuit->distance[k];
}

/* ---- from the base ---- */

static bool leaves_unknown(const struct circuit *circuit, size_t stream)
{
	return stream != NO_STREAM &&
		(isnan(circuit_loading(circuit, stream)[0]) || isnan(circuit_temperature(circuit, stream)));
}

static bool enters_known(const struct circuit *circuit, const struct circuit_unit *unit)
{
	const size_t one[] = {unit->hot_in, unit->cold_in};
	bool known = true;
	for (size_t k = 0; k < 2; k++)
		known = known && !leaves_unknown(circuit, one[k]);
	for (size_t k = 0; unit->in && k < unit->in->count; k++)
		known = known && !leaves_unknown(circuit, unit->in->at[k]);
	return known;
}

/* What leaves it and nobody states, for what comes after it to be found from. */
static void complete(struct circuit *circuit, struct circuit_unit *unit)
{
	bool unknown = leaves_unknown(circuit, unit->hot_out) || leaves_unknown(circuit, unit->cold_out) ||
		(unit->out && leaves_unknown(circuit, unit->out->at[0]));
	if (unit->held || !unknown || !enters_known(circuit, unit))
		return;
	if (circuit_unit_solve(circuit, unit))
		return; /* the whole is solved later, and says why not */
	follow(circuit);
}

/* In the order in which the rich solution goes: each is found from what is stated, or from what those before it give. */
void circuit_calibrate(struct circuit *circuit)
{
	static const enum circuit_sort order[] = {
		CIRCUIT_ABSORBER, CIRCUIT_FLASH, CIRCUIT_MIX, CIRCUIT_EXCHANGER, CIRCUIT_REGENERATOR, CIRCUIT_COOLER};
	for (size_t k = 0; k < COUNT(order); k++)
		for (size_t i = 0; i < circuit->count; i++)
			if (circuit->units[i].sort == order[k]) {
				circuit_unit_calibrate(circuit, &circuit->units[i]);
				complete(circuit, &circuit->units[i]);
			}
}

static const struct circuit_unit *unit_of(const struct circuit *circuit, const struct circuit_unit *like)
{
	for (size_t i = 0; i < circuit->count; i++)
		if (circuit->units[i].sort == like->sort && text_same(circuit->units[i].item->tag, like->item->tag))
			return &circuit->units[i];
	return NULL;
}

static void take(struct circuit_unit *unit, const struct circuit_unit *from)
{
	memcpy(unit->efficiency, from->efficiency, sizeof unit->efficiency);
	memcpy(unit->reached, from->reached, sizeof unit->reached);
	memcpy(unit->split, from->split, sizeof unit->split);
	unit->conductance = from->conductance;
	unit->flows = from->flows;
	unit->least = from->least;
	unit->duty_share = from->duty_share;
	unit->column.stages = from->column.stages;
	unit->stages_of_trays = from->stages_of_trays;
	unit->reflux_ratio = from->reflux_ratio;
	unit->heat = from->heat;
	if (isnan(unit->medium))
		unit->medium = from->medium;
	if (!unit->held)
		unit->held = from->held;
}

/* Of a case that states no heat: as the heat is controlled. */
static void take_duty(const struct circuit *circuit, struct circuit_unit *unit, const struct circuit *base,
	const struct circuit_unit *from)
{
	if (unit->sort == CIRCUIT_REGENERATOR && unit->duty_taken && !unit->held && unit->heat != HEAT_FIXED)
		unit->duty =
			from->duty * circuit_amine(circuit, unit->out->at[0]) / circuit_amine(base, from->out->at[0]);
}

/* Of a case that says what leaves a cooler and not how warm what cools it is, the first is a condition. */
static void take_cooling(const struct circuit *circuit, struct circuit_unit *unit, const struct circuit *base,
	const struct circuit_unit *from, bool own_medium)
{
	const double apart = 0.5; /* K */
	if (unit->sort == CIRCUIT_COOLER && !unit->held && !own_medium &&
		fabs(circuit_temperature(circuit, unit->hot_out) - circuit_temperature(base, from->hot_out)) > apart)
		unit->held =
			"its outlet is taken as this case states it, since how warm what cools it comes is not stated";
}

void circuit_take(struct circuit *circuit, const struct circuit *base)
{
	for (size_t i = 0; i < circuit->count; i++) {
		const struct circuit_unit *from = unit_of(base, &circuit->units[i]);
		if (from) {
			bool own_medium = fabs(circuit->units[i].medium - from->medium) > 0;
			take_cooling(circuit, &circuit->units[i], base, from, own_medium);
			take(&circuit->units[i], from);
			take_duty(circuit, &circuit->units[i], base, from);
		} else if (!circuit->units[i].held)
			circuit->units[i].held = "the base case has no such equipment to be solved like";
	}
}

static void *copy_of(struct arena *arena, const void *rows, size_t size)
{
	void *copy = arena_alloc(arena, size + 1);
	memcpy(copy, rows, size);
	return copy;
}

struct circuit circuit_copy(struct arena *arena, const struct circuit *circuit)
{
	struct circuit copy = *circuit;
	size_t streams = circuit->sheet.stream_count + 1;
	copy.arena = arena;
	copy.units = copy_of(arena, circuit->units, circuit->count * sizeof *copy.units);
	copy.amine = copy_of(arena, circuit->amine, streams * sizeof *copy.amine);
	copy.loading = copy_of(arena, circuit->loading, streams * sizeof *copy.loading);
	copy.temperature = copy_of(arena, circuit->temperature, streams * sizeof *copy.temperature);
	copy.notes = NULL;
	copy.note_count = copy.note_capacity = 0;
	return copy;
}

/* ---- what is solved ---- */

static void give(struct circuit *circuit, size_t stream, bool loading)
{
	if (stream == NO_STREAM)
		return;
	circuit->gives_temperature[circuit->sheet.streams[stream].temperature] = true;
	if (loading)
		circuit->gives_loading[circuit->sheet.streams[stream].loading] = true;
}

static void find_given(struct circuit *circuit)
{
	size_t streams = circuit->sheet.stream_count;
	memset(circuit->gives_loading, 0, streams * sizeof *circuit->gives_loading);
	memset(circuit->gives_temperature, 0, streams * sizeof *circuit->gives_temperature);
	for (size_t i = 0; i < circuit->count; i++) {
		const struct circuit_unit *unit = &circuit->units[i];
		for (size_t k = 0; !unit->held && unit->out && k < unit->out->count; k++)
			give(circuit, unit->out->at[k], true);
		give(circuit, unit->held ? NO_STREAM : unit->hot_out, false);
		give(circuit, unit->held ? NO_STREAM : unit->cold_out, false);
	}
	for (size_t k = 0; k < streams; k++)
		if (circuit->follows[k] != NO_STREAM && circuit->gives_temperature[circuit->follows[k]])
			circuit->gives_temperature[k] = true;
}

bool circuit_gives(const struct circuit *circuit, size_t stream, bool loading)
{
	const struct passing *passing = &circuit->sheet.streams[stream];
	return loading ? circuit->gives_loading[passing->loading] : circuit->gives_temperature[passing->temperature];
}

/* Neither stated nor solved. */
static bool is_nowhere(const struct circuit *circuit, size_t stream)
{
	return stream != NO_STREAM &&
		((isnan(circuit_loading(circuit, stream)[0]) && !circuit_gives(circuit, stream, true)) ||
			(isnan(circuit_temperature(circuit, stream)) && !circuit_gives(circuit, stream, false)));
}

static bool enters_from_nowhere(const struct circuit *circuit, const struct circuit_unit *unit)
{
	bool found = is_nowhere(circuit, unit->hot_in) || is_nowhere(circuit, unit->cold_in);
	for (size_t k = 0; unit->in && k < unit->in->count; k++)
		found = found || is_nowhere(circuit, unit->in->at[k]);
	return found;
}

/* A value that stands for want of one must not be solved with: holding one unit may leave the next without. */
static void hold_unfounded(struct circuit *circuit)
{
	bool any = true;
	while (any) {
		any = false;
		find_given(circuit);
		for (size_t i = 0; i < circuit->count; i++)
			if (!circuit->units[i].held && enters_from_nowhere(circuit, &circuit->units[i])) {
				circuit->units[i].held =
					"loading or temperature of what enters it is neither stated nor solved";
				any = true;
			}
	}
}

/* ---- all of it ---- */

/*
 * Whatever is solved and not known where a unit begins, as a round figure to begin with: it does not matter which once
 * it converges. What is not solved stays unknown.
 */
static void begin(struct circuit *circuit)
{
	const double lean_loading = 0.02, rich_loading = 0.35, cold = 318, hot = 370, boiling = 393; /* mol/mol, K */
	for (size_t i = 0; i < circuit->sheet.stream_count; i++) {
		const struct passing *passing = &circuit->sheet.streams[i];
		const char *service = table_word(circuit->table, passing->stream, circuit->operating_case, "service");
		bool rich = text_same(service, "rich");
		double *loading = circuit->loading[passing->loading];
		for (size_t g = 0; g < GAS_COUNT; g++)
			if (isnan(loading[g]) && circuit_gives(circuit, i, true))
				loading[g] = (rich ? rich_loading : lean_loading) / GAS_COUNT;
		if (isnan(circuit->temperature[passing->temperature]) && circuit_gives(circuit, i, false))
			circuit->temperature[passing->temperature] = cold;
	}
	for (size_t i = 0; i < circuit->count; i++) {
		const struct circuit_unit *unit = &circuit->units[i];
		if (unit->held)
			continue;
		if (unit->cold_out != NO_STREAM && !(circuit_temperature(circuit, unit->cold_out) > cold))
			circuit->temperature[circuit->sheet.streams[unit->cold_out].temperature] = hot;
		if (unit->sort == CIRCUIT_REGENERATOR && !(circuit_temperature(circuit, unit->out->at[0]) > cold))
			circuit->temperature[circuit->sheet.streams[unit->out->at[0]].temperature] = boiling;
	}
}

static const char *sweep(struct circuit *circuit)
{
	const char *why = NULL;
	for (size_t i = 0; i < circuit->count && !why; i++) {
		why = circuit_unit_solve(circuit, &circuit->units[i]);
		circuit->failed = why ? &circuit->units[i] : NULL;
		follow(circuit);
	}
	return why;
}

enum { EACH = GAS_COUNT + 1 };

/* Loadings as ln, temperatures in steps of 20 K: one number to weigh them by. */
static void pack(const struct circuit *circuit, double *x)
{
	const double trace = 1e-9, kelvins = 20;
	for (size_t i = 0; i < circuit->sheet.stream_count; i++) {
		for (size_t g = 0; g < GAS_COUNT; g++)
			x[EACH * i + g] = log(fmax(circuit->loading[i][g], trace));
		x[EACH * i + GAS_COUNT] = circuit->temperature[i] / kelvins;
	}
}

static void unpack(struct circuit *circuit, const double *x)
{
	const double kelvins = 20;
	for (size_t i = 0; i < circuit->sheet.stream_count; i++) {
		for (size_t g = 0; g < GAS_COUNT; g++)
			if (circuit->loading[i][g] > 0)
				circuit->loading[i][g] = exp(x[EACH * i + g]);
		circuit->temperature[i] = x[EACH * i + GAS_COUNT] * kelvins;
	}
}

struct history {
	double *x, *g, *f, *last_g, *last_f; /* before and after a sweep, their difference */
	size_t count;
};

/* Numbers of roots only count; others were never set. */
static double largest(const struct history *history)
{
	double most = 0;
	for (size_t i = 0; i < history->count; i++)
		if (isfinite(history->f[i]))
			most = fmax(most, fabs(history->f[i]));
	return most;
}

/* The sweep's own answer, carried on along the last two (Anderson 1965, of depth one); not far, and not at first. */
static void carry_on(struct history *history, bool first)
{
	const double furthest = 3;
	double along = 0, square = 0;
	for (size_t i = 0; i < history->count && !first; i++) {
		double moved = history->f[i] - history->last_f[i];
		if (isfinite(moved)) {
			along += moved * history->f[i];
			square += moved * moved;
		}
	}
	double share = square > 0 ? fmax(-furthest, fmin(along / square, furthest)) : 0;
	for (size_t i = 0; i < history->count; i++) {
		double back = first || isnan(history->last_g[i]) ? 0 : share * (history->g[i] - history->last_g[i]);
		history->last_g[i] = history->g[i];
		history->last_f[i] = history->f[i];
		history->x[i] = history->g[i] - back;
	}
}

static bool converge(struct circuit *circuit, struct history *history)
{
	enum { SWEEPS = 80 };
	const double close = 1e-6;
	pack(circuit, history->x);
	for (circuit->sweeps = 1; circuit->sweeps <= SWEEPS; circuit->sweeps++) {
		unpack(circuit, history->x);
		circuit->why = sweep(circuit);
		if (circuit->why)
			return false;
		pack(circuit, history->g);
		for (size_t i = 0; i < history->count; i++)
			history->f[i] = history->g[i] - history->x[i];
		if (largest(history) < close)
			return true;
		carry_on(history, circuit->sweeps == 1);
	}
	circuit->why = "the circuit did not settle within 80 sweeps";
	return false;
}

bool circuit_solve_or_hold(struct circuit *circuit)
{
	struct circuit start = circuit_copy(circuit->arena, circuit);
	while (!circuit_solve(circuit) && circuit->failed) {
		size_t failed = (size_t)(circuit->failed - circuit->units);
		start.units[failed].held = circuit->why;
		memcpy(circuit->units, start.units, circuit->count * sizeof *circuit->units);
		size_t streams = circuit->sheet.stream_count;
		memcpy(circuit->loading, start.loading, streams * sizeof *circuit->loading);
		memcpy(circuit->temperature, start.temperature, streams * sizeof *circuit->temperature);
	}
	return circuit->solved;
}

bool circuit_solve(struct circuit *circuit)
{
	size_t count = EACH * circuit->sheet.stream_count;
	double *rows = arena_alloc(circuit->arena, (5 * count + 1) * sizeof *rows);
	struct history history = {rows, rows + count, rows + 2 * count, rows + 3 * count, rows + 4 * count, count};
	circuit->gives_loading = arena_alloc(circuit->arena, circuit->sheet.stream_count + 1);
	circuit->gives_temperature = arena_alloc(circuit->arena, circuit->sheet.stream_count + 1);
	hold_unfounded(circuit);
	begin(circuit);
	circuit->why = NULL;
	circuit->failed = NULL;
	circuit->solved = converge(circuit, &history);
	return circuit->solved;
}
