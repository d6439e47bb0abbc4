#include <math.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/scene.h"
#include "compute/still.h"
#include "revamp/cases.h"

/*
 * What a case changes: one row for each value of the description, or of a stream of the circuit, that the solving
 * speaks of.
 */

struct collecting {
	struct arena *arena;
	const struct table *table;
	const struct circuit *base, *now;
	int stated_case; /* 0: none */
	struct solved_value *rows;
	size_t count, capacity;
	struct off_specification *off;
	size_t off_count, off_capacity;
	struct circuit *notes; /* of the base, while it is collected; else NULL */
};

static double known(const struct table *table, const struct item *item, int operating_case, const char *name)
{
	const struct quantity *value = item ? table_peek(table, item, operating_case, name) : NULL;
	return value && value->known != UNKNOWN && kind_is_number(value->kind) ? value->si : (double)NAN;
}

static double asserted(const struct collecting *to, const struct item *item, const char *name)
{
	struct scene scene = {.table = to->table, .operating_case = to->stated_case};
	return to->stated_case > 0 && scene_states_case(&scene, item, name)
		? known(to->table, item, to->stated_case, name)
		: (double)NAN;
}

/* Temperatures move by the difference, all else by the ratio; where nothing is stated, to what was solved. */
static double moved(enum kind kind, double stated, double base, double now)
{
	const double alike = 1e-12;
	if (isnan(stated))
		return now;
	if (kind == KIND_TEMPERATURE)
		return stated + now - base;
	return fabs(base) > alike ? stated * now / base : now > alike ? now : stated;
}

static void emit(
	struct collecting *to, const struct item *item, const char *name, enum kind kind, double base, double now)
{
	if (!item || isnan(base) || isnan(now))
		return;
	double stated = known(to->table, item, 0, name);
	to->rows = arena_grow(to->arena, to->rows, to->count, &to->capacity, sizeof *to->rows);
	to->rows[to->count++] = (struct solved_value){.of = item,
		.name = name,
		.kind = kind,
		.stated = stated,
		.base = base,
		.solved = now,
		.value = moved(kind, stated, base, now),
		.asserted = asserted(to, item, name)};
}

/* The same of what the description states itself only. */
static void emit_stated(
	struct collecting *to, const struct item *item, const char *name, enum kind kind, double base, double now)
{
	if (item && table_stated(to->table, item, 0, name) && !isnan(known(to->table, item, 0, name)))
		emit(to, item, name, kind, base, now);
}

static const struct item *named(const struct collecting *to, const struct item *item, const char *name)
{
	const char *tag = item ? table_word(to->table, item, 0, name) : NULL;
	return tag ? table_find(to->table, tag) : NULL;
}

/* Of a value that is held, what is stated only: what stands in the circuit for want of one is no value of the unit. */
static void emit_of(struct collecting *to, const struct item *item, const char *name, enum kind kind, bool solved,
	double base, double now)
{
	if (solved || !isnan(known(to->table, item, 0, name)))
		emit(to, item, name, kind, base, now);
}

/* ---- streams, and what is as warm as they are ---- */

/* The cooler that does not cool, and from which the stream, or what it follows, comes; or NULL. */
static const struct circuit_unit *not_cooled(const struct collecting *to, size_t stream)
{
	size_t root = to->now->sheet.streams[stream].temperature;
	if (to->now->follows[root] != NO_STREAM)
		root = to->now->follows[root];
	for (size_t k = 0; k < to->now->count; k++) {
		const struct circuit_unit *unit = &to->now->units[k];
		if (unit->sort == CIRCUIT_COOLER && !unit->held && !unit->cooled && unit->hot_out != NO_STREAM &&
			to->now->sheet.streams[unit->hot_out].temperature == root)
			return unit;
	}
	return NULL;
}

/*
 * K: by what more than the difference a stream warms that is not cooled, so that it is as warm as what enters the
 * cooler, also where the base misses what is stated; coolers in series are few.
 */
static double not_cooled_by(const struct collecting *to, size_t stream)
{
	enum { SERIES = 8 };
	double by = 0;
	const struct circuit_unit *unit = not_cooled(to, stream);
	for (size_t k = 0; unit && k < SERIES; k++) {
		const struct passing *in = &to->base->sheet.streams[unit->hot_in],
				     *out = &to->base->sheet.streams[unit->hot_out];
		double stated = known(to->table, in->stream, 0, "temperature") -
			known(to->table, out->stream, 0, "temperature");
		double solved =
			circuit_temperature(to->base, unit->hot_in) - circuit_temperature(to->base, unit->hot_out);
		by += isnan(stated) ? 0 : stated - solved;
		unit = not_cooled(to, unit->hot_in);
	}
	return by;
}

/* To the temperature that was collected last. */
static void add_not_cooled(struct collecting *to, size_t stream)
{
	struct solved_value *last = to->count ? &to->rows[to->count - 1] : NULL;
	if (last && last->kind == KIND_TEMPERATURE && isfinite(last->stated))
		last->value += not_cooled_by(to, stream);
}

static void emit_streams(struct collecting *to)
{
	for (size_t i = 0; i < to->base->sheet.stream_count; i++) {
		const struct item *stream = to->base->sheet.streams[i].stream;
		const double *was = circuit_loading(to->base, i), *is = circuit_loading(to->now, i);
		double all_was = was[GAS_H2S] + was[GAS_CO2], all_is = is[GAS_H2S] + is[GAS_CO2];
		bool whole = table_stated(to->table, stream, 0, "loading");
		bool given = circuit_gives(to->base, i, true) && circuit_gives(to->now, i, true);
		emit_of(to, stream, "temperature", KIND_TEMPERATURE,
			circuit_gives(to->base, i, false) && circuit_gives(to->now, i, false),
			circuit_temperature(to->base, i), circuit_temperature(to->now, i));
		add_not_cooled(to, i);
		if (!whole || table_stated(to->table, stream, 0, "h2s"))
			emit_of(to, stream, "h2s", KIND_LOADING, given, was[GAS_H2S], is[GAS_H2S]);
		if (!whole || table_stated(to->table, stream, 0, "co2"))
			emit_of(to, stream, "co2", KIND_LOADING, given, was[GAS_CO2], is[GAS_CO2]);
		emit_stated(to, stream, "loading", KIND_LOADING, all_was, all_is);
		emit_stated(to, stream, "h2s-content", KIND_MASS_FRACTION, was[GAS_H2S], is[GAS_H2S]);
		emit_stated(to, stream, "co2-content", KIND_MASS_FRACTION, was[GAS_CO2], is[GAS_CO2]);
	}
}

static size_t stream_of(const struct collecting *to, const struct item *item)
{
	static const char *const names[] = {"stream", "rich-outlet", "rich"};
	for (size_t k = 0; k < sizeof names / sizeof *names; k++) {
		const struct item *stream = named(to, item, names[k]);
		for (size_t i = 0; stream && i < to->base->sheet.stream_count; i++)
			if (to->base->sheet.streams[i].stream == stream)
				return i;
	}
	return NO_STREAM;
}

static void emit_carriers(struct collecting *to)
{
	for (size_t i = 0; i < table_item_count(to->table); i++) {
		const struct item *item = table_item(to->table, i);
		if (item_is_any(item, "stream gas") || !table_stated(to->table, item, 0, "temperature"))
			continue;
		size_t stream = stream_of(to, item);
		if (stream != NO_STREAM)
			emit_stated(to, item, "temperature", KIND_TEMPERATURE, circuit_temperature(to->base, stream),
				circuit_temperature(to->now, stream));
		if (stream != NO_STREAM)
			add_not_cooled(to, stream);
	}
}

/* ---- equipment ---- */

static double share_left(const struct circuit_unit *unit, size_t gas)
{
	return unit->tower.treated[gas] / (unit->gas.inert + unit->tower.treated[0] + unit->tower.treated[1]);
}

static double share_fed(const struct circuit_unit *unit, size_t gas)
{
	return unit->gas.acid[gas] / (unit->gas.inert + unit->gas.acid[0] + unit->gas.acid[1]);
}

/* mol/mol; NaN: none is stated, or not by moles. */
static double specified(const struct collecting *to, const struct item *treated, const char *name)
{
	struct items specifications = table_of_kind(to->table, "specification");
	for (size_t i = 0; treated && i < specifications.count; i++) {
		const struct quantity *limit = table_peek(to->table, specifications.rows[i], 0, name);
		if (named(to, specifications.rows[i], "gas") == treated && limit && limit->known != UNKNOWN &&
			text_same(kind_si(limit->kind), "mol/mol"))
			return limit->si;
	}
	return (double)NAN;
}

/* What was within its specification and is not: the change of the solved content on top of the stated one. */
static void hold_against_specification(
	struct collecting *to, const struct item *treated, const char *name, double base, double now)
{
	double limit = specified(to, treated, name),
	       stated = treated ? known(to->table, treated, 0, name) : (double)NAN;
	double before = isnan(stated) ? base : stated, value = moved(KIND_MOLE_FRACTION, stated, base, now);
	if (!(before <= limit) || !(value > limit))
		return;
	to->off = arena_grow(to->arena, to->off, to->off_count, &to->off_capacity, sizeof *to->off);
	to->off[to->off_count++] = (struct off_specification){treated, name, before, value, limit};
}

/*
 * Is what the solved base leaves in the gas near enough to what is stated for its change to say anything? Where the stages
 * cannot leave as little as is stated, by far, they are short of amine and not of stages.
 */
static bool is_carried(struct collecting *to, const struct item *treated, const char *name, double base)
{
	const double furthest = 10; /* times: a choice */
	double stated = treated ? known(to->table, treated, 0, name) : (double)NAN;
	bool near = !(stated > 0) || (base < furthest * stated && furthest * base > stated);
	if (!near && treated && to->notes)
		circuit_note(to->notes,
			arena_format(to->arena,
				"%s of %s: the solved base leaves %.3g times what is stated; not followed", name,
				treated->tag, base / stated));
	return near;
}

static void emit_absorber(struct collecting *to, const struct circuit_unit *was, const struct circuit_unit *is)
{
	static const char *const names[GAS_COUNT] = {"h2s", "co2"};
	const struct item *treated = named(to, was->item, "treated"), *feed = named(to, was->item, "gas");
	for (size_t g = 0; g < GAS_COUNT; g++) {
		emit_stated(to, feed, names[g], KIND_MOLE_FRACTION, share_fed(was, g), share_fed(is, g));
		if (!is_carried(to, treated, names[g], share_left(was, g)))
			continue;
		emit_stated(to, treated, names[g], KIND_MOLE_FRACTION, share_left(was, g), share_left(is, g));
		hold_against_specification(to, treated, names[g], share_left(was, g), share_left(is, g));
	}
	emit_stated(to, treated, "temperature", KIND_TEMPERATURE, was->tower.treated_temperature,
		is->tower.treated_temperature);
	emit_stated(
		to, was->item, "bottom-temperature", KIND_TEMPERATURE, was->tower.temperature, is->tower.temperature);
	emit_stated(to, was->item, "top-temperature", KIND_TEMPERATURE, was->tower.treated_temperature,
		is->tower.treated_temperature);
}

/* What leaves a condenser that is lost is as the overhead is. */
static double drum_apart(const struct collecting *to, const struct item *item, const char *name,
	const struct item *overhead, const struct circuit_unit *was, const struct circuit_unit *is)
{
	double top = known(to->table, overhead, 0, "temperature"), own = known(to->table, item, 0, name);
	if (is->cooled)
		return is->column.drum_temperature - was->column.drum_temperature;
	top = isnan(top) ? was->still.top_temperature : top;
	return top + is->still.top_temperature - was->still.top_temperature - own;
}

static void emit_condensing(
	struct collecting *to, const struct still *still, const struct circuit_unit *was, const struct circuit_unit *is)
{
	const struct {
		const struct item *item;
		const char *name;
	} rows[] = {{table_sole(to->table, "condenser"), "outlet-temperature"}, {still->drum, "temperature"},
		{still->reflux, "temperature"}};
	double before = was->column.drum_temperature;
	for (size_t i = 0; i < COUNT(rows); i++)
		if (rows[i].item)
			emit_stated(to, rows[i].item, rows[i].name, KIND_TEMPERATURE, before,
				before + drum_apart(to, rows[i].item, rows[i].name, still->acid_gas, was, is));
}

static double duty_of(const struct circuit *circuit, const struct circuit_unit *unit)
{
	return unit->still.duty * circuit_amine(circuit, unit->in->at[0]);
}

/* mol of acid gas that leaves, per mol of amine. */
static double stripped(const struct circuit *circuit, const struct circuit_unit *unit)
{
	const double *rich = circuit_loading(circuit, unit->in->at[0]);
	return rich[GAS_H2S] + rich[GAS_CO2] - column_lean_loading(&unit->still);
}

static void emit_still(struct collecting *to, const struct circuit_unit *was, const struct circuit_unit *is)
{
	struct scene scene = {.table = to->table, .item = was->item, .operating_case = 0};
	struct still still = still_of(&scene, was->item);
	double top_was = was->still.top_temperature, top_is = is->still.top_temperature;
	emit_stated(to, was->item, "top-temperature", KIND_TEMPERATURE, top_was, top_is);
	emit_stated(to, still.acid_gas, "temperature", KIND_TEMPERATURE, top_was, top_is);
	emit_stated(to, was->item, "bottom-temperature", KIND_TEMPERATURE, was->still.stage[0].temperature,
		is->still.stage[0].temperature);
	if (is->cooled)
		emit_stated(to, was->item, "reflux-ratio", KIND_RATIO, was->still.reflux_ratio, is->still.reflux_ratio);
	else
		emit(to, was->item, "reflux-ratio", KIND_RATIO, was->still.reflux_ratio, 0);
	for (size_t i = 0; still_reboiler(&scene, was->item, i); i++) {
		const struct item *reboiler = still_reboiler(&scene, was->item, i);
		emit_stated(to, reboiler, "bulk-temperature", KIND_TEMPERATURE, was->still.stage[0].temperature,
			is->still.stage[0].temperature);
		emit_stated(to, reboiler, "duty", KIND_POWER, duty_of(to->base, was), duty_of(to->now, is));
	}
	emit_condensing(to, &still, was, is);
}

static void emit_unit(struct collecting *to, const struct circuit_unit *was, const struct circuit_unit *is)
{
	if (was->sort == CIRCUIT_ABSORBER)
		emit_absorber(to, was, is);
	else if (was->sort == CIRCUIT_REGENERATOR)
		emit_still(to, was, is);
	else if (was->sort == CIRCUIT_EXCHANGER || was->sort == CIRCUIT_COOLER)
		emit_stated(to, was->item, "duty", KIND_POWER, was->heat_moved, is->heat_moved);
	if (was->sort == CIRCUIT_COOLER && table_stated(to->table, was->item, 0, "outlet-temperature")) {
		emit_stated(to, was->item, "outlet-temperature", KIND_TEMPERATURE,
			circuit_temperature(to->base, was->hot_out), circuit_temperature(to->now, is->hot_out));
		add_not_cooled(to, is->hot_out);
	}
}

/* What flows go by beside circulation and feed: of the only regenerator, or of the first. */
static void set_flows(const struct circuit *base, struct solved_case *row)
{
	for (size_t i = 0; i < base->count && i < row->circuit.count; i++) {
		const struct circuit_unit *was = &base->units[i], *is = &row->circuit.units[i];
		if (was->sort != CIRCUIT_REGENERATOR || was->held || is->held)
			continue;
		row->steam = duty_of(&row->circuit, is) / duty_of(base, was);
		row->overhead = row->circulation * (is->still.top_steam + stripped(&row->circuit, is)) /
			(was->still.top_steam + stripped(base, was));
		row->reflux = is->cooled ? row->circulation * is->still.reflux / was->still.reflux : 0;
		return;
	}
}

static void collect(struct collecting *to)
{
	emit_streams(to);
	emit_carriers(to);
	for (size_t i = 0; i < to->base->count && i < to->now->count; i++)
		if (!to->base->units[i].held && !to->now->units[i].held &&
			to->base->units[i].item == to->now->units[i].item)
			emit_unit(to, &to->base->units[i], &to->now->units[i]);
}

void cases_values(struct arena *arena, const struct table *table, struct cases *cases)
{
	struct collecting to = {.arena = arena,
		.table = table,
		.base = &cases->circuit,
		.now = &cases->circuit,
		.notes = &cases->circuit};
	collect(&to);
	cases->values = to.rows;
	cases->value_count = to.count;
	for (size_t k = 0; k < cases->count; k++) {
		struct solved_case *row = &cases->rows[k];
		if (row->why)
			continue;
		to = (struct collecting){.arena = arena,
			.table = table,
			.base = &cases->circuit,
			.now = &row->circuit,
			.stated_case = row->stated ? row->operating_case : 0};
		set_flows(&cases->circuit, row);
		collect(&to);
		row->values = to.rows;
		row->value_count = to.count;
		row->off = to.off;
		row->off_count = to.off_count;
	}
}
