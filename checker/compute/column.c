#include "compute/column.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"

/* The unknowns of a stage: ln of loadings, of water in the liquid, T in steps of COLUMN_TEMPERATURE_SCALE, ln of vapour. */
enum { H2S, CO2, WATER, HEAT, VAPOUR, UNKNOWNS, COMPONENTS = WATER + 1 };
enum { NEWTON_STEPS = 40, RELAXATION_STEPS = 80, HALVINGS = 10, SWEEPS = 10, STEPS_AT_MOST = 400 };

/* What leaves a stage, and how far it is from its bubble point. */
struct leaving {
	double liquid[COMPONENTS], vapour[COMPONENTS]; /* mol per mol of amine */
	double liquid_heat, vapour_heat;	       /* J per mol of amine */
	double bubble;				       /* ln of the sum of partial pressures over the pressure */
};

/* Derivatives of the above by each unknown. */
struct slope {
	struct leaving by[UNKNOWNS];
};

struct tower {
	const struct terms *terms;
	const struct column_input *input;
	double amine_mass;	   /* kg per mol */
	double share[AMINE_COUNT]; /* of each amine in it, by mass */
	double feed[COMPONENTS], feed_heat;
	double drum_ratio; /* water carried off with each mole of acid gas */
	bool present[COMPONENTS], refluxed;
	double duty, holdup; /* `holdup` 0: steady state */
	int stages, iterations;
	double pressure[COLUMN_STAGES_AT_MOST];
	double x[COLUMN_STAGES_AT_MOST][UNKNOWNS], before[COLUMN_STAGES_AT_MOST][UNKNOWNS];
	struct leaving leaving[COLUMN_STAGES_AT_MOST], held[COLUMN_STAGES_AT_MOST];
	double residual[COLUMN_STAGES_AT_MOST][UNKNOWNS];
	struct slope slope[COLUMN_STAGES_AT_MOST];
	double lower[COLUMN_STAGES_AT_MOST][UNKNOWNS][UNKNOWNS];
	double diagonal[COLUMN_STAGES_AT_MOST][UNKNOWNS][UNKNOWNS];
	double upper[COLUMN_STAGES_AT_MOST][UNKNOWNS][UNKNOWNS];
	double step[COLUMN_STAGES_AT_MOST][UNKNOWNS];
};

/* ---- one stage ---- */

static struct solution_input liquid_of(const struct tower *tower, const double *x)
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

static bool stage_leaving(const struct tower *tower, const double *x, double pressure, struct leaving *out)
{
	struct solution_input liquid = liquid_of(tower, x);
	struct solution solution;
	double vapour = exp(x[VAPOUR]), total;

	if (!solution_solve(tower->terms, &liquid, &solution))
		return false;
	total = solution_pressure(&solution);
	out->bubble = log(total / pressure);
	out->liquid[WATER] = exp(x[WATER]);
	out->vapour[WATER] = vapour * solution.water_pressure / total;
	out->liquid_heat = enthalpy_solution(tower->terms, &solution);
	out->vapour_heat = out->vapour[WATER] * enthalpy_steam(liquid.temperature);
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
		out->liquid[gas] = liquid.loading[gas];
		out->vapour[gas] = vapour * solution.partial_pressure[gas] / total;
		out->vapour_heat += out->vapour[gas] * enthalpy_gas(gas, liquid.temperature);
	}
	return isfinite(out->vapour_heat) && isfinite(out->liquid_heat);
}

static void difference(const struct leaving *a, const struct leaving *b, double step, struct leaving *out)
{
	for (size_t i = 0; i < COMPONENTS; i++) {
		out->liquid[i] = (a->liquid[i] - b->liquid[i]) / step;
		out->vapour[i] = (a->vapour[i] - b->vapour[i]) / step;
	}
	out->liquid_heat = (a->liquid_heat - b->liquid_heat) / step;
	out->vapour_heat = (a->vapour_heat - b->vapour_heat) / step;
	out->bubble = (a->bubble - b->bubble) / step;
}

static bool stage_slope(struct tower *tower, int j)
{
	struct leaving moved;
	double x[UNKNOWNS];

	for (size_t k = 0; k < VAPOUR; k++) {
		memset(&tower->slope[j].by[k], 0, sizeof tower->slope[j].by[k]);
		if (k < COMPONENTS && !tower->present[k])
			continue;
		memcpy(x, tower->x[j], sizeof x);
		x[k] += COLUMN_NUDGE;
		if (!stage_leaving(tower, x, tower->pressure[j], &moved))
			return false;
		difference(&moved, &tower->leaving[j], COLUMN_NUDGE, &tower->slope[j].by[k]);
	}
	/* The vapour's amount is in proportion. */
	tower->slope[j].by[VAPOUR] = (struct leaving){.vapour_heat = tower->leaving[j].vapour_heat};
	memcpy(tower->slope[j].by[VAPOUR].vapour, tower->leaving[j].vapour, sizeof tower->leaving[j].vapour);
	return true;
}

/* ---- the balances ---- */

/* Water that comes back from the drum, of what the top lets go (or of a derivative of it). */
static double reflux_of(const struct tower *tower, const struct leaving *top)
{
	return tower->refluxed ? top->vapour[WATER] - tower->drum_ratio * (top->vapour[H2S] + top->vapour[CO2]) : 0;
}

/* What enters stage j from outside; at the top also its own reflux. */
static double entering(const struct tower *tower, int j, size_t i)
{
	double sum = tower->holdup * tower->held[j].liquid[i];

	if (j > 0)
		sum += tower->leaving[j - 1].vapour[i];
	if (j + 1 < tower->stages)
		return sum + tower->leaving[j + 1].liquid[i];
	sum += tower->feed[i];
	return i == WATER ? sum + reflux_of(tower, &tower->leaving[j]) : sum;
}

static double going(const struct tower *tower, int j, size_t i)
{
	return tower->leaving[j].liquid[i] * (1 + tower->holdup) + tower->leaving[j].vapour[i];
}

static double reflux_heat(const struct tower *tower)
{
	return tower->refluxed ? enthalpy_water(tower->input->drum_temperature) : 0;
}

static double heat_balance(const struct tower *tower, int j)
{
	const struct leaving *own = &tower->leaving[j];
	double sum =
		tower->holdup * tower->held[j].liquid_heat - own->liquid_heat * (1 + tower->holdup) - own->vapour_heat;

	sum += j > 0 ? tower->leaving[j - 1].vapour_heat : tower->duty;
	sum += j + 1 < tower->stages ? tower->leaving[j + 1].liquid_heat
				     : tower->feed_heat + reflux_of(tower, own) * reflux_heat(tower);
	return sum / COLUMN_HEAT_SCALE;
}

/* Sum of squares of the residuals, or NaN where a stage lies outside what the chemistry takes. */
static double residuals(struct tower *tower)
{
	double sum = 0;

	for (int j = 0; j < tower->stages; j++)
		if (!stage_leaving(tower, tower->x[j], tower->pressure[j], &tower->leaving[j]))
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

static double largest_residual(const struct tower *tower)
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
		double reflux = top && i == WATER ? reflux_of(tower, own) : 0;

		tower->diagonal[j][i][k] = tower->present[i] ? reflux / entering(tower, j, i) -
				(own->liquid[i] * (1 + tower->holdup) + own->vapour[i]) / going(tower, j, i)
							     : (double)(i == k);
	}
	if (top)
		heat += reflux_of(tower, own) * reflux_heat(tower);
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

static bool jacobian(struct tower *tower)
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

/* ---- the block-tridiagonal solution ---- */

/* Solves a x = b for the columns of `upper` and the vector `b`, in place; false where singular. */
static bool eliminate(double (*a)[UNKNOWNS], double (*upper)[UNKNOWNS], double *b)
{
	for (size_t c = 0; c < UNKNOWNS; c++) {
		size_t pivot = c;

		for (size_t r = c + 1; r < UNKNOWNS; r++)
			if (fabs(a[r][c]) > fabs(a[pivot][c]))
				pivot = r;
		if (!(fabs(a[pivot][c]) > SINGULAR_PIVOT))
			return false;
		for (size_t k = 0; k < UNKNOWNS; k++) {
			double swap = a[c][k];

			a[c][k] = a[pivot][k];
			a[pivot][k] = swap;
			swap = upper[c][k];
			upper[c][k] = upper[pivot][k];
			upper[pivot][k] = swap;
		}
		double swap = b[c];

		b[c] = b[pivot];
		b[pivot] = swap;
		for (size_t r = 0; r < UNKNOWNS; r++) {
			double factor = r == c ? 0 : a[r][c] / a[c][c];

			for (size_t k = 0; k < UNKNOWNS && r != c; k++) {
				a[r][k] -= factor * a[c][k];
				upper[r][k] -= factor * upper[c][k];
			}
			b[r] -= factor * b[c];
		}
	}
	for (size_t r = 0; r < UNKNOWNS; r++) {
		for (size_t k = 0; k < UNKNOWNS; k++)
			upper[r][k] /= a[r][r];
		b[r] /= a[r][r];
	}
	return true;
}

/* The Newton step into tower->step. */
static bool solve_blocks(struct tower *tower)
{
	for (int j = 0; j < tower->stages; j++) {
		for (size_t r = 0; r < UNKNOWNS; r++)
			tower->step[j][r] = -tower->residual[j][r];
		for (size_t r = 0; j > 0 && r < UNKNOWNS; r++)
			for (size_t m = 0; m < UNKNOWNS; m++) {
				for (size_t k = 0; k < UNKNOWNS; k++)
					tower->diagonal[j][r][k] -= tower->lower[j][r][m] * tower->upper[j - 1][m][k];
				tower->step[j][r] -= tower->lower[j][r][m] * tower->step[j - 1][m];
			}
		if (!eliminate(tower->diagonal[j], tower->upper[j], tower->step[j]))
			return false;
	}
	for (int j = tower->stages - 2; j >= 0; j--)
		for (size_t r = 0; r < UNKNOWNS; r++)
			for (size_t k = 0; k < UNKNOWNS; k++)
				tower->step[j][r] -= tower->upper[j][r][k] * tower->step[j + 1][k];
	return true;
}

/* ---- Newton and relaxation ---- */

/* The largest step as a multiple of what is allowed: loadings may move by orders of magnitude, the others may not. */
static double largest_step(const struct tower *tower)
{
	double largest = 0;

	for (int j = 0; j < tower->stages; j++)
		for (size_t k = 0; k < UNKNOWNS; k++)
			largest = fmax(largest,
				fabs(tower->step[j][k]) /
					(k < GAS_COUNT ? COLUMN_LARGEST_IN_LOADING : COLUMN_LARGEST_STEP));
	return largest;
}

/* One step, shortened until the residual falls. */
static bool improve(struct tower *tower, double *sum)
{
	double start[COLUMN_STAGES_AT_MOST][UNKNOWNS], whole, fresh = (double)NAN;

	if (tower->iterations >= STEPS_AT_MOST || !jacobian(tower) || !solve_blocks(tower))
		return false;
	tower->iterations++;
	memcpy(start, tower->x, sizeof start);
	whole = 1 / fmax(largest_step(tower), 1);
	for (int halving = 0; halving < HALVINGS; halving++) {
		for (int j = 0; j < tower->stages; j++)
			for (size_t k = 0; k < UNKNOWNS; k++)
				tower->x[j][k] = start[j][k] + ldexp(whole, -halving) * tower->step[j][k];
		fresh = residuals(tower);
		if (fresh < *sum)
			break;
	}
	*sum = fresh;
	return isfinite(fresh);
}

static bool newton(struct tower *tower, int steps)
{
	double sum = residuals(tower);

	for (int i = 0; i < steps && isfinite(sum); i++) {
		double before = sum;

		if (largest_residual(tower) < COLUMN_TOLERANCE)
			return true;
		if (!improve(tower, &sum))
			return false;
		if (sum > before && i > steps / 2)
			return largest_residual(tower) < COLUMN_TOLERANCE;
	}
	return isfinite(sum) && largest_residual(tower) < COLUMN_TOLERANCE;
}

/* From tower->x, with hold-ups that shrink as the steps succeed, until Newton finds the steady state. */
static bool relax(struct tower *tower)
{
	double holdup = COLUMN_FIRST_HOLDUP;

	for (int i = 0; i < RELAXATION_STEPS && holdup < 1 / COLUMN_LEAST_HOLDUP; i++) {
		bool moved;

		tower->holdup = 0;
		if (!isfinite(residuals(tower)))
			return false;
		memcpy(tower->held, tower->leaving, sizeof tower->held);
		memcpy(tower->before, tower->x, sizeof tower->before);
		tower->holdup = holdup;
		moved = newton(tower, NEWTON_STEPS / 4);
		tower->holdup = 0;
		if (!moved) {
			memcpy(tower->x, tower->before, sizeof tower->x);
			holdup *= 8;
			continue;
		}
		if (holdup < COLUMN_LEAST_HOLDUP)
			return newton(tower, NEWTON_STEPS);
		holdup /= 4;
	}
	return false;
}

/* Loadings fall geometrically from the feed to a tenth of it; every stage at its bubble point. */
static bool guess(struct tower *tower, double lean)
{
	struct leaving top;
	double latent = MOLAR_MASS_WATER * water_latent_heat(COLUMN_GUESS_TEMPERATURE), boil;

	for (int j = tower->stages - 1; j >= 0; j--) {
		double down = (double)(tower->stages - j) / tower->stages, *x = tower->x[j];
		struct solution_input liquid;

		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			x[gas] = tower->present[gas] ? log(tower->feed[gas]) + down * log(lean) : 0;
		x[WATER] = log(tower->feed[WATER]);
		x[HEAT] = x[VAPOUR] = 1;
		liquid = liquid_of(tower, x);
		x[HEAT] =
			phase_bubble_temperature(tower->terms, &liquid, tower->pressure[j]) / COLUMN_TEMPERATURE_SCALE;
		if (!stage_leaving(tower, x, tower->pressure[j], &tower->leaving[j]))
			return false;
	}
	/* The heat that is left for steam when the lean is hot and stripped. */
	top = tower->leaving[0];
	boil = (tower->duty + tower->feed_heat - top.liquid_heat) / latent;
	for (int j = 0; j < tower->stages; j++)
		tower->x[j][VAPOUR] = log(fmax(boil, COLUMN_LEAST_VAPOUR));
	return true;
}

/* Loadings that balance one gas when each stage strips the share it strips now: a tridiagonal system. */
static void balance_gas(struct tower *tower, size_t gas)
{
	double strip[COLUMN_STAGES_AT_MOST], pivot[COLUMN_STAGES_AT_MOST], loading;
	int top = tower->stages - 1;

	for (int j = 0; j <= top; j++)
		strip[j] = tower->leaving[j].vapour[gas] / tower->leaving[j].liquid[gas];
	/* From the bottom up, a[j + 1] = pivot[j] a[j]; then from the feed down. */
	for (int j = 0; j <= top; j++)
		pivot[j] = 1 + strip[j] - (j > 0 ? strip[j - 1] / pivot[j - 1] : 0);
	loading = tower->feed[gas];
	for (int j = top; j >= 0; j--) {
		loading /= pivot[j];
		tower->x[j][gas] += COLUMN_SWEEP_SHARE * (log(loading) - tower->x[j][gas]);
	}
}

/* A guess that already balances the gases roughly, so that Newton has not to carry a gas down by orders of magnitude. */
static bool sweep(struct tower *tower)
{
	for (int i = 0; i < SWEEPS; i++) {
		for (int j = 0; j < tower->stages; j++) {
			if (!stage_leaving(tower, tower->x[j], tower->pressure[j], &tower->leaving[j]))
				return false;
			tower->x[j][HEAT] -= tower->leaving[j].bubble * COLUMN_BUBBLE_SLOPE / COLUMN_TEMPERATURE_SCALE;
		}
		for (size_t gas = 0; gas < GAS_COUNT; gas++)
			if (tower->present[gas])
				balance_gas(tower, gas);
	}
	return true;
}

static bool from_guess(struct tower *tower)
{
	static const double lean[] = {0.1, 0.4};

	for (size_t i = 0; i < COUNT(lean); i++) {
		tower->holdup = 0;
		if (guess(tower, lean[i]) && sweep(tower) && newton(tower, NEWTON_STEPS))
			return true;
	}
	return guess(tower, lean[1]) && relax(tower);
}

/* ---- the whole ---- */

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
	if (tower->refluxed)
		partial = water_saturation_pressure(input->drum_temperature) / input->drum_pressure;
	tower->drum_ratio = partial / (1 - partial);
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

static void round_the_column(const struct tower *tower, struct column *out)
{
	const struct leaving *top = &tower->leaving[tower->stages - 1], *lean = &tower->leaving[0];
	double water_out = top->vapour[WATER] - out->reflux;

	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		out->imbalance[gas] =
			tower->present[gas] ? imbalance(tower->feed[gas], lean->liquid[gas] + top->vapour[gas]) : 0;
	out->imbalance[WATER] = imbalance(tower->feed[WATER], lean->liquid[WATER] + water_out);
	out->imbalance[WATER + 1] = (tower->feed_heat + tower->duty + out->reflux * reflux_heat(tower) -
					    lean->liquid_heat - top->vapour_heat) /
		tower->duty;
}

static double condenser_of(const struct tower *tower, const struct leaving *top, double reflux)
{
	double drum = tower->input->drum_temperature, out;

	if (!tower->refluxed)
		return 0;
	out = reflux * enthalpy_water(drum) + (top->vapour[WATER] - reflux) * enthalpy_steam(drum);
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		out += top->vapour[gas] * enthalpy_gas(gas, drum);
	return top->vapour_heat - out;
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
	out->reflux = reflux_of(tower, top);
	out->reflux_ratio = out->reflux / stripped;
	out->condenser_duty = condenser_of(tower, top, out->reflux);
	out->reboiler_share = (column_into_reboiler(out) - column_lean_loading(out)) / stripped;
	round_the_column(tower, out);
}

static void fail(struct column *out, enum column_fault fault, int iterations)
{
	*out = (struct column){.fault = fault, .stages = out->stages, .iterations = iterations};
	out->reflux = out->reflux_ratio = out->condenser_duty = out->reboiler_share = (double)NAN;
	for (size_t j = 0; j < COLUMN_STAGES_AT_MOST; j++)
		out->stage[j] = (struct column_stage){(double)NAN, (double)NAN, {(double)NAN, (double)NAN}, (double)NAN,
			{(double)NAN, (double)NAN}, (double)NAN};
	for (size_t i = 0; i < GAS_COUNT + 2; i++)
		out->imbalance[i] = (double)NAN;
}

static bool in_domain(const struct column_input *input)
{
	return input->stages >= 1 && input->stages <= COLUMN_STAGES_AT_MOST && input->duty > 0 &&
		isfinite(input->duty) && input->top_pressure > 0 && input->bottom_pressure >= input->top_pressure &&
		input->bottom_pressure <= DOMAIN_HIGHEST_PRESSURE;
}

bool column_solve(const struct terms *terms, const struct column_input *input, struct column *out)
{
	struct tower tower;

	*out = (struct column){.stages = input->stages};
	if (!in_domain(input) || !open_tower(&tower, terms, input)) {
		fail(out, COLUMN_INPUT, 0);
		return false;
	}
	if (!from_guess(&tower)) {
		fail(out, COLUMN_NOT_CONVERGED, tower.iterations);
		return false;
	}
	out->iterations = tower.iterations;
	report(&tower, out);
	return true;
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
