#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/enthalpy.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"
#include "reconcile/balance_rows.h"

/*
 * Closure tolerances: relative, or K where so named. What a sound circuit keeps to when other property relations than
 * these made it: simulated circuits, tests/circuits; no source.
 */
static const double close_amine = 0.002, close_gas = 0.006, close_inert = 0.006, close_fractions = 0.006,
		    close_bottom_K = 1.2, close_mix_K = 0.7, close_hot_side = 0.015, close_cold_side = 0.035,
		    close_cooler = 0.015, close_condenser = 0.025, close_column = 0.03, close_steam = 0.02,
		    close_saturation = 0.05, close_boiling = 0.05, close_undescribed = 0.02, guess_of_top_K = 8;
static const double factor_spread[FACTORS] = {0.03, 0.07, 0.07, 0.04, 0.015, 0.05};

/* Of a gas whose composition is not known: J/(mol K), and its relative uncertainty. */
static const double gas_heat_capacity = 40, gas_heat_spread = 0.3;

/* ---- what a row depends on ---- */

struct needs {
	size_t *at;
	size_t count;
};

static void need(struct needs *needs, size_t unknown)
{
	for (size_t i = 0; i < needs->count; i++)
		if (needs->at[i] == unknown)
			return;
	if (unknown != NO_UNKNOWN)
		needs->at[needs->count++] = unknown;
}

static void need_liquid(struct needs *needs, const struct plant *plant, size_t stream)
{
	if (stream == NO_STREAM)
		return;
	const struct liquid *liquid = &plant->liquids[stream];

	need(needs, plant->strength);
	need(needs, liquid->amine);
	need(needs, liquid->temperature);
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		need(needs, liquid->loading[gas]);
}

static void need_gas(struct needs *needs, const struct plant *plant, size_t gas)
{
	if (gas == NO_UNKNOWN)
		return;
	need(needs, plant->gases[gas].flow);
	need(needs, plant->gases[gas].temperature);
	for (size_t i = 0; i < GAS_COUNT; i++)
		need(needs, plant->gases[gas].share[i]);
}

static void need_list(struct needs *needs, const struct plant *plant, const struct stream_list *list)
{
	for (size_t i = 0; i < list->count; i++)
		need_liquid(needs, plant, list->at[i]);
}

/* All that a junction and what belongs to it depend on: a row that needs less is not hurt. */
static void need_all(struct needs *needs, const struct balance *balance)
{
	const struct plant *plant = balance->plant;
	const struct column *column = balance->column;

	for (size_t i = 0; i < FACTORS; i++)
		need(needs, plant->factor[i]);
	if (balance->junction) {
		need_list(needs, plant, &balance->junction->in);
		need_list(needs, plant, &balance->junction->out);
		need_gas(needs, plant, balance->gas_in);
		need_gas(needs, plant, balance->gas_out);
	}
	if (balance->exchange) {
		need_liquid(needs, plant, balance->exchange->hot_in);
		need_liquid(needs, plant, balance->exchange->hot_out);
		need_liquid(needs, plant, balance->exchange->cold_in);
		need_liquid(needs, plant, balance->exchange->cold_out);
	}
	need(needs, balance->duty);
	if (balance->heater) {
		need(needs, balance->heater->duty);
		need(needs, balance->heater->steam_flow);
		need(needs, balance->heater->steam_pressure);
	}
	if (!column)
		return;
	const size_t all[] = {column->reflux, column->condenser_duty, column->top_temperature, column->top_pressure,
		column->drum_temperature, column->drum_pressure, column->bottom_pressure};
	for (size_t i = 0; i < COUNT(all); i++)
		need(needs, all[i]);
	for (size_t i = 0; i < column->heater_count; i++)
		need(needs, column->heaters[i].duty);
	for (size_t i = 0; i < balance->exchange_count; i++)
		need(needs, plant->duties[balance->exchanges[i]]);
	need_liquid(needs, plant, balance->cold_inlet);
}

static void add_row(struct plant *plant, const char *name, fit_value *value, double tolerance, struct balance balance)
{
	struct balance *kept = arena_alloc(plant->arena, sizeof *kept);
	struct needs needs = {.at = arena_alloc(plant->arena, (plant->unknown_count + 1) * sizeof *needs.at)};

	*kept = balance;
	need_all(&needs, kept);
	fit_add_row(plant->fit,
		(struct fit_row){.sort = FIT_MODEL,
			.name = name,
			.sigma = tolerance,
			.value = value,
			.data = kept,
			.unknowns = needs.at,
			.count = needs.count});
}

static struct saturation saturation_at(double temperature)
{
	const double kelvin = 5, coldest = 280, hottest = 480;
	double t = fmin(fmax(temperature, coldest), hottest);
	double up = log(water_saturation_pressure(t + kelvin)), down = log(water_saturation_pressure(t - kelvin));

	return (struct saturation){
		log(water_saturation_pressure(t)), t, (up - down) / (1 / (t + kelvin) - 1 / (t - kelvin))};
}

/* ---- constants, from chemistry/ at the start ---- */

static double start_of(const struct plant *plant, size_t unknown)
{
	return fit_unknown(plant->fit, unknown)->start;
}

static struct solution_input state_of(const struct plant *plant, size_t stream, double temperature)
{
	const double coldest = 285, hottest = 440, most_strength = 0.7, most_loading = 0.9;
	const struct liquid *liquid = &plant->liquids[stream];
	struct solution_input state = plant->salts;
	double strength = fmin(start_of(plant, plant->strength), most_strength);

	state.temperature = fmin(fmax(temperature, coldest), hottest);
	for (size_t i = 0; i < AMINE_COUNT; i++)
		state.mass_fraction[i] = strength * plant->share_of_amine[i];
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		state.loading[gas] = plant->present[gas]
			? fmin(exp(start_of(plant, liquid->loading[gas])), most_loading / GAS_COUNT)
			: 0;
	return state;
}

static double temperature_of(const struct plant *plant, size_t stream)
{
	return start_of(plant, plant->liquids[stream].temperature);
}

/* J/(kg K) of the loaded solution about a temperature. */
static double capacity_at(const struct plant *plant, size_t stream, double temperature)
{
	const double kelvin = 8, usual = 3600;
	struct solution_input state = state_of(plant, stream, temperature), warm = state, cold = state;

	warm.temperature += kelvin;
	cold.temperature -= kelvin;
	double per_mole = (enthalpy_liquid(&warm) - enthalpy_liquid(&cold)) / (2 * kelvin);
	double mass = property_loaded_mass(state.mass_fraction, state.loading), value = per_mole / mass;
	return value > 0 ? value : usual;
}

static double capacity_between(const struct plant *plant, size_t from, size_t to)
{
	return capacity_at(plant, from, (temperature_of(plant, from) + temperature_of(plant, to)) / 2);
}

/* J for each mole of the gas between two states, the other gas as it is half way on average. */
static double heat_between(const struct solution_input *lean, const struct solution_input *rich, enum gas gas)
{
	enum gas other = gas == GAS_H2S ? GAS_CO2 : GAS_H2S;
	const double least = 0.02, usual[GAS_COUNT] = {40e3, 65e3};
	struct solution_input from = *lean, to = *lean;
	double half_way = (lean->loading[other] + rich->loading[other]) / 2;

	to.temperature = from.temperature;
	from.loading[other] = to.loading[other] = half_way;
	to.loading[gas] = fmax(rich->loading[gas], lean->loading[gas] + least);
	double heat = enthalpy_of_pick_up(&from, &to) / (to.loading[gas] - from.loading[gas]);
	return heat > 0 ? heat : usual[gas];
}

static void set_heats(struct balance *balance, size_t lean, size_t rich, double temperature)
{
	struct solution_input from = state_of(balance->plant, lean, temperature),
			      to = state_of(balance->plant, rich, temperature);

	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		balance->heat[gas] = balance->plant->present[gas] ? heat_between(&from, &to, (enum gas)gas) : 0;
}

static struct linear boiling_at(const struct plant *plant, size_t lean)
{
	const double share = 0.01, kelvin = 2, mole = 0.002;
	struct solution_input state = state_of(plant, lean, temperature_of(plant, lean)), moved = state;
	struct linear linear = {.at_temperature = state.temperature, .at_strength = start_of(plant, plant->strength)};

	linear.value = log(phase_bubble_pressure(&terms_own, &state));
	moved.temperature += kelvin;
	linear.by_temperature = (log(phase_bubble_pressure(&terms_own, &moved)) - linear.value) /
		(1 / moved.temperature - 1 / state.temperature);
	moved = state;
	for (size_t i = 0; i < AMINE_COUNT; i++)
		moved.mass_fraction[i] += share * plant->share_of_amine[i];
	linear.by_strength = (log(phase_bubble_pressure(&terms_own, &moved)) - linear.value) / share;
	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		moved = state;
		moved.loading[gas] += mole;
		linear.at_loading[gas] = state.loading[gas];
		linear.by_loading[gas] = (log(phase_bubble_pressure(&terms_own, &moved)) - linear.value) / mole;
	}
	return linear;
}

/* ---- all rows ---- */

static const char *named(const struct plant *plant, const char *what, const struct item *item)
{
	return arena_format(plant->arena, "%s of %s", what, item->tag);
}

static void add_gas_balances(struct plant *plant, struct balance balance)
{
	static const char *const names[GAS_COUNT] = {"H2S", "CO2"};
	const struct junction *junction = balance.junction;
	bool described = junction->gas_out || junction->sort == JUNCTION_MIX;
	bool contactor = junction->sort == JUNCTION_ABSORBER || junction->sort == JUNCTION_TREATER;

	if (junction->sort == JUNCTION_SPLIT || (contactor && balance.gas_in == NO_UNKNOWN))
		return;
	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		balance.gas = (enum gas)gas;
		if (plant->present[gas])
			add_row(plant, named(plant, names[gas], junction->item), row_gas,
				described || junction->sort != JUNCTION_FLASH ? close_gas : close_undescribed, balance);
	}
}

/* What the gas would be off by if it left at its saturation and came in at its own: the basis of a flow is seldom said. */
static double water_apart(const struct plant *plant, const struct balance *balance)
{
	const struct gas_stream *in = &plant->gases[balance->gas_in], *out = &plant->gases[balance->gas_out];
	double pressure = in->pressure > 0 ? in->pressure : out->pressure;

	if (!(pressure > 0))
		return 0;
	double apart = exp(saturation_at(start_of(plant, in->temperature)).ln) -
		exp(saturation_at(start_of(plant, out->temperature)).ln);
	return fmin(fabs(apart) / pressure, 0.2);
}

/* J/(mol K) of the gas let through, with its relative uncertainty. */
static double gas_capacity_of(const struct plant *plant, const struct item *absorber, double *spread)
{
	const struct quantity *computed = table_get(plant->table, absorber, plant->operating_case, "gas-heat-capacity");

	*spread = gas_heat_spread;
	if (!computed || computed->known != COMPUTED)
		return gas_heat_capacity;
	*spread = computed->uncertainty / computed->si;
	return computed->si;
}

static void add_absorber(struct plant *plant, struct balance balance)
{
	const struct junction *junction = balance.junction;
	size_t lean = junction->in.at[0], rich = junction->out.at[0];
	const struct gas_stream *in = &plant->gases[balance.gas_in], *out = &plant->gases[balance.gas_out];

	double spread;

	balance.gas_capacity = gas_capacity_of(plant, junction->item, &spread);
	balance.zero = temperature_of(plant, lean);
	balance.cold_capacity = capacity_at(plant, lean, balance.zero);
	balance.hot_capacity = capacity_between(plant, rich, lean);
	balance.in = saturation_at(start_of(plant, in->temperature));
	balance.out = saturation_at(start_of(plant, out->temperature));
	balance.latent = water_latent_heat(fmin(fmax(balance.zero, 280), 450));
	set_heats(&balance, lean, rich, balance.zero);
	add_row(plant, named(plant, "inert gas", junction->item), row_inert,
		hypot(close_inert, water_apart(plant, &balance)), balance);
	double mass = exp(start_of(plant, plant->liquids[lean].amine)) / plant->moles_per_strength /
		start_of(plant, plant->strength);
	double gas_side = exp(start_of(plant, in->flow)) * balance.gas_capacity *
		fabs(start_of(plant, in->temperature) - start_of(plant, out->temperature)) /
		(mass * balance.hot_capacity);
	double water = exp(start_of(plant, in->flow)) * water_apart(plant, &balance) * balance.latent *
		MOLAR_MASS_WATER / (mass * balance.hot_capacity);
	add_row(plant, named(plant, "heat", junction->item), row_bottom,
		hypot(close_bottom_K, hypot(spread * gas_side, gas_heat_spread * water)), balance);
	if (!out->item || !table_get(plant->table, out->item, plant->operating_case, "temperature"))
		add_row(plant, named(plant, "top temperature", junction->item), row_top_of_absorber, guess_of_top_K,
			balance);
}

/* Exchangers that heat the feed of a column, and the stream that enters the first of them. */
static void find_preheat(struct plant *plant, struct balance *balance)
{
	size_t amine = plant->liquids[balance->junction->in.at[0]].amine;
	size_t *found = arena_alloc(plant->arena, (plant->sheet.exchange_count + 1) * sizeof *found);

	balance->cold_inlet = NO_STREAM;
	for (size_t i = 0; i < plant->sheet.exchange_count && balance->junction->in.count == 1; i++) {
		const struct exchange *exchange = &plant->sheet.exchanges[i];
		if (exchange->cold_in == NO_STREAM || exchange->cold_out == NO_STREAM ||
			plant->liquids[exchange->cold_out].amine != amine)
			continue;
		found[balance->exchange_count++] = i;
		if (balance->cold_inlet == NO_STREAM ||
			temperature_of(plant, exchange->cold_in) < temperature_of(plant, balance->cold_inlet))
			balance->cold_inlet = exchange->cold_in;
	}
	balance->exchanges = found;
}

/* Is the acid gas stated without its water? Whichever comes nearer to a whole. */
static bool is_dry(const struct plant *plant, const struct column *column, double water)
{
	const struct gas_stream *gas = &plant->gases[column->acid_gas];
	double sum = 0;

	for (size_t i = 0; i < GAS_COUNT; i++)
		if (plant->present[i])
			sum += exp(start_of(plant, gas->share[i]));
	return fabs(1 - sum) < fabs(1 - water - sum);
}

static void add_steam(struct plant *plant, struct balance balance, const struct heater *heater)
{
	if (heater->steam_flow == NO_UNKNOWN)
		return;
	double ln = start_of(plant, heater->steam_pressure), step = 0.1, low = water_saturation_temperature(exp(ln)),
	       high = water_saturation_temperature(exp(ln + step));
	balance.heater = heater;
	balance.latent = water_latent_heat(low) +
		STEAM_HEAT_CAPACITY *
			(heater->steam_temperature > low ? fmin(heater->steam_temperature - low, 100) : 0);
	balance.latent_at = ln;
	balance.latent_slope = (water_latent_heat(high) - water_latent_heat(low)) / step;
	if (isfinite(balance.latent) && isfinite(balance.latent_slope))
		add_row(plant, named(plant, "steam", heater->item), row_steam, close_steam, balance);
}

static void add_column(struct plant *plant, const struct column *column, struct balance balance)
{
	const struct junction *junction = column->junction;
	const struct item *item = junction->item;
	size_t lean = junction->out.at[0], rich = junction->in.at[0];

	balance.column = column;
	balance.gas_out = column->acid_gas;
	find_preheat(plant, &balance);
	size_t cold = balance.cold_inlet != NO_STREAM ? balance.cold_inlet : rich;
	balance.zero = temperature_of(plant, cold);
	balance.cold_capacity = capacity_at(plant, rich, balance.zero);
	balance.hot_capacity = capacity_between(plant, lean, cold);
	balance.top = saturation_at(start_of(plant, column->top_temperature));
	balance.drum = saturation_at(start_of(plant, column->drum_temperature));
	balance.latent = water_latent_heat(balance.drum.at);
	set_heats(&balance, lean, rich, balance.zero);
	plant->gases[column->acid_gas].dry =
		is_dry(plant, column, exp(balance.drum.ln - start_of(plant, column->drum_pressure)));
	add_row(plant, named(plant, "fractions of the acid gas", item), row_fractions, close_fractions, balance);
	add_row(plant, named(plant, "dew point at the top", item), row_top, close_saturation, balance);
	add_row(plant, named(plant, "condensing duty", item), row_condenser, close_condenser, balance);
	if (column->heater_count)
		add_row(plant, named(plant, "heat", item), row_column, close_column, balance);
	balance.boiling = boiling_at(plant, lean);
	if (isfinite(balance.boiling.value + balance.boiling.by_temperature))
		add_row(plant, named(plant, "boiling point", item), row_boiling, close_boiling, balance);
	for (size_t i = 0; i < column->heater_count; i++)
		add_steam(plant, balance, &column->heaters[i]);
}

static const struct column *column_of(const struct plant *plant, const struct junction *junction)
{
	for (size_t i = 0; i < plant->column_count; i++)
		if (plant->columns[i].junction == junction)
			return &plant->columns[i];
	return NULL;
}

static void add_junction(struct plant *plant, size_t i)
{
	const struct junction *junction = &plant->sheet.junctions[i];
	size_t gas_in = plant_gas(plant, junction->gas_in);
	struct balance balance = {.plant = plant,
		.junction = junction,
		.duty = NO_UNKNOWN,
		.gas_in = gas_in < plant->gas_count ? gas_in : NO_UNKNOWN,
		.gas_out = plant->treated[i],
		.cold_inlet = NO_STREAM};
	const struct column *column = column_of(plant, junction);

	add_row(plant, named(plant, "amine", junction->item), row_amine, close_amine, balance);
	add_gas_balances(plant, balance);
	if (junction->sort == JUNCTION_ABSORBER && balance.gas_in != NO_UNKNOWN)
		add_absorber(plant, balance);
	bool mixed = junction->sort == JUNCTION_FLASH ||
		(junction->sort == JUNCTION_MIX && item_is_any(junction->item, "mix stream"));
	if (mixed && junction->out.count == 1)
		add_row(plant, named(plant, "mixed temperature", junction->item), row_mixed, close_mix_K, balance);
	if (column)
		add_column(plant, column, balance);
}

static void add_exchange(struct plant *plant, size_t i)
{
	const struct exchange *exchange = &plant->sheet.exchanges[i];
	struct balance balance = {.plant = plant,
		.exchange = exchange,
		.duty = plant->duties[i],
		.gas_in = NO_UNKNOWN,
		.gas_out = NO_UNKNOWN,
		.cold_inlet = NO_STREAM};
	bool cooler = item_is(exchange->item, "cooler");

	if (exchange->hot_in != NO_STREAM && exchange->hot_out != NO_STREAM) {
		balance.hot_capacity = capacity_between(plant, exchange->hot_in, exchange->hot_out);
		add_row(plant, named(plant, "lean side", exchange->item), row_hot_side,
			cooler ? close_cooler : close_hot_side, balance);
	}
	if (exchange->cold_in != NO_STREAM && exchange->cold_out != NO_STREAM) {
		balance.cold_capacity = capacity_between(plant, exchange->cold_in, exchange->cold_out);
		add_row(plant, named(plant, "rich side", exchange->item), row_cold_side, close_cold_side, balance);
	}
}

void plant_add_balances(struct plant *plant)
{
	for (size_t i = 0; i < plant->sheet.junction_count; i++)
		add_junction(plant, i);
	for (size_t i = 0; i < plant->sheet.exchange_count; i++)
		add_exchange(plant, i);
	for (size_t i = 0; i < FACTORS; i++)
		fit_add_row(plant->fit,
			(struct fit_row){.sort = FIT_PROPERTY,
				.name = plant->unknowns[plant->factor[i]].name,
				.sigma = factor_spread[i],
				.value = row_factor,
				.data = &plant->factor[i],
				.unknowns = &plant->factor[i],
				.count = 1});
}
