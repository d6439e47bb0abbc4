#include "compute/column_tower.h"

#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"

/* ---- one stage ---- */

struct solution_input tower_liquid(const struct tower *tower, const double *x)
{
	struct solution_input liquid = {.temperature = x[HEAT] * COLUMN_TEMPERATURE_SCALE};
	double mass = tower->amine_mass + exp(x[WATER]) * MOLAR_MASS_WATER;

	for (size_t i = 0; i < AMINE_COUNT; i++)
		liquid.mass_fraction[i] = tower->share[i] * tower->amine_mass / mass;
	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		liquid.loading[gas] = tower->present[gas] ? exp(x[gas]) : 0;
	memcpy(liquid.anion, tower->input->feed.anion, sizeof liquid.anion);
	liquid.cation = tower->input->feed.cation;
	return liquid;
}

double tower_returned(const struct tower *tower, const struct leaving *feed_stage)
{
	return tower->refluxed
		? feed_stage->vapour[WATER] - tower->drum_ratio * (feed_stage->vapour[H2S] + feed_stage->vapour[CO2])
		: 0;
}

/* The heat that comes back with the water: of the reflux, or of what it has become on the stages above the feed. */
static double returned_heat(const struct tower *tower, const struct leaving *top, double temperature)
{
	const struct column_input *input = tower->input;
	struct wash_feed vapour = {
		.gas = {top->vapour[H2S], top->vapour[CO2]}, .steam = top->vapour[WATER], .temperature = temperature};
	struct wash wash;

	if (!tower->refluxed)
		return 0;
	return tower_returned(tower, top) *
		(input->wash_stages > 0 &&
					wash_solve(&vapour, input->wash_stages, input->top_pressure,
						input->drum_temperature, tower->drum_ratio, &wash)
				? enthalpy_water(wash.returned)
				: tower->drum_heat);
}

/* So little apart that a search from one for the other is shorter than one from a start of its own. */
static bool is_near(const struct solution_input *a, const struct solution_input *b)
{
	bool near = fabs(a->temperature - b->temperature) < COLUMN_NEAR_TEMPERATURE;

	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		near = near && fabs(a->loading[gas] - b->loading[gas]) <= COLUMN_NEAR_LOADING * b->loading[gas];
	return near;
}

/* The liquid of stage j with the unknowns `x`, from the one that it held last. */
static bool solve_liquid(const struct tower *tower, int j, const double *x, struct solution *out)
{
	struct solution_input liquid = tower_liquid(tower, x);
	bool near = tower->solved[j] && is_near(&liquid, &tower->solution[j].input);

	return near ? solution_near(tower->terms, &liquid, &tower->solution[j], out)
		    : solution_solve(tower->terms, &liquid, out);
}

static void fill_flows(
	const struct tower *tower, int j, const double *x, const struct solution *solution, struct leaving *out)
{
	double vapour = exp(x[VAPOUR]), total = solution_pressure(solution);

	out->bubble = log(total / tower->pressure[j]);
	out->liquid[WATER] = exp(x[WATER]);
	out->vapour[WATER] = vapour * solution->water_pressure / total;
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
		out->liquid[gas] = solution->input.loading[gas];
		out->vapour[gas] = vapour * solution->partial_pressure[gas] / total;
	}
}

static bool fill_heats(const struct tower *tower, int j, const struct solution *solution, struct leaving *out)
{
	double temperature = solution->input.temperature;

	out->liquid_heat = enthalpy_solution(tower->terms, solution);
	out->vapour_heat = out->vapour[WATER] * enthalpy_steam(temperature);
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		out->vapour_heat += out->vapour[gas] * enthalpy_gas(gas, temperature);
	out->returned_heat = j + 1 == tower->stages ? returned_heat(tower, out, temperature) : 0;
	return isfinite(out->vapour_heat) && isfinite(out->liquid_heat) && isfinite(out->returned_heat);
}

static bool fill_leaving(
	const struct tower *tower, int j, const double *x, const struct solution *solution, struct leaving *out)
{
	fill_flows(tower, j, x, solution, out);
	return fill_heats(tower, j, solution, out);
}

bool tower_flows(struct tower *tower, int j)
{
	struct solution_input liquid = tower_liquid(tower, tower->x[j]);
	struct solution solution;

	if (!solution_rough(tower->terms, &liquid, &solution))
		return false;
	fill_flows(tower, j, tower->x[j], &solution, &tower->leaving[j]);
	return true;
}

bool tower_stage(struct tower *tower, int j)
{
	struct solution solution;

	if (!solve_liquid(tower, j, tower->x[j], &solution))
		return false;
	tower->solution[j] = solution;
	tower->solved[j] = true;
	return fill_leaving(tower, j, tower->x[j], &solution, &tower->leaving[j]);
}

static void difference(const struct leaving *a, const struct leaving *b, double step, struct leaving *out)
{
	for (size_t i = 0; i < COMPONENTS; i++) {
		out->liquid[i] = (a->liquid[i] - b->liquid[i]) / step;
		out->vapour[i] = (a->vapour[i] - b->vapour[i]) / step;
	}
	out->liquid_heat = (a->liquid_heat - b->liquid_heat) / step;
	out->vapour_heat = (a->vapour_heat - b->vapour_heat) / step;
	out->returned_heat = (a->returned_heat - b->returned_heat) / step;
	out->bubble = (a->bubble - b->bubble) / step;
}

static bool stage_slope(struct tower *tower, int j)
{
	struct leaving moved;
	struct solution solution;
	double x[UNKNOWNS];

	for (size_t k = 0; k < VAPOUR; k++) {
		memset(&tower->slope[j].by[k], 0, sizeof tower->slope[j].by[k]);
		if (k < COMPONENTS && !tower->present[k])
			continue;
		memcpy(x, tower->x[j], sizeof x);
		x[k] += COLUMN_NUDGE;
		if (!solve_liquid(tower, j, x, &solution) || !fill_leaving(tower, j, x, &solution, &moved))
			return false;
		difference(&moved, &tower->leaving[j], COLUMN_NUDGE, &tower->slope[j].by[k]);
	}
	/* The vapour's amount is in proportion, and so is what returns of it. */
	tower->slope[j].by[VAPOUR] = (struct leaving){
		.vapour_heat = tower->leaving[j].vapour_heat, .returned_heat = tower->leaving[j].returned_heat};
	memcpy(tower->slope[j].by[VAPOUR].vapour, tower->leaving[j].vapour, sizeof tower->leaving[j].vapour);
	return true;
}

/* ---- the balances ---- */

/* What enters stage j from outside; at the feed stage also the water that its own vapour returns. */
static double entering(const struct tower *tower, int j, size_t i)
{
	double sum = tower->holdup * tower->held[j].liquid[i];

	if (j > 0)
		sum += tower->leaving[j - 1].vapour[i];
	if (j + 1 < tower->stages)
		return sum + tower->leaving[j + 1].liquid[i];
	sum += tower->feed[i];
	return i == WATER ? sum + tower_returned(tower, &tower->leaving[j]) : sum;
}

static double going(const struct tower *tower, int j, size_t i)
{
	return tower->leaving[j].liquid[i] * (1 + tower->holdup) + tower->leaving[j].vapour[i];
}

static double heat_balance(const struct tower *tower, int j)
{
	const struct leaving *own = &tower->leaving[j];
	double sum =
		tower->holdup * tower->held[j].liquid_heat - own->liquid_heat * (1 + tower->holdup) - own->vapour_heat;

	sum += j > 0 ? tower->leaving[j - 1].vapour_heat : tower->duty;
	sum += j + 1 < tower->stages ? tower->leaving[j + 1].liquid_heat : tower->feed_heat + own->returned_heat;
	return (sum - tower->loss[j > 0]) / COLUMN_HEAT_SCALE;
}

double tower_residuals(struct tower *tower)
{
	double sum = 0;

	for (int j = 0; j < tower->stages; j++)
		if (!tower_stage(tower, j))
			return (double)NAN;
	for (int j = 0; j < tower->stages; j++) {
		for (size_t i = 0; i < COMPONENTS; i++)
			tower->residual[j][i] = tower->present[i] ? log(entering(tower, j, i) / going(tower, j, i)) : 0;
		tower->residual[j][HEAT] = heat_balance(tower, j);
		tower->residual[j][VAPOUR] = tower->leaving[j].bubble;
		for (size_t k = 0; k < UNKNOWNS; k++)
			sum += tower->residual[j][k] * tower->residual[j][k];
	}
	return sum;
}

double tower_largest_residual(const struct tower *tower)
{
	double largest = 0;

	for (int j = 0; j < tower->stages; j++)
		for (size_t k = 0; k < UNKNOWNS; k++)
			largest = fmax(largest, fabs(tower->residual[j][k]));
	return largest;
}

static void own_block(struct tower *tower, int j, size_t k)
{
	const struct leaving *own = &tower->slope[j].by[k];
	bool top = j + 1 == tower->stages;
	double heat = -own->liquid_heat * (1 + tower->holdup) - own->vapour_heat;

	for (size_t i = 0; i < COMPONENTS; i++) {
		double reflux = top && i == WATER ? tower_returned(tower, own) : 0;

		tower->diagonal[j][i][k] = tower->present[i] ? reflux / entering(tower, j, i) -
				(own->liquid[i] * (1 + tower->holdup) + own->vapour[i]) / going(tower, j, i)
							     : (double)(i == k);
	}
	if (top)
		heat += own->returned_heat;
	tower->diagonal[j][HEAT][k] = heat / COLUMN_HEAT_SCALE;
	tower->diagonal[j][VAPOUR][k] = own->bubble;
}

/* `lower`: what the vapour of the stage below does here; `upper`: what the liquid of the stage above does. */
static void neighbour_blocks(struct tower *tower, int j, size_t k)
{
	const struct leaving *below = j > 0 ? &tower->slope[j - 1].by[k] : NULL;
	const struct leaving *above = j + 1 < tower->stages ? &tower->slope[j + 1].by[k] : NULL;

	for (size_t i = 0; i < COMPONENTS; i++) {
		double in = tower->present[i] ? entering(tower, j, i) : 1;

		tower->lower[j][i][k] = below && tower->present[i] ? below->vapour[i] / in : 0;
		tower->upper[j][i][k] = above && tower->present[i] ? above->liquid[i] / in : 0;
	}
	tower->lower[j][HEAT][k] = below ? below->vapour_heat / COLUMN_HEAT_SCALE : 0;
	tower->upper[j][HEAT][k] = above ? above->liquid_heat / COLUMN_HEAT_SCALE : 0;
	tower->lower[j][VAPOUR][k] = tower->upper[j][VAPOUR][k] = 0;
}

bool tower_jacobian(struct tower *tower)
{
	for (int j = 0; j < tower->stages; j++)
		if (!stage_slope(tower, j))
			return false;
	for (int j = 0; j < tower->stages; j++)
		for (size_t k = 0; k < UNKNOWNS; k++) {
			own_block(tower, j, k);
			neighbour_blocks(tower, j, k);
		}
	return true;
}
