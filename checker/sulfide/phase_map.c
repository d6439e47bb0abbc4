#include "sulfide/phase_map.h"

#include <math.h>

#include "chemistry/constants.h"
#include "chemistry/reaction.h"
#include "sulfide/sulfide.h"

/* The frame: what occurs in amine units, with room. */
#define CONSTANT(name, value, unit, lowest, highest, source, known) static const double name = value;
CONSTANT(MAP_COLDEST, 303.15, "K", 0, 0, "own-choice", INFERRED)
CONSTANT(MAP_HOTTEST, 413.15, "K", 0, 0, "own-choice", INFERRED)
CONSTANT(MAP_LEAST, 0.1, "Pa", 0, 0, "own-choice", INFERRED)
CONSTANT(MAP_MOST, 1e6, "Pa", 0, 0, "own-choice", INFERRED)
#undef CONSTANT

enum { HALVINGS = 40 };

static double molality(double temperature, double pressure)
{
	return pressure / exp(reaction_ln_henry(GAS_H2S, temperature));
}

static double dense_beyond_half(double temperature, double pressure, double age)
{
	struct fractions f = sulfide_fractions(temperature, molality(temperature, pressure), age, 1);
	return fractions_dense(f) - DENSE_SHARE;
}

static double pyrite_beyond_pyrrhotite(double temperature, double pressure, double age)
{
	struct fractions f = sulfide_fractions(temperature, molality(temperature, pressure), age, 1);
	return f.pyrite - f.pyrrhotite;
}

/* Where a rising function of the pressure crosses zero within the frame: its lower edge where it is above there already. */
static double crossing(double (*of)(double, double, double), double temperature, double age)
{
	double low = log(MAP_LEAST), high = log(MAP_MOST);
	if (of(temperature, MAP_MOST, age) < 0)
		return (double)NAN;
	for (int i = 0; i < HALVINGS; i++) {
		double middle = (low + high) / 2;
		*(of(temperature, exp(middle), age) < 0 ? &low : &high) = middle;
	}
	return exp(high);
}

struct phase_map phase_map_at(double age)
{
	struct phase_map map = {
		.age = age, .coldest = MAP_COLDEST, .hottest = MAP_HOTTEST, .least = MAP_LEAST, .most = MAP_MOST};
	for (int i = 0; i < PHASE_MAP_NODES; i++) {
		double t = MAP_COLDEST + (MAP_HOTTEST - MAP_COLDEST) * i / (PHASE_MAP_NODES - 1);
		map.borders[i] = (struct phase_border){.temperature = t,
			.dense = crossing(dense_beyond_half, t, age),
			.pyrite = crossing(pyrite_beyond_pyrrhotite, t, age),
			.calibrated = CALIBRATED_LEAST_H2S * exp(reaction_ln_henry(GAS_H2S, t))};
		/* Where nothing is dense there is no pyrite to speak of either. */
		struct phase_border *border = &map.borders[i];
		if (isnan(border->dense))
			border->pyrite = (double)NAN;
		else if (!isnan(border->pyrite))
			border->pyrite = fmax(border->pyrite, border->dense);
	}
	return map;
}
