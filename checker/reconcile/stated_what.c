#include "reconcile/stated_what.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/water.h"
#include "compute/solvent.h"

enum stated_class {
#define CLASS(code, uncertainty) CLASS_OF_##code,
#define STATES(kind, attribute, class, of)
#include "reconcile/stated.def"
#undef CLASS
#undef STATES
};

static const double class_uncertainty[] = {
#define CLASS(code, uncertainty) uncertainty,
#define STATES(kind, attribute, class, of)
#include "reconcile/stated.def"
#undef CLASS
#undef STATES
};

static bool direct(struct stated *stated, size_t unknown)
{
	stated->form = STATED_UNKNOWN;
	stated->of = stated->group = unknown;
	return unknown != NO_UNKNOWN;
}

static size_t liquid_of(const struct plant *plant, const struct item *stream)
{
	for (size_t i = 0; i < plant->sheet.stream_count; i++)
		if (plant->liquids[i].stream == stream)
			return plant->sheet.streams[i].connected ? i : NO_STREAM;
	return NO_STREAM;
}

static const struct column *column_with(const struct plant *plant, const struct item *item)
{
	for (size_t i = 0; item && i < plant->column_count; i++) {
		const struct column *column = &plant->columns[i];
		if (column->junction->item == item || column->overhead == item || column->reflux_stream == item ||
			column->drum_item == item || column->condenser == item)
			return column;
	}
	return NULL;
}

static const struct heater *heater_with(const struct plant *plant, const struct item *item)
{
	const struct heater *found = NULL;
	size_t count = 0;

	for (size_t i = 0; i < plant->column_count; i++)
		for (size_t k = 0; k < plant->columns[i].heater_count; k++) {
			const struct heater *heater = &plant->columns[i].heaters[k];
			if (heater->item == item)
				return heater;
			if (heater->steam == item) {
				found = heater;
				count++;
			}
		}
	return count == 1 ? found : NULL;
}

static double si_of(const struct stated *stated)
{
	return stated->statement->quantity->si;
}

static enum kind kind_of(const struct stated *stated)
{
	return stated->statement->quantity->kind;
}

static bool strength(const struct plant *plant, struct stated *stated)
{
	double fraction = solvent_mass_fraction(stated->statement->quantity, plant->amine);
	bool only_amine = true;

	for (size_t i = 0; i < AMINE_COUNT; i++)
		only_amine = only_amine && (i == plant->amine || !(plant->share_of_amine[i] > 0));
	stated->linear = true;
	stated->shift = fraction - si_of(stated);
	return only_amine && isfinite(fraction) && direct(stated, plant->strength);
}

static bool flow_of_liquid(const struct plant *plant, struct stated *stated, size_t liquid)
{
	stated->of = liquid;
	stated->group = plant->liquids[liquid].amine;
	stated->form = kind_of(stated) == KIND_MASS_FLOW ? STATED_MASS : STATED_VOLUME;
	return kind_of(stated) == KIND_MASS_FLOW || kind_of(stated) == KIND_LIQUID_FLOW;
}

static double density_of(const struct plant *plant, const struct item *stream)
{
	const struct quantity *density = table_get(plant->table, stream, plant->operating_case, "density");

	return density && density->known != UNKNOWN ? density->si : water_liquid_density(320, 1e6);
}

static bool flow_of_stream(const struct plant *plant, struct stated *stated)
{
	const struct item *stream = stated->statement->item;
	size_t liquid = liquid_of(plant, stream);
	const struct column *column = column_with(plant, stream);
	const struct heater *heater = heater_with(plant, stream);

	if (liquid != NO_STREAM)
		return flow_of_liquid(plant, stated, liquid);
	if (heater)
		return kind_of(stated) == KIND_MASS_FLOW && direct(stated, heater->steam_flow);
	if (column && column->overhead == stream) {
		stated->form = STATED_OVERHEAD;
		stated->of = (size_t)(column - plant->columns);
		stated->group = plant->unknown_count + stated->of;
		return kind_of(stated) == KIND_MASS_FLOW;
	}
	if (!column || column->reflux_stream != stream)
		return false;
	if (kind_of(stated) == KIND_LIQUID_FLOW)
		stated->shift = log(density_of(plant, stream));
	stated->shift -= column->ln_returned;
	return (kind_of(stated) == KIND_LIQUID_FLOW || kind_of(stated) == KIND_MASS_FLOW) &&
		direct(stated, column->reflux);
}

static bool loading_of(const struct plant *plant, struct stated *stated, enum gas gas)
{
	size_t liquid = liquid_of(plant, stated->statement->item);

	return liquid != NO_STREAM && plant->present[gas] && direct(stated, plant->liquids[liquid].loading[gas]);
}

static bool h2s_of_stream(const struct plant *plant, struct stated *stated)
{
	return loading_of(plant, stated, GAS_H2S);
}

static bool co2_of_stream(const struct plant *plant, struct stated *stated)
{
	return loading_of(plant, stated, GAS_CO2);
}

static bool loading_of_stream(const struct plant *plant, struct stated *stated)
{
	size_t liquid = liquid_of(plant, stated->statement->item);

	if (liquid == NO_STREAM)
		return false;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		if (!plant->present[gas])
			return direct(stated, plant->liquids[liquid].loading[gas == GAS_H2S ? GAS_CO2 : GAS_H2S]);
	stated->form = STATED_LOADING;
	stated->of = liquid;
	stated->group = plant->unknown_count + plant->column_count + plant->liquids[liquid].loading[GAS_H2S];
	return true;
}

static bool temperature_of_stream(const struct plant *plant, struct stated *stated)
{
	const struct item *stream = stated->statement->item;
	size_t liquid = liquid_of(plant, stream);
	const struct column *column = column_with(plant, stream);

	stated->linear = true;
	if (liquid != NO_STREAM)
		return direct(stated, plant->liquids[liquid].temperature);
	if (!column)
		return false;
	return direct(stated, column->overhead == stream ? column->top_temperature : column->drum_temperature);
}

static bool density_of_stream(const struct plant *plant, struct stated *stated)
{
	size_t liquid = liquid_of(plant, stated->statement->item);
	const struct quantity *two_phase =
		table_get(plant->table, stated->statement->item, plant->operating_case, "two-phase");

	stated->form = STATED_DENSITY;
	stated->of = liquid;
	stated->group = 2 * plant->unknown_count + plant->column_count + liquid;
	return liquid != NO_STREAM && !(two_phase && two_phase->si > 0);
}

static bool pressure_of_stream(const struct plant *plant, struct stated *stated)
{
	const struct item *stream = stated->statement->item;
	const struct column *column = column_with(plant, stream);
	const struct heater *heater = heater_with(plant, stream);

	if (heater)
		return direct(stated, heater->steam_pressure);
	return column && column->overhead == stream && direct(stated, column->top_pressure);
}

static const struct gas_stream *gas_with(const struct plant *plant, const struct item *item)
{
	size_t gas = plant_gas(plant, item);

	return gas < plant->gas_count ? &plant->gases[gas] : NULL;
}

static double molar_mass_of(const struct plant *plant, const struct item *item)
{
	const struct quantity *mass = table_get(plant->table, item, plant->operating_case, "molar-mass");

	return mass && mass->known != UNKNOWN ? mass->si : (double)NAN;
}

static bool flow_of_gas(const struct plant *plant, struct stated *stated)
{
	const struct item *item = stated->statement->item;
	const struct gas_stream *gas = gas_with(plant, item);
	const struct quantity *density = table_get(plant->table, item, plant->operating_case, "density");

	if (kind_of(stated) == KIND_MASS_FLOW)
		stated->shift = -log(molar_mass_of(plant, item));
	else if (kind_of(stated) != KIND_MOLAR_FLOW)
		stated->shift = density && density->known != UNKNOWN ? log(density->si / molar_mass_of(plant, item))
								     : (double)NAN;
	return gas && isfinite(stated->shift) && direct(stated, gas->flow);
}

static bool share_of(const struct plant *plant, struct stated *stated, enum gas gas)
{
	static const double molar_mass[GAS_COUNT] = {MOLAR_MASS_H2S, MOLAR_MASS_CO2};
	const struct item *item = stated->statement->item;
	const struct gas_stream *of = gas_with(plant, item);

	switch (kind_of(stated)) {
	case KIND_MOLE_FRACTION:
	case KIND_GAS_TRACE:
		break;
	case KIND_GAS_MASS_CONTENT: /* kg/mol of gas */
		stated->shift = -log(molar_mass[gas]);
		break;
	default: /* by mass */
		stated->shift = log(molar_mass_of(plant, item) / molar_mass[gas]);
	}
	return of && plant->present[gas] && isfinite(stated->shift) && direct(stated, of->share[gas]);
}

static bool h2s_of_gas(const struct plant *plant, struct stated *stated)
{
	return share_of(plant, stated, GAS_H2S);
}

static bool co2_of_gas(const struct plant *plant, struct stated *stated)
{
	return share_of(plant, stated, GAS_CO2);
}

static bool temperature_of_gas(const struct plant *plant, struct stated *stated)
{
	const struct item *item = stated->statement->item;
	const struct gas_stream *gas = gas_with(plant, item);

	stated->linear = true;
	for (size_t i = 0; i < plant->column_count; i++) /* acid gas leaves the drum */
		if (plant->columns[i].acid_gas == plant_gas(plant, item))
			return direct(stated, plant->columns[i].drum_temperature);
	return gas && direct(stated, gas->temperature);
}

/* Of the acid gas: it leaves the drum. */
static bool pressure_of_gas(const struct plant *plant, struct stated *stated)
{
	size_t gas = plant_gas(plant, stated->statement->item);

	for (size_t i = 0; i < plant->column_count; i++)
		if (plant->columns[i].acid_gas == gas)
			return direct(stated, plant->columns[i].drum_pressure);
	return false;
}

/* What leaves at the bottom, where that is one stream. */
static bool bottom_of_contactor(const struct plant *plant, struct stated *stated)
{
	stated->linear = true;
	for (size_t i = 0; i < plant->sheet.junction_count; i++) {
		const struct junction *junction = &plant->sheet.junctions[i];
		if (junction->item == stated->statement->item && junction->out.count == 1)
			return direct(stated, plant->liquids[junction->out.at[0]].temperature);
	}
	return false;
}

static bool duty_of_exchange(const struct plant *plant, struct stated *stated)
{
	for (size_t i = 0; i < plant->sheet.exchange_count; i++)
		if (plant->sheet.exchanges[i].item == stated->statement->item)
			return direct(stated, plant->duties[i]);
	return false;
}

static bool outlet_of_cooler(const struct plant *plant, struct stated *stated)
{
	stated->linear = true;
	for (size_t i = 0; i < plant->sheet.exchange_count; i++) {
		const struct exchange *exchange = &plant->sheet.exchanges[i];
		if (exchange->item == stated->statement->item && exchange->hot_out != NO_STREAM)
			return direct(stated, plant->liquids[exchange->hot_out].temperature);
	}
	return false;
}

static bool of_column(const struct plant *plant, struct stated *stated, size_t offset, bool linear)
{
	const struct column *column = column_with(plant, stated->statement->item);

	stated->linear = linear;
	return column && direct(stated, *(const size_t *)(const void *)((const char *)column + offset));
}

static bool top_temperature(const struct plant *plant, struct stated *stated)
{
	return of_column(plant, stated, offsetof(struct column, top_temperature), true);
}

static bool drum_temperature(const struct plant *plant, struct stated *stated)
{
	return of_column(plant, stated, offsetof(struct column, drum_temperature), true);
}

/* ---- the highest operating temperature of an item ---- */

/*
 * It is the temperature of a case where the item states it for that case, or the unit has no other steady one. Else it is
 * that of whichever case is hottest, and of this one it says only that it is no hotter.
 */
static bool is_of_one_case(const struct plant *plant, struct stated *stated)
{
	size_t steady = 0;

	for (size_t i = 0; i < table_case_count(plant->table); i++)
		steady += !table_case(plant->table, (int)i)->upset;
	if (stated->statement->operating_case == EVERY_CASE && steady > 1)
		stated->why_not = "the highest of several operating cases, not that of this one";
	return !stated->why_not;
}

static bool highest_of_flash(const struct plant *plant, struct stated *stated)
{
	return is_of_one_case(plant, stated) && bottom_of_contactor(plant, stated);
}

static bool highest_of_drum(const struct plant *plant, struct stated *stated)
{
	return is_of_one_case(plant, stated) && drum_temperature(plant, stated);
}

static bool top_pressure(const struct plant *plant, struct stated *stated)
{
	return of_column(plant, stated, offsetof(struct column, top_pressure), false);
}

static bool drum_pressure(const struct plant *plant, struct stated *stated)
{
	return of_column(plant, stated, offsetof(struct column, drum_pressure), false);
}

static bool bottom_pressure(const struct plant *plant, struct stated *stated)
{
	return of_column(plant, stated, offsetof(struct column, bottom_pressure), false);
}

static bool duty_of_condenser(const struct plant *plant, struct stated *stated)
{
	return of_column(plant, stated, offsetof(struct column, condenser_duty), false);
}

static bool reflux_ratio(const struct plant *plant, struct stated *stated)
{
	const struct column *column = column_with(plant, stated->statement->item);

	if (!column || !(si_of(stated) > 0))
		return false;
	stated->form = STATED_RATIO;
	stated->of = (size_t)(column - plant->columns);
	stated->group = 3 * plant->unknown_count + plant->column_count + stated->of;
	return true;
}

static bool of_heater(const struct plant *plant, struct stated *stated, size_t offset)
{
	const struct heater *heater = heater_with(plant, stated->statement->item);

	return heater && direct(stated, *(const size_t *)(const void *)((const char *)heater + offset));
}

static bool duty_of_heater(const struct plant *plant, struct stated *stated)
{
	return of_heater(plant, stated, offsetof(struct heater, duty));
}

static bool steam_flow(const struct plant *plant, struct stated *stated)
{
	return of_heater(plant, stated, offsetof(struct heater, steam_flow));
}

static bool steam_pressure(const struct plant *plant, struct stated *stated)
{
	return of_heater(plant, stated, offsetof(struct heater, steam_pressure));
}

/* The solution boils in the reboiler and leaves it for the exchangers. */
static bool bulk_temperature(const struct plant *plant, struct stated *stated)
{
	stated->linear = true;
	for (size_t i = 0; i < plant->column_count; i++)
		for (size_t k = 0; k < plant->columns[i].heater_count; k++)
			if (plant->columns[i].heaters[k].item == stated->statement->item &&
				plant->columns[i].junction->out.count == 1)
				return direct(
					stated, plant->liquids[plant->columns[i].junction->out.at[0]].temperature);
	return false;
}

static const struct stated_attribute attributes[] = {
#define CLASS(code, uncertainty)
#define STATES(kind, attribute, class, of) {kind, attribute, CLASS_OF_##class, of},
#include "reconcile/stated.def"
#undef CLASS
#undef STATES
};

const struct stated_attribute *stated_attribute(const struct item *item, const char *name)
{
	for (size_t i = 0; i < COUNT(attributes); i++)
		if (item_is(item, attributes[i].kind) && strcmp(name, attributes[i].attribute) == 0)
			return &attributes[i];
	return NULL;
}

double stated_uncertainty(const struct stated_attribute *attribute)
{
	return class_uncertainty[attribute->class];
}
