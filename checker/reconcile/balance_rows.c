#include "reconcile/balance_rows.h"

#include <math.h>

#include "chemistry/constants.h"

/* Common values; tolerances and factors cover what they are off by. J/(kg K), J/(mol K), and the share of a duty lost. */
const double STEAM_HEAT_CAPACITY = 2100;
static const double acid_gas_heat_capacity = 36, loss = 0.01;

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

/* ---- rows of junctions ---- */

struct dual row_amine(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	struct dual in = amine_of(balance->plant, &balance->junction->in, u),
		    out = amine_of(balance->plant, &balance->junction->out, u);

	return dual_plus(dual_over(in, out), -1);
}

/* What enters less what leaves, over what the rich side carries; of a column over what leaves as gas. */
struct dual row_gas(const struct dual *u, const void *data)
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

struct dual row_inert(const struct dual *u, const void *data)
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
struct dual row_bottom(const struct dual *u, const void *data)
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

struct dual row_mixed(const struct dual *u, const void *data)
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

struct dual row_top_of_absorber(const struct dual *u, const void *data)
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

struct dual row_hot_side(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	const struct exchange *exchange = balance->exchange;

	return side_over_duty(balance, exchange->hot_in, exchange->hot_in, exchange->hot_out, balance->hot_capacity, u);
}

struct dual row_cold_side(const struct dual *u, const void *data)
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

struct dual row_fractions(const struct dual *u, const void *data)
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
struct dual row_top(const struct dual *u, const void *data)
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

struct dual row_condenser(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	const struct column *column = balance->column;
	struct dual cooled = dual_less(u[column->top_temperature], u[column->drum_temperature]);
	struct dual reflux = exp_of(u, column->reflux),
		    acid_gas = exp_of(u, balance->plant->gases[column->acid_gas].flow);
	struct dual latent = dual_plus(dual_scale(cooled, STEAM_HEAT_CAPACITY), balance->latent);
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
struct dual row_column(const struct dual *u, const void *data)
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

struct dual row_boiling(const struct dual *u, const void *data)
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

struct dual row_steam(const struct dual *u, const void *data)
{
	const struct balance *balance = data;
	const struct heater *heater = balance->heater;
	struct dual latent =
		dual_plus(dual_scale(dual_plus(u[heater->steam_pressure], -balance->latent_at), balance->latent_slope),
			balance->latent);

	return dual_plus(dual_over(dual_times(exp_of(u, heater->steam_flow), latent), exp_of(u, heater->duty)), -1);
}

struct dual row_factor(const struct dual *u, const void *data)
{
	return u[*(const size_t *)data];
}
