#include "chemistry/enthalpy.h"

#include <math.h>

#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/water.h"

double enthalpy_of_absorption(const double mass_fraction[AMINE_COUNT], enum gas gas)
{
	static const double heat[AMINE_COUNT][GAS_COUNT] = {
		[AMINE_MEA] = {MEA_HEAT_H2S, MEA_HEAT_CO2},
		[AMINE_DEA] = {DEA_HEAT_H2S, DEA_HEAT_CO2},
		[AMINE_MDEA] = {MDEA_HEAT_H2S, MDEA_HEAT_CO2},
		[AMINE_DGA] = {DGA_HEAT_H2S, DGA_HEAT_CO2},
		[AMINE_DIPA] = {DIPA_HEAT_H2S, DIPA_HEAT_CO2},
	};
	const double j_kj = 1000;
	double moles = 0, sum = 0;

	for (size_t i = 0; i < AMINE_COUNT; i++) {
		moles += mass_fraction[i] / amine_rows[i].molar_mass;
		sum += mass_fraction[i] / amine_rows[i].molar_mass * heat[i][gas];
	}
	return j_kj * sum / moles;
}

/* Of one kilogram without gases from the zero to `temperature`: three Gauss points are exact for the polynomials. */
static double sensible(const double *mass_fraction, double temperature)
{
	const double half = (temperature - ENTHALPY_ZERO) / 2, middle = (temperature + ENTHALPY_ZERO) / 2;
	const double reach = half * sqrt(3.0 / 5);

	return half *
		(8 * property_heat_capacity(mass_fraction, middle).value +
			5 * property_heat_capacity(mass_fraction, middle - reach).value +
			5 * property_heat_capacity(mass_fraction, middle + reach).value) /
		9;
}

double enthalpy_water(double temperature)
{
	static const double none[AMINE_COUNT] = {0};

	return MOLAR_MASS_WATER * sensible(none, temperature);
}

double enthalpy_steam(double temperature)
{
	return enthalpy_water(temperature) + MOLAR_MASS_WATER * water_latent_heat(temperature);
}

static void gas_heat_capacity(enum gas gas, double *c0, double *c1)
{
	*c0 = gas == GAS_H2S ? H2S_GAS_HEAT_CAPACITY_0 : CO2_GAS_HEAT_CAPACITY_0;
	*c1 = gas == GAS_H2S ? H2S_GAS_HEAT_CAPACITY_1 : CO2_GAS_HEAT_CAPACITY_1;
}

double enthalpy_gas(enum gas gas, double temperature)
{
	double t = temperature - ENTHALPY_ZERO, c0, c1;

	gas_heat_capacity(gas, &c0, &c1);
	return t * (c0 + t * c1 / 2);
}

double enthalpy_liquid(const struct solution_input *liquid)
{
	double sum =
		property_mass_per_amine(liquid->mass_fraction) * sensible(liquid->mass_fraction, liquid->temperature);

	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		sum += liquid->loading[gas] *
			(enthalpy_gas(gas, liquid->temperature) - enthalpy_of_absorption(liquid->mass_fraction, gas));
	return sum;
}

double enthalpy_heat_capacity(const struct solution_input *liquid)
{
	double sum = property_mass_per_amine(liquid->mass_fraction) *
		property_heat_capacity(liquid->mass_fraction, liquid->temperature).value;

	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++) {
		double c0, c1;

		gas_heat_capacity(gas, &c0, &c1);
		sum += liquid->loading[gas] * (c0 + c1 * (liquid->temperature - ENTHALPY_ZERO));
	}
	return sum;
}

double enthalpy_flash(const struct flash *flash)
{
	double temperature = flash->liquid.input.temperature, sum = enthalpy_liquid(&flash->liquid.input);

	if (!flash->vapour)
		return sum;
	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		sum += flash->gas[gas] * enthalpy_gas(gas, temperature);
	return sum + flash->water * enthalpy_steam(temperature);
}

double enthalpy_at(const struct terms *terms, const struct solution_input *feed, double pressure)
{
	struct flash flash;

	return phase_flash(terms, feed, 0, pressure, &flash) ? enthalpy_flash(&flash) : (double)NAN;
}

/* How far the flash at `temperature` is above the enthalpy, J; NaN where it boils dry or does not converge. */
static double excess(const struct terms *terms, const struct solution_input *feed, double temperature, double enthalpy,
	double pressure, struct flash *out)
{
	struct solution_input at = *feed;

	at.temperature = temperature;
	return phase_flash(terms, &at, 0, pressure, out) ? enthalpy_flash(out) - enthalpy : (double)NAN;
}

/* A bracket of the root, grown from the temperature of the feed; above the root a flash may boil dry (NaN). */
static bool bracket(const struct terms *terms, const struct solution_input *feed, double enthalpy, double pressure,
	double x[2], double f[2], struct flash *out)
{
	enum { DOUBLINGS = 8 };
	double at = feed->temperature, value = excess(terms, feed, at, enthalpy, pressure, out),
	       reach = ADIABATIC_REACH;
	int low = value < 0 ? 0 : 1;

	for (int i = 0; i < DOUBLINGS; i++) {
		x[low] = at;
		f[low] = value;
		at = fmin(
			fmax(at + (low == 0 ? reach : -reach), DOMAIN_LOWEST_TEMPERATURE), DOMAIN_HIGHEST_TEMPERATURE);
		reach *= 2;
		value = excess(terms, feed, at, enthalpy, pressure, out);
		x[1 - low] = at;
		f[1 - low] = value;
		if (low == 0 ? !(value < 0) : value <= 0)
			return isfinite(f[0]);
	}
	return false;
}

/* Regula falsi with halving, and bisection while the upper end boils dry. */
bool enthalpy_let_down(const struct terms *terms, const struct solution_input *feed, double enthalpy, double pressure,
	struct flash *out)
{
	enum { STEPS = 80 };
	double x[2], f[2], close = ADIABATIC_TOLERANCE * enthalpy_heat_capacity(feed);
	int last = -1;

	if (!bracket(terms, feed, enthalpy, pressure, x, f, out)) {
		out->fault = out->fault == SOLUTION_FINE ? SOLUTION_TEMPERATURE_RANGE : out->fault;
		return false;
	}
	for (int i = 0; i < STEPS; i++) {
		bool straight = isfinite(f[1]) && f[1] - f[0] > 0;
		double middle = straight ? x[0] - f[0] * (x[1] - x[0]) / (f[1] - f[0]) : (x[0] + x[1]) / 2;
		double value = excess(terms, feed, middle, enthalpy, pressure, out);
		int side = value < 0 ? 0 : 1;

		if (fabs(value) < close || (isfinite(value) && x[1] - x[0] < ADIABATIC_TOLERANCE))
			return true;
		x[side] = middle;
		f[side] = value;
		if (side == last && straight)
			f[1 - side] /= 2;
		last = side;
	}
	out->fault = SOLUTION_NOT_CONVERGED;
	return false;
}
