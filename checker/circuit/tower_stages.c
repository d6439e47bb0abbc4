#include "circuit/tower_stages.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <string.h>

#include "chemistry/constants.h"
#include "chemistry/water.h"

enum { TEMPERATURE = GAS_COUNT, EACH, UNKNOWNS = EACH * TOWER_STAGES };

static const double TRACE = 1e-9;	   /* mol/mol: a loading that is none, for its logarithm */
static const double KELVINS = 20;	   /* of a unit of the unknown of temperature */
static const double JOULES = 20e3;	   /* J per mol of amine that weigh as much as a mole of gas */
static const double LEAST_ROOM = 0.02;	   /* of the pressure, left to the gas that is not absorbed */
static const double CLOSE = 1e-8;	   /* of the largest residual */
static const double LEAST = 1e-4, ALL = 1; /* of E */

/* What leaves a stage, from its liquid alone. */
struct leaving {
	double loading[GAS_COUNT], equilibrium[GAS_COUNT], temperature, heat;
	double gas[GAS_COUNT],
		rest; /* heat of the gas over it: of each acid gas, J/mol; of all else, J per mol not absorbed */
};

struct tower {
	const struct tower_case *in;
	double ratio; /* G/L */
	double below[GAS_COUNT], below_heat;
	double x[UNKNOWNS];
	struct leaving at[TOWER_STAGES];
	double lean_heat, scale[GAS_COUNT];
	bool present[GAS_COUNT];
};

static double moisture(double temperature, double pressure)
{
	double share = fmin(water_saturation_pressure(temperature) / pressure, 1 - LEAST_ROOM);
	return share / (1 - share);
}

/* Heat of the gas that is not absorbed and of its water, J per mol of the former. */
static double rest_heat(const struct tower_gas *gas, double temperature, double water)
{
	return gas->heat_capacity * temperature + water * MOLAR_MASS_WATER * water_latent_heat(temperature);
}

static bool stage_at(const struct tower *tower, const double *x, struct leaving *out)
{
	struct solution_input liquid = tower->in->lean;
	struct solution state;
	double pressure = tower->in->gas.pressure, room = pressure;
	for (size_t g = 0; g < GAS_COUNT; g++)
		liquid.loading[g] = tower->present[g] ? exp(x[g]) : 0;
	liquid.temperature = KELVINS * x[TEMPERATURE];
	if (!solution_solve(&terms_own, &liquid, &state))
		return false;
	room -= state.partial_pressure[GAS_H2S] + state.partial_pressure[GAS_CO2] + state.water_pressure;
	room = fmax(room, LEAST_ROOM * pressure);
	*out = (struct leaving){.temperature = liquid.temperature,
		.heat = enthalpy_solution(&terms_own, &state),
		.rest = rest_heat(&tower->in->gas, liquid.temperature, moisture(liquid.temperature, pressure))};
	for (enum gas g = GAS_H2S; g < GAS_COUNT; g++) {
		out->gas[g] = enthalpy_gas(g, liquid.temperature);
		out->loading[g] = liquid.loading[g];
		out->equilibrium[g] = state.partial_pressure[g] / room;
	}
	return isfinite(out->heat);
}

/* Balances of all stages; `above`: what leaves the top with the gas. The sum of their squares. */
static double residuals(const struct tower *tower, double *r, double above[GAS_COUNT])
{
	double gas[GAS_COUNT], heat_below = tower->below_heat, sum = 0;
	memcpy(gas, tower->below, sizeof gas);
	for (int n = TOWER_STAGES - 1; n >= 0; n--) {
		const struct leaving *at = &tower->at[n];
		double taken = 0;
		for (size_t g = 0; g < GAS_COUNT; g++) {
			double from = gas[g], in = n ? tower->at[n - 1].loading[g] : tower->in->lean.loading[g];
			gas[g] -= tower->in->efficiency[g] * (from - at->equilibrium[g]);
			taken = in - at->loading[g] + tower->ratio * (from - gas[g]);
			r[EACH * n + (int)g] = tower->present[g] ? taken / tower->scale[g] : 0;
		}
		double heat = at->rest + gas[GAS_H2S] * at->gas[GAS_H2S] + gas[GAS_CO2] * at->gas[GAS_CO2];
		double in_heat = n ? tower->at[n - 1].heat : tower->lean_heat;
		r[EACH * n + TEMPERATURE] = (in_heat - at->heat + tower->ratio * (heat_below - heat)) / JOULES;
		heat_below = heat;
	}
	memcpy(above, gas, sizeof gas);
	for (size_t i = 0; i < UNKNOWNS; i++)
		sum += r[i] * r[i];
	return sum;
}

static bool all_stages(struct tower *tower, const double *x)
{
	for (size_t n = 0; n < TOWER_STAGES; n++)
		if (!stage_at(tower, x + (size_t)EACH * n, &tower->at[n]))
			return false;
	return true;
}

/*
 * Columns of the derivatives by differences: an unknown of a stage moves what leaves that stage, and the gas above it.
 */
static void derivatives(struct tower *tower, const double *r, double *jacobian)
{
	const double step = 1e-6;
	double moved[UNKNOWNS], above[GAS_COUNT];
	for (size_t j = 0; j < UNKNOWNS; j++) {
		size_t n = j / EACH;
		struct leaving kept = tower->at[n];
		double x = tower->x[j];
		tower->x[j] += step;
		bool fine = stage_at(tower, tower->x + EACH * n, &tower->at[n]);
		residuals(tower, moved, above);
		for (size_t i = 0; i < UNKNOWNS; i++)
			jacobian[i * UNKNOWNS + j] = fine ? (moved[i] - r[i]) / step : 0;
		if (!tower->present[j % EACH < GAS_COUNT ? j % EACH : 0] && j % EACH < GAS_COUNT)
			jacobian[j * UNKNOWNS + j] = 1; /* a gas that is not there stays so */
		tower->x[j] = x;
		tower->at[n] = kept;
	}
}

static bool newton_step(const double *jacobian, const double *r, double *step)
{
	double matrix[UNKNOWNS * UNKNOWNS];
	size_t order[UNKNOWNS];
	int sign;
	memcpy(matrix, jacobian, sizeof matrix);
	gsl_matrix_view m = gsl_matrix_view_array(matrix, UNKNOWNS, UNKNOWNS);
	gsl_vector_const_view b = gsl_vector_const_view_array(r, UNKNOWNS);
	gsl_vector_view s = gsl_vector_view_array(step, UNKNOWNS);
	gsl_permutation permutation = {.size = UNKNOWNS, .data = order};
	if (gsl_linalg_LU_decomp(&m.matrix, &permutation, &sign) != GSL_SUCCESS ||
		gsl_linalg_LU_solve(&m.matrix, &permutation, &b.vector, &s.vector) != GSL_SUCCESS)
		return false;
	bool fine = true;
	for (size_t i = 0; i < UNKNOWNS; i++)
		fine = fine && isfinite(step[i]);
	return fine;
}

/*
 * The step, shortened so that no unknown moves by more than one, until the balances are nearer. False: they are not.
 */
static bool take_step(struct tower *tower, const double *step, double *r, double *sum, double above[GAS_COUNT])
{
	enum { HALVINGS = 12 };
	double largest = 1, trial[UNKNOWNS];
	for (size_t i = 0; i < UNKNOWNS; i++)
		largest = fmax(largest, fabs(step[i]));
	for (int k = 0; k < HALVINGS; k++) {
		double share = ldexp(1 / largest, -k);
		for (size_t i = 0; i < UNKNOWNS; i++)
			trial[i] = tower->x[i] - share * step[i];
		if (!all_stages(tower, trial))
			continue;
		double now = residuals(tower, r, above);
		if (now < *sum) {
			*sum = now;
			memcpy(tower->x, trial, sizeof trial);
			return true;
		}
	}
	return false;
}

static bool newton(struct tower *tower, double above[GAS_COUNT])
{
	enum { STEPS = 60 };
	double r[UNKNOWNS], step[UNKNOWNS], jacobian[UNKNOWNS * UNKNOWNS];
	if (!all_stages(tower, tower->x))
		return false;
	double sum = residuals(tower, r, above);
	for (int i = 0; i < STEPS && sum > CLOSE * CLOSE; i++) {
		derivatives(tower, r, jacobian);
		if (!newton_step(jacobian, r, step) || !take_step(tower, step, r, &sum, above))
			break;
	}
	return sum <= CLOSE; /* a rounding error short of the aim is no failure */
}

/* The gas's loading in the rich solution if all were taken, but not more than the feed can give in equilibrium. */
static void first_guess(struct tower *tower)
{
	const struct tower_case *in = tower->in;
	double full = 1, total = 0, partial[GAS_COUNT];
	struct solution held;
	for (size_t g = 0; g < GAS_COUNT; g++) {
		partial[g] = in->gas.pressure * in->gas.acid[g] / (in->gas.inert + in->gas.acid[0] + in->gas.acid[1]);
		total += in->lean.loading[g] + in->gas.acid[g] / in->amine;
	}
	if (solution_absorb(&terms_own, &in->lean, partial, &held))
		full = 0.9 * (held.loading[GAS_H2S] + held.loading[GAS_CO2]);
	double share = fmin(1, full / total);
	for (int n = 0; n < TOWER_STAGES; n++) {
		double way = pow((n + 1.0) / TOWER_STAGES, 3);
		for (size_t g = 0; g < GAS_COUNT; g++)
			tower->x[EACH * n + (int)g] =
				log(fmax(in->lean.loading[g] + way * share * in->gas.acid[g] / in->amine, TRACE));
		tower->x[EACH * n + TEMPERATURE] = (in->lean.temperature + 10 * way) / KELVINS;
	}
}

static bool open_tower(struct tower *tower, const struct tower_case *in)
{
	const struct tower_gas *gas = &in->gas;
	*tower = (struct tower){.in = in, .ratio = gas->inert / in->amine};
	for (size_t g = 0; g < GAS_COUNT; g++) {
		tower->below[g] = gas->acid[g] / gas->inert;
		tower->present[g] = gas->acid[g] > 0 || in->lean.loading[g] > 0;
		tower->scale[g] = fmax(gas->acid[g] / in->amine, in->lean.loading[g]);
	}
	double water = gas->saturated ? moisture(gas->temperature, gas->pressure) : 0;
	tower->below_heat = rest_heat(gas, gas->temperature, water);
	for (enum gas g = GAS_H2S; g < GAS_COUNT; g++)
		tower->below_heat += tower->below[g] * enthalpy_gas(g, gas->temperature);
	tower->lean_heat = enthalpy_liquid(&in->lean);
	return tower->ratio > 0 && isfinite(tower->ratio) && isfinite(tower->below_heat) && isfinite(tower->lean_heat);
}

/* From a small share of the way to equilibrium upwards, each from the last. */
static bool by_degrees(struct tower *tower, double above[GAS_COUNT])
{
	enum { DEGREES = 8 };
	struct tower_case eased = *tower->in;
	const struct tower_case *asked = tower->in;
	bool solved = true;
	first_guess(tower);
	for (int k = 1; k <= DEGREES && solved; k++) {
		for (size_t g = 0; g < GAS_COUNT; g++)
			eased.efficiency[g] = asked->efficiency[g] * pow(0.5, DEGREES - k);
		tower->in = &eased;
		solved = newton(tower, above);
	}
	tower->in = asked;
	return solved;
}

static void answer(const struct tower *tower, const double above[GAS_COUNT], struct tower_answer *out)
{
	const struct leaving *bottom = &tower->at[TOWER_STAGES - 1];
	*out = (struct tower_answer){.solved = true,
		.temperature = bottom->temperature,
		.treated_temperature = tower->at[0].temperature,
		.hottest = 0};
	for (size_t g = 0; g < GAS_COUNT; g++) {
		out->rich[g] = bottom->loading[g];
		out->treated[g] = above[g] * tower->in->gas.inert;
	}
	for (size_t n = 0; n < TOWER_STAGES; n++)
		out->hottest = fmax(out->hottest, tower->at[n].temperature);
}

bool tower_stages(const struct tower_case *in, double profile[3 * TOWER_STAGES], struct tower_answer *out)
{
	const double none = (double)NAN;
	struct tower tower;
	double above[GAS_COUNT];
	*out = (struct tower_answer){.rich = {none, none},
		.temperature = none,
		.treated = {none, none},
		.treated_temperature = none,
		.hottest = none};
	if (!open_tower(&tower, in))
		return false;
	bool solved = false;
	if (!isnan(profile[0])) {
		memcpy(tower.x, profile, sizeof tower.x);
		solved = newton(&tower, above);
	}
	if (!solved) {
		first_guess(&tower);
		solved = newton(&tower, above) || by_degrees(&tower, above);
	}
	if (!solved)
		return false;
	all_stages(&tower, tower.x);
	memcpy(profile, tower.x, sizeof tower.x);
	answer(&tower, above, out);
	return true;
}

/* ---- the share of the way to equilibrium ---- */

/* ln of what is left over what is to be left, at an E. */
static double left_over(struct tower_case *in, size_t g, double ln_e, double left, double *profile)
{
	struct tower_answer found;
	in->efficiency[g] = exp(ln_e);
	return tower_stages(in, profile, &found) ? log(fmax(found.treated[g], TRACE * left) / left) : (double)NAN;
}

/* Regula falsi with halving; an end of the range where the answer lies beyond it. */
static bool seek(struct tower_case *in, size_t g, double left, double *profile, bool *reached)
{
	enum { STEPS = 40 };
	const double close = 1e-5;
	double x[2] = {log(LEAST), log(ALL)}, f[2], value = 1;
	int last = -1;
	for (int side = 0; side < 2; side++) {
		f[side] = left_over(in, g, x[side], left, profile);
		if (isnan(f[side]))
			return false;
	}
	*reached = f[0] >= 0 && f[1] <= 0;
	if (!*reached) {
		in->efficiency[g] = f[0] < 0 ? LEAST : ALL;
		return true;
	}
	for (int i = 0; i < STEPS && fabs(value) > close; i++) {
		double middle = x[0] - f[0] * (x[1] - x[0]) / (f[1] - f[0]);
		value = left_over(in, g, middle, left, profile);
		if (isnan(value))
			return false;
		int side = value > 0 ? 0 : 1;
		x[side] = middle;
		f[side] = value;
		f[1 - side] /= side == last ? 2 : 1;
		last = side;
	}
	return true;
}

bool tower_efficiency(struct tower_case *in, const double left[GAS_COUNT], bool reached[GAS_COUNT])
{
	enum { ROUNDS = 3 };
	double profile[UNKNOWNS] = {(double)NAN};
	for (int round = 0; round < ROUNDS; round++)
		for (size_t g = 0; g < GAS_COUNT; g++)
			if (left[g] > 0 && !seek(in, g, left[g], profile, &reached[g]))
				return false;
	return true;
}
