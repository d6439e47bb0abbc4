#include "reconcile/stated.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"
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

/* ---- printed digits ---- */

/*
 * Digits that a number is printed with. Zeros at the end of a whole number are digits up to the third: 22400 is printed to 100,
 * 1000 to 10, 96 to 1.
 */
static double last_digit(const char *at)
{
	double digit = 1;
	int whole = 0, zeros = 0;
	const int least = 3;

	for (; isdigit((unsigned char)*at) || *at == ','; at++) {
		if (*at == ',')
			return 0; /* a thousands mark or a decimal one: not to be told */
		whole++;
		zeros = *at == '0' ? zeros + 1 : 0;
	}
	if (*at == '.') {
		for (at++; isdigit((unsigned char)*at); at++)
			digit /= 10;
		zeros = 0;
	}
	for (; zeros > 0 && whole > least; zeros--, whole--)
		digit *= 10;
	if (*at == 'e' || *at == 'E')
		digit *= pow(10, strtod(at + 1, NULL));
	return digit;
}

static bool is_of_temperature(enum kind kind)
{
	return kind == KIND_TEMPERATURE || kind == KIND_TEMPERATURE_DIFFERENCE;
}

double stated_digit(const struct quantity *quantity)
{
	const char *at = quantity->written;
	char *end;

	while (at && *at && !isdigit((unsigned char)*at))
		at++;
	if (!at || !*at)
		return 0;
	double number = strtod(at, &end), digit = last_digit(at), factor, offset;
	const char *unit = end + strspn(end, " \t");
	if (digit == 0)
		return 0;
	if (*unit && unit_find(quantity->kind, unit, quantity->datum, &factor, &offset))
		return digit * factor;
	return number > 0 && !is_of_temperature(quantity->kind) ? digit * quantity->si / number : 0;
}

/* ---- what a statement states ---- */

struct finder {
	struct plant *plant;
	struct stateds out;
	size_t capacity, left_out_capacity;
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
	bool only_amine = plant->share_of_amine[plant->amine] == 1;

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
	const struct quantity *density = table_peek(plant->table, stream, plant->operating_case, "density");

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
		table_peek(plant->table, stated->statement->item, plant->operating_case, "two-phase");

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
	const struct quantity *mass = table_peek(plant->table, item, plant->operating_case, "molar-mass");

	return mass && mass->known != UNKNOWN ? mass->si : (double)NAN;
}

static bool flow_of_gas(const struct plant *plant, struct stated *stated)
{
	const struct item *item = stated->statement->item;
	const struct gas_stream *gas = gas_with(plant, item);
	const struct quantity *density = table_peek(plant->table, item, plant->operating_case, "density");

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

static const struct {
	const char *kind, *attribute;
	enum stated_class class;
	bool (*of)(const struct plant *plant, struct stated *stated);
} all_states[] = {
#define CLASS(code, uncertainty)
#define STATES(kind, attribute, class, of) {kind, attribute, CLASS_OF_##class, of},
#include "reconcile/stated.def"
#undef CLASS
#undef STATES
};

/* ---- which statements are of this case ---- */

/* Another statement of the same value by the same document that this case has of its own. */
static bool replaced(const struct plant *plant, const struct statement *statement)
{
	size_t count;
	const struct statement *all = table_statements(plant->table, &count);

	for (size_t i = 0; i < count; i++)
		if (all[i].item == statement->item && all[i].operating_case == plant->operating_case &&
			strcmp(all[i].name, statement->name) == 0 &&
			text_same(all[i].quantity->document, statement->quantity->document))
			return true;
	return false;
}

static bool is_of_case(const struct plant *plant, const struct statement *statement)
{
	if (statement->operating_case != EVERY_CASE)
		return statement->operating_case == plant->operating_case;
	return (plant->operating_case == 0 || item_is(statement->item, "solvent")) && !replaced(plant, statement);
}

static void leave_out(struct finder *finder, const struct statement *statement, const char *why)
{
	finder->out.left_out = arena_grow(finder->plant->arena, finder->out.left_out, finder->out.left_out_count,
		&finder->left_out_capacity, sizeof *finder->out.left_out);
	finder->out.left_out[finder->out.left_out_count++] =
		arena_format(finder->plant->arena, "%s of %s: %s", statement->name, statement->item->tag, why);
}

static void measure(struct stated *stated, enum stated_class class)
{
	const struct quantity *quantity = stated->statement->quantity;
	double digit = stated_digit(quantity), sigma = class_uncertainty[class];

	stated->metric = stated->linear ? quantity->si : log(quantity->si);
	if (!stated->linear)
		digit /= quantity->si;
	stated->sigma = sqrt(sigma * sigma + digit * digit / 12);
}

static void consider(struct finder *finder, const struct statement *statement, size_t k)
{
	struct stated stated = {.statement = statement, .row = NO_UNKNOWN};
	const struct quantity *quantity = statement->quantity;

	if (quantity->known != STATED || !kind_is_number(quantity->kind))
		return;
	if (!all_states[k].of(finder->plant, &stated)) {
		if (strcmp(statement->name, "flow") == 0 && stated.group)
			leave_out(finder, statement, "nothing says what the flow is of, or how heavy it is");
		return;
	}
	if (quantity->bound != BOUND_NONE) {
		leave_out(finder, statement, "stated as a bound");
		return;
	}
	if (!stated.linear && !(quantity->si > 0))
		return;
	measure(&stated, all_states[k].class);
	finder->out.rows = arena_grow(
		finder->plant->arena, finder->out.rows, finder->out.count, &finder->capacity, sizeof *finder->out.rows);
	finder->out.rows[finder->out.count++] = stated;
}

/* ---- starts ---- */

static int by_size(const void *a, const void *b)
{
	double left = *(const double *)a, right = *(const double *)b;

	return (left > right) - (left < right);
}

static double median(double *values, size_t count)
{
	qsort(values, count, sizeof *values, by_size);
	return count % 2 ? values[count / 2] : (values[count / 2 - 1] + values[count / 2]) / 2;
}

static void start_directly(struct plant *plant, const struct stateds *stateds, double *values)
{
	for (size_t unknown = 0; unknown < plant->unknown_count; unknown++) {
		size_t count = 0;
		for (size_t i = 0; i < stateds->count; i++)
			if (stateds->rows[i].form == STATED_UNKNOWN && stateds->rows[i].of == unknown)
				values[count++] = stateds->rows[i].metric + stateds->rows[i].shift;
		if (count)
			plant->unknowns[unknown].start = median(values, count);
	}
}

static double start_or(const struct plant *plant, size_t unknown, double otherwise)
{
	double start = plant->unknowns[unknown].start;

	return isfinite(start) ? start : otherwise;
}

/* ln of the amine flow, mol/s, that a stated flow means at the start. */
static double amine_by(const struct plant *plant, const struct stated *stated)
{
	const struct liquid *liquid = &plant->liquids[stated->of];
	const double usual_density = 1020, none = log(1e-6);
	double mass = 1 / (plant->moles_per_strength * start_or(plant, plant->strength, 0.3)) +
		MOLAR_MASS_H2S * exp(start_or(plant, liquid->loading[GAS_H2S], none)) +
		MOLAR_MASS_CO2 * exp(start_or(plant, liquid->loading[GAS_CO2], none));

	return stated->metric - log(mass) + (stated->form == STATED_VOLUME ? log(usual_density) : 0);
}

static void start_flows(struct plant *plant, const struct stateds *stateds, double *values)
{
	for (size_t k = 0; k < plant->sheet.stream_count; k++) {
		size_t count = 0, amine = plant->liquids[k].amine;
		for (size_t i = 0; i < stateds->count; i++) {
			const struct stated *stated = &stateds->rows[i];
			if ((stated->form == STATED_MASS || stated->form == STATED_VOLUME) && stated->group == amine)
				values[count++] = amine_by(plant, stated);
		}
		if (count)
			plant->unknowns[amine].start = median(values, count);
	}
}

/* What both loadings together say of the one that is not stated. */
static void start_loadings(struct plant *plant, const struct stateds *stateds)
{
	for (size_t i = 0; i < stateds->count; i++) {
		const struct stated *stated = &stateds->rows[i];
		if (stated->form != STATED_LOADING)
			continue;
		const size_t *loading = plant->liquids[stated->of].loading;
		double total = exp(stated->metric), h2s = plant->unknowns[loading[GAS_H2S]].start,
		       co2 = plant->unknowns[loading[GAS_CO2]].start;
		if (isnan(h2s))
			plant->unknowns[loading[GAS_H2S]].start =
				log(isnan(co2) ? total / 2 : fmax(total - exp(co2), total / 20));
		if (isnan(co2))
			plant->unknowns[loading[GAS_CO2]].start =
				log(fmax(total - exp(plant->unknowns[loading[GAS_H2S]].start), total / 20));
	}
}

struct stateds stated_of(struct plant *plant)
{
	struct finder finder = {.plant = plant};
	size_t count;
	const struct statement *all = table_statements(plant->table, &count);

	for (size_t i = 0; i < count; i++)
		for (size_t k = 0; is_of_case(plant, &all[i]) && k < sizeof all_states / sizeof *all_states; k++)
			if (item_is(all[i].item, all_states[k].kind) &&
				strcmp(all[i].name, all_states[k].attribute) == 0)
				consider(&finder, &all[i], k);
	double *values = arena_alloc(plant->arena, (finder.out.count + 1) * sizeof *values);
	start_directly(plant, &finder.out, values);
	start_loadings(plant, &finder.out);
	start_flows(plant, &finder.out, values);
	return finder.out;
}

/* ---- rows ---- */

/* A stated row in its plant. */
struct said {
	const struct plant *plant;
	struct stated stated;
	double water; /* with each mole of acid gas, mol */
};

static struct dual row_stated(const struct dual *u, const void *data)
{
	const struct said *said = data;
	const struct plant *plant = said->plant;
	const struct stated *stated = &said->stated;
	struct dual value;

	switch (stated->form) {
	case STATED_MASS:
	case STATED_VOLUME: {
		const struct liquid *liquid = &plant->liquids[stated->of];
		value = dual_add(u[liquid->amine], dual_log(plant_mass(plant, liquid, u)));
		return stated->form == STATED_MASS ? value : dual_less(value, plant_ln_density(plant, stated->of, u));
	}
	case STATED_DENSITY:
		return plant_ln_density(plant, stated->of, u);
	case STATED_LOADING: {
		const struct liquid *liquid = &plant->liquids[stated->of];
		return dual_log(dual_add(dual_exp(u[liquid->loading[GAS_H2S]]), dual_exp(u[liquid->loading[GAS_CO2]])));
	}
	case STATED_OVERHEAD: {
		const struct column *column = &plant->columns[stated->of];
		const struct gas_stream *gas = &plant->gases[column->acid_gas];
		struct dual mass = dual_of(said->water * MOLAR_MASS_WATER);
		if (plant->present[GAS_H2S])
			mass = dual_add(mass, dual_scale(dual_exp(u[gas->share[GAS_H2S]]), MOLAR_MASS_H2S));
		if (plant->present[GAS_CO2])
			mass = dual_add(mass, dual_scale(dual_exp(u[gas->share[GAS_CO2]]), MOLAR_MASS_CO2));
		return dual_log(dual_add(dual_times(dual_exp(u[gas->flow]), mass), dual_exp(u[column->reflux])));
	}
	case STATED_RATIO: {
		const struct column *column = &plant->columns[stated->of];
		return dual_plus(
			dual_less(u[column->reflux], u[plant->gases[column->acid_gas].flow]), -log(MOLAR_MASS_WATER));
	}
	default:
		return dual_plus(u[stated->of], -stated->shift);
	}
}

static size_t list_unknowns(const struct plant *plant, const struct stated *stated, size_t *out)
{
	size_t count = 0;

	if (stated->form == STATED_UNKNOWN) {
		out[count++] = stated->of;
	} else if (stated->form == STATED_OVERHEAD || stated->form == STATED_RATIO) {
		const struct column *column = &plant->columns[stated->of];
		out[count++] = column->reflux;
		out[count++] = plant->gases[column->acid_gas].flow;
		out[count++] = plant->gases[column->acid_gas].share[GAS_H2S];
		out[count++] = plant->gases[column->acid_gas].share[GAS_CO2];
	} else {
		const struct liquid *liquid = &plant->liquids[stated->of];
		out[count++] = liquid->amine;
		out[count++] = liquid->temperature;
		out[count++] = liquid->loading[GAS_H2S];
		out[count++] = liquid->loading[GAS_CO2];
		out[count++] = plant->strength;
		out[count++] = plant->factor[FACTOR_DENSITY];
	}
	return count;
}

void stated_add(struct plant *plant, struct stateds *stateds)
{
	for (size_t i = 0; i < stateds->count; i++) {
		struct stated *stated = &stateds->rows[i];
		struct said *said = arena_alloc(plant->arena, sizeof *said);
		size_t unknowns[6], count = list_unknowns(plant, stated, unknowns);

		*said = (struct said){.plant = plant, .stated = *stated};
		if (stated->form == STATED_OVERHEAD) {
			const struct column *column = &plant->columns[stated->of];
			double share =
				water_saturation_pressure(fit_unknown(plant->fit, column->drum_temperature)->start) /
				exp(fit_unknown(plant->fit, column->drum_pressure)->start);
			said->water = isfinite(share) ? share : 0;
		}
		stated->row = fit_add_row(plant->fit,
			(struct fit_row){.sort = FIT_STATEMENT,
				.name = stated->statement->name,
				.stated = stated->metric,
				.sigma = stated->sigma,
				.value = row_stated,
				.data = said,
				.unknowns = unknowns,
				.count = count,
				.group = stated->group});
	}
}

double stated_si(const struct stated *stated, double metric)
{
	return stated->linear ? metric : exp(metric);
}
