#include "compute/regenerator.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/enthalpy.h"
#include "chemistry/phase.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"
#include "compute/derived.h"
#include "compute/discrepancy.h"
#include "compute/reflux.h"
#include "compute/regenerator_column.h"
#include "compute/regenerator_inputs.h"
#include "compute/still.h"

/* A stated temperature this near to the boiling point agrees with it, K. */
static const double BOTTOM_CLOSE = 3;

/* ---- the reboiler ---- */

/* A value of the reboiler itself, else of the steam stream it names. */
static struct input of_steam(const struct scene *scene, const char *symbol, const char *own, const char *of_stream)
{
	const struct item *steam = table_follow(scene->table, scene->item, scene->operating_case, "steam");

	if (scene_get(scene, own) || !item_is(steam, "stream"))
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
	const double close = 1.5, difference = 4;

	for (int i = 0; i < 2; i++) {
		double meant = pressure + (i == 0 ? barometric(scene) : -barometric(scene));

		if (fabs(temperature - water_saturation_temperature(pressure)) > difference &&
			fabs(temperature - water_saturation_temperature(meant)) < close)
			slip_put(scene, "pressure-slip", gauge_slips[i]);
	}
}

static void superheat(const struct scene *scene)
{
	struct input inputs[] = {input_rises(of_steam(scene, "t", "steam-temperature", "temperature")),
		input_falls(of_steam(scene, "p", "steam-pressure", "pressure"))};

	bool stated = scene_stated(scene, "superheat"), known = inputs_known(inputs, 2);
	derived_judge_as_stated(scene, "superheat", KIND_TEMPERATURE_DIFFERENCE);
	if (stated ? !known : !inputs_known(inputs, 1) && !inputs_known(inputs + 1, 1))
		return; /* nothing is said of steam: it may be heated otherwise */
	double saturation = known ? water_saturation_temperature(inputs[1].quantity->si) : (double)NAN;
	if (is_number(inputs[0].quantity) && is_number(inputs[1].quantity))
		steam_slip(scene, inputs[0].quantity->si, inputs[1].quantity->si);
	const char *beside = stated ? "superheat-calculated" : "superheat";
	scene_compute(scene, beside, KIND_TEMPERATURE_DIFFERENCE, inputs[0].quantity->si - saturation,
		inputs[0].quantity->uncertainty, FORMULA_SUPERHEAT, inputs, 2);
	derived_judge(scene, "superheat", CAREFUL_LARGER, beside, 0);
}

static double lean_volume(const struct solution_input *state, void *mass)
{
	return *(const double *)mass /
		property_density(state->mass_fraction, REFERENCE_LEAN_TEMPERATURE, state->loading).value;
}

/* Volume of the lean that the reboiler's regenerator makes, at 40 C. */
static const struct quantity *put_circulation(const struct scene *scene, const struct still *still)
{
	struct stream_solution lean = still->lean_solution;
	struct input inputs[SOLVENT_INPUTS + 1],
		mass = input_rises(scene_input_of(scene, still->lean, "m", "mass-flow"));
	double flow = (double)NAN, error = 0, kilograms = mass.quantity->si;

	if (lean.known) {
		flow = lean_volume(&lean.state, &kilograms);
		error = flow * (relative_uncertainty(mass.quantity) + DENSITY_UNCERTAINTY);
		solvent_weigh(&lean, lean_volume, &kilograms, &error);
	}
	size_t count = lean.count;
	memcpy(inputs, lean.inputs, count * sizeof *inputs);
	inputs[count++] = mass;
	return scene_computed(scene, "circulation", KIND_LIQUID_FLOW, flow, error, FORMULA_CIRCULATION, inputs, count);
}

static void per_volume(const struct scene *scene, const char *name, enum kind kind, struct input what,
	const struct quantity *circulation, enum formula_code formula)
{
	struct input inputs[] = {
		input_rises(what), input_falls(scene_input_is("Q", "volume of lean at 40 degC", circulation))};
	double rate = what.quantity->si / circulation->si;

	scene_compute(scene, name, kind, rate,
		rate * (relative_uncertainty(what.quantity) + relative_uncertainty(circulation)), formula, inputs, 2);
}

/* A steam flow that was calculated from the duty says nothing of it. */
static bool is_by_duty(const struct quantity *flow)
{
	return flow->formula == &formulas[FORMULA_STEAM_FLOW];
}

/* Steam condensing without subcooling: latent heat at its pressure and its superheat. */
static void steam_against_duty(const struct scene *scene)
{
	struct input inputs[] = {input_rises(of_steam(scene, "m", "steam-flow", "mass-flow")),
		of_steam(scene, "p", "steam-pressure", "pressure"),
		input_rises(of_steam(scene, "t", "steam-temperature", "temperature"))};

	derived_judge_as_stated(scene, "duty", KIND_POWER);
	if (!inputs_known(inputs, 2))
		return;
	size_t count = inputs_known(inputs, 3) ? 3 : 2;
	double pressure = inputs[1].quantity->si, boiling = water_saturation_temperature(pressure);
	double heat = water_latent_heat(boiling);
	if (count == 3 && inputs[2].quantity->si > boiling)
		heat += water_steam_enthalpy(inputs[2].quantity->si, pressure) -
			water_steam_enthalpy(boiling, pressure);
	const struct quantity *given = scene_computed(scene, "steam-duty", KIND_POWER, inputs[0].quantity->si * heat,
		inputs[0].quantity->uncertainty * heat, FORMULA_STEAM_DUTY, inputs, count);
	if (!is_by_duty(inputs[0].quantity))
		derived_judge(scene, "duty", CAREFUL_LARGER, "steam-duty", 0);
	if (derived_is_stated(scene, scene->item, "duty") && !is_by_duty(inputs[0].quantity))
		discrepancy_put_and_explain(scene, "steam-duty-difference",
			scene_input_is("x", "heat of the steam", given), scene_input(scene, "y", "duty"));
}

/* The steam of all reboilers of the regenerator; of one alone its own. `described`: each states it for this case. */
static struct input all_steam(const struct scene *scene, const struct item *regenerator, bool *described)
{
	struct input inputs[REBOILERS_MOST];
	size_t count = 0;
	double sum = 0, error = 0;

	*described = true;
	for (const struct item *reboiler = still_reboiler(scene, regenerator, 0); reboiler && count < REBOILERS_MOST;
		reboiler = still_reboiler(scene, regenerator, count)) {
		struct scene there = *scene;

		there.item = reboiler;
		inputs[count] = input_rises(of_steam(&there, "m", "steam-flow", "mass-flow"));
		const struct item *holder = scene_get(&there, "steam-flow")
			? reboiler
			: table_follow(scene->table, reboiler, scene->operating_case, "steam");
		const char *name = holder == reboiler ? "steam-flow" : "mass-flow";
		*described = *described &&
			(inputs[count].quantity->known == UNKNOWN ? scene->operating_case <= 0
								  : scene_describes(scene, holder, name));
		sum += inputs[count].quantity->si;
		error = hypot(error, inputs[count].quantity->uncertainty);
		count++;
	}
	if (count == 1) {
		inputs[0].effect = EFFECT_UNSAID;
		return inputs[0];
	}
	return scene_input_is("m",
		arena_format(table_arena(scene->table), "steam of all reboilers of %s", regenerator->tag),
		quantity_computed(table_arena(scene->table), KIND_MASS_FLOW, sum, error, &formulas[FORMULA_REBOILERS],
			inputs, count));
}

static void of_reboiler(const struct scene *scene)
{
	if (!item_is(scene->item, "reboiler"))
		return;
	superheat(scene);
	steam_against_duty(scene);
	if (!scene_get(scene, "steam-duty"))
		derived_judge(scene, "duty", CAREFUL_LARGER, "medium-duty", 0);
	const struct item *regenerator = table_follow(scene->table, scene->item, scene->operating_case, "regenerator");
	if (!item_is(regenerator, "regenerator"))
		return;
	struct still still = still_of(scene, regenerator);
	if (!still.lean)
		return;
	const struct quantity *circulation = put_circulation(scene, &still);
	bool described;
	struct input steam = all_steam(scene, regenerator, &described);
	if (described)
		per_volume(scene, "steam-rate", KIND_STEAM_RATE, steam, circulation, FORMULA_STEAM_RATE);
	if (!scene_get(scene, "duty") ? scene->operating_case <= 0 : scene_describes(scene, scene->item, "duty"))
		per_volume(scene, "heat-rate", KIND_HEAT_RATE, still_together(scene, regenerator, "E", "duty"),
			circulation, FORMULA_HEAT_RATE);
}

/* ---- boiling at the bottom ---- */

static double boiling(const struct solution_input *state, void *pressure)
{
	return phase_bubble_temperature(&terms_own, state, *(const double *)pressure);
}

static const struct quantity *put_boiling(const struct scene *scene, const struct still *still)
{
	struct stream_solution lean = still->lean_solution;
	struct input inputs[SOLVENT_INPUTS + 1],
		at = input_rises(scene_get(scene, "bottom-pressure")
				? scene_input(scene, "P", "bottom-pressure")
				: scene_input_of(scene, still->lean, "P", "pressure"));
	double pressure = at.quantity->si, value = (double)NAN, error = 0;

	if (lean.known && inputs_known(&at, 1)) {
		double more = pressure + at.quantity->uncertainty;

		value = boiling(&lean.state, &pressure);
		error = hypot(solvent_spread(&lean, boiling, &pressure), boiling(&lean.state, &more) - value);
		solvent_weigh(&lean, boiling, &pressure, &error);
	}
	size_t count = lean.count;
	memcpy(inputs, lean.inputs, count * sizeof *inputs);
	inputs[count++] = at;
	return scene_computed(
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
	double stated = inputs[0].quantity->si, difference = stated - found->si;

	if (scene_get(scene, "bottom-temperature"))
		derived_judge(scene, "bottom-temperature", CAREFUL_LARGER, "boiling-temperature", 0);
	else if (is_number(found)) /* nobody states it, and it follows */
		scene_take(scene, "bottom-temperature-judged", scene->item, "boiling-temperature");
	if (!scene_stated(scene, "bottom-temperature"))
		return;
	scene_compute(scene, "bottom-difference", KIND_TEMPERATURE_DIFFERENCE, fabs(difference),
		hypot(inputs[0].quantity->uncertainty, found->uncertainty), FORMULA_ABSOLUTE_DIFFERENCE, inputs, 2);
	if (!inputs_known(inputs, 2))
		return;
	const char *slip = pressure_slip(scene, still, stated, found->inputs[found->input_count - 1].quantity->si);
	if (slip && fabs(difference) > BOTTOM_CLOSE)
		slip_put(scene, "pressure-slip", slip);
}

/* ---- overhead ---- */

/* Acid gas by the amine's pick-up, mol/s: what is stripped. */
static const struct quantity *put_stripped(const struct scene *scene, const struct still *still)
{
	struct input inputs[] = {input_rises(solvent_or_missing(
					 scene_input_of(scene, still->lean, "m", "mass-flow"), &still->lean_solution)),
		input_rises(solvent_input(scene, still->lean, "w", "strength")),
		input_rises(scene_input_of(scene, still->feed, "a_r", "loading")),
		scene_input_of(scene, still->lean, "a_l", "loading")};
	double relative = 0;
	double amine = solvent_amine_flow(scene, still->lean, &still->lean_solution, &relative);
	double rich = inputs[2].quantity->si, lean = inputs[3].quantity->si;
	double error = amine *
		hypot((rich - lean) * relative,
			hypot(inputs[2].quantity->uncertainty, inputs[3].quantity->uncertainty));

	if (inputs[3].quantity->bound == BOUND_BELOW)
		input_weigh(&inputs[3], amine * (rich - lean), amine * rich, &error);
	return scene_computed(
		scene, "acid-gas-stripped", KIND_MOLAR_FLOW, amine * (rich - lean), error, FORMULA_STRIPPED, inputs, 4);
}

/* Water dew point of the overhead: what the top is at when the reflux ratio and the pressure are as stated. */
static void overhead(const struct scene *scene, const struct still *still, bool from_temperature)
{
	struct input temperature, pressure;
	double carried = still_carried_off(scene, still, &temperature, &pressure);
	struct input inputs[] = {input_rises(scene_input(scene, "R", "reflux-ratio")),
		input_rises(scene_input(scene, "P", "top-pressure")), temperature, pressure};
	double water = inputs[0].quantity->si + carried, partial = water / (1 + water) * inputs[1].quantity->si;
	const struct quantity *dew = scene_computed(scene, "overhead-dew-point", KIND_TEMPERATURE,
		inputs_known(inputs, 4) ? water_saturation_temperature(partial) : (double)NAN, 1, FORMULA_OVERHEAD,
		inputs, 4);
	struct input ends[] = {scene_input(scene, "x", "top-temperature"),
		scene_input_is("y", "water dew point of the overhead", dew)};

	if (scene_stated(scene, "top-temperature") && !from_temperature)
		scene_compute(scene, "top-difference", KIND_TEMPERATURE_DIFFERENCE,
			fabs(ends[0].quantity->si - dew->si), hypot(ends[0].quantity->uncertainty, dew->uncertainty),
			FORMULA_ABSOLUTE_DIFFERENCE, ends, 2);
}

/* ---- where the duty goes ---- */

struct heat_flows {
	double sensible, desorption, asked; /* W; asked without what is lost to the air */
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

/* A lean loading stated as "<..." serves as a value where all it leaves open is small beside what is picked up. */
static bool lean_loading_matters(const struct scene *scene, const struct still *still, const struct input *lean)
{
	const struct quantity *rich = scene_get_of(scene, still->feed, "loading");

	return lean->quantity->bound != BOUND_BELOW || !is_number(rich) ||
		!(lean->quantity->si <= REGENERATOR_HEAT_UNCERTAINTY * (rich->si - lean->quantity->si));
}

static void duty_split(const struct scene *scene, const struct still *still)
{
	struct input temperature, pressure;
	double relative = 0, carried = still_carried_off(scene, still, &temperature, &pressure);
	double amine = solvent_amine_flow(scene, still->lean, &still->lean_solution, &relative);
	struct input inputs[] = {scene_input_of(scene, still->lean, "m", "mass-flow"),
		scene_input_of(scene, still->lean, "a_l", "loading"),
		scene_input_of(scene, still->feed, "a_r", "loading"),
		scene_input_of(scene, still->lean, "t_l", "temperature"),
		scene_input_of(scene, still->feed, "t_f", "temperature"),
		scene_input_of(scene, still->feed, "P_f", "pressure"), scene_input(scene, "R", "reflux-ratio"),
		scene_input(scene, "t_top", "top-temperature"), temperature, pressure,
		{.symbol = NULL} /* heat lost: of the duty asked alone */};
	size_t count = COUNT(inputs) - 1;
	struct heat_flows flows = {(double)NAN, (double)NAN, (double)NAN};

	inputs[1] = solvent_or_missing(inputs[1], &still->lean_solution);
	inputs[2] = solvent_or_missing(inputs[2], &still->feed_solution);
	if (still->lean_solution.known && still->feed_solution.known) {
		inputs[1].effect = lean_loading_matters(scene, still, inputs + 1) ? EFFECT_UNSAID : EFFECT_WITHIN;
		if (inputs_known(inputs, count))
			flows = heats(scene, still, amine, carried);
	}
	put_heat(scene, "duty-sensible", flows.sensible, relative + HEAT_CAPACITY_UNCERTAINTY_RELATIVE,
		FORMULA_DUTY_SENSIBLE, inputs, count);
	put_heat(scene, "duty-desorption", flows.desorption, relative + HEAT_OF_ABSORPTION_UNCERTAINTY,
		FORMULA_DUTY_DESORPTION, inputs, count);
	inputs[count] = input_rises(regenerator_heat_loss(scene));
	put_heat(scene, "duty-asked", flows.asked + inputs[count].quantity->si, REGENERATOR_HEAT_UNCERTAINTY,
		FORMULA_DUTY_ASKED, inputs, count + 1);
	if (!still->reboiler || !still_describes(scene, still->item, "duty"))
		return;
	struct input duty = still_together(scene, still->item, "Q", "duty");
	struct input rest[] = {
		duty, scene_input(scene, "Q_s", "duty-sensible"), scene_input(scene, "Q_d", "duty-desorption")};
	scene_compute(scene, "duty-stripping", KIND_POWER, duty.quantity->si - flows.sensible - flows.desorption,
		hypot(duty.quantity->uncertainty, hypot(rest[1].quantity->uncertainty, rest[2].quantity->uncertainty)),
		FORMULA_DUTY_STRIPPING, rest, 3);
	duty.symbol = "x";
	discrepancy_put_and_explain(scene, "duty-balance-difference", duty, scene_input(scene, "y", "duty-asked"));
}

/* The column is solved in every steady case; not again where nothing it is calculated from differs. */
static bool column_is_due(const struct scene *scene, const struct still *still)
{
	const struct item *const of[] = {
		scene->item, still->reboiler, still->lean, still->feed, still->reflux, still->drum, still->acid_gas};
	bool repeats = scene_repeats(scene, of, COUNT(of));
	struct items absorbers = table_of_kind(scene->table, "absorber");
	struct items gases = table_of_kind(scene->table, "gas"), streams = table_of_kind(scene->table, "stream");

	repeats = repeats && scene_repeats(scene, absorbers.rows, absorbers.count) &&
		scene_repeats(scene, gases.rows, gases.count) && scene_repeats(scene, streams.rows, streams.count);
	return scene->operating_case == EVERY_CASE ||
		(!repeats && !table_case(scene->table, scene->operating_case)->upset);
}

static void of_regenerator(const struct scene *scene)
{
	if (!item_is(scene->item, "regenerator"))
		return;
	derived_judge_as_stated(scene, "bottom-temperature", KIND_TEMPERATURE);
	struct still still = still_of(scene, scene->item);
	if (!still.lean)
		return;
	bottom(scene, &still);
	if (!still.feed)
		return;
	const struct quantity *stripped = put_stripped(scene, &still);
	bool from_temperature = reflux_ratio_put(scene, &still, stripped);
	if (still.reflux) {
		overhead(scene, &still, from_temperature);
		duty_split(scene, &still);
	}
}

static void of_column(const struct scene *scene)
{
	if (!item_is(scene->item, "regenerator"))
		return;
	struct still still = still_of(scene, scene->item);
	if (still.lean && still.feed && (still.reboiler || is_number(scene_get(scene, "reflux-ratio"))) &&
		column_is_due(scene, &still))
		regenerator_column(scene, &still);
}

void regenerator_compute(struct table *table)
{
	scene_each(table, of_reboiler);
	scene_each(table, of_regenerator);
}

void regenerator_columns(struct table *table)
{
	scene_each(table, of_column);
}
