#include "compute/column_tower.h"

#include <math.h>
#include <string.h>

#include "base/memo.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"

static bool open_tower(struct tower *tower, const struct terms *terms, const struct column_input *input)
{
	double mass = 0, partial = 0;
	const struct solution_input *feed = &input->feed;

	*tower = (struct tower){.terms = terms, .input = input, .stages = input->stages, .duty = input->duty};
	for (size_t i = 0; i < AMINE_COUNT; i++)
		mass += feed->mass_fraction[i];
	tower->amine_mass = mass * property_mass_per_amine(feed->mass_fraction);
	for (size_t i = 0; i < AMINE_COUNT; i++)
		tower->share[i] = feed->mass_fraction[i] / mass;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		tower->present[gas] = (tower->feed[gas] = feed->loading[gas]) > 0;
	tower->present[WATER] = true;
	tower->feed[WATER] = property_water_per_amine(feed->mass_fraction);
	tower->feed_heat = enthalpy_at(terms, feed, input->feed_pressure);
	tower->refluxed = !isnan(input->drum_temperature);
	if (tower->refluxed) {
		partial = water_saturation_pressure(input->drum_temperature) / input->drum_pressure;
		tower->drum_heat = enthalpy_water(input->drum_temperature);
	}
	tower->drum_ratio = partial / (1 - partial);
	tower->loss[0] = tower->stages == 1 ? input->heat_loss : 0;
	tower->loss[1] = tower->stages == 1 ? 0 : input->heat_loss / (tower->stages - 1);
	for (int j = 0; j < tower->stages; j++)
		tower->pressure[j] = tower->stages == 1 ? input->bottom_pressure
							: input->bottom_pressure +
				(input->top_pressure - input->bottom_pressure) * j / (tower->stages - 1);
	return isfinite(tower->feed_heat) && (tower->present[H2S] || tower->present[CO2]) && partial < 1 &&
		partial >= 0;
}

static double imbalance(double in, double out)
{
	return (in - out) / fmax(fabs(in), SINGULAR_PIVOT);
}

/* The vapour that leaves the column: of the feed stage, or of the water above it. */
static void leave_the_top(const struct tower *tower, struct column *out)
{
	const struct leaving *feed_stage = &tower->leaving[tower->stages - 1];
	double temperature = tower->x[tower->stages - 1][HEAT] * COLUMN_TEMPERATURE_SCALE;
	struct wash_feed vapour = {.gas = {feed_stage->vapour[H2S], feed_stage->vapour[CO2]},
		.steam = feed_stage->vapour[WATER],
		.temperature = temperature};
	struct wash wash = {.temperature = temperature, .steam = vapour.steam};

	if (tower->refluxed)
		wash_solve(&vapour, tower->input->wash_stages, tower->input->top_pressure,
			tower->input->drum_temperature, tower->drum_ratio, &wash);
	out->top_temperature = wash.temperature;
	out->top_steam = wash.steam;
	out->reflux = tower->refluxed
		? wash.steam - tower->drum_ratio * (feed_stage->vapour[H2S] + feed_stage->vapour[CO2])
		: 0;
}

static double heat_of_vapour(const struct leaving *feed_stage, double steam, double temperature)
{
	double sum = steam * enthalpy_steam(temperature);

	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		sum += feed_stage->vapour[gas] * enthalpy_gas(gas, temperature);
	return sum;
}

static void round_the_column(const struct tower *tower, struct column *out)
{
	const struct leaving *top = &tower->leaving[tower->stages - 1], *lean = &tower->leaving[0];
	double water_out = out->top_steam - out->reflux;

	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		out->imbalance[gas] =
			tower->present[gas] ? imbalance(tower->feed[gas], lean->liquid[gas] + top->vapour[gas]) : 0;
	out->imbalance[WATER] = imbalance(tower->feed[WATER], lean->liquid[WATER] + water_out);
	out->imbalance[WATER + 1] =
		(tower->feed_heat + tower->duty + out->reflux * tower->drum_heat - tower->input->heat_loss -
			lean->liquid_heat - heat_of_vapour(top, out->top_steam, out->top_temperature)) /
		tower->duty;
}

static double condenser_of(const struct tower *tower, const struct column *column)
{
	const struct leaving *top = &tower->leaving[tower->stages - 1];
	double drum = tower->input->drum_temperature;

	if (!tower->refluxed)
		return 0;
	return heat_of_vapour(top, column->top_steam, column->top_temperature) - column->reflux * tower->drum_heat -
		heat_of_vapour(top, column->top_steam - column->reflux, drum);
}

static void report(const struct tower *tower, struct column *out)
{
	const struct leaving *top = &tower->leaving[tower->stages - 1];
	double stripped = top->vapour[H2S] + top->vapour[CO2];

	for (int j = 0; j < tower->stages; j++) {
		struct column_stage *stage = &out->stage[j];

		stage->temperature = tower->x[j][HEAT] * COLUMN_TEMPERATURE_SCALE;
		stage->pressure = tower->pressure[j];
		stage->water = tower->leaving[j].liquid[WATER];
		stage->steam = tower->leaving[j].vapour[WATER];
		for (size_t gas = 0; gas < GAS_COUNT; gas++) {
			stage->loading[gas] = tower->leaving[j].liquid[gas];
			stage->gas[gas] = tower->leaving[j].vapour[gas];
		}
	}
	leave_the_top(tower, out);
	out->reflux_ratio = out->reflux / stripped;
	out->condenser_duty = condenser_of(tower, out);
	out->duty = tower->input->duty;
	out->reboiler_share = (column_into_reboiler(out) - column_lean_loading(out)) / stripped;
	round_the_column(tower, out);
}

static void fail(struct column *out, enum column_fault fault, int iterations)
{
	*out = (struct column){.fault = fault, .stages = out->stages, .iterations = iterations};
	out->reflux = out->reflux_ratio = out->condenser_duty = out->duty = out->reboiler_share = (double)NAN;
	out->top_temperature = out->top_steam = (double)NAN;
	for (size_t j = 0; j < COLUMN_STAGES_AT_MOST; j++)
		out->stage[j] = (struct column_stage){(double)NAN, (double)NAN, {(double)NAN, (double)NAN}, (double)NAN,
			{(double)NAN, (double)NAN}, (double)NAN};
	for (size_t i = 0; i < GAS_COUNT + 2; i++)
		out->imbalance[i] = (double)NAN;
}

static bool in_domain(const struct column_input *input)
{
	return input->stages >= 1 && input->stages <= COLUMN_STAGES_AT_MOST && input->wash_stages >= 0 &&
		input->wash_stages <= COLUMN_WASH_AT_MOST && isfinite(input->heat_loss) && input->duty > 0 &&
		isfinite(input->duty) && input->top_pressure > 0 && input->bottom_pressure >= input->top_pressure &&
		input->bottom_pressure <= DOMAIN_HIGHEST_PRESSURE;
}

static void solve(const struct terms *terms, const struct column_input *input, struct column *out)
{
	struct tower tower;

	*out = (struct column){.stages = input->stages};
	if (!in_domain(input) || !open_tower(&tower, terms, input)) {
		fail(out, COLUMN_INPUT, 0);
		return;
	}
	if (!tower_solve(&tower)) {
		fail(out, COLUMN_NOT_CONVERGED, tower.iterations);
		return;
	}
	out->iterations = tower.iterations;
	report(&tower, out);
}

enum { FEED = sizeof(struct solution_input) / sizeof(double), KEY = FEED + 9 };

static void key_of(const struct column_input *input, double key[KEY])
{
	const double rest[KEY - FEED] = {input->feed_pressure, input->stages, input->wash_stages,
		input->bottom_pressure, input->top_pressure, input->duty, input->heat_loss, input->drum_temperature,
		input->drum_pressure};

	memcpy(key, &input->feed, sizeof input->feed);
	memcpy(key + FEED, rest, sizeof rest);
}

/* To forty bits, 1e-12 of it: heat and flow that rise together leave their ratio alike but for its last bits. */
static double rounded(double number)
{
	enum { BITS = 40 };
	int exponent;
	double fraction = frexp(number, &exponent);

	return isfinite(number) ? ldexp(rint(ldexp(fraction, BITS)), exponent - BITS) : number;
}

bool column_solve(const struct terms *terms, const struct column_input *asked, struct column *out)
{
	struct column_input rounded_input = *asked;
	const struct column_input *input = &rounded_input;
	static struct memo solved = {.numbers = KEY, .value = sizeof(struct column), .places = 256};
	double key[KEY];

	rounded_input.duty = rounded(asked->duty);
	rounded_input.heat_loss = rounded(asked->heat_loss);
	key_of(input, key);
	const struct column *known = terms == &terms_own ? memo_find(&solved, key) : NULL;
	if (known) {
		*out = *known;
	} else {
		solve(terms, input, out);
		if (terms == &terms_own)
			memo_keep(&solved, key, out);
	}
	return out->fault == COLUMN_FINE;
}

const char *column_fault_words(enum column_fault fault)
{
	switch (fault) {
	case COLUMN_INPUT:
		return "was not solved: its feed, heat, stages or pressures are outside what the chemistry takes";
	case COLUMN_NOT_CONVERGED:
		return "was not solved: no steady state was found for its feed, heat, stages and pressures";
	case COLUMN_NO_DUTY:
		return "was not solved: no duty was found that gives its reflux";
	default:
		return "";
	}
}

static double total(const struct column_stage *stage)
{
	return stage->loading[GAS_H2S] + stage->loading[GAS_CO2];
}

double column_lean_loading(const struct column *column)
{
	return total(&column->stage[0]);
}

double column_into_reboiler(const struct column *column)
{
	const struct column_stage *bottom = &column->stage[0];

	/* What leaves the reboiler is what entered it: also where there is no stage above. */
	return total(bottom) + bottom->gas[GAS_H2S] + bottom->gas[GAS_CO2];
}
