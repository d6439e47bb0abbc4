#include "reconcile/plant.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/salts.h"
#include "base/text.h"
#include "compute/solvent.h"

/* Width of the prior and largest step, by metric: ln, K, mass fraction, a factor. */
static const struct {
	double prior, step;
} LN = {1.5, 0.7}, KELVIN = {40, 25}, FRACTION = {0.15, 0.1}, FACTOR = {1, 0.5};

static size_t add(struct plant *plant, const char *name, double start, double prior, double step)
{
	plant->unknowns = arena_grow(
		plant->arena, plant->unknowns, plant->unknown_count, &plant->unknown_capacity, sizeof *plant->unknowns);
	plant->unknowns[plant->unknown_count] =
		(struct fit_unknown){.name = name, .start = start, .prior = prior, .step = step};
	return plant->unknown_count++;
}

static size_t add_ln(struct plant *plant, const char *what, const char *of)
{
	return add(plant, arena_format(plant->arena, "%s of %s", what, of), (double)NAN, LN.prior, LN.step);
}

static size_t add_kelvin(struct plant *plant, const char *what, const char *of)
{
	return add(plant, arena_format(plant->arena, "%s of %s", what, of), (double)NAN, KELVIN.prior, KELVIN.step);
}

static const struct quantity *get(const struct plant *plant, const struct item *item, const char *name)
{
	return item ? table_get(plant->table, item, plant->operating_case, name) : NULL;
}

static double number(const struct plant *plant, const struct item *item, const char *name)
{
	const struct quantity *quantity = get(plant, item, name);

	return quantity && quantity->known != UNKNOWN && kind_is_number(quantity->kind) ? quantity->si : (double)NAN;
}

static const struct item *named(const struct plant *plant, const struct item *item, const char *name)
{
	const char *word = item ? table_word(plant->table, item, plant->operating_case, name) : NULL;

	return word ? table_find(plant->table, word) : NULL;
}

/* ---- solution ---- */

static bool set_amine(struct plant *plant, const char **why)
{
	struct scene scene = {.table = plant->table, .operating_case = plant->operating_case};
	const struct item *solvent = table_sole(plant->table, "solvent");
	double stated[AMINE_COUNT], strength = 0;

	if (!solvent || !solvent_amine(&scene, &plant->amine)) {
		*why = "the amine of the solvent is not stated, or not one whose chemistry is known";
		return false;
	}
	solvent_fractions(&scene, stated);
	for (size_t i = 0; i < AMINE_COUNT; i++)
		strength += stated[i];
	if (!(strength > 0)) {
		*why = "the strength of the solvent is not stated";
		return false;
	}
	const struct stream_solution whole = solvent_without_gases(&scene);
	if (whole.known)
		plant->salts = whole.state;
	for (size_t i = 0; i < AMINE_COUNT; i++)
		plant->share_of_amine[i] = (whole.known ? whole.state.mass_fraction[i] : stated[i]) / strength;
	plant->moles_per_strength = salts_amine(plant->share_of_amine);
	plant->strength = add(plant, "strength", strength, FRACTION.prior, FRACTION.step);
	return true;
}

/* Does anything state some of this gas? A unit on H2S alone has no balance of CO2. */
static bool is_present(const struct plant *plant, const char *name)
{
	static const char *const kinds[] = {"gas", "stream", "hydrocarbon-feed"};

	for (size_t k = 0; k < COUNT(kinds); k++) {
		struct items items = table_of_kind(plant->table, kinds[k]);
		for (size_t i = 0; i < items.count; i++)
			if (number(plant, items.rows[i], name) > 0)
				return true;
	}
	return false;
}

/* ---- streams and gases ---- */

static void add_liquids(struct plant *plant)
{
	static const char *const loading[GAS_COUNT] = {"H2S loading", "CO2 loading"};
	const struct flowsheet *sheet = &plant->sheet;

	plant->liquids = arena_alloc(plant->arena, (sheet->stream_count + 1) * sizeof *plant->liquids);
	plant->density = arena_alloc(plant->arena, (sheet->stream_count + 1) * sizeof *plant->density);
	for (size_t i = 0; i < sheet->stream_count; i++) {
		const struct passing *passing = &sheet->streams[i];
		const char *tag = passing->stream->tag;
		struct liquid *liquid = &plant->liquids[i];

		*liquid = (struct liquid){.stream = passing->stream};
		liquid->amine =
			passing->amine == i ? add_ln(plant, "amine flow", tag) : plant->liquids[passing->amine].amine;
		liquid->temperature = passing->temperature == i ? add_kelvin(plant, "temperature", tag)
								: plant->liquids[passing->temperature].temperature;
		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			liquid->loading[gas] = passing->loading == i ? add_ln(plant, loading[gas], tag)
								     : plant->liquids[passing->loading].loading[gas];
	}
}

size_t plant_gas(const struct plant *plant, const struct item *item)
{
	for (size_t i = 0; item && i < plant->gas_count; i++)
		if (plant->gases[i].item == item)
			return i;
	return plant->gas_count;
}

/* The gas of an item, made when first asked for; without an item one that nothing describes. Acid gas is as warm as its drum. */
static size_t gas_of(struct plant *plant, const struct item *item, const char *of, bool leaves, bool acid)
{
	static const char *const share[GAS_COUNT] = {"H2S", "CO2"};
	size_t found = plant_gas(plant, item);
	const char *tag = item ? item->tag : of;

	if (found < plant->gas_count)
		return found;
	struct gas_stream gas = {.item = item, .leaves = leaves, .liquid = item_is(item, "hydrocarbon-feed")};
	gas.pressure = number(plant, item, "pressure");
	gas.flow = add_ln(plant, "flow", tag);
	gas.temperature = acid ? NO_UNKNOWN : add_kelvin(plant, "temperature", tag);
	for (size_t i = 0; i < GAS_COUNT; i++)
		gas.share[i] = add_ln(plant, share[i], tag);
	plant->gases =
		arena_grow(plant->arena, plant->gases, plant->gas_count, &plant->gas_capacity, sizeof *plant->gases);
	plant->gases[plant->gas_count] = gas;
	return plant->gas_count++;
}

static void add_gases(struct plant *plant)
{
	for (size_t i = 0; i < plant->sheet.junction_count; i++) {
		const struct junction *junction = &plant->sheet.junctions[i];
		const char *tag = junction->item->tag;

		if (junction->sort == JUNCTION_ABSORBER || junction->sort == JUNCTION_TREATER) {
			if (junction->gas_in)
				gas_of(plant, junction->gas_in, tag, false, false);
			if (junction->gas_in)
				plant->treated[i] = gas_of(plant, junction->gas_out,
					arena_format(plant->arena, "what leaves %s", tag), true, false);
		} else if (junction->sort == JUNCTION_REGENERATOR) {
			plant->treated[i] = gas_of(plant, junction->gas_out,
				arena_format(plant->arena, "acid gas of %s", tag), true, true);
		} else if (junction->gas_out) {
			plant->treated[i] = gas_of(plant, junction->gas_out, tag, true, false);
		}
	}
}

/* ---- duties and regenerators ---- */

static void add_duties(struct plant *plant)
{
	plant->duties = arena_alloc(plant->arena, (plant->sheet.exchange_count + 1) * sizeof *plant->duties);
	for (size_t i = 0; i < plant->sheet.exchange_count; i++)
		plant->duties[i] = add_ln(plant, "duty", plant->sheet.exchanges[i].item->tag);
}

/* Those that name the column, or all where none of them names any. */
static bool belongs(const struct plant *plant, const struct item *heater, const struct item *column)
{
	const struct item *of = named(plant, heater, "regenerator");

	return of == column || (!of && table_of_kind(plant->table, "regenerator").count == 1);
}

static void add_heaters(struct plant *plant, struct column *column)
{
	struct items reboilers = table_of_kind(plant->table, "reboiler");

	column->heaters = arena_alloc(plant->arena, (reboilers.count + 1) * sizeof *column->heaters);
	for (size_t i = 0; i < reboilers.count; i++) {
		const struct item *item = reboilers.rows[i];
		if (!belongs(plant, item, column->junction->item))
			continue;
		struct heater *heater = &column->heaters[column->heater_count++];
		*heater = (struct heater){.item = item,
			.steam = named(plant, item, "steam"),
			.duty = add_ln(plant, "duty", item->tag),
			.steam_flow = NO_UNKNOWN,
			.steam_pressure = NO_UNKNOWN,
			.steam_temperature = number(plant, item, "steam-temperature")};
		if (isnan(heater->steam_temperature))
			heater->steam_temperature = number(plant, heater->steam, "temperature");
		if (!get(plant, item, "steam-flow") && !heater->steam)
			continue;
		heater->steam_flow = add_ln(plant, "steam flow", item->tag);
		heater->steam_pressure = add_ln(plant, "steam pressure", item->tag);
	}
}

static const struct item *of_column(
	const struct plant *plant, const char *kind, const char *reference, const struct item *column, const char *name)
{
	struct items items = table_of_kind(plant->table, kind);
	const struct item *wanted = named(plant, column, name);

	for (size_t i = 0; wanted && i < items.count; i++)
		if (named(plant, items.rows[i], reference) == wanted)
			return items.rows[i];
	return items.count == 1 && table_of_kind(plant->table, "regenerator").count == 1 ? items.rows[0] : NULL;
}

/* Where the column is fed with another stream than leaves the drum the purge lies between: as stated, else by the two flows. */
static double ln_returned(const struct plant *plant, const struct column *column)
{
	const struct item *leaves = column->drum_item ? named(plant, column->drum_item, "reflux") : NULL;
	if (!leaves || !column->reflux_stream || leaves == column->reflux_stream)
		return 0;
	double purge = number(plant, column->drum_item, "reflux-purge"),
	       share = number(plant, column->reflux_stream, "flow") / number(plant, leaves, "flow");
	share = isfinite(purge) ? 1 - purge : share;
	return share > 0 && share < 1 ? log(share) : 0;
}

static void add_column(struct plant *plant, size_t at)
{
	const struct junction *junction = &plant->sheet.junctions[at];
	const struct item *item = junction->item, *overhead = named(plant, item, "acid-gas");
	struct column *column = &plant->columns[plant->column_count++];

	*column = (struct column){.junction = junction,
		.acid_gas = plant->treated[at],
		.overhead = item_is(overhead, "stream") ? overhead : NULL,
		.reflux_stream = named(plant, item, "reflux"),
		.drum_item = of_column(plant, "reflux-drum", "reflux", item, "reflux"),
		.condenser = of_column(plant, "condenser", "acid-gas", item, "acid-gas")};
	column->ln_returned = ln_returned(plant, column);
	column->reflux = add_ln(plant, "reflux", item->tag);
	column->condenser_duty = add_ln(plant, "condensing duty", item->tag);
	column->top_temperature = add_kelvin(plant, "top temperature", item->tag);
	column->drum_temperature = add_kelvin(plant, "reflux drum temperature", item->tag);
	column->top_pressure = add_ln(plant, "top pressure", item->tag);
	column->drum_pressure = add_ln(plant, "reflux drum pressure", item->tag);
	column->bottom_pressure = add_ln(plant, "bottom pressure", item->tag);
	add_heaters(plant, column);
}

static void add_columns(struct plant *plant)
{
	plant->columns = arena_alloc(plant->arena, (plant->sheet.junction_count + 1) * sizeof *plant->columns);
	for (size_t i = 0; i < plant->sheet.junction_count; i++)
		if (plant->sheet.junctions[i].sort == JUNCTION_REGENERATOR)
			add_column(plant, i);
}

static void add_factors(struct plant *plant)
{
	static const char *const names[FACTORS] = {"heat capacity", "heat of absorption of H2S",
		"heat of absorption of CO2", "vapour pressure", "density", "volume of gas"};

	for (size_t i = 0; i < FACTORS; i++)
		plant->factor[i] = add(plant, names[i], 0, FACTOR.prior, FACTOR.step);
}

bool plant_new(struct arena *arena, struct table *table, int operating_case, struct plant *plant, const char **why)
{
	*plant = (struct plant){.arena = arena, .table = table, .operating_case = operating_case};
	if (!set_amine(plant, why))
		return false;
	plant->sheet = flowsheet_of(arena, table, operating_case);
	if (plant->sheet.junction_count + plant->sheet.exchange_count == 0) {
		*why = "it is not stated which streams of amine mix, or pass which equipment";
		return false;
	}
	plant->present[GAS_H2S] = is_present(plant, "h2s");
	plant->present[GAS_CO2] = is_present(plant, "co2");
	plant->fit = fit_new(arena);
	plant->treated = arena_alloc(arena, (plant->sheet.junction_count + 1) * sizeof *plant->treated);
	for (size_t i = 0; i < plant->sheet.junction_count; i++)
		plant->treated[i] = NO_UNKNOWN;
	add_liquids(plant);
	add_gases(plant);
	add_duties(plant);
	add_columns(plant);
	add_factors(plant);
	return true;
}

/* ---- where the solution starts ---- */

static double at(const struct plant *plant, size_t unknown)
{
	return plant->unknowns[unknown].start;
}

static void fill(struct plant *plant, size_t unknown, double start)
{
	if (isnan(plant->unknowns[unknown].start) && isfinite(start))
		plant->unknowns[unknown].start = start;
}

static bool is_rich(const struct plant *plant, size_t i)
{
	return text_same(table_word(plant->table, plant->liquids[i].stream, plant->operating_case, "service"), "rich");
}

/* Usual values where nothing states any; the weak priors let the balances move them. */
static const double usual_rich = 0.2, usual_lean = 0.006, usual_temperature = 330, usual_top = 375, usual_drum = 318,
		    usual_reflux_ratio = 1.5, usual_latent = 2.2e6, usual_steam_pressure = 4.5e5,
		    usual_top_pressure = 1.8e5, column_drop = 0.15e5, drum_drop = 0.15e5, usual_pick_up = 0.35,
		    usual_share = 0.02, usual_slip = 0.1, little = 1e-5, usual_acid_gas = 0.45, usual_flash = 0.003,
		    usual_duty = 1e6;

static void fill_liquids(struct plant *plant)
{
	double sum = 0;
	size_t known = 0;

	for (size_t i = 0; i < plant->sheet.stream_count; i++) {
		struct liquid *liquid = &plant->liquids[i];
		fill(plant, liquid->temperature, usual_temperature);
		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			fill(plant, liquid->loading[gas],
				log(!plant->present[gas]	    ? little
						: is_rich(plant, i) ? usual_rich
								    : usual_lean));
		if (isfinite(at(plant, liquid->amine))) {
			sum += at(plant, liquid->amine);
			known++;
		}
	}
	double usual = known ? sum / (double)known : 0;
	for (size_t i = 0; !known && i < plant->gas_count; i++)
		if (!plant->gases[i].leaves && isfinite(at(plant, plant->gases[i].flow)))
			usual = at(plant, plant->gases[i].flow) + log(usual_share / usual_pick_up);
	for (size_t i = 0; i < plant->sheet.stream_count; i++)
		fill(plant, plant->liquids[i].amine, usual);
}

/* What leaves an absorber is what enters it, with little left to take out. */
static void fill_treated(struct plant *plant, size_t junction)
{
	const struct junction *of = &plant->sheet.junctions[junction];
	const struct gas_stream *in = &plant->gases[plant_gas(plant, of->gas_in)],
				*out = &plant->gases[plant->treated[junction]];

	fill(plant, in->flow, 0);
	fill(plant, in->temperature, usual_temperature);
	fill(plant, out->flow, at(plant, in->flow));
	fill(plant, out->temperature, at(plant, plant->liquids[of->in.at[0]].temperature));
	for (size_t gas = 0; gas < GAS_COUNT; gas++) {
		fill(plant, in->share[gas], log(plant->present[gas] ? usual_share : little));
		fill(plant, out->share[gas],
			gas == GAS_H2S || !plant->present[gas] ? log(little)
							       : at(plant, in->share[gas]) + log(usual_slip));
	}
}

static void fill_gases(struct plant *plant)
{
	double taken = 0;

	for (size_t i = 0; i < plant->sheet.junction_count; i++) {
		const struct junction *junction = &plant->sheet.junctions[i];
		if (!junction->gas_in || plant->treated[i] == NO_UNKNOWN)
			continue;
		fill_treated(plant, i);
		const struct gas_stream *in = &plant->gases[plant_gas(plant, junction->gas_in)];
		taken += exp(at(plant, in->flow)) *
			(exp(at(plant, in->share[GAS_H2S])) + exp(at(plant, in->share[GAS_CO2])));
	}
	for (size_t i = 0; i < plant->gas_count; i++) {
		struct gas_stream *gas = &plant->gases[i];
		bool acid = false;
		for (size_t k = 0; k < plant->column_count; k++)
			acid = acid || plant->columns[k].acid_gas == i;
		double amine = plant->sheet.stream_count ? exp(at(plant, plant->liquids[0].amine)) : 1;
		fill(plant, gas->flow,
			log(acid ? (taken > 0 ? taken : amine * usual_pick_up) : fmax(amine * usual_flash, little)));
		if (gas->temperature != NO_UNKNOWN)
			fill(plant, gas->temperature, usual_temperature);
		for (size_t k = 0; k < GAS_COUNT; k++)
			fill(plant, gas->share[k],
				log(!plant->present[k] ? little
						: acid ? usual_acid_gas
						       : usual_share));
	}
}

static void fill_columns(struct plant *plant)
{
	for (size_t i = 0; i < plant->column_count; i++) {
		struct column *column = &plant->columns[i];
		double acid_gas = at(plant, plant->gases[column->acid_gas].flow);

		fill(plant, column->reflux, acid_gas + log(usual_reflux_ratio * MOLAR_MASS_WATER));
		fill(plant, column->condenser_duty, at(plant, column->reflux) + log(usual_latent));
		fill(plant, column->drum_temperature, usual_drum);
		fill(plant, column->top_temperature, usual_top);
		fill(plant, column->top_pressure, log(usual_top_pressure));
		fill(plant, column->bottom_pressure, log(exp(at(plant, column->top_pressure)) + column_drop));
		fill(plant, column->drum_pressure,
			log(fmax(exp(at(plant, column->top_pressure)) - drum_drop, drum_drop)));
		for (size_t k = 0; k < column->heater_count; k++) {
			struct heater *heater = &column->heaters[k];
			fill(plant, heater->duty,
				at(plant, column->condenser_duty) - log((double)column->heater_count) + log(2));
			if (heater->steam_flow == NO_UNKNOWN)
				continue;
			fill(plant, heater->steam_flow, at(plant, heater->duty) - log(usual_latent));
			fill(plant, heater->steam_pressure, log(usual_steam_pressure));
		}
	}
}

/* mass of solution an amine flow carries, at the start; kg/mol */
static double mass_at(const struct plant *plant, size_t i)
{
	const struct liquid *liquid = &plant->liquids[i];

	return 1 / (plant->moles_per_strength * at(plant, plant->strength)) +
		MOLAR_MASS_H2S * exp(at(plant, liquid->loading[GAS_H2S])) +
		MOLAR_MASS_CO2 * exp(at(plant, liquid->loading[GAS_CO2]));
}

static void fill_duties(struct plant *plant)
{
	const double heat_capacity = 3600;

	for (size_t i = 0; i < plant->sheet.exchange_count; i++) {
		const struct exchange *exchange = &plant->sheet.exchanges[i];
		size_t in = exchange->hot_in, out = exchange->hot_out;
		double duty = usual_duty;
		if (in != NO_STREAM && out != NO_STREAM)
			duty = exp(at(plant, plant->liquids[in].amine)) * mass_at(plant, in) * heat_capacity *
				fmax(at(plant, plant->liquids[in].temperature) -
						at(plant, plant->liquids[out].temperature),
					2);
		fill(plant, plant->duties[i], log(duty));
	}
}

/* ---- density, carried on from the start by its slopes ---- */

static void mass_fractions(const struct plant *plant, double strength, double *fraction)
{
	for (size_t i = 0; i < AMINE_COUNT; i++)
		fraction[i] = strength * plant->share_of_amine[i];
}

static double ln_density(const struct plant *plant, double strength, double temperature, const double *loading)
{
	double fraction[AMINE_COUNT];

	mass_fractions(plant, strength, fraction);
	return log(property_density(fraction, temperature, loading).value);
}

static double within(double value, double least, double most)
{
	return fmin(fmax(value, least), most);
}

static void set_densities(struct plant *plant)
{
	const double coldest = 285, hottest = 430, kelvin = 5, share = 0.01, mole = 0.02;

	for (size_t i = 0; i < plant->sheet.stream_count; i++) {
		struct linear *linear = &plant->density[i];
		double w = within(at(plant, plant->strength), share, 0.7),
		       t = within(at(plant, plant->liquids[i].temperature), coldest, hottest);
		double a[GAS_COUNT];
		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			a[gas] = within(exp(at(plant, plant->liquids[i].loading[gas])), 0, 1);
		*linear = (struct linear){ln_density(plant, w, t, a), t, w, {a[GAS_H2S], a[GAS_CO2]},
			(ln_density(plant, w, t + kelvin, a) - ln_density(plant, w, t - kelvin, a)) / (2 * kelvin),
			(ln_density(plant, w + share, t, a) - ln_density(plant, w, t, a)) / share, {0}};
		for (size_t gas = 0; gas < GAS_COUNT; gas++) {
			double more[GAS_COUNT] = {a[GAS_H2S], a[GAS_CO2]};
			more[gas] += mole;
			linear->by_loading[gas] = (ln_density(plant, w, t, more) - linear->value) / mole;
		}
	}
}

void plant_start(struct plant *plant)
{
	fill_liquids(plant);
	fill_gases(plant);
	fill_columns(plant);
	fill_duties(plant);
	set_densities(plant);
	for (size_t i = 0; i < plant->unknown_count; i++)
		fit_add_unknown(plant->fit, plant->unknowns[i]);
}

struct dual plant_mass(const struct plant *plant, const struct liquid *liquid, const struct dual *u)
{
	struct dual solvent = dual_over(dual_of(1 / plant->moles_per_strength), u[plant->strength]);
	struct dual h2s = dual_scale(dual_exp(u[liquid->loading[GAS_H2S]]), MOLAR_MASS_H2S),
		    co2 = dual_scale(dual_exp(u[liquid->loading[GAS_CO2]]), MOLAR_MASS_CO2);

	return dual_add(solvent, dual_add(h2s, co2));
}

struct dual plant_ln_density(const struct plant *plant, size_t i, const struct dual *u)
{
	const struct linear *linear = &plant->density[i];
	const struct liquid *liquid = &plant->liquids[i];
	struct dual sum = dual_of(linear->value);

	sum = dual_add(
		sum, dual_scale(dual_plus(u[liquid->temperature], -linear->at_temperature), linear->by_temperature));
	sum = dual_add(sum, dual_scale(dual_plus(u[plant->strength], -linear->at_strength), linear->by_strength));
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		sum = dual_add(sum,
			dual_scale(dual_plus(dual_exp(u[liquid->loading[gas]]), -linear->at_loading[gas]),
				linear->by_loading[gas]));
	return dual_add(sum, dual_log(dual_plus(u[plant->factor[FACTOR_DENSITY]], 1)));
}
