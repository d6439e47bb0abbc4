#include "sulfide/phase_map.h"

#include <float.h>
#include <math.h>

#include "chemistry/constants.h"
#include "chemistry/reaction.h"
#include "sulfide/crossing.h"
#include "sulfide/sulfide.h"

/* The frame: what occurs in amine units, with room. */
#define CONSTANT(name, value, unit, lowest, highest, source, known) static const double name = value;
CONSTANT(MAP_COLDEST, 303.15, "K", 0, 0, "own-choice", INFERRED)
CONSTANT(MAP_HOTTEST, 413.15, "K", 0, 0, "own-choice", INFERRED)
CONSTANT(MAP_LEAST, 0.1, "Pa", 0, 0, "own-choice", INFERRED)
CONSTANT(MAP_MOST, 1e6, "Pa", 0, 0, "own-choice", INFERRED)
#undef CONSTANT

static double molality(double temperature, double pressure)
{
	return pressure / exp(reaction_ln_henry(GAS_H2S, temperature));
}

struct at {
	double temperature, age;
};

/* Logarithms of ratios over that of the pressure: nearly straight. */
static double dense_beyond_half(double ln_pressure, const void *data)
{
	const struct at *at = data;
	double h2s = molality(at->temperature, exp(ln_pressure));
	return log(sulfide_dense_share(at->temperature, h2s, at->age) / DENSE_SHARE);
}

static double pyrite_beyond_pyrrhotite(double ln_pressure, const void *data)
{
	const struct at *at = data;
	struct fractions f =
		sulfide_fractions(at->temperature, molality(at->temperature, exp(ln_pressure)), at->age, 1);
	return log(fmax(f.pyrite, DBL_EPSILON) / f.pyrrhotite); /* below it pyrite is what rounding leaves of 1 */
}

/* The pressure of the crossing within the frame: its lower edge where it is above there already. */
static double border(double (*of)(double, const void *), double temperature, double age)
{
	const struct at at = {temperature, age};
	double low = log(MAP_LEAST), high = log(MAP_MOST), at_high = of(high, &at);
	return at_high < 0 ? (double)NAN : exp(crossing(of, &at, low, of(low, &at), high, at_high));
}

struct phase_map phase_map_at(double age)
{
	struct phase_map map = {
		.age = age, .coldest = MAP_COLDEST, .hottest = MAP_HOTTEST, .least = MAP_LEAST, .most = MAP_MOST};
	for (int i = 0; i < PHASE_MAP_NODES; i++) {
		double t = MAP_COLDEST + (MAP_HOTTEST - MAP_COLDEST) * i / (PHASE_MAP_NODES - 1);
		map.borders[i] = (struct phase_border){.temperature = t,
			.dense = border(dense_beyond_half, t, age),
			.pyrite = border(pyrite_beyond_pyrrhotite, t, age),
			.calibrated = CALIBRATED_LEAST_H2S * exp(reaction_ln_henry(GAS_H2S, t))};
		/* Where nothing is dense there is no pyrite to speak of either. */
		struct phase_border *here = &map.borders[i];
		if (isnan(here->dense))
			here->pyrite = (double)NAN;
		else if (!isnan(here->pyrite))
			here->pyrite = fmax(here->pyrite, here->dense);
	}
	return map;
}
