#include "compute/two_phase.h"

#include <math.h>
#include <string.h>

#include "base/memo.h"
#include "chemistry/constants.h"
#include "chemistry/properties.h"
#include "chemistry/range.h"

static double vapour_mass(const struct flash *flash)
{
	return flash->gas[GAS_H2S] * MOLAR_MASS_H2S + flash->gas[GAS_CO2] * MOLAR_MASS_CO2 +
		flash->water * MOLAR_MASS_WATER;
}

/* Relative, of the amount of gas that leaves: the chemistry's own, larger of the two gases. */
static double gas_uncertainty(const struct solution *liquid)
{
	double larger = 0;

	for (size_t gas = 0; gas < GAS_COUNT; gas++)
		if (liquid->loading[gas] > 0)
			larger = fmax(larger, range_factor(liquid, (enum gas)gas) - 1);
	return larger;
}

struct two_phase two_phase_of(const struct flash *flash, double pressure)
{
	const struct solution_input *liquid = &flash->liquid.input;
	double moles = flash->gas[GAS_H2S] + flash->gas[GAS_CO2] + flash->water;
	double gas = vapour_mass(flash), mass = property_loaded_mass(liquid->mass_fraction, liquid->loading);
	struct property density = property_density(liquid->mass_fraction, liquid->temperature, liquid->loading);
	double volume = moles * GAS_CONSTANT * liquid->temperature / pressure, liquid_volume = mass / density.value;
	double feed = flash->gas[GAS_H2S] + flash->gas[GAS_CO2] + liquid->loading[GAS_H2S] + liquid->loading[GAS_CO2];

	return (struct two_phase){
		.vapour = flash->vapour,
		.temperature = liquid->temperature,
		.mass_share = gas / (gas + mass),
		.volume_share = volume / (volume + liquid_volume),
		.density = (gas + mass) / (volume + liquid_volume),
		.liquid_density = density.value,
		.vapour_density = flash->vapour ? gas / volume : (double)NAN,
		.gas_share = feed > 0 ? (flash->gas[GAS_H2S] + flash->gas[GAS_CO2]) / feed : 0,
		.uncertainty = density.uncertainty +
			(flash->vapour ? volume / (volume + liquid_volume) * gas_uncertainty(&flash->liquid) : 0),
	};
}

static void no_answer(enum solution_fault fault, struct two_phase *out)
{
	*out = (struct two_phase){.fault = fault == SOLUTION_FINE ? SOLUTION_NOT_CONVERGED : fault,
		.temperature = (double)NAN,
		.mass_share = (double)NAN,
		.volume_share = (double)NAN,
		.density = (double)NAN,
		.liquid_density = (double)NAN,
		.vapour_density = (double)NAN,
		.gas_share = (double)NAN,
		.uncertainty = (double)NAN};
}

static void at(const struct terms *terms, const struct solution_input *feed, double pressure, struct two_phase *out)
{
	struct flash flash;

	if (!phase_flash(terms, feed, 0, pressure, &flash)) {
		no_answer(flash.fault, out);
		return;
	}
	*out = two_phase_of(&flash, pressure);
	if (!isfinite(out->density))
		no_answer(SOLUTION_TEMPERATURE_RANGE, out);
}

static void let_down(
	const struct terms *terms, const struct solution_input *feed, double from, double to, struct two_phase *out)
{
	struct flash flash;

	if (!phase_flash(terms, feed, 0, from, &flash)) {
		no_answer(flash.fault, out);
		return;
	}
	double enthalpy = enthalpy_at(terms, feed, from);
	if (!isfinite(enthalpy) || !enthalpy_let_down(terms, feed, enthalpy, to, &flash)) {
		no_answer(flash.fault, out);
		return;
	}
	*out = two_phase_of(&flash, to);
	if (!isfinite(out->density))
		no_answer(SOLUTION_TEMPERATURE_RANGE, out);
}

/* NaN for `from`: not through a valve. */
static bool either(
	const struct terms *terms, const struct solution_input *feed, double from, double to, struct two_phase *out)
{
	enum { FEED = sizeof(struct solution_input) / sizeof(double) };
	static struct memo solved = {.numbers = FEED + 2, .value = sizeof(struct two_phase), .places = 1024};
	double key[FEED + 2];

	memcpy(key, feed, sizeof *feed);
	key[FEED] = from;
	key[FEED + 1] = to;
	const struct two_phase *known = terms == &terms_own ? memo_find(&solved, key) : NULL;
	if (known)
		*out = *known;
	else if (isnan(from))
		at(terms, feed, to, out);
	else
		let_down(terms, feed, from, to, out);
	if (!known && terms == &terms_own)
		memo_keep(&solved, key, out);
	return out->fault == SOLUTION_FINE;
}

bool two_phase_at(const struct terms *terms, const struct solution_input *feed, double pressure, struct two_phase *out)
{
	return either(terms, feed, (double)NAN, pressure, out);
}

bool two_phase_let_down(
	const struct terms *terms, const struct solution_input *feed, double from, double to, struct two_phase *out)
{
	return either(terms, feed, from, to, out);
}

double two_phase_erosional(double c, double density)
{
	const double foot = 0.3048, pound_per_cubic_foot = 16.018463373960142;

	return c * foot / sqrt(density / pound_per_cubic_foot);
}
