#include "lean_rich.h"

#include <math.h>
#include <string.h>

#include "chemistry/properties.h"

/* ---- pure functions ---- */

static double amine_flow(const struct exchange_side *side)
{
	return side->mass_flow / property_loaded_mass(side->solution.mass_fraction, side->solution.loading);
}

static double enthalpy_of(const struct exchange_side *side, double temperature)
{
	struct solution_input at = side->solution;

	at.temperature = temperature;
	return enthalpy_liquid(&at);
}

double exchange_flashing(const struct terms *terms, const struct exchange_side *side)
{
	struct solution_input at = side->solution;

	at.temperature = side->outlet;
	return isnan(side->outlet_pressure)
		? 0
		: amine_flow(side) * (enthalpy_at(terms, &at, side->outlet_pressure) - enthalpy_liquid(&at));
}

double exchange_duty(const struct terms *terms, const struct exchange_side *side)
{
	return amine_flow(side) * (enthalpy_of(side, side->inlet) - enthalpy_of(side, side->outlet)) -
		exchange_flashing(terms, side);
}

double exchange_capacity(const struct exchange_side *side)
{
	struct solution_input at = side->solution;

	at.temperature = (side->inlet + side->outlet) / 2;
	return amine_flow(side) * enthalpy_heat_capacity(&at);
}

double exchange_lmtd(double end, double other_end)
{
	const double alike = 1e-6;

	if (!(end > 0 && other_end > 0))
		return (double)NAN;
	return fabs(end - other_end) < alike * end ? (end + other_end) / 2 : (end - other_end) / log(end / other_end);
}

double exchange_correction(int shells, int passes, double hot_in, double hot_out, double cold_in, double cold_out)
{
	const double alike = 1e-6;
	double r = (hot_in - hot_out) / (cold_out - cold_in), p = (cold_out - cold_in) / (hot_in - cold_in);
	double s = sqrt(r * r + 1), one, f;

	if (passes < 2)
		return 1;
	/* The effectiveness of each of the shells in series that together do p. */
	if (fabs(r - 1) < alike) {
		one = p / (shells - (shells - 1) * p);
		f = s * one / (1 - one) / log((2 - one * (2 - s)) / (2 - one * (2 + s)));
	} else {
		double w = pow((1 - p * r) / (1 - p), 1.0 / shells);

		one = (1 - w) / (r - w);
		f = s / (r - 1) * log((1 - one) / (1 - one * r)) /
			log((2 - one * (1 + r - s)) / (2 - one * (1 + r + s)));
	}
	return f > 0 && f <= 1 + alike ? f : (double)NAN;
}

double exchange_fouled_outlet(
	double hot_capacity, double cold_capacity, double conductance, double hot_in, double cold_in, double share)
{
	const double alike = 1e-6;
	double least = fmin(hot_capacity, cold_capacity), ratio = least / fmax(hot_capacity, cold_capacity);
	double units = conductance * (1 - share) / least, e = exp(-units * (1 - ratio));
	double effectiveness = 1 - ratio < alike ? units / (1 + units) : (1 - e) / (1 - ratio * e);

	return cold_in + effectiveness * least * (hot_in - cold_in) / cold_capacity;
}
void lean_rich_compute(struct table *table)
{
	(void)table;
}
