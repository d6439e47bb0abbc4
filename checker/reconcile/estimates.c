#include "reconcile/estimates.h"

#include <math.h>
#include <string.h>

#include "reconcile/plant.h"

/* Of the width of its prior: beyond that it is the prior that says so and not the package (practically unobservable). */
static const double observable = 0.3;

struct listing {
	const struct plant *plant;
	const bool *determined;
	struct estimate *rows;
	size_t count, capacity;
	struct dual *at; /* every unknown, for what follows from several */
};

static bool is_observable(const struct listing *listing, size_t unknown)
{
	const struct fit *fit = listing->plant->fit;
	return unknown != NO_UNKNOWN && listing->determined[unknown] && isfinite(fit_at(fit, unknown)) &&
		fit_sd(fit, unknown) < observable * fit_unknown(fit, unknown)->prior;
}

static void add(struct listing *listing, struct estimate row)
{
	if (!row.item || !isfinite(row.si))
		return;
	listing->rows = arena_grow(
		listing->plant->arena, listing->rows, listing->count, &listing->capacity, sizeof *listing->rows);
	listing->rows[listing->count++] = row;
}

/* An unknown in K. */
static void add_kelvin(struct listing *listing, const struct item *item, const char *name, size_t unknown)
{
	if (is_observable(listing, unknown))
		add(listing,
			(struct estimate){item, name, KIND_TEMPERATURE, fit_at(listing->plant->fit, unknown),
				fit_sd(listing->plant->fit, unknown)});
}

/* One that is the ln of its value; `factor` from its unit to SI of the kind. */
static void add_ln(struct listing *listing, const struct item *item, const char *name, enum kind kind, size_t unknown,
	double factor)
{
	if (!is_observable(listing, unknown))
		return;
	double value = factor * exp(fit_at(listing->plant->fit, unknown));
	add(listing, (struct estimate){item, name, kind, value, value * fit_sd(listing->plant->fit, unknown)});
}

static const char *const contents[GAS_COUNT] = {[GAS_H2S] = "h2s", [GAS_CO2] = "co2"};

static void add_liquids(struct listing *listing)
{
	const struct plant *plant = listing->plant;
	for (size_t i = 0; i < plant->sheet.stream_count; i++) {
		const struct liquid *liquid = &plant->liquids[i];
		const struct item *stream = liquid->stream;
		add_kelvin(listing, stream, "temperature", liquid->temperature);
		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			if (plant->present[gas])
				add_ln(listing, stream, contents[gas], KIND_LOADING, liquid->loading[gas], 1);
		add_ln(listing, stream, "flow", KIND_MASS_FLOW, liquid->amine,
			plant_mass(plant, liquid, listing->at).value);
	}
}

static void add_gases(struct listing *listing)
{
	const struct plant *plant = listing->plant;
	for (size_t i = 0; i < plant->gas_count; i++) {
		const struct gas_stream *gas = &plant->gases[i];
		if (gas->liquid)
			continue;
		add_ln(listing, gas->item, "flow", KIND_MOLAR_FLOW, gas->flow, 1);
		add_kelvin(listing, gas->item, "temperature", gas->temperature);
		for (size_t k = 0; k < GAS_COUNT; k++)
			if (plant->present[k])
				add_ln(listing, gas->item, contents[k], KIND_MOLE_FRACTION, gas->share[k], 1);
	}
}

static void add_column(struct listing *listing, const struct column *column)
{
	const struct item *tower = column->junction->item;
	add_ln(listing, column->reflux_stream, "flow", KIND_MASS_FLOW, column->reflux, 1);
	add_ln(listing, column->condenser, "duty", KIND_POWER, column->condenser_duty, 1);
	add_kelvin(listing, tower, "top-temperature", column->top_temperature);
	add_ln(listing, tower, "top-pressure", KIND_PRESSURE, column->top_pressure, 1);
	add_ln(listing, tower, "bottom-pressure", KIND_PRESSURE, column->bottom_pressure, 1);
	for (size_t i = 0; i < column->heater_count; i++) {
		add_ln(listing, column->heaters[i].item, "duty", KIND_POWER, column->heaters[i].duty, 1);
		add_ln(listing, column->heaters[i].item, "steam-flow", KIND_MASS_FLOW, column->heaters[i].steam_flow,
			1);
	}
}

struct estimates estimates_of(const struct plant *plant, const bool *determined)
{
	size_t unknowns = fit_unknown_count(plant->fit);
	struct listing listing = {.plant = plant, .determined = determined};
	listing.at = arena_alloc(plant->arena, (unknowns + 1) * sizeof *listing.at);
	for (size_t i = 0; i < unknowns; i++)
		listing.at[i] = dual_of(fit_at(plant->fit, i));
	add_liquids(&listing);
	add_gases(&listing);
	for (size_t i = 0; i < plant->sheet.exchange_count; i++)
		add_ln(&listing, plant->sheet.exchanges[i].item, "duty", KIND_POWER, plant->duties[i], 1);
	for (size_t i = 0; i < plant->column_count; i++)
		add_column(&listing, &plant->columns[i]);
	return (struct estimates){listing.rows, listing.count};
}

const struct estimate *estimates_find(const struct estimates *estimates, const struct item *item, const char *name)
{
	for (size_t i = 0; i < estimates->count; i++)
		if (estimates->rows[i].item == item && strcmp(estimates->rows[i].name, name) == 0)
			return &estimates->rows[i];
	return NULL;
}
