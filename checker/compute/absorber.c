#include "compute/absorber.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/enthalpy.h"
#include "chemistry/range.h"
#include "chemistry/water.h"
#include "compute/composition.h"
#include "compute/solvent.h"

const struct item *absorber_names(const struct scene *scene, const char *reference)
{
	const struct item *item = table_follow(scene->table, scene->item, scene->operating_case, reference);

	return item_is(item, "stream") || item_is(item, "gas") ? item : NULL;
}

double absorber_gas_flow(const struct scene *scene, const struct item *gas, struct input *input)
{
	*input = scene_input_of(scene, gas, "G", "flow");
	if (input->quantity->known != UNKNOWN && input->quantity->kind != KIND_MOLAR_FLOW)
		*input = scene_input_of(scene, gas, "G", "molar-flow");
	return input->quantity->si; /* NaN where unknown */
}

static const struct quantity *put_difference(
	const struct scene *scene, const char *name, struct input x, struct input y, enum formula_code formula)
{
	bool signed_one = formula != FORMULA_ABSOLUTE_DIFFERENCE;
	struct input inputs[] = {signed_one ? input_rises(x) : x, signed_one ? input_falls(y) : y};
	double difference = x.quantity->si - y.quantity->si;

	return scene_compute(scene, name, KIND_TEMPERATURE_DIFFERENCE,
		formula == FORMULA_ABSOLUTE_DIFFERENCE ? fabs(difference) : difference,
		hypot(x.quantity->uncertainty, y.quantity->uncertainty), formula, inputs, 2);
}

/* ---- top ---- */

static double pressure_over(const struct solution_input *state, void *gas)
{
	struct solution solution;

	return solution_solve(&terms_own, state, &solution) ? solution.partial_pressure[*(enum gas *)gas] : (double)NAN;
}

static const struct item *specification_of(const struct scene *scene, const struct item *treated)
{
	struct items specifications = table_of_kind(scene->table, "specification");

	for (size_t i = 0; treated && i < specifications.count; i++) {
		const struct item *item = specifications.rows[i];
		const char *gas = table_word(scene->table, item, scene->operating_case, "gas");

		if (gas && strcmp(gas, treated->tag) == 0)
			return item;
	}
	return NULL;
}

/* Partial pressure of one gas over the lean, and its share of what the specification allows. */
static void against_specification(const struct scene *scene, struct stream_solution *solution, enum gas gas,
	const struct item *treated, const struct item *specification)
{
	static const char *const contents[] = {"h2s", "co2"}, *const over[] = {"h2s-over-lean", "co2-over-lean"};
	static const char *const used[] = {"h2s-specification-used", "co2-specification-used"};
	const struct quantity *limit = specification ? scene_get_of(scene, specification, contents[gas]) : NULL;
	struct solution lean;
	double value = (double)NAN, error = 0;

	if (solution->known && solution_solve(&terms_own, &solution->state, &lean)) {
		value = lean.partial_pressure[gas];
		error = hypot(solvent_spread(solution, pressure_over, &gas), value * (range_factor(&lean, gas) - 1));
		solvent_weigh(solution, pressure_over, &gas, &error);
	}
	const struct quantity *pressure = scene_compute_by_factor(scene, over[gas], KIND_PARTIAL_PRESSURE, value, error,
		FORMULA_OVER_LEAN, solution->inputs, solution->count);
	if (!limit || strcmp(kind_si(limit->kind), "mol/mol") != 0)
		return;
	struct input inputs[] = {input_rises(scene_input_is("p", "over the lean solution", pressure)),
		input_falls(scene_input_of(scene, specification, "y", contents[gas])),
		input_falls(scene_input_of(scene, treated, "P", "pressure"))};
	if (limit->bound == BOUND_BELOW)
		inputs[1].effect = EFFECT_WITHIN; /* "<4 ppmv" is how a limit of 4 ppmv is written */
	double allowed = limit->si * inputs[2].quantity->si;
	scene_compute_by_factor(scene, used[gas], KIND_RATIO, pressure->si / allowed,
		pressure->si / allowed * (relative_uncertainty(pressure) + relative_uncertainty(inputs[2].quantity)),
		FORMULA_SPECIFICATION_USED, inputs, 3);
}

/* A feed that is stated to bring no H2S has no specification of it. */
static bool brings_no_h2s(const struct scene *scene)
{
	const struct item *feed = absorber_names(scene, "gas");
	const struct quantity *brought = item_is(feed, "gas") ? scene_get_of(scene, feed, "h2s") : NULL;

	return brought && brought->known != UNKNOWN && brought->si <= 0;
}

static void no_treated_gas(const struct scene *scene)
{
	static const char *const wanting[] = {
		"h2s-specified", "co2-specified", "h2s-specification-used", "co2-specification-used"};
	struct arena *arena = table_arena(scene->table);

	for (size_t i = brings_no_h2s(scene) ? 1 : 0; i < COUNT(wanting); i++)
		scene_put(scene, wanting[i],
			quantity_lacking(arena, i < GAS_COUNT ? KIND_YES_NO : KIND_RATIO,
				item_lacks(arena, scene->item, "treated")));
}

/* Whether H2S or CO2 is specified. Where the feed brings H2S and nobody says how much may be left, that is to be asked. */
static void put_specified(
	const struct scene *scene, enum gas gas, const struct item *treated, const struct item *specification)
{
	static const char *const contents[] = {"h2s", "co2"}, *const specified[] = {"h2s-specified", "co2-specified"};
	struct arena *arena = table_arena(scene->table);
	bool asked = specification && scene_get_of(scene, specification, contents[gas]);

	if (!asked && gas == GAS_H2S && !brings_no_h2s(scene))
		scene_put(scene, specified[gas],
			quantity_lacking(arena, KIND_YES_NO,
				(struct missing){NULL, "h2s",
					arena_format(
						arena, "h2s of the specification of %s is not stated", treated->tag)}));
	else
		scene_put_word(scene, specified[gas], KIND_YES_NO, asked ? "yes" : "no",
			"whether a specification of the treated gas states it");
}

static void top(const struct scene *scene)
{
	const struct item *treated = absorber_names(scene, "treated");
	struct stream_solution solution = solvent_state(scene, scene->item, PLACE_TOP);

	if (!treated || !item_is(treated, "gas")) {
		no_treated_gas(scene);
		return;
	}
	const struct item *specification = specification_of(scene, treated);
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
		put_specified(scene, gas, treated, specification);
		against_specification(scene, &solution, gas, treated, specification);
	}
}

/* ---- bottom ---- */

static double absorbed(const struct solution_input *state, void *partial)
{
	struct solution found;

	return solution_absorb(&terms_own, state, partial, &found) ? found.loading[GAS_H2S] + found.loading[GAS_CO2]
								   : (double)NAN;
}

/* A gas content stated as "<..." may be none at all: what its partial pressure adds to the loading. */
static void weigh_partial(struct input *input, const struct solution_input *state, enum gas gas,
	const double partial[GAS_COUNT], double *error)
{
	double without[GAS_COUNT] = {partial[GAS_H2S], partial[GAS_CO2]}, as_is[GAS_COUNT];

	if (!is_bound(input->quantity) || input->quantity->bound != BOUND_BELOW)
		return;
	memcpy(as_is, partial, sizeof as_is);
	without[gas] = 0;
	input_weigh(input, absorbed(state, as_is), absorbed(state, without), error);
}

/* The loading that the feed gas would give the solution if it stayed for ever, at the bottom temperature. */
static void rich_end(const struct scene *scene, const struct item *gas, const struct item *rich)
{
	struct stream_solution solution = solvent_state(scene, scene->item, PLACE_BOTTOM);
	struct input inputs[SOLVENT_INPUTS + 4], bottom = solution.inputs[solution.temperature_at];
	size_t count = 0, own = solution.temperature_at - GAS_COUNT; /* the loadings are what is looked for */
	double loading = (double)NAN, error = 0;

	memset(solution.state.loading, 0, sizeof solution.state.loading);
	solution.count = own;
	solution.inputs[solution.count++] = scene_input_of(scene, gas, "p_H2S", "h2s-partial-pressure");
	solution.inputs[solution.count++] = scene_input_of(scene, gas, "p_CO2", "co2-partial-pressure");
	solution.inputs[solution.count] = input_falls(bottom);
	solution.temperature_at = solution.count++;
	solvent_replace(&solution, solution.temperature_at, solution.inputs[solution.temperature_at]);
	if (solution.known) {
		double partial[GAS_COUNT] = {solution.inputs[own].quantity->si, solution.inputs[own + 1].quantity->si};

		loading = absorbed(&solution.state, partial);
		/* A partial pressure wrong by a factor moves a loading near saturation by far less. */
		error = loading * EQUILIBRIUM_LOADING_UNCERTAINTY;
		solvent_weigh(&solution, absorbed, partial, &error);
		for (enum gas of = GAS_H2S; of < GAS_COUNT; of++)
			weigh_partial(&solution.inputs[own + of], &solution.state, of, partial, &error);
	}
	count = solution.count;
	memcpy(inputs, solution.inputs, count * sizeof *inputs);
	if (!scene_stated(scene, "equilibrium-rich-loading"))
		scene_compute(scene, "equilibrium-rich-loading", KIND_LOADING, loading, error,
			FORMULA_EQUILIBRIUM_LOADING, inputs, count);
	struct input ends[] = {input_rises(scene_input_of(scene, rich, "v", "loading")),
		input_falls(scene_input(scene, "v_e", "equilibrium-rich-loading"))};
	double ratio = ends[0].quantity->si / ends[1].quantity->si;
	scene_compute(scene, "rich-over-equilibrium", KIND_RATIO, ratio,
		ratio * (relative_uncertainty(ends[0].quantity) + relative_uncertainty(ends[1].quantity)),
		FORMULA_RATIO, ends, 2);
}

/* Mole fraction of water in a saturated gas. */
static double moisture(double temperature, double pressure)
{
	return water_saturation_pressure(temperature) / pressure;
}

struct heat_inputs {
	struct stream_solution lean, rich;
	double amine, gas_flow, gas_in, gas_out, pressure; /* mol/s, mol/s, K, K, Pa */
	double heat_capacity;				   /* J/mol/K, of the gas that is not absorbed */
	bool saturated;
};

/* What one mole of amine takes up on its way down, J: the gas's heat, the acid gas's own, water condensed. */
static double heat_taken(const struct heat_inputs *heat, double inert)
{
	double flow = inert / heat->amine;
	double taken = flow * heat->heat_capacity * (heat->gas_in - heat->gas_out);
	double water = (heat->saturated ? moisture(heat->gas_in, heat->pressure) : 0) -
		moisture(heat->gas_out, heat->pressure);

	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		taken += (heat->rich.state.loading[gas] - heat->lean.state.loading[gas]) *
			enthalpy_gas(gas, heat->gas_in);
	return taken + flow * water * MOLAR_MASS_WATER * water_latent_heat(heat->gas_out);
}

/* The temperature at which the rich solution holds that heat; Newton on a nearly straight line. */
static double rich_temperature(const struct heat_inputs *heat, double inert)
{
	enum { STEPS = 20 };
	struct solution_input rich = heat->rich.state;
	double wanted = enthalpy_liquid(&heat->lean.state) + heat_taken(heat, inert);

	rich.temperature = heat->lean.state.temperature;
	for (int i = 0; i < STEPS; i++)
		rich.temperature += (wanted - enthalpy_liquid(&rich)) / enthalpy_heat_capacity(&rich);
	return rich.temperature;
}

/* Of the gas without what the amine takes, J/mol/K, between two temperatures (K, at least 1 K is taken) at a pressure. */
static double heat_capacity_between(const struct composition *gas, double in, double out, double pressure)
{
	double rest[COMPONENT_COUNT], sum = 0;

	for (size_t i = 0; i < COMPONENT_COUNT; i++) {
		bool taken = i == COMPONENT_HYDROGEN_SULFIDE || i == COMPONENT_CARBON_DIOXIDE;
		rest[i] = taken ? 0 : gas->dry[i];
		sum += rest[i];
	}
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		rest[i] /= sum;
	double to = fabs(in - out) < 1 ? in - 1 : out;
	return (gas_enthalpy(rest, in, pressure) - gas_enthalpy(rest, to, pressure)) / (in - to);
}

static const struct quantity *put_heat_capacity(
	const struct scene *scene, const struct item *gas, struct input in, struct input out, struct input pressure)
{
	struct composition composition = composition_of_gas(scene, gas);
	struct input inputs[COMPOSITION_INPUTS + 3] = {in, out, pressure};
	size_t count = 3;
	double found = (double)NAN;

	memcpy(inputs + count, composition.inputs, composition.count * sizeof *inputs);
	count += composition.count;
	if (composition.mass->known != UNKNOWN && inputs_known(inputs, count))
		found = heat_capacity_between(&composition, in.quantity->si, out.quantity->si, pressure.quantity->si);
	if (isfinite(found))
		return scene_compute(scene, "gas-heat-capacity", KIND_MOLAR_HEAT_CAPACITY, found,
			found * GAS_HEAT_UNCERTAINTY, FORMULA_GAS_HEAT, inputs, count);
	const struct quantity *assumed = quantity_assumed(table_arena(scene->table), KIND_MOLAR_HEAT_CAPACITY,
		UNKNOWN_GAS_HEAT_CAPACITY, UNKNOWN_GAS_HEAT_SPREAD,
		arena_format(table_arena(scene->table), "the composition of %s is not known", gas->tag));
	scene_put(scene, "gas-heat-capacity", assumed);
	return assumed;
}

/* Of `found`: by the heat of absorption, and by the `spread` of the gas's heat capacity. */
static double heat_error(struct heat_inputs heat, double inert, double found, double spread)
{
	double absorbed = HEAT_OF_ABSORPTION_UNCERTAINTY * fabs(found - heat.lean.state.temperature);

	heat.heat_capacity += spread;
	return absorbed + fabs(rich_temperature(&heat, inert) - found);
}

static bool every_known(const struct input *inputs, size_t count)
{
	bool known = true;

	for (size_t i = 0; i < count; i++)
		known = known && inputs[i].quantity->known != UNKNOWN;
	return known;
}

/* A lean loading stated as "<..." may be none at all. */
static void weigh_lean_loading(
	struct input *input, const struct heat_inputs *heat, double inert, double value, double *error)
{
	struct heat_inputs stripped = *heat;

	if (!is_bound(input->quantity) || input->quantity->bound != BOUND_BELOW)
		return;
	memset(stripped.lean.state.loading, 0, sizeof stripped.lean.state.loading);
	input_weigh(input, value, rich_temperature(&stripped, inert - heat->amine * input->quantity->si), error);
}

static void bottom_temperature(
	const struct scene *scene, const struct item *gas, const struct item *lean, const struct item *rich)
{
	const struct item *treated = absorber_names(scene, "treated");
	const struct quantity *saturated = scene_get_of(scene, gas, "water-saturated");
	bool out_stated = treated && scene_get_of(scene, treated, "temperature");
	struct heat_inputs heat = {
		.lean = solvent_of_stream(scene, lean, true), .rich = solvent_of_stream(scene, rich, false)};
	double relative = 0;
	struct input inputs[] = {scene_input_of(scene, gas, "G", "flow"), scene_input_of(scene, lean, "m", "mass-flow"),
		scene_input_of(scene, lean, "t_l", "temperature"), scene_input_of(scene, gas, "t_g", "temperature"),
		scene_input_of(scene, gas, "P", "pressure"),
		scene_input_of(scene, out_stated ? treated : lean, "t_out", "temperature"),
		scene_input_of(scene, lean, "a_l", "loading"), scene_input_of(scene, rich, "a_r", "loading"),
		scene_input_is("c", "heat capacity of the gas not absorbed", NULL)};
	size_t count = COUNT(inputs);

	inputs[count - 1].quantity = put_heat_capacity(scene, gas, inputs[3], inputs[5], inputs[4]);

	heat.gas_flow = absorber_gas_flow(scene, gas, &inputs[0]);
	heat.amine = solvent_amine_flow(scene, lean, &heat.lean, &relative);
	heat.gas_in = inputs[3].quantity->si;
	heat.pressure = inputs[4].quantity->si;
	heat.gas_out = inputs[5].quantity->si;
	heat.heat_capacity = inputs[count - 1].quantity->si;
	heat.saturated = quantity_truth(saturated) == YES;
	double inert = heat.gas_flow - heat.amine * (inputs[7].quantity->si - inputs[6].quantity->si);
	double value = (double)NAN, error = 0;
	if (heat.lean.known && heat.rich.known && every_known(inputs, count)) {
		value = rich_temperature(&heat, inert);
		error = heat_error(heat, inert, value, inputs[count - 1].quantity->uncertainty);
		weigh_lean_loading(&inputs[6], &heat, inert, value, &error);
	}
	const struct quantity *found = scene_compute(
		scene, "bottom-by-heat", KIND_TEMPERATURE, value, error, FORMULA_BOTTOM_BY_HEAT, inputs, count);
	if (scene_stated(scene, "bottom-temperature"))
		put_difference(scene, "bottom-by-heat-difference", scene_input(scene, "x", "bottom-temperature"),
			scene_input_is("y", "bottom temperature by heat balance", found), FORMULA_ABSOLUTE_DIFFERENCE);
}

/* Mole fraction: within it the contents of a gas add up to all of it, as they are rounded. */
static const double ROUNDED = 0.0015;

/* A gas that what does not condense makes up, all but the rounding, has no hydrocarbon dew point. */
static void condensable(const struct scene *scene, const struct item *gas)
{
	static const char *const light[] = {
		"h2s", "co2", "hydrogen", "water", "nitrogen", "methane", "argon", "co", "o2", "nh3", "so2"};
	double sum = 0;
	for (size_t i = 0; i < COUNT(light); i++) {
		const struct quantity *share = scene_get_of(scene, gas, light[i]);
		if (is_number(share) && share->kind == KIND_MOLE_FRACTION)
			sum += share->si;
	}
	if (sum >= 1 - ROUNDED && !scene_get_of(scene, gas, "hydrocarbon-dew-point"))
		scene_put_word(
			scene, "brings-condensable", KIND_YES_NO, "no", "what does not condense makes up the gas");
}

static void of_absorber(const struct scene *scene)
{
	if (!item_is(scene->item, "absorber"))
		return;
	const struct item *lean = absorber_names(scene, "lean"), *gas = absorber_names(scene, "gas");
	const struct item *rich = absorber_names(scene, "rich");
	if (brings_no_h2s(scene))
		scene_put_word(scene, "h2s-specified", KIND_YES_NO, "no", "the feed brings no H2S");
	if (!item_is(lean, "stream") || !item_is(gas, "gas"))
		return;
	condensable(scene, gas);
	struct input warm = scene_input_of(scene, lean, "x", "temperature");
	put_difference(
		scene, "approach-to-gas", warm, scene_input_of(scene, gas, "y", "temperature"), FORMULA_DIFFERENCE);
	put_difference(scene, "approach-to-dew-point", warm, scene_input_of(scene, gas, "y", "hydrocarbon-dew-point"),
		FORMULA_DIFFERENCE);
	top(scene);
	if (!item_is(rich, "stream"))
		return;
	rich_end(scene, gas, rich);
	bottom_temperature(scene, gas, lean, rich);
}

void absorber_compute(struct table *table)
{
	scene_each(table, of_absorber);
}
