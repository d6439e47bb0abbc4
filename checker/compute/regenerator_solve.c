#include "compute/regenerator_solve.h"

#include <math.h>

#include "chemistry/constants.h"
#include "chemistry/properties.h"

double regenerator_amine(
	const struct regenerator_inputs *inputs, const struct solution_input *feed, const struct column *column)
{
	return isfinite(inputs->lean_mass_flow)
		? inputs->lean_mass_flow / property_loaded_mass(feed->mass_fraction, column->stage[0].loading)
		: inputs->amine;
}

/* At the duty of the inputs. */
static bool by_duty(const struct regenerator_inputs *inputs, struct column_input input, struct column *column)
{
	enum { ROUNDS = 12 };
	double amine = inputs->amine;
	bool solved = column_solve(&terms_own, &input, column);

	for (int i = 0; solved && isfinite(inputs->lean_mass_flow) && i < ROUNDS; i++) {
		double before = amine;

		amine = regenerator_amine(inputs, &input.feed, column);
		input.duty *= before / amine;
		input.heat_loss *= before / amine;
		solved = column_solve(&terms_own, &input, column);
		if (fabs(amine - before) < REGENERATOR_AMINE_CLOSE * amine)
			break;
	}
	return solved;
}

/* ---- by the reflux ---- */

/* ln of the reflux at a duty over the one asked for; NaN: no column, or nothing returns. */
static double reflux_apart(
	const struct regenerator_inputs *inputs, struct column_input *input, double ln_duty, struct column *column)
{
	input->duty = exp(ln_duty);
	if (!column_solve(&terms_own, input, column))
		return (double)NAN;
	return isfinite(inputs->reflux_ratio)
		? log(column->reflux_ratio / inputs->reflux_ratio)
		: log(column->reflux * regenerator_amine(inputs, &input->feed, column) / inputs->reflux);
}

/* Two duties with the one that is looked for between them; too little heat to solve a column counts as too little reflux. */
static bool bracket(const struct regenerator_inputs *inputs, struct column_input *input, double x[2], double f[2],
	struct column *column)
{
	enum { STEPS = 12 };
	const double step = 0.4, short_of_it = -1;
	/* J/mol: gas freed, as much steam again, and the warming of the solution, roughly */
	const double gas = 60e3, steam = 41e3, warming = 15e3;
	double loading = input->feed.loading[GAS_H2S] + input->feed.loading[GAS_CO2];

	x[0] = x[1] = log(loading * (gas + steam) + warming);
	f[0] = f[1] = reflux_apart(inputs, input, x[0], column);
	for (int i = 0; i < STEPS && !(f[1] >= 0); i++) {
		x[0] = x[1];
		f[0] = isfinite(f[1]) ? f[1] : short_of_it;
		x[1] += step;
		f[1] = reflux_apart(inputs, input, x[1], column);
	}
	for (int i = 0; i < STEPS && f[0] > 0; i++) {
		x[1] = x[0];
		f[1] = f[0];
		x[0] -= step;
		f[0] = reflux_apart(inputs, input, x[0], column);
	}
	f[0] = isfinite(f[0]) ? f[0] : short_of_it;
	return f[0] <= 0 && f[1] >= 0;
}

/* Regula falsi with halving. */
static bool by_reflux(const struct regenerator_inputs *inputs, struct column_input input, struct column *column)
{
	enum { STEPS = 60 };
	const double close = 1e-8, short_of_it = -1;
	double x[2], f[2], value = (double)NAN;
	int last = -1;

	bool found = bracket(inputs, &input, x, f, column);
	for (int i = 0; found && i < STEPS && !(fabs(value) < close); i++) {
		double middle = f[1] > f[0] ? x[0] - f[0] * (x[1] - x[0]) / (f[1] - f[0]) : x[0];
		value = reflux_apart(inputs, &input, middle, column);
		int side = value > 0 ? 1 : 0;
		x[side] = middle;
		f[side] = isfinite(value) ? value : short_of_it;
		f[1 - side] /= side == last ? 2 : 1;
		last = side;
	}
	if (fabs(value) < close)
		return true;
	input.duty = (double)NAN; /* of what is not solved every number is NaN */
	column_solve(&terms_own, &input, column);
	column->fault = COLUMN_NO_DUTY;
	return false;
}

bool regenerator_solve(
	const struct regenerator_inputs *inputs, const struct solution_input *feed, struct column *column)
{
	struct column_input input = inputs->column;

	input.feed = *feed;
	return isfinite(inputs->reflux_ratio) || isfinite(inputs->reflux) ? by_reflux(inputs, input, column)
									  : by_duty(inputs, input, column);
}
