#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "circuit/circuit.h"
#include "compute/lean_rich.h"

static const double FILM_POWER = 0.65; /* of the flow, in U of a lean/rich exchanger */

struct solution_input circuit_solution(const struct circuit *circuit, size_t stream)
{
	struct solution_input solution = circuit->solvent;
	memcpy(solution.loading, circuit_loading(circuit, stream), sizeof solution.loading);
	solution.temperature = circuit_temperature(circuit, stream);
	return solution;
}

static double *loading_of(struct circuit *circuit, size_t stream)
{
	return circuit->loading[circuit->sheet.streams[stream].loading];
}

static double *temperature_of(struct circuit *circuit, size_t stream)
{
	return &circuit->temperature[circuit->sheet.streams[stream].temperature];
}

static bool all_known(const struct circuit *circuit, size_t stream)
{
	return isfinite(circuit_amine(circuit, stream)) && isfinite(circuit_loading(circuit, stream)[0]) &&
		isfinite(circuit_temperature(circuit, stream));
}

/* ---- absorber ---- */

/*
 * Where nothing tells: shares of the way to equilibrium of a tenth of a tower of some twenty trays. A choice, no
 * source.
 */
static double usual_efficiency(const struct solution_input *solvent, enum gas gas)
{
	double all = 0, tertiary = solvent->mass_fraction[AMINE_MDEA];
	for (size_t i = 0; i < AMINE_COUNT; i++)
		all += solvent->mass_fraction[i];
	if (gas == GAS_H2S)
		return 0.5;
	return tertiary >= all ? 0.06 : tertiary > 0 ? 0.2 : 0.35;
}

static struct tower_case tower_of(const struct circuit *circuit, const struct circuit_unit *unit)
{
	struct tower_case tower = {.lean = circuit_solution(circuit, unit->in->at[0]),
		.amine = circuit_amine(circuit, unit->in->at[0]),
		.gas = unit->gas};
	if (isnan(tower.gas.temperature))
		tower.gas.temperature = tower.lean.temperature;
	memcpy(tower.efficiency, unit->efficiency, sizeof tower.efficiency);
	return tower;
}

static const char *absorber(struct circuit *circuit, struct circuit_unit *unit)
{
	struct tower_case tower = tower_of(circuit, unit);
	size_t rich = unit->out->at[0];
	if (!tower_stages(&tower, unit->profile, &unit->tower))
		return arena_format(circuit->arena, "the stages of %s did not converge", unit->item->tag);
	memcpy(loading_of(circuit, rich), unit->tower.rich, sizeof unit->tower.rich);
	*temperature_of(circuit, rich) = unit->tower.temperature;
	return NULL;
}

/*
 * mol/s of each gas that the package leaves in the treated gas: by its contents, else by lean and rich; NaN: it does
 * not say.
 */
static void left_in_gas(const struct circuit *circuit, const struct circuit_unit *unit, double left[GAS_COUNT])
{
	static const char *const partial[] = {"h2s-partial-pressure", "co2-partial-pressure"};
	const char *tag = table_word(circuit->table, unit->item, circuit->operating_case, "treated");
	const struct item *treated = tag ? table_find(circuit->table, tag) : NULL;
	const double *lean = circuit_loading(circuit, unit->in->at[0]),
		     *rich = circuit_loading(circuit, unit->out->at[0]);
	const double least = 1e-3; /* of what enters: a smaller difference of two loadings says nothing */
	double share[GAS_COUNT] = {(double)NAN, (double)NAN};
	for (size_t g = 0; treated && g < GAS_COUNT; g++) {
		const struct quantity *p = table_peek(circuit->table, treated, circuit->operating_case, partial[g]);
		const struct quantity *all = table_peek(circuit->table, treated, circuit->operating_case, "pressure");
		if (p && all)
			share[g] = p->si / all->si;
	}
	double rest = 1 - (isnan(share[0]) ? 0 : share[0]) - (isnan(share[1]) ? 0 : share[1]);
	for (size_t g = 0; g < GAS_COUNT; g++) {
		double enters = unit->gas.acid[g];
		left[g] = unit->gas.inert * share[g] / rest;
		if (isnan(left[g]))
			left[g] = enters - circuit_amine(circuit, unit->in->at[0]) * (rich[g] - lean[g]);
		if (!(left[g] > least * least * enters) || !(left[g] < enters) || !(enters > 0))
			left[g] = (double)NAN;
	}
}

static void calibrate_absorber(struct circuit *circuit, struct circuit_unit *unit)
{
	double left[GAS_COUNT] = {(double)NAN, (double)NAN};
	for (enum gas g = GAS_H2S; g < GAS_COUNT; g++)
		unit->efficiency[g] = usual_efficiency(&circuit->solvent, g);
	if (isnan(circuit_amine(circuit, unit->in->at[0]))) {
		unit->held = "the flow of amine to it is not known";
		return;
	}
	struct tower_case tower = tower_of(circuit, unit);
	if (isnan(tower.lean.loading[0]) || isnan(tower.lean.temperature))
		return;
	left_in_gas(circuit, unit, left);
	if (!tower_efficiency(&tower, left, unit->reached)) {
		unit->held = "its stages did not converge in the base case";
		return;
	}
	memcpy(unit->efficiency, tower.efficiency, sizeof unit->efficiency);
	for (size_t g = 0; g < GAS_COUNT; g++)
		unit->reached[g] = unit->reached[g] && isfinite(left[g]);
}

/* ---- flash drum and mix ---- */

/* What enters, mixed by amount of amine. */
static struct solution_input mixed(const struct circuit *circuit, const struct circuit_unit *unit)
{
	struct solution_input all = circuit->solvent;
	double amine = 0;
	all.temperature = 0;
	for (size_t i = 0; i < unit->in->count; i++) {
		size_t in = unit->in->at[i];
		double share = circuit_amine(circuit, in);
		amine += share;
		all.temperature += share * circuit_temperature(circuit, in);
		for (size_t g = 0; g < GAS_COUNT; g++)
			all.loading[g] += share * circuit_loading(circuit, in)[g];
	}
	all.temperature /= amine;
	for (size_t g = 0; g < GAS_COUNT; g++)
		all.loading[g] /= amine;
	return all;
}

static const char *drum(struct circuit *circuit, struct circuit_unit *unit)
{
	size_t out = unit->out->at[0];
	struct solution_input feed = mixed(circuit, unit);
	struct flash flash;
	bool flashes = isfinite(unit->pressure) &&
		enthalpy_let_down(&terms_own, &feed, enthalpy_liquid(&feed), unit->pressure, &flash);
	if (isfinite(unit->pressure) && !flashes)
		return arena_format(circuit->arena, "the flash in %s was not solved", unit->item->tag);
	memcpy(loading_of(circuit, out), flashes ? flash.liquid.loading : feed.loading, sizeof feed.loading);
	*temperature_of(circuit, out) = flashes ? flash.liquid.input.temperature : feed.temperature;
	return NULL;
}

static const char *mix(struct circuit *circuit, struct circuit_unit *unit)
{
	struct solution_input all = mixed(circuit, unit);
	memcpy(loading_of(circuit, unit->out->at[0]), all.loading, sizeof all.loading);
	*temperature_of(circuit, unit->out->at[0]) = all.temperature;
	return NULL;
}

/* A mix or a drum is solved where the flows of all that enters are known. */
static void calibrate_mix(struct circuit *circuit, struct circuit_unit *unit)
{
	for (size_t i = 0; i < unit->in->count; i++)
		if (isnan(circuit_amine(circuit, unit->in->at[i])) && unit->in->count > 1)
			unit->held = "the flow of what enters it is not known";
}

/* ---- exchanger ---- */

/* W/K of a stream of liquid near its temperature. */
static double capacity(const struct circuit *circuit, size_t stream)
{
	struct solution_input at = circuit_solution(circuit, stream);
	return circuit_amine(circuit, stream) * enthalpy_heat_capacity(&at);
}

/* W that the cold side holds at a temperature, flashing counted where its pressure is known. */
static double cold_heat(const struct circuit *circuit, const struct circuit_unit *unit, double temperature)
{
	struct solution_input at = circuit_solution(circuit, unit->cold_in);
	at.temperature = temperature;
	double each = isfinite(unit->pressure) ? enthalpy_at(&terms_own, &at, unit->pressure) : enthalpy_liquid(&at);
	return circuit_amine(circuit, unit->cold_in) * each;
}

struct crossing {
	double heat, hot_out, mean; /* W, K, K: LMTD, zero where the two would cross */
};

static struct crossing crossing_at(const struct circuit *circuit, const struct circuit_unit *unit, double hot_capacity,
	double before, double cold_out)
{
	double hot_in = circuit_temperature(circuit, unit->hot_in),
	       cold_in = circuit_temperature(circuit, unit->cold_in);
	struct crossing out = {.heat = cold_heat(circuit, unit, cold_out) - before};
	out.hot_out = hot_in - out.heat / hot_capacity;
	double mean = exchange_lmtd(hot_in - cold_out, out.hot_out - cold_in);
	out.mean = isnan(mean) ? 0 : mean;
	return out;
}

/* U goes with the flow: see circuit.h. */
static double conductance(const struct circuit *circuit, const struct circuit_unit *unit)
{
	double flows = circuit_amine(circuit, unit->hot_in) * circuit_amine(circuit, unit->cold_in);
	return unit->conductance * unit->surface * pow(flows / unit->flows, FILM_POWER / 2);
}

/*
 * The rich outlet at which the surface does what the rich solution takes up: by halving, since it flashes somewhere.
 */
static const char *exchanger(struct circuit *circuit, struct circuit_unit *unit)
{
	enum { STEPS = 36 };
	double hot_in = circuit_temperature(circuit, unit->hot_in),
	       cold_in = circuit_temperature(circuit, unit->cold_in);
	double hot_capacity = capacity(circuit, unit->hot_in), before = cold_heat(circuit, unit, cold_in);
	double low = cold_in, high = hot_in, does = conductance(circuit, unit);
	struct crossing at = {.heat = 0, .hot_out = hot_in};
	for (int i = 0; i < STEPS && hot_in > cold_in; i++) {
		double middle = (low + high) / 2;
		at = crossing_at(circuit, unit, hot_capacity, before, middle);
		if (isnan(at.heat))
			return arena_format(circuit->arena, "the rich side of %s was not solved", unit->item->tag);
		if (does * at.mean > at.heat)
			low = middle;
		else
			high = middle;
	}
	unit->heat_moved = at.heat;
	*temperature_of(circuit, unit->cold_out) = hot_in > cold_in ? (low + high) / 2 : cold_in;
	*temperature_of(circuit, unit->hot_out) = at.hot_out;
	return NULL;
}

/* U A F from four temperatures; of three the fourth by the heat balance. */
static void calibrate_exchanger(struct circuit *circuit, struct circuit_unit *unit)
{
	double t[] = {circuit_temperature(circuit, unit->hot_in), circuit_temperature(circuit, unit->hot_out),
		circuit_temperature(circuit, unit->cold_in), circuit_temperature(circuit, unit->cold_out)};
	const struct quantity *stated = table_peek(circuit->table, unit->item, circuit->operating_case, "duty");
	double duty = stated && stated->known != UNKNOWN ? stated->si : (double)NAN;
	if (!all_known(circuit, unit->hot_in) || !all_known(circuit, unit->cold_in)) {
		unit->held = "flow, loading or temperature of what enters it is not known";
		return;
	}
	double hot = capacity(circuit, unit->hot_in), cold = capacity(circuit, unit->cold_in), heat = duty;
	if (isfinite(t[3]))
		heat = cold_heat(circuit, unit, t[3]) - cold_heat(circuit, unit, t[2]);
	else if (isfinite(t[1]))
		heat = hot * (t[0] - t[1]);
	double hot_out = t[0] - heat / hot, cold_out = isfinite(t[3]) ? t[3] : t[2] + heat / cold;
	double mean = exchange_lmtd(t[0] - cold_out, hot_out - t[2]);
	unit->conductance = heat / mean;
	unit->flows = circuit_amine(circuit, unit->hot_in) * circuit_amine(circuit, unit->cold_in);
	if (isnan(heat))
		unit->held = "neither its duty nor the temperature of an outlet is known: no U A follows";
	else if (!(unit->conductance > 0))
		unit->held = "its temperatures cross by the heat balance: no U A does that";
}

/* ---- cooler ---- */

static const char *cooler(struct circuit *circuit, struct circuit_unit *unit)
{
	double in = circuit_temperature(circuit, unit->hot_in), hot = capacity(circuit, unit->hot_in);
	double cooled = unit->medium + (in - unit->medium) * exp(-unit->conductance * unit->surface / hot);
	double out = unit->cooled && in > unit->medium ? fmin(in, fmax(cooled, unit->least)) : in;
	unit->heat_moved = hot * (in - out);
	*temperature_of(circuit, unit->hot_out) = out;
	return NULL;
}

static void calibrate_cooler(struct circuit *circuit, struct circuit_unit *unit)
{
	/* K above what cools it: customary for air and for water, where the package does not say how warm that is */
	const double above_air = 15, above_water = 10;
	const char *of = table_word(circuit->table, unit->item, circuit->operating_case, "cooling-medium");
	double in = circuit_temperature(circuit, unit->hot_in), out = circuit_temperature(circuit, unit->hot_out);
	if (!all_known(circuit, unit->hot_in) || isnan(out)) {
		unit->held = "flow, loading or a temperature of what it cools is not known";
		return;
	}
	if (isnan(unit->medium)) {
		unit->medium = out - (text_same(of, "air") ? above_air : above_water);
		circuit_note(circuit,
			arena_format(circuit->arena,
				"%s: how warm what cools it comes is not stated; %.0f K below its outlet are assumed",
				unit->item->tag, out - unit->medium));
	}
	unit->least = out;
	unit->conductance = capacity(circuit, unit->hot_in) * log((in - unit->medium) / (out - unit->medium));
	if (!(unit->conductance >= 0) || !isfinite(unit->conductance))
		unit->held = "it would cool below what cools it, or heat: no U A does that";
}

/* ---- regenerator ---- */

static bool solve_column(
	const struct circuit *circuit, const struct circuit_unit *unit, double share, struct column *column)
{
	struct column_input input = unit->column;
	double amine = circuit_amine(circuit, unit->in->at[0]);
	input.feed = circuit_solution(circuit, unit->in->at[0]);
	input.duty = share * unit->duty / amine;
	input.heat_loss = unit->column.heat_loss / amine;
	if (!unit->cooled)
		input.drum_temperature = (double)NAN;
	return column_solve(&terms_own, &input, column);
}

/* The duty that gives the reflux ratio of the base, within a few per cent of the last: secant on ln of the duty. */
static bool by_reflux(struct circuit *circuit, struct circuit_unit *unit, struct column *column)
{
	enum { STEPS = 25 };
	const double close = 1e-7, most = 0.25, slope = 2.5; /* ln of ratio by ln of duty, to begin with */
	double x = 0, before_x = 0, before = (double)NAN, wanted = unit->reflux_ratio;
	for (int i = 0; i < STEPS; i++) {
		if (!solve_column(circuit, unit, unit->duty_share * exp(x), column))
			return false;
		double apart = log(column->reflux_ratio / wanted);
		if (fabs(apart) < close)
			return true;
		double rise = isnan(before) || !(fabs(x - before_x) > 0) ? slope : (apart - before) / (x - before_x);
		double step = -apart / (rise > 0 ? rise : slope);
		before_x = x;
		before = apart;
		x += fmax(-most, fmin(most, step));
	}
	return false;
}

static const char *regenerator(struct circuit *circuit, struct circuit_unit *unit)
{
	size_t lean = unit->out->at[0];
	bool reflux = unit->heat == HEAT_BY_REFLUX && unit->cooled;
	bool solved = reflux ? by_reflux(circuit, unit, &unit->still)
			     : solve_column(circuit, unit, unit->duty_share, &unit->still);
	if (!solved)
		return arena_format(circuit->arena, "the column of %s %s", unit->item->tag,
			unit->still.fault == COLUMN_FINE ? "did not reach its reflux ratio"
							 : column_fault_words(unit->still.fault));
	for (size_t g = 0; g < GAS_COUNT; g++)
		if (isfinite(unit->split[g]))
			loading_of(circuit, lean)[g] = unit->split[g] * unit->still.stage[0].loading[g];
	*temperature_of(circuit, lean) = unit->still.stage[0].temperature;
	return NULL;
}

/* ln of the lean loading over the stated one. */
static double lean_apart(const struct circuit *circuit, const struct circuit_unit *unit, double share, double stated,
	struct column *column)
{
	return solve_column(circuit, unit, share, column) ? log(column_lean_loading(column) / stated) : (double)NAN;
}

/* The share of the duty between 0.5 and 2 with which the column reaches the stated lean loading. False: none does. */
static bool seek_share(const struct circuit *circuit, struct circuit_unit *unit, double stated, struct column *column)
{
	enum { STEPS = 40, WIDER = 14 };
	const double close = 1e-7, wider = 0.05;
	double x[2] = {0, 0}, f[2], value;
	f[0] = f[1] = lean_apart(circuit, unit, 1, stated, column);
	if (isnan(f[0]))
		return false;
	int side = f[0] > 0 ? 1 : 0; /* more heat strips more */
	for (int i = 0; i < WIDER && f[side] * (side ? 1 : -1) > 0; i++) {
		x[1 - side] = x[side];
		f[1 - side] = f[side];
		x[side] += side ? wider : -wider;
		f[side] = lean_apart(circuit, unit, exp(x[side]), stated, column);
		if (isnan(f[side]))
			return false;
	}
	if (f[0] < 0 || f[1] > 0)
		return false;
	for (int i = 0; i < STEPS; i++) {
		double middle = (x[0] + x[1]) / 2;
		if (i % 3 && f[0] > f[1])
			middle = x[0] + f[0] * (x[1] - x[0]) / (f[0] - f[1]);
		value = lean_apart(circuit, unit, exp(middle), stated, column);
		if (isnan(value))
			return false;
		unit->duty_share = exp(middle);
		if (fabs(value) < close)
			return true;
		x[value > 0 ? 0 : 1] = middle;
		f[value > 0 ? 0 : 1] = value;
	}
	return fabs(value) < sqrt(close);
}

/*
 * The number of stages that comes nearest to the stated lean loading at the whole duty. Fewer than its trays give: so
 * trays work in a regenerator. Heat and reflux then stay those of the package, and so does what a change of them does.
 */
static double seek_stages(const struct circuit *circuit, struct circuit_unit *unit, double stated)
{
	enum { FEWEST = 2 };
	struct circuit_unit tried = *unit;
	struct column column;
	const double alike = 0.005; /* more stages then no longer strip more */
	double nearest = (double)INFINITY, before = (double)INFINITY;
	for (int stages = FEWEST; stages <= COLUMN_STAGES_AT_MOST; stages++) {
		tried.column.stages = stages;
		double apart = lean_apart(circuit, &tried, 1, stated, &column);
		if (fabs(apart) < nearest) {
			nearest = fabs(apart);
			unit->column.stages = stages;
		}
		if (apart <= 0 || before - apart < alike)
			break; /* more stages strip more */
		before = apart;
	}
	return nearest;
}

/* By stages; where no number of them comes near, by the duty at the stages of its trays. False: neither. */
static bool reach_stated(struct circuit *circuit, struct circuit_unit *unit, double stated)
{
	const double near = 0.7; /* ln: within a factor of two, which the split then carries */
	const int of_trays = unit->column.stages;
	struct column column;
	if (seek_stages(circuit, unit, stated) < near)
		return true;
	unit->column.stages = of_trays;
	return seek_share(circuit, unit, stated, &column);
}

/* A gas that the stages hold for a twentieth of what is stated, or twenty times it, is held as stated. */
static void split_as_stated(struct circuit *circuit, struct circuit_unit *unit, const double stated[GAS_COUNT])
{
	const double widest = 20;
	struct column column;
	if (!solve_column(circuit, unit, unit->duty_share, &column))
		return;
	unit->reflux_ratio = column.reflux_ratio;
	for (size_t g = 0; g < GAS_COUNT; g++) {
		double split = stated[g] / column.stage[0].loading[g];
		unit->split[g] = split < widest && split > 1 / widest ? split : (double)NAN;
	}
}

/*
 * Where the reflux ratio hardly rises with the heat, or falls, since more gas comes with the steam, it cannot hold the
 * heat.
 */
static void check_control(struct circuit *circuit, struct circuit_unit *unit)
{
	static const double shares[] = {0.85, 1.15};
	const double least = 0.3; /* of ln of the ratio by ln of the duty */
	struct column column;
	bool tells = true;
	if (unit->held || unit->heat != HEAT_BY_REFLUX)
		return;
	for (size_t i = 0; i < COUNT(shares); i++) {
		bool solved = solve_column(circuit, unit, shares[i] * unit->duty_share, &column);
		tells = tells && solved && log(column.reflux_ratio / unit->reflux_ratio) / log(shares[i]) > least;
	}
	if (tells)
		return;
	unit->heat = HEAT_BY_CIRCULATION;
	circuit_note(circuit,
		arena_format(circuit->arena,
			"%s: its reflux hardly tells its heat, which is taken in ratio to the circulation",
			unit->item->tag));
}

static void calibrate_regenerator(struct circuit *circuit, struct circuit_unit *unit)
{
	const double *stated = circuit_loading(circuit, unit->out->at[0]);
	double total = stated[GAS_H2S] + stated[GAS_CO2];
	struct column column;
	unit->stages_of_trays = unit->column.stages;
	if (!all_known(circuit, unit->in->at[0])) {
		unit->held = "flow, loading or temperature of its feed is not known";
		return;
	}
	if (solve_column(circuit, unit, 1, &column)) {
		unit->uncalibrated = column_lean_loading(&column);
		unit->reflux_ratio = column.reflux_ratio;
	}
	if (!(total > 0)) {
		circuit_note(circuit,
			arena_format(circuit->arena,
				"%s: no lean loading is stated; that of the stages of its trays is taken",
				unit->item->tag));
	} else if (reach_stated(circuit, unit, total)) {
		split_as_stated(circuit, unit, stated);
	} else {
		unit->held = arena_format(circuit->arena,
			"neither 2 to %d equilibrium stages nor a share of its duty between 0.5 and 2 reach the stated "
			"lean loading of %.4g (%.4g at the whole duty with the stages of its trays)",
			COLUMN_STAGES_AT_MOST, total, unit->uncalibrated);
	}
	check_control(circuit, unit);
}

/* ---- one of them ---- */

const char *circuit_unit_solve(struct circuit *circuit, struct circuit_unit *unit)
{
	static const char *(*const solve[CIRCUIT_SORTS])(struct circuit *, struct circuit_unit *) = {
		[CIRCUIT_REGENERATOR] = regenerator,
		[CIRCUIT_EXCHANGER] = exchanger,
		[CIRCUIT_COOLER] = cooler,
		[CIRCUIT_MIX] = mix,
		[CIRCUIT_ABSORBER] = absorber,
		[CIRCUIT_FLASH] = drum};
	return unit->held ? NULL : solve[unit->sort](circuit, unit);
}

void circuit_unit_calibrate(struct circuit *circuit, struct circuit_unit *unit)
{
	static void (*const calibrate[CIRCUIT_SORTS])(struct circuit *, struct circuit_unit *) = {
		[CIRCUIT_REGENERATOR] = calibrate_regenerator,
		[CIRCUIT_EXCHANGER] = calibrate_exchanger,
		[CIRCUIT_COOLER] = calibrate_cooler,
		[CIRCUIT_MIX] = calibrate_mix,
		[CIRCUIT_FLASH] = calibrate_mix,
		[CIRCUIT_ABSORBER] = calibrate_absorber};
	if (!unit->held && calibrate[unit->sort])
		calibrate[unit->sort](circuit, unit);
}
