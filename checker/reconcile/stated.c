#include "reconcile/stated_what.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"

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
	const struct statement **own; /* what is stated for this case alone */
	size_t own_count, own_capacity;
};

/* ---- which statements are of this case ---- */

/* Another statement of the same value by the same document that this case has of its own. */
static bool replaced(const struct finder *finder, const struct statement *statement)
{
	for (size_t i = 0; i < finder->own_count; i++)
		if (finder->own[i]->item == statement->item && strcmp(finder->own[i]->name, statement->name) == 0 &&
			text_same(finder->own[i]->quantity->document, statement->quantity->document))
			return true;
	return false;
}

static bool is_of_case(const struct finder *finder, const struct statement *statement)
{
	const struct plant *plant = finder->plant;

	if (statement->operating_case != EVERY_CASE)
		return statement->operating_case == plant->operating_case;
	return (plant->operating_case == 0 || item_is(statement->item, "solvent")) && !replaced(finder, statement);
}

static void find_own(struct finder *finder, const struct statement *all, size_t count)
{
	for (size_t i = 0; i < count; i++) {
		if (all[i].operating_case != finder->plant->operating_case)
			continue;
		finder->own = arena_grow(finder->plant->arena, finder->own, finder->own_count, &finder->own_capacity,
			sizeof(struct statement *));
		finder->own[finder->own_count++] = &all[i];
	}
}

static void leave_out(struct finder *finder, const struct statement *statement, const char *why)
{
	finder->out.left_out = arena_grow(finder->plant->arena, finder->out.left_out, finder->out.left_out_count,
		&finder->left_out_capacity, sizeof *finder->out.left_out);
	finder->out.left_out[finder->out.left_out_count++] =
		arena_format(finder->plant->arena, "%s of %s: %s", statement->name, statement->item->tag, why);
}

/* A flow or a duty printed as none may be half its last digit: 0 kg/h where 7500 would close is a statement too. */
static double printed_value(const struct stated *stated, double digit)
{
	const struct quantity *quantity = stated->statement->quantity;
	bool may_be_none = strcmp(stated->statement->name, "flow") == 0 || quantity->kind == KIND_POWER;

	return quantity->si > 0 || stated->linear || !may_be_none ? quantity->si : digit / 2;
}

/* False where the value has no ln. */
static bool measure(struct stated *stated, double sigma)
{
	double digit = stated_digit(stated->statement->quantity), value = printed_value(stated, digit);

	if (!stated->linear && !(value > 0))
		return false;
	stated->metric = stated->linear ? value : log(value);
	if (!stated->linear)
		digit /= value;
	stated->rounding = digit / sqrt(12);
	stated->sigma = hypot(sigma, stated->rounding);
	return true;
}

static void consider(struct finder *finder, const struct statement *statement)
{
	const struct stated_attribute *attribute = stated_attribute(statement->item, statement->name);
	struct stated stated = {.statement = statement, .row = NO_UNKNOWN};
	const struct quantity *quantity = statement->quantity;

	if (!attribute || quantity->known != STATED || !kind_is_number(quantity->kind))
		return;
	if (!attribute->of(finder->plant, &stated)) {
		if (stated.why_not)
			leave_out(finder, statement, stated.why_not);
		else if (strcmp(statement->name, "flow") == 0 && stated.group)
			leave_out(finder, statement, "neither the fluid of the flow nor its density is stated");
		return;
	}
	if (quantity->bound != BOUND_NONE) {
		leave_out(finder, statement, "stated as a bound");
		return;
	}
	if (!measure(&stated, stated_uncertainty(attribute)))
		return;
	finder->out.rows = arena_grow(
		finder->plant->arena, finder->out.rows, finder->out.count, &finder->capacity, sizeof *finder->out.rows);
	finder->out.rows[finder->out.count++] = stated;
	if (statement->read)
		*statement->read = true;
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

	find_own(&finder, all, count);
	for (size_t i = 0; i < count; i++)
		if (is_of_case(&finder, &all[i]))
			consider(&finder, &all[i]);
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
		return dual_plus(dual_less(u[column->reflux], u[plant->gases[column->acid_gas].flow]),
			column->ln_returned - log(MOLAR_MASS_WATER));
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
				.rounding = stated->rounding,
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
