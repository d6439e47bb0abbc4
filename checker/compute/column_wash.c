#include "compute/column_tower.h"

#include <math.h>

#include "chemistry/constants.h"
#include "chemistry/water.h"

/* What does not change while the section is solved. */
struct section {
	const struct wash_feed *feed;
	double gas, pressure, drum_heat, drum_water; /* mol; Pa; J/mol; mol that leave the drum with the gas */
	double hottest;				     /* K: what boils at the pressure, or the feed stage */
	int stages;
};

/* Steam in equilibrium with water of this temperature, mol per mol of amine. */
static double steam_at(const struct section *section, double temperature)
{
	double water = water_saturation_pressure(temperature);

	return section->gas * water / (section->pressure - water);
}

static double heat_of_vapour(const struct section *section, double temperature, double steam)
{
	double sum = steam * enthalpy_steam(temperature);

	for (enum gas gas = GAS_H2S; gas < GAS_COUNT; gas++)
		sum += section->feed->gas[gas] * enthalpy_gas(gas, temperature);
	return sum;
}

/* Heat that rises through every level above a stage, less what the water brings down. */
static double net_heat(const struct section *section, double temperature, double steam, double water_heat)
{
	return heat_of_vapour(section, temperature, steam) - (steam - section->drum_water) * water_heat;
}

/* Where `f` falls through zero, by regula falsi with halving (Illinois); the end of the bracket where it does not. */
static double falling_root(double (*f)(const void *, double), const void *data, double low, double high)
{
	enum { STEPS = 60 };
	double at_low = f(data, low), at_high = f(data, high), middle = low;
	int last = 0;

	if (!(at_low > 0) || !(at_high < 0))
		return at_low > 0 ? high : low;
	for (int i = 0; i < STEPS && high - low > WASH_CLOSE; i++) {
		middle = low + at_low * (high - low) / (at_low - at_high);
		double value = f(data, middle);

		if (fabs(value) < WASH_HEAT_LEFT)
			return middle;
		if (value > 0) {
			low = middle;
			at_low = value;
			at_high /= last > 0 ? 2 : 1;
			last = 1;
		} else {
			high = middle;
			at_high = value;
			at_low /= last < 0 ? 2 : 1;
			last = -1;
		}
	}
	return middle;
}

/* The stage below one whose water and whose net heat are known. */
struct below {
	const struct section *section;
	double net, water_heat;
};

static double too_cold(const void *data, double temperature)
{
	const struct below *below = data;

	return below->net -
		net_heat(below->section, temperature, steam_at(below->section, temperature), below->water_heat);
}

/* Water that falls on the feed stage, K, when the vapour leaves the top at `top`. */
static double water_below(const struct section *section, double top, double *net)
{
	double temperature = top;

	*net = net_heat(section, top, steam_at(section, top), section->drum_heat);
	for (int j = 1; j < section->stages; j++) {
		struct below below = {section, *net, enthalpy_water(temperature)};

		temperature = falling_root(too_cold, &below, temperature, section->hottest);
	}
	return temperature;
}

/* Heat that the feed stage sends up over what leaves the top: it falls as the top is taken hotter. */
static double left_over(const void *data, double top)
{
	const struct section *section = data;
	double net, falls = water_below(section, top, &net);
	const struct wash_feed *feed = section->feed;

	return heat_of_vapour(section, feed->temperature, feed->steam) -
		(feed->steam - section->drum_water) * enthalpy_water(falls) - net;
}

bool wash_solve(const struct wash_feed *feed, int stages, double pressure, double drum_temperature, double drum_ratio,
	struct wash *out)
{
	double gas = feed->gas[GAS_H2S] + feed->gas[GAS_CO2], net;
	struct section section = {.feed = feed,
		.gas = gas,
		.pressure = pressure,
		.drum_heat = enthalpy_water(drum_temperature),
		.drum_water = drum_ratio * gas,
		.hottest = fmin(water_saturation_temperature(pressure) - WASH_BELOW_BOILING, feed->temperature),
		.stages = stages};

	*out = (struct wash){.temperature = feed->temperature, .steam = feed->steam, .returned = drum_temperature};
	if (stages < 1 || !(feed->steam > section.drum_water) || !(section.hottest > drum_temperature))
		return false;
	out->temperature = falling_root(left_over, &section, drum_temperature, section.hottest);
	out->steam = steam_at(&section, out->temperature);
	out->returned = water_below(&section, out->temperature, &net);
	return true;
}
