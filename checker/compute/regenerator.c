#include "compute/regenerator.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"
#include "compute/apart.h"
#include "compute/column.h"
#include "compute/solvent.h"

/* A stated temperature this near to the boiling point agrees with it, K. */
static const double BOTTOM_CLOSE = 3;

/* A regenerator with what belongs to it; NULL where it is not described. */
struct still {
	const struct scene *scene;
	const struct item *item, *reboiler, *lean, *feed, *acid_gas, *reflux, *drum;
	struct stream_solution lean_solution, feed_solution;
};

static bool is_kind(const struct item *item, const char *kind)
{
	return item && strcmp(item->kind, kind) == 0;
}

static const struct item *stream_called(const struct scene *scene, const struct item *item, const char *reference)
{
	const struct quantity *word = scene_get_of(scene, item, reference);
	const struct item *stream =
		word && word->known != UNKNOWN && word->word ? table_find(scene->table, word->word) : NULL;

	return is_kind(stream, "stream") ? stream : NULL;
}

/* The item of a kind that names this regenerator, or the only one of its kind. */
static const struct item *belonging(const struct scene *scene, const char *kind, const char *reference, const char *tag)
{
	struct items all = table_of_kind(scene->table, kind);

	for (size_t i = 0; tag && i < all.count; i++) {
		const struct item *item = all.rows[i];
		const char *word = table_word(scene->table, item, scene->operating_case, reference);

		if (word && strcmp(word, tag) == 0)
			return item;
	}
	return table_sole(scene->table, kind);
}

static struct still still_of(const struct scene *scene, const struct item *regenerator)
{
	struct still still = {.scene = scene, .item = regenerator};

	still.reboiler = belonging(scene, "reboiler", "regenerator", regenerator->tag);
	still.lean = stream_called(scene, regenerator, "lean");
	still.feed = stream_called(scene, regenerator, "feed");
	still.acid_gas = stream_called(scene, regenerator, "acid-gas");
	still.reflux = stream_called(scene, regenerator, "reflux");
	still.drum = belonging(scene, "reflux-drum", "reflux", still.reflux ? still.reflux->tag : NULL);
	if (still.lean)
		still.lean_solution = solvent_of_stream(scene, still.lean, false);
	if (still.feed)
		still.feed_solution = solvent_of_stream(scene, still.feed, true);
	return still;
}

/* ---- the reboiler ---- */

/* A value of the reboiler itself, else of the steam stream it names. */
static struct input of_steam(const struct scene *scene, const char *symbol, const char *own, const char *of_stream)
{
	const struct item *steam = table_follow(scene->table, scene->item, scene->operating_case, "steam");

	if (scene_stated(scene, own) || !is_kind(steam, "stream"))
		return scene_input(scene, symbol, own);
	return scene_input_of(scene, steam, symbol, of_stream);
}

static double barometric(const struct scene *scene)
{
	const struct item *basis = table_sole(scene->table, "basis");
	const struct quantity *pressure = basis ? scene_get_of(scene, basis, "barometric-pressure") : NULL;

	return pressure && is_number(pressure) ? pressure->si : ATMOSPHERE;
}

static const char *const gauge_slips[] = {"a gauge pressure read as absolute", "an absolute pressure read as gauge"};

/* Steam too hot or too cold for its pressure that would be saturated at the pressure meant. */
static void steam_slip(const struct scene *scene, double temperature, double pressure)
{
	const double close = 1.5, apart = 4;

	for (int i = 0; i < 2; i++) {
		double meant = pressure + (i == 0 ? barometric(scene) : -barometric(scene));

		if (fabs(temperature - water_saturation_temperature(pressure)) > apart &&
			fabs(temperature - water_saturation_temperature(meant)) < close)
			slip_put(scene, "pressure-slip", gauge_slips[i]);
	}
}

static void superheat(const struct scene *scene)
{
	struct input inputs[] = {of_steam(scene, "t", "steam-temperature", "temperature"),
		of_steam(scene, "p", "steam-pressure", "pressure")};

	if (scene_stated(scene, "superheat") || (!inputs_known(inputs, 1) && !inputs_known(inputs + 1, 1)))
		return; /* nothing is said of steam: it may be heated otherwise */
	double saturation = inputs_known(inputs, 2) ? water_saturation_temperature(inputs[1].quantity->si) : 0;
	if (inputs_known(inputs, 2))
		steam_slip(scene, inputs[0].quantity->si, inputs[1].quantity->si);
	scene_compute(scene, "superheat", KIND_TEMPERATURE_DIFFERENCE, inputs[0].quantity->si - saturation,
		inputs[0].quantity->uncertainty, FORMULA_SUPERHEAT, inputs, 2);
}

/* Volume of the lean that the reboiler's regenerator makes, at 40 C. */
static const struct quantity *put_circulation(const struct scene *scene, const struct still *still)
{
	struct input inputs[SOLVENT_INPUTS + 1];
	size_t count = still->lean_solution.count;
	double density = (double)NAN;

	memcpy(inputs, still->lean_solution.inputs, count * sizeof *inputs);
	inputs[count++] = scene_input_of(scene, still->lean, "m", "mass-flow");
	if (still->lean_solution.known)
		density = property_density(still->lean_solution.state.mass_fraction, REFERENCE_LEAN_TEMPERATURE,
			still->lean_solution.state.loading)
				  .value;
	double flow = inputs[count - 1].quantity->si / density;
	return scene_compute(scene, "circulation", KIND_LIQUID_FLOW, flow,
		flow * (relative_uncertainty(inputs[count - 1].quantity) + DENSITY_UNCERTAINTY), FORMULA_CIRCULATION,
		inputs, count);
}

static void per_volume(const struct scene *scene, const char *name, enum kind kind, struct input what,
	const struct quantity *circulation, enum formula_code formula)
{
	struct input inputs[] = {what, scene_input_is("Q", "volume of lean at 40 degC", circulation)};
	double rate = what.quantity->si / circulation->si;

	scene_compute(scene, name, kind, rate,
		rate * (relative_uncertainty(what.quantity) + relative_uncertainty(circulation)), formula, inputs, 2);
}

/* Steam condensing without subcooling: latent heat at its pressure and its superheat. */
static void steam_against_duty(const struct scene *scene)
{
	struct input inputs[] = {of_steam(scene, "m", "steam-flow", "mass-flow"),
		of_steam(scene, "p", "steam-pressure", "pressure"),
		of_steam(scene, "t", "steam-temperature", "temperature")};

	if (!inputs_known(inputs, 2))
		return;
	size_t count = inputs_known(inputs, 3) ? 3 : 2;
	double pressure = inputs[1].quantity->si, boiling = water_saturation_temperature(pressure);
	double heat = water_latent_heat(boiling);
	if (count == 3 && inputs[2].quantity->si > boiling)
		heat += water_steam_enthalpy(inputs[2].quantity->si, pressure) -
			water_steam_enthalpy(boiling, pressure);
	const struct quantity *given = scene_compute(scene, "steam-duty", KIND_POWER, inputs[0].quantity->si * heat,
		inputs[0].quantity->uncertainty * heat, FORMULA_STEAM_DUTY, inputs, count);
	if (scene_describes(scene, scene->item, "duty"))
		apart_put_and_explain(scene, "steam-duty-apart", scene_input_is("x", "heat of the steam", given),
			scene_input(scene, "y", "duty"));
}

static void heat_flux(const struct scene *scene)
{
	struct input inputs[] = {scene_input(scene, "Q", "duty"), scene_input(scene, "A", "area")};
	double flux = inputs[0].quantity->si / inputs[1].quantity->si;

	if (!scene_stated(scene, "heat-flux"))
		scene_compute(scene, "heat-flux", KIND_HEAT_FLUX, flux, flux * relative_uncertainty(inputs[0].quantity),
			FORMULA_HEAT_FLUX, inputs, 2);
}

/* Half way from the bulk to the condensing steam: boiling and condensing film taken alike, the wall left out. */
static void film(const struct scene *scene)
{
	struct input pressure = of_steam(scene, "p", "steam-pressure", "pressure");
	const struct quantity *boiling = quantity_computed(table_arena(scene->table), KIND_TEMPERATURE,
		water_saturation_temperature(pressure.quantity->si), 0, &formulas[FORMULA_SATURATION], &pressure, 1);
	struct input inputs[] = {scene_input(scene, "t_b", "bulk-temperature"),
		scene_input_is("t_s", "steam saturated at its pressure", boiling)};

	if (!inputs_known(&pressure, 1))
		return;
	scene_compute(scene, "film-temperature", KIND_TEMPERATURE, (inputs[0].quantity->si + boiling->si) / 2,
		(boiling->si - inputs[0].quantity->si) / 4, FORMULA_FILM, inputs, 2);
}

static void of_reboiler(const struct scene *scene)
{
	if (!is_kind(scene->item, "reboiler"))
		return;
	superheat(scene);
	steam_against_duty(scene);
	heat_flux(scene);
	film(scene);
	const struct item *regenerator = table_follow(scene->table, scene->item, scene->operating_case, "regenerator");
	if (!is_kind(regenerator, "regenerator"))
		return;
	struct still still = still_of(scene, regenerator);
	if (!still.lean)
		return;
	const struct quantity *circulation = put_circulation(scene, &still);
	struct input steam = of_steam(scene, "m", "steam-flow", "mass-flow");
	const struct item *holder = scene_stated(scene, "steam-flow")
		? scene->item
		: table_follow(scene->table, scene->item, scene->operating_case, "steam");
	const char *name = holder == scene->item ? "steam-flow" : "mass-flow";
	if (steam.quantity->known == UNKNOWN ? scene->operating_case <= 0 : scene_describes(scene, holder, name))
		per_volume(scene, "steam-rate", KIND_STEAM_RATE, steam, circulation, FORMULA_STEAM_RATE);
	if (!scene_get(scene, "duty") ? scene->operating_case <= 0 : scene_describes(scene, scene->item, "duty"))
		per_volume(scene, "heat-rate", KIND_HEAT_RATE, scene_input(scene, "E", "duty"), circulation,
			FORMULA_HEAT_RATE);
}

/* ---- boiling at the bottom ---- */

static double boiling(const struct solution_input *state, void *pressure)
{
	return phase_bubble_temperature(&terms_own, state, *(const double *)pressure);
}

static const struct quantity *put_boiling(const struct scene *scene, const struct still *still)
{
	struct input inputs[SOLVENT_INPUTS + 1];
	size_t count = still->lean_solution.count;
	double pressure, value = 0, error = 0;

	memcpy(inputs, still->lean_solution.inputs, count * sizeof *inputs);
	inputs[count++] = scene_get(scene, "bottom-pressure") ? scene_input(scene, "P", "bottom-pressure")
							      : scene_input_of(scene, still->lean, "P", "pressure");
	pressure = inputs[count - 1].quantity->si;
	if (inputs_known(inputs, count)) {
		double more = pressure + inputs[count - 1].quantity->uncertainty;

		value = boiling(&still->lean_solution.state, &pressure);
		error = hypot(solvent_spread(&still->lean_solution, boiling, &pressure),
			boiling(&still->lean_solution.state, &more) - value);
	}
	return scene_compute(
		scene, "boiling-temperature", KIND_TEMPERATURE, value, error, FORMULA_BOILING, inputs, count);
}

/* The pressures that would be meant if a gauge reading had been taken for an absolute one, or the other way round. */
static const char *pressure_slip(const struct scene *scene, const struct still *still, double stated, double pressure)
{
	for (int i = 0; i < 2; i++) {
		double meant = pressure + (i == 0 ? barometric(scene) : -barometric(scene));

		if (meant > 0 && fabs(boiling(&still->lean_solution.state, &meant) - stated) <= BOTTOM_CLOSE)
			return gauge_slips[i];
	}
	return NULL;
}

static void bottom(const struct scene *scene, const struct still *still)
{
	const struct quantity *found = put_boiling(scene, still);
	struct input inputs[] = {scene_input(scene, "x", "bottom-temperature"),
		scene_input_is("y", "boiling temperature of the lean solution at the bottom", found)};
	double stated = inputs[0].quantity->si, apart = stated - found->si;

	if (!scene_stated(scene, "bottom-temperature"))
		return;
	scene_compute(scene, "bottom-apart", KIND_TEMPERATURE_DIFFERENCE, fabs(apart),
		hypot(inputs[0].quantity->uncertainty, found->uncertainty), FORMULA_APART, inputs, 2);
	if (!inputs_known(inputs, 2))
		return;
	const char *slip = pressure_slip(scene, still, stated, found->inputs[found->input_count - 1].quantity->si);
	if (slip && fabs(apart) > BOTTOM_CLOSE)
		slip_put(scene, "pressure-slip", slip);
}

/* ---- overhead ---- */

/* mol water over mol acid gas in what leaves the reflux drum. */
static double carried_off(
	const struct scene *scene, const struct still *still, struct input *temperature, struct input *pressure)
{
	*temperature = still->reflux ? scene_input_of(scene, still->reflux, "t_d", "temperature")
				     : scene_input(scene, "t_d", "reflux temperature");
	*pressure = still->drum && scene_get_of(scene, still->drum, "pressure")
		? scene_input_of(scene, still->drum, "P_d", "pressure")
		: scene_input(scene, "P_d", "top-pressure");
	double partial = water_saturation_pressure(temperature->quantity->si) / pressure->quantity->si;
	return partial / (1 - partial);
}

/* Acid gas by the amine's pick-up, mol/s: what is stripped. */
static const struct quantity *put_stripped(const struct scene *scene, const struct still *still)
{
	struct input inputs[] = {scene_input_of(scene, still->lean, "m", "mass-flow"),
		solvent_input(scene, still->lean, "w", "strength"),
		scene_input_of(scene, still->feed, "a_r", "loading"),
		scene_input_of(scene, still->lean, "a_l", "loading")};
	double relative = 0;
	double amine = solvent_amine_flow(scene, still->lean, &still->lean_solution, &relative);
	double pick_up = inputs[2].quantity->si - inputs[3].quantity->si;

	return scene_compute(scene, "acid-gas-stripped", KIND_MOLAR_FLOW, amine * pick_up,
		amine *
			hypot(pick_up * relative,
				hypot(inputs[2].quantity->uncertainty, inputs[3].quantity->uncertainty)),
		FORMULA_STRIPPED, inputs, 4);
}

static void reflux_ratio(const struct scene *scene, const struct still *still, const struct quantity *stripped)
{
	struct input inputs[] = {scene_input_of(scene, still->reflux, "m", "mass-flow"),
		scene_input_is("M", "molar mass of water",
			quantity_assumed(
				table_arena(scene->table), KIND_MOLAR_MASS, MOLAR_MASS_WATER, 0, "IUPAC 2021")),
		scene_input_is("G", "acid gas stripped", stripped)};
	double ratio = inputs[0].quantity->si / (MOLAR_MASS_WATER * stripped->si);

	if (!scene_stated(scene, "reflux-ratio") && is_number(inputs[0].quantity))
		scene_compute(scene, "reflux-ratio", KIND_RATIO, ratio,
			ratio * (relative_uncertainty(inputs[0].quantity) + relative_uncertainty(stripped)),
			FORMULA_REFLUX_RATIO, inputs, 3);
}

/* Water dew point of the overhead: what the top is at when the reflux ratio and the pressure are as stated. */
static void overhead(const struct scene *scene, const struct still *still)
{
	struct input temperature, pressure;
	double carried = carried_off(scene, still, &temperature, &pressure);
	struct input inputs[] = {scene_input(scene, "R", "reflux-ratio"), scene_input(scene, "P", "top-pressure"),
		temperature, pressure};
	double water = inputs[0].quantity->si + carried, partial = water / (1 + water) * inputs[1].quantity->si;
	const struct quantity *dew = scene_compute(scene, "overhead-dew-point", KIND_TEMPERATURE,
		inputs_known(inputs, 4) ? water_saturation_temperature(partial) : 0, 1, FORMULA_OVERHEAD, inputs, 4);
	struct input ends[] = {scene_input(scene, "x", "top-temperature"),
		scene_input_is("y", "water dew point of the overhead", dew)};

	if (scene_stated(scene, "top-temperature"))
		scene_compute(scene, "top-apart", KIND_TEMPERATURE_DIFFERENCE, fabs(ends[0].quantity->si - dew->si),
			hypot(ends[0].quantity->uncertainty, dew->uncertainty), FORMULA_APART, ends, 2);
}

/* ---- where the duty goes ---- */

struct heat_flows {
	double sensible, desorption, asked; /* W */
};

/* Of one mole of amine: lean as it leaves, feed as it comes, acid gas, steam and reflux at the top. */
static struct heat_flows heats(const struct scene *scene, const struct still *still, double amine, double carried)
{
	struct solution_input lean = still->lean_solution.state, cold = lean, rich;
	double top = scene_get(scene, "top-temperature")->si, reflux = scene_get(scene, "reflux-ratio")->si;
	double drum = scene_get_of(scene, still->reflux, "temperature")->si, asked, stripped = 0;
	const struct quantity *pressure = scene_get_of(scene, still->feed, "pressure");

	lean.temperature = scene_get_of(scene, still->lean, "temperature")->si;
	cold.temperature = still->feed_solution.state.temperature;
	rich = lean;
	asked = enthalpy_liquid(&lean) - enthalpy_at(&terms_own, &still->feed_solution.state, pressure->si);
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
		double up = still->feed_solution.state.loading[gas] - lean.loading[gas];

		stripped += up;
		rich.loading[gas] = still->feed_solution.state.loading[gas];
		asked += up * enthalpy_gas(gas, top);
	}
	asked += stripped * ((reflux + carried) * enthalpy_steam(top) - reflux * enthalpy_water(drum));
	return (struct heat_flows){.sensible = amine * (enthalpy_liquid(&lean) - enthalpy_liquid(&cold)),
		.desorption = amine * enthalpy_of_pick_up(&lean, &rich),
		.asked = amine * asked};
}

static void put_heat(const struct scene *scene, const char *name, double heat, double relative,
	enum formula_code formula, const struct input *inputs, size_t count)
{
	scene_compute(scene, name, KIND_POWER, heat, fabs(heat) * relative, formula, inputs, count);
}

static void duty_split(const struct scene *scene, const struct still *still)
{
	struct input temperature, pressure;
	double relative = 0, carried = carried_off(scene, still, &temperature, &pressure);
	double amine = solvent_amine_flow(scene, still->lean, &still->lean_solution, &relative);
	struct input inputs[] = {scene_input_of(scene, still->lean, "m", "mass-flow"),
		scene_input_of(scene, still->lean, "a_l", "loading"),
		scene_input_of(scene, still->feed, "a_r", "loading"),
		scene_input_of(scene, still->lean, "t_l", "temperature"),
		scene_input_of(scene, still->feed, "t_f", "temperature"),
		scene_input_of(scene, still->feed, "P_f", "pressure"), scene_input(scene, "R", "reflux-ratio"),
		scene_input(scene, "t_top", "top-temperature"), temperature, pressure};
	size_t count = sizeof inputs / sizeof *inputs;
	struct heat_flows flows = {0, 0, 0};
	bool known = inputs_known(inputs, count) && still->lean_solution.known && still->feed_solution.known;

	if (known)
		flows = heats(scene, still, amine, carried);
	else if (inputs_known(inputs, count))
		return;
	put_heat(scene, "duty-sensible", flows.sensible, relative + HEAT_CAPACITY_UNCERTAINTY_RELATIVE,
		FORMULA_DUTY_SENSIBLE, inputs, count);
	put_heat(scene, "duty-desorption", flows.desorption, relative + HEAT_OF_ABSORPTION_UNCERTAINTY,
		FORMULA_DUTY_DESORPTION, inputs, count);
	put_heat(scene, "duty-asked", flows.asked, REGENERATOR_HEAT_UNCERTAINTY, FORMULA_DUTY_ASKED, inputs, count);
	if (!still->reboiler || !scene_describes(scene, still->reboiler, "duty"))
		return;
	struct input duty = scene_input_of(scene, still->reboiler, "Q", "duty");
	struct input rest[] = {
		duty, scene_input(scene, "Q_s", "duty-sensible"), scene_input(scene, "Q_d", "duty-desorption")};
	scene_compute(scene, "duty-stripping", KIND_POWER, duty.quantity->si - flows.sensible - flows.desorption,
		hypot(duty.quantity->uncertainty, hypot(rest[1].quantity->uncertainty, rest[2].quantity->uncertainty)),
		FORMULA_DUTY_STRIPPING, rest, 3);
	duty.symbol = "x";
	apart_put_and_explain(scene, "duty-balance-apart", duty, scene_input(scene, "y", "duty-asked"));
}

/* ---- the column ---- */

/* Equilibrium stages with the reboiler: trays below the feed times their efficiency, or packing by its height. */
static const struct quantity *put_stages(const struct scene *scene)
{
	struct arena *arena = table_arena(scene->table);
	bool packed = !scene_get(scene, "trays-below-feed") && !scene_get(scene, "trays") &&
		scene_get(scene, "packing-height");
	struct input of = packed
		? scene_input(scene, "n", "packing-height")
		: scene_input(scene, "n", scene_get(scene, "trays-below-feed") ? "trays-below-feed" : "trays");
	struct input each = scene_input(scene, "e", "stage-efficiency");

	if (packed)
		each = scene_input_is("e", "height of a stage",
			quantity_assumed(
				arena, KIND_DISTANCE, STAGE_HEIGHT, 0, "1.2 m of packing a stage, common practice"));
	else if (each.quantity->known == UNKNOWN)
		each = scene_input_is("e", "efficiency of a tray",
			quantity_assumed(arena, KIND_SHARE, TRAY_EFFICIENCY, 0, "trays at 45 %, common practice"));
	struct input inputs[] = {of, each};
	double stages = packed ? of.quantity->si / each.quantity->si : of.quantity->si * each.quantity->si;
	return scene_compute(scene, "equilibrium-stages", KIND_COUNT, fmin(round(stages) + 1, COLUMN_STAGES_AT_MOST), 0,
		packed ? FORMULA_STAGES_PACKED : FORMULA_STAGES, inputs, 2);
}

static void put_column(const struct scene *scene, const struct column *column, const struct input *inputs, size_t count,
	double chemistry)
{
	const struct column_stage *top = &column->stage[column->stages > 0 ? column->stages - 1 : 0];
	double lean = column_lean_loading(column), into = column_into_reboiler(column);

	scene_compute(scene, "reachable-loading", KIND_LOADING, lean, lean * chemistry, FORMULA_COLUMN, inputs, count);
	scene_compute(
		scene, "loading-into-reboiler", KIND_LOADING, into, into * chemistry, FORMULA_COLUMN, inputs, count);
	scene_compute(scene, "stripping-in-reboiler", KIND_SHARE, column->reboiler_share,
		column->reboiler_share * chemistry, FORMULA_COLUMN, inputs, count);
	scene_compute(
		scene, "column-top-temperature", KIND_TEMPERATURE, top->temperature, 3, FORMULA_COLUMN, inputs, count);
	scene_compute(scene, "column-reflux-ratio", KIND_RATIO, column->reflux_ratio,
		column->reflux_ratio * HEAT_OF_ABSORPTION_UNCERTAINTY, FORMULA_COLUMN, inputs, count);
}

/* Stated lean loading over the one the column reaches. */
static void loading_against_column(const struct scene *scene, const struct still *still)
{
	struct input inputs[] = {
		scene_input_of(scene, still->lean, "v", "loading"), scene_input(scene, "v_e", "reachable-loading")};
	double ratio = inputs[0].quantity->si / inputs[1].quantity->si;

	scene_compute(scene, "lean-over-reachable", KIND_RATIO, ratio,
		ratio * (relative_uncertainty(inputs[0].quantity) + relative_uncertainty(inputs[1].quantity)),
		FORMULA_RATIO, inputs, 2);
}

static void column_of(const struct scene *scene, const struct still *still)
{
	double relative = 0, amine = solvent_amine_flow(scene, still->lean, &still->lean_solution, &relative),
	       chemistry = 0;
	struct input inputs[SOLVENT_INPUTS + 8], temperature, pressure;
	size_t count = still->feed_solution.count;
	struct column column;

	carried_off(scene, still, &temperature, &pressure);
	memcpy(inputs, still->feed_solution.inputs, count * sizeof *inputs);
	inputs[count++] = scene_input_of(scene, still->feed, "P", "pressure");
	inputs[count++] = scene_input_is("N", "equilibrium stages", put_stages(scene));
	inputs[count++] = scene_input(scene, "P_b", "bottom-pressure");
	inputs[count++] = scene_input(scene, "P_t", "top-pressure");
	inputs[count++] = scene_input_of(scene, still->reboiler, "Q", "duty");
	inputs[count++] = scene_input_of(scene, still->lean, "m", "mass-flow");
	inputs[count++] = temperature;
	inputs[count++] = pressure;
	memset(&column, 0, sizeof column);
	if (inputs_known(inputs, count) && still->lean_solution.known) {
		struct column_input input = {.feed = still->feed_solution.state,
			.feed_pressure = inputs[count - 8].quantity->si,
			.stages = (int)inputs[count - 7].quantity->si,
			.bottom_pressure = inputs[count - 6].quantity->si,
			.top_pressure = inputs[count - 5].quantity->si,
			.duty = inputs[count - 4].quantity->si / amine,
			.drum_temperature = temperature.quantity->si,
			.drum_pressure = pressure.quantity->si};
		struct solution rich;

		column_solve(&terms_own, &input, &column);
		if (solution_solve(&terms_own, &input.feed, &rich))
			chemistry = fmax(rich.uncertainty[GAS_H2S], rich.uncertainty[GAS_CO2]);
	}
	put_column(scene, &column, inputs, count, chemistry);
	loading_against_column(scene, still);
}

static void of_regenerator(const struct scene *scene)
{
	if (!is_kind(scene->item, "regenerator"))
		return;
	struct still still = still_of(scene, scene->item);
	if (!still.lean)
		return;
	bottom(scene, &still);
	if (!still.feed || !still.reflux)
		return;
	const struct quantity *stripped = put_stripped(scene, &still);
	reflux_ratio(scene, &still, stripped);
	overhead(scene, &still);
	duty_split(scene, &still);
	const struct item *const of[] = {scene->item, still.reboiler, still.lean, still.feed, still.reflux, still.drum};
	if (still.reboiler && (scene->operating_case <= 0 || scene_describes(scene, still.reboiler, "duty")) &&
		!scene_repeats(scene, of, sizeof of / sizeof *of))
		column_of(scene, &still);
}

void regenerator_compute(struct table *table)
{
	scene_each(table, of_reboiler);
	scene_each(table, of_regenerator);
}
