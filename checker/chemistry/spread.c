#include "chemistry/spread.h"

#include <math.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/reaction.h"

const struct spread spread_own[GAS_COUNT] = {
#define SPREAD(gas, error, growth, absolute, factor) [GAS_##gas] = {error, growth, absolute, factor},
#define MEASURED(amine, gas, added, error_times, absolute_times, strength, celsius, least, most)
#include "chemistry/measured.def"
#undef SPREAD
#undef MEASURED
};

const struct evidence evidence_own[] = {
#define SPREAD(gas, error, growth, absolute, factor)
#define MEASURED(amine, gas, added, error_times, absolute_times, strength, celsius, least, most)                       \
	{AMINE_##amine, GAS_##gas, added, error_times, absolute_times, {strength, strength}, {celsius, celsius},       \
		{least, most}, false},
#include "chemistry/measured.def"
#undef SPREAD
#undef MEASURED
#define CORRELATED(gas)                                                                                                \
	{AMINE_MDEA, GAS_##gas, POSEY_ERROR, 1, 1, {POSEY_LEAST_STRENGTH, POSEY_MOST_STRENGTH},                        \
		{POSEY_COLDEST, POSEY_HOTTEST}, {POSEY_LEAST_LOADING, POSEY_MOST_LOADING}, true},
	CORRELATED(H2S) CORRELATED(CO2)
#undef CORRELATED
};
const size_t evidence_count = COUNT(evidence_own);

/* How far a value lies outside a range; zero inside. */
static double outside(double value, double least, double most)
{
	return fmax(0, fmax(least - value, value - most));
}

static double ln_molality(enum amine amine, double strength)
{
	return log(strength / (1 - strength) / amine_rows[amine].molar_mass);
}

static double square(double x)
{
	return x * x;
}

double spread_distance(const struct evidence *row, const struct spread_place *place)
{
	static const double kelvin[GAS_COUNT] = {SPREAD_KELVIN_H2S, SPREAD_KELVIN_CO2};
	static const double loading[GAS_COUNT] = {SPREAD_LOADING_H2S, SPREAD_LOADING_CO2};
	enum gas gas = place->gas;
	double temperature, strength, own, other;

	if (row->amine != place->amine || row->gas != gas)
		return HUGE_VAL;
	temperature = outside(place->temperature - ZERO_CELSIUS, row->celsius[0], row->celsius[1]) / kelvin[gas];
	strength = outside(log(place->molality), ln_molality(row->amine, row->strength[0]),
			   ln_molality(row->amine, row->strength[1])) /
		SPREAD_LN_STRENGTH;
	own = outside(place->loading, row->loading[0], row->loading[1]) / loading[gas];
	other = row->mixtures ? 0 : place->other / SPREAD_OTHER;
	return sqrt(square(temperature) + square(strength) + square(own) + square(other) +
		square(place->salts / SPREAD_OTHER));
}

double spread_nearest(const struct spread_place *place)
{
	double least = HUGE_VAL;

	for (size_t k = 0; k < evidence_count; k++)
		least = fmin(least, spread_distance(&evidence_own[k], place));
	return least;
}

double spread_ln_factor_at(const struct spread *spread, double added, double distance, const struct spread_place *place)
{
	static const double least[GAS_COUNT] = {SPREAD_LEAST_LOADING_H2S, SPREAD_LEAST_LOADING_CO2};
	double slope = isnan(place->slope) ? 0 : place->slope;
	double henry = place->gas == GAS_CO2 ? log1p(fabs(reaction_henry_co2_difference(place->temperature))) : 0;
	double variance = square(spread->error) + square(added) + square(spread->growth * distance) +
		square(SPREAD_OF_SLOPE * slope) +
		square(spread->absolute * slope / fmax(place->loading, least[place->gas]));

	return spread->factor * hypot(SPREAD_DEVIATIONS * sqrt(variance), henry);
}

double spread_ln_factor(double least_error, const struct spread_place *place)
{
	double least = HUGE_VAL;

	for (size_t k = 0; k < evidence_count; k++) {
		const struct evidence *row = &evidence_own[k];
		struct spread spread = spread_own[place->gas];

		if (row->amine != place->amine || row->gas != place->gas)
			continue;
		spread.error = fmax(spread.error * row->error_times, least_error / spread.factor);
		spread.absolute *= row->absolute_times;
		least = fmin(least, spread_ln_factor_at(&spread, row->added, spread_distance(row, place), place));
	}
	return least;
}
