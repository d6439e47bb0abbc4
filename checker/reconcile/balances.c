#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/enthalpy.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"
#include "reconcile/plant.h"

/*
 * Closure tolerances: relative, or K where so named. What a sound circuit keeps to when other property relations than
 * these made it: simulated circuits, tests/circuits; no source.
 */
static const double close_amine = 0.002, close_gas = 0.006, close_inert = 0.006, close_fractions = 0.006,
		    close_bottom_K = 1.2, close_mix_K = 0.7, close_hot_side = 0.015, close_cold_side = 0.035,
		    close_cooler = 0.015, close_condenser = 0.025, close_column = 0.03, close_steam = 0.02,
		    close_saturation = 0.05, close_boiling = 0.05, close_undescribed = 0.02, guess_of_top_K = 8;
static const double factor_spread[FACTORS] = {0.03, 0.07, 0.07, 0.04, 0.015, 0.05};

/* Common values; the tolerances and factors cover what they are off by. J/(mol K), J/(kg K), J/kg. */
static const double gas_heat_capacity = 40, gas_heat_spread = 0.3, acid_gas_heat_capacity = 36,
		    steam_heat_capacity = 2100, loss = 0.01;

/* ln of a saturation pressure as a straight line in 1/T through the start. */
struct saturation {
	double ln, at, slope; /* Pa, K, K */
};

/* A row: of which junction, exchange, column or heater, and the constants it needs. */
struct balance {
	const struct plant *plant;
	const struct junction *junction;
	const struct exchange *exchange;
	const struct column *column;
	const struct heater *heater;
	size_t duty, gas_in, gas_out; /* unknown; indices of gases or NO_UNKNOWN */
	enum gas gas;
	bool of_feed;
	double hot_capacity, cold_capacity, zero; /* J/(kg K), J/(kg K), K */
	double gas_capacity;			  /* J/(mol K) */
	double heat[GAS_COUNT];			  /* J/mol */
	struct saturation in, out, top, drum;
	struct linear boiling;			/* ln Pa of the lean solution */
	double latent, latent_slope, latent_at; /* J/kg, by ln Pa */
	const size_t *exchanges;		/* heat taken up by the feed of a column */
	size_t exchange_count, cold_inlet;
};

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
	for (size_t i = 0; i < sizeof all / sizeof *all; i++)
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

/* ---- parts of balances ---- */

static struct dual exp_of(const struct dual *u, size_t unknown)
{
	return dual_exp(u[unknown]);
}

static struct dual mass_flow(const struct plant *plant, size_t stream, const struct dual *u)
{
	const struct liquid *liquid = &plant->liquids[stream];

	return dual_times(exp_of(u, liquid->amine), plant_mass(plant, liquid, u));
}

static struct dual factor(const struct plant *plant, enum factor which, const struct dual *u)
{
	return dual_plus(u[plant->factor[which]], 1);
}

static struct dual amine_of(const struct plant *plant, const struct stream_list *list, const struct dual *u)
{
	struct dual sum = dual_of(0);

	for (size_t i = 0; i < list->count; i++)
		sum = dual_add(sum, exp_of(u, plant->liquids[list->at[i]].amine));
	return sum;
}

/* mol/s of a gas that the solution carries. */
static struct dual carried(
	const struct plant *plant, const struct stream_list *list, enum gas gas, const struct dual *u)
{
	struct dual sum = dual_of(0);

	for (size_t i = 0; i < list->count; i++) {
		const struct liquid *liquid = &plant->liquids[list->at[i]];
		sum = dual_add(sum, dual_exp(dual_add(u[liquid->amine], u[liquid->loading[gas]])));
	}
	return sum;
}

static struct dual in_gas(const struct plant *plant, size_t index, enum gas gas, const struct dual *u)
{
	if (index == NO_UNKNOWN)
		return dual_of(0);
	return dual_exp(dual_add(u[plant->gases[index].flow], u[plant->gases[index].share[gas]]));
}

static struct dual inert_of(const struct plant *plant, size_t index, const struct dual *u)
{
	struct dual rest = dual_of(1);

	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		if (plant->present[gas])
			rest = dual_less(rest, exp_of(u, plant->gases[index].share[gas]));
	return dual_times(exp_of(u, plant->gases[index].flow), rest);
}

static struct dual saturated(const struct saturation *saturation, struct dual temperature)
{
	struct dual inverse = dual_plus(dual_over(dual_of(1), temperature), -1 / saturation->at);

	return dual_exp(dual_plus(dual_scale(inverse, saturation->slope), saturation->ln));
}

static struct saturation saturation_at(double temperature)
{
	const double kelvin = 5, coldest = 280, hottest = 480;
	double t = fmin(fmax(temperature, coldest), hottest);
	double up = log(water_saturation_pressure(t + kelvin)), down = log(water_saturation_pressure(t - kelvin));

	return (struct saturation){
		log(water_saturation_pressure(t)), t, (up - down) / (1 / (t + kelvin) - 1 / (t - kelvin))};
}

/* ---- rows of junctions ---- */

static struct dual row_amine(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	struct dual in = amine_of(balance->plant, &balance->junction->in, u),
		    out = amine_of(balance->plant, &balance->junction->out, u);

	return dual_plus(dual_over(in, out), -1);
}

/* What enters less what leaves, over what the rich side carries; of a column over what leaves as gas. */
static struct dual row_gas(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	const struct plant *plant = balance->plant;
	const struct junction *junction = balance->junction;
	struct dual in = carried(plant, &junction->in, balance->gas, u),
		    out = carried(plant, &junction->out, balance->gas, u),
		    gas_in = in_gas(plant, balance->gas_in, balance->gas, u),
		    gas_out = in_gas(plant, balance->gas_out, balance->gas, u);
	struct dual left = dual_less(dual_add(in, gas_in), dual_add(out, gas_out));

	return dual_over(left,
		junction->sort == JUNCTION_REGENERATOR	   ? gas_out
			: junction->sort == JUNCTION_FLASH ? in
							   : out);
}

static struct dual row_inert(const struct dual *u, const void *data)
{
	const struct balance *balance = data;

	return dual_plus(
		dual_over(inert_of(balance->plant, balance->gas_in, u), inert_of(balance->plant, balance->gas_out, u)),
		-1);
}

static struct dual heat_of_gases(const struct balance *balance, struct dual h2s, struct dual co2, const struct dual *u)
{
	struct dual of_h2s = dual_times(
			    dual_scale(h2s, balance->heat[GAS_H2S]), factor(balance->plant, FACTOR_HEAT_H2S, u)),
		    of_co2 = dual_times(
			    dual_scale(co2, balance->heat[GAS_CO2]), factor(balance->plant, FACTOR_HEAT_CO2, u));

	return dual_add(of_h2s, of_co2);
}

/* What the solution takes up of a gas in this junction, mol/s. */
static struct dual taken_up(const struct balance *balance, enum gas gas, const struct dual *u)
{
	const struct junction *junction = balance->junction;

	return dual_less(
		carried(balance->plant, &junction->out, gas, u), carried(balance->plant, &junction->in, gas, u));
}

/* Heat that a list of streams carries over `zero`, W. */
static struct dual sensible(
	const struct balance *balance, const struct stream_list *list, double capacity, const struct dual *u)
{
	const struct plant *plant = balance->plant;
	struct dual sum = dual_of(0);

	for (size_t i = 0; i < list->count; i++) {
		struct dual above = dual_plus(u[plant->liquids[list->at[i]].temperature], -balance->zero);
		sum = dual_add(sum, dual_scale(dual_times(mass_flow(plant, list->at[i], u), above), capacity));
	}
	return dual_times(sum, factor(plant, FACTOR_HEAT_CAPACITY, u));
}

/* Sensible heat of a gas and the heat of the water it is saturated with, over `zero`, W. */
static struct dual heat_of_gas(
	const struct balance *balance, size_t index, const struct saturation *water, const struct dual *u)
{
	const struct gas_stream *gas = &balance->plant->gases[index];
	struct dual flow = exp_of(u, gas->flow), above = dual_plus(u[gas->temperature], -balance->zero);
	struct dual heat = dual_scale(dual_times(flow, above), balance->gas_capacity);

	if (!(gas->pressure > 0))
		return heat;
	struct dual vapour =
		dual_scale(saturated(water, u[gas->temperature]), balance->latent * MOLAR_MASS_WATER / gas->pressure);
	return dual_add(heat, dual_times(flow, vapour));
}

/* What enters, heat of absorption included, less what leaves, as degrees of the rich solution. */
static struct dual row_bottom(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	const struct plant *plant = balance->plant;
	const struct junction *junction = balance->junction;
	struct dual in = dual_add(sensible(balance, &junction->in, balance->cold_capacity, u),
		heat_of_gases(balance, taken_up(balance, GAS_H2S, u), taken_up(balance, GAS_CO2, u), u));
	struct dual out = sensible(balance, &junction->out, balance->hot_capacity, u);

	in = dual_add(in, heat_of_gas(balance, balance->gas_in, &balance->in, u));
	out = dual_add(out, heat_of_gas(balance, balance->gas_out, &balance->out, u));
	struct dual mass = dual_of(0);
	for (size_t i = 0; i < junction->out.count; i++)
		mass = dual_add(mass, mass_flow(plant, junction->out.at[i], u));
	return dual_over(dual_less(in, out), dual_scale(mass, balance->hot_capacity));
}

static struct dual row_mixed(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	const struct plant *plant = balance->plant;
	struct dual heat = dual_of(0), mass = dual_of(0);

	for (size_t i = 0; i < balance->junction->in.count; i++) {
		size_t stream = balance->junction->in.at[i];
		struct dual flow = mass_flow(plant, stream, u);
		mass = dual_add(mass, flow);
		heat = dual_add(heat, dual_times(flow, u[plant->liquids[stream].temperature]));
	}
	return dual_less(dual_over(heat, mass), u[plant->liquids[balance->junction->out.at[0]].temperature]);
}

static struct dual row_top_of_absorber(const struct dual *u, const void *data)
{
	const struct balance *balance = data;

	return dual_less(u[balance->plant->gases[balance->gas_out].temperature],
		u[balance->plant->liquids[balance->junction->in.at[0]].temperature]);
}

/* ---- rows of exchangers ---- */

static struct dual side_over_duty(
	const struct balance *balance, size_t from, size_t hot, size_t cold, double capacity, const struct dual *u)
{
	const struct plant *plant = balance->plant;
	struct dual change = dual_less(u[plant->liquids[hot].temperature], u[plant->liquids[cold].temperature]);
	struct dual heat = dual_times(dual_scale(mass_flow(plant, from, u), capacity), change);

	return dual_plus(
		dual_over(dual_times(heat, factor(plant, FACTOR_HEAT_CAPACITY, u)), exp_of(u, balance->duty)), -1);
}

static struct dual row_hot_side(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	const struct exchange *exchange = balance->exchange;

	return side_over_duty(balance, exchange->hot_in, exchange->hot_in, exchange->hot_out, balance->hot_capacity, u);
}

static struct dual row_cold_side(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	const struct exchange *exchange = balance->exchange;

	return side_over_duty(
		balance, exchange->cold_in, exchange->cold_out, exchange->cold_in, balance->cold_capacity, u);
}

/* ---- rows of columns ---- */

/* Water that leaves the drum with the acid gas, mol/s. */
static struct dual water_carried(const struct balance *balance, const struct dual *u)
{
	const struct column *column = balance->column;
	const struct gas_stream *gas = &balance->plant->gases[column->acid_gas];
	struct dual share = dual_over(dual_times(saturated(&balance->drum, u[column->drum_temperature]),
					      factor(balance->plant, FACTOR_VAPOUR, u)),
		exp_of(u, column->drum_pressure));

	if (gas->dry)
		share = dual_over(share, dual_plus(dual_scale(share, -1), 1));
	return dual_times(exp_of(u, gas->flow), share);
}

static struct dual row_fractions(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	const struct gas_stream *gas = &balance->plant->gases[balance->column->acid_gas];
	struct dual sum = dual_of(-1);

	for (size_t i = 0; i < GAS_COUNT; i++)
		if (balance->plant->present[i])
			sum = dual_add(sum, exp_of(u, gas->share[i]));
	if (!gas->dry)
		sum = dual_add(sum, dual_over(water_carried(balance, u), exp_of(u, gas->flow)));
	return sum;
}

/* ln of water's partial pressure at the top, by what the overhead carries, over that of its dew point. */
static struct dual row_top(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	const struct column *column = balance->column;
	const struct gas_stream *gas = &balance->plant->gases[column->acid_gas];
	struct dual carried_off = water_carried(balance, u), acid_gas = exp_of(u, gas->flow);
	struct dual water = dual_add(dual_scale(exp_of(u, column->reflux), 1 / MOLAR_MASS_WATER), carried_off);
	struct dual whole = gas->dry ? dual_add(water, acid_gas) : dual_add(water, dual_less(acid_gas, carried_off));
	struct dual share = dual_over(water, whole);
	struct dual dew = dual_times(
		saturated(&balance->top, u[column->top_temperature]), factor(balance->plant, FACTOR_VAPOUR, u));

	return dual_log(dual_over(dual_times(share, exp_of(u, column->top_pressure)), dew));
}

static struct dual row_condenser(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	const struct column *column = balance->column;
	struct dual cooled = dual_less(u[column->top_temperature], u[column->drum_temperature]);
	struct dual reflux = exp_of(u, column->reflux),
		    acid_gas = exp_of(u, balance->plant->gases[column->acid_gas].flow);
	struct dual latent = dual_plus(dual_scale(cooled, steam_heat_capacity), balance->latent);
	struct dual heat =
		dual_add(dual_times(reflux, latent), dual_scale(dual_times(acid_gas, cooled), acid_gas_heat_capacity));

	return dual_plus(dual_over(heat, exp_of(u, column->condenser_duty)), -1);
}

static struct dual duties_of(const struct column *column, const struct dual *u)
{
	struct dual sum = dual_of(0);

	for (size_t i = 0; i < column->heater_count; i++)
		sum = dual_add(sum, exp_of(u, column->heaters[i].duty));
	return sum;
}

/* Column, condenser and reboilers in one envelope; the feed as it enters its exchangers, with the heat they give it. */
static struct dual row_column(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	const struct plant *plant = balance->plant;
	const struct column *column = balance->column;
	const struct junction *junction = balance->junction;
	struct dual feed = dual_of(0), stripped[GAS_COUNT], given = dual_scale(duties_of(column, u), 1 - loss);

	for (size_t i = 0; i < junction->in.count; i++) {
		size_t place = balance->cold_inlet != NO_STREAM ? balance->cold_inlet : junction->in.at[i];
		struct dual above = dual_plus(u[plant->liquids[place].temperature], -balance->zero);
		feed = dual_add(feed,
			dual_scale(dual_times(mass_flow(plant, junction->in.at[i], u), above), balance->cold_capacity));
	}
	feed = dual_times(feed, factor(plant, FACTOR_HEAT_CAPACITY, u));
	for (size_t i = 0; i < balance->exchange_count; i++)
		feed = dual_add(feed, exp_of(u, plant->duties[balance->exchanges[i]]));
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		stripped[gas] = dual_scale(taken_up(balance, (enum gas)gas, u), -1);
	struct dual asked = dual_add(sensible(balance, &junction->out, balance->hot_capacity, u),
		heat_of_gases(balance, stripped[GAS_H2S], stripped[GAS_CO2], u));
	asked = dual_add(asked, exp_of(u, column->condenser_duty));
	struct dual acid_gas = dual_scale(dual_times(exp_of(u, plant->gases[column->acid_gas].flow),
						  dual_plus(u[column->drum_temperature], -balance->zero)),
		acid_gas_heat_capacity);
	asked = dual_add(asked, acid_gas);
	asked = dual_add(asked, dual_scale(water_carried(balance, u), balance->latent * MOLAR_MASS_WATER));
	return dual_over(dual_less(dual_less(asked, feed), given), given);
}

static struct dual row_boiling(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	const struct linear *linear = &balance->boiling;
	const struct liquid *lean = &balance->plant->liquids[balance->junction->out.at[0]];
	struct dual inverse = dual_plus(dual_over(dual_of(1), u[lean->temperature]), -1 / linear->at_temperature);
	struct dual ln = dual_plus(dual_scale(inverse, linear->by_temperature), linear->value);

	ln = dual_add(
		ln, dual_scale(dual_plus(u[balance->plant->strength], -linear->at_strength), linear->by_strength));
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		ln = dual_add(ln,
			dual_scale(dual_plus(dual_exp(u[lean->loading[gas]]), -linear->at_loading[gas]),
				linear->by_loading[gas]));
	ln = dual_add(ln, dual_log(factor(balance->plant, FACTOR_VAPOUR, u)));
	return dual_less(ln, u[balance->column->bottom_pressure]);
}

static struct dual row_steam(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	const struct heater *heater = balance->heater;
	struct dual latent =
		dual_plus(dual_scale(dual_plus(u[heater->steam_pressure], -balance->latent_at), balance->latent_slope),
			balance->latent);

	return dual_plus(dual_over(dual_times(exp_of(u, heater->steam_flow), latent), exp_of(u, heater->duty)), -1);
}

static struct dual row_factor(const struct dual *u, const void *data)
{
	return u[*(const size_t *)data];
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
	struct solution_input state = {.temperature = fmin(fmax(temperature, coldest), hottest)};
	double strength = fmin(start_of(plant, plant->strength), most_strength);

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
	const struct quantity *computed =
		table_peek(plant->table, absorber, plant->operating_case, "gas-heat-capacity");

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
	if (!out->item || !table_peek(plant->table, out->item, plant->operating_case, "temperature"))
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
		steam_heat_capacity *
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
