#include "chemistry/gas.h"

#include <math.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/water.h"

#define HEAT(code, a0, a1, a2, a3, a4, lowest, highest)
#define PAIR(one, other, k)
const struct component_row component_rows[COMPONENT_COUNT] = {
#define COMPONENT(code, name, molar_mass, critical_temperature, critical_pressure, acentric)                           \
	{name, molar_mass, critical_temperature, critical_pressure, acentric},
#include "chemistry/gas.def"
#undef COMPONENT
};
#undef HEAT

enum { HEAT_TERMS = 5 };

#define COMPONENT(code, name, molar_mass, critical_temperature, critical_pressure, acentric)
static const double heat_terms[COMPONENT_COUNT][HEAT_TERMS] = {
#define HEAT(code, a0, a1, a2, a3, a4, lowest, highest)                                                                \
	[COMPONENT_##code] = {a0, (a1)*1e-3, (a2)*1e-5, (a3)*1e-8, (a4)*1e-11},
#include "chemistry/gas.def"
#undef HEAT
};
#undef PAIR

#define HEAT(code, a0, a1, a2, a3, a4, lowest, highest)
static const double pairs[COMPONENT_COUNT][COMPONENT_COUNT] = {
#define PAIR(one, other, k) [COMPONENT_##one][COMPONENT_##other] = (k),
#include "chemistry/gas.def"
#undef PAIR
};

/* ---- a mixture as the equation of state takes it ---- */

struct mixture {
	double a, b, c; /* J m3/mol2, m3/mol, m3/mol: attraction, volume, correction */
	double slope;	/* da/dT, J m3/mol2/K */
};

static double attraction(const struct component_row *row, double temperature, double *slope)
{
	double rt = GAS_CONSTANT * row->critical_temperature;
	double critical = SOAVE_A * rt * rt / row->critical_pressure;
	double m = SOAVE_M0 + row->acentric * (SOAVE_M1 + row->acentric * SOAVE_M2);
	double root = 1 + m * (1 - sqrt(temperature / row->critical_temperature));

	*slope = -critical * root * m / sqrt(temperature * row->critical_temperature);
	return critical * root * root;
}

static double correction(const struct component_row *row)
{
	double rackett = YAMADA_GUNN_0 + YAMADA_GUNN_1 * row->acentric;

	return PENELOUX_FACTOR * (PENELOUX_COMPRESSIBILITY - rackett) * GAS_CONSTANT * row->critical_temperature /
		row->critical_pressure;
}

static double interaction(size_t i, size_t j)
{
	return 1 - (pairs[i][j] + pairs[j][i]);
}

static struct mixture mix(const double share[COMPONENT_COUNT], double temperature)
{
	double a[COMPONENT_COUNT] = {0}, slope[COMPONENT_COUNT] = {0};
	struct mixture mixture = {0};

	for (size_t i = 0; i < COMPONENT_COUNT; i++) {
		const struct component_row *row = &component_rows[i];

		if (!(share[i] > 0))
			continue;
		a[i] = attraction(row, temperature, &slope[i]);
		mixture.b += share[i] * SOAVE_B * GAS_CONSTANT * row->critical_temperature / row->critical_pressure;
		mixture.c += share[i] * correction(row);
	}
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		for (size_t j = 0; j < COMPONENT_COUNT; j++) {
			if (!(a[i] > 0 && a[j] > 0))
				continue;
			double both = share[i] * share[j] * interaction(i, j), root = sqrt(a[i] * a[j]);
			mixture.a += both * root;
			mixture.slope += both * (slope[i] * a[j] + slope[j] * a[i]) / (2 * root);
		}
	return mixture;
}

/* ---- the cubic ---- */

static double cubic(double z, double a, double b)
{
	return ((z - 1) * z + a - b - b * b) * z - a * b;
}

/* The largest root of the cubic, by Newton's method from above all roots, where it is convex and does not overshoot. */
static double vapour_root(double a, double b)
{
	enum { STEPS = 100 };
	double z = 1 + b + a;

	for (int i = 0; i < STEPS; i++) {
		double step = cubic(z, a, b) / ((3 * z - 2) * z + a - b - b * b);

		z -= step;
		if (fabs(step) <= 1e-14 * z)
			break;
	}
	return z;
}

/* Gibbs energy over that of the ideal gas at the same pressure, over R T. */
static double departure(double z, double a, double b)
{
	return z - 1 - log(z - b) - a / b * log1p(b / z);
}

/* Is there a liquid root, and of less Gibbs energy? */
static bool liquid_is_stable(double z, double a, double b)
{
	double half = (1 - z) / 2, product = a - b - b * b - z * (1 - z); /* of the two other roots; sum 1 - z */
	double square = half * half - product;

	if (square < 0)
		return false;
	double least = half - sqrt(square);
	return least > b && departure(least, a, b) < departure(z, a, b);
}

static bool in_range(double temperature, double pressure)
{
	return temperature >= GAS_LOWEST_TEMPERATURE && temperature <= GAS_HIGHEST_TEMPERATURE && pressure > 0 &&
		pressure <= GAS_HIGHEST_PRESSURE;
}

/* Compressibility before the correction of the volume. Where there is much water its own saturation decides. */
static enum gas_trouble solve(
	const struct mixture *mixture, double temperature, double pressure, bool mostly_dry, double *z)
{
	double rt = GAS_CONSTANT * temperature;
	double a = mixture->a * pressure / (rt * rt), b = mixture->b * pressure / rt;

	*z = vapour_root(a, b);
	if (!(*z > b) || (mostly_dry && liquid_is_stable(*z, a, b)))
		return GAS_CONDENSES;
	return GAS_FINE;
}

static bool mostly_dry(const double share[COMPONENT_COUNT])
{
	return share[COMPONENT_WATER] <= GAS_MOSTLY_DRY;
}

/* What the equation lacks for water vapour at its partial pressure, in its compressibility there. */
static double steam_error(double temperature, double pressure)
{
	static const double water[COMPONENT_COUNT] = {[COMPONENT_WATER] = 1};
	double at = fmin(pressure, water_saturation_pressure(temperature)), rt = GAS_CONSTANT * temperature, z;
	struct mixture mixture = mix(water, temperature);

	solve(&mixture, temperature, at, false, &z);
	double own = at * MOLAR_MASS_WATER / (water_steam_density(temperature, at) * rt);
	return (own - z + mixture.c * at / rt) * pressure / at;
}

static enum gas_trouble steam(double temperature, double pressure, struct gas_state *out)
{
	double density = water_steam_density(temperature, pressure);

	if (!isfinite(density))
		return GAS_CONDENSES;
	*out = (struct gas_state){
		.compressibility = pressure * MOLAR_MASS_WATER / (density * GAS_CONSTANT * temperature),
		.density = density,
		.uncertainty = STEAM_UNCERTAINTY,
	};
	return GAS_FINE;
}

enum gas_trouble gas_state_of(
	const double share[COMPONENT_COUNT], double temperature, double pressure, struct gas_state *out)
{
	double z, rt = GAS_CONSTANT * temperature;

	if (!in_range(temperature, pressure))
		return GAS_OUT_OF_RANGE;
	if (share[COMPONENT_WATER] >= STEAM_SHARE)
		return steam(temperature, pressure, out);
	struct mixture mixture = mix(share, temperature);
	enum gas_trouble trouble = solve(&mixture, temperature, pressure, mostly_dry(share), &z);
	if (trouble != GAS_FINE)
		return trouble;
	double volume = z * rt / pressure; /* as the equation of state has it; the critical one is Zc / B of b */
	double reduced = SOAVE_CRITICAL_COMPRESSIBILITY / SOAVE_B * mixture.b / volume;
	if (reduced > 1)
		return GAS_CONDENSES;
	out->compressibility = z - mixture.c * pressure / rt;
	if (share[COMPONENT_WATER] > 0)
		out->compressibility +=
			share[COMPONENT_WATER] * steam_error(temperature, share[COMPONENT_WATER] * pressure);
	out->density = pressure * gas_molar_mass(share) / (out->compressibility * rt);
	out->uncertainty = GAS_UNCERTAINTY + GAS_UNCERTAINTY_DENSE * reduced * reduced;
	return GAS_FINE;
}

/* ---- mass and heat ---- */

double gas_molar_mass(const double share[COMPONENT_COUNT])
{
	double sum = 0;

	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		sum += share[i] * component_rows[i].molar_mass;
	return sum;
}

/* The polynomial itself (order 0), or its integral from zero (order 1), over R. */
static double heat_over_r(const double share[COMPONENT_COUNT], double temperature, int order)
{
	double sum = 0;

	for (size_t i = 0; i < COMPONENT_COUNT; i++) {
		double power = order > 0 ? temperature : 1;

		for (int k = 0; share[i] > 0 && k < HEAT_TERMS; k++) {
			sum += share[i] * heat_terms[i][k] * power / (order > 0 ? k + 1 : 1);
			power *= temperature;
		}
	}
	return sum;
}

double gas_ideal_heat_capacity(const double share[COMPONENT_COUNT], double temperature)
{
	return GAS_CONSTANT * heat_over_r(share, temperature, 0);
}

double gas_enthalpy(const double share[COMPONENT_COUNT], double temperature, double pressure)
{
	double z, rt = GAS_CONSTANT * temperature;
	double ideal = GAS_CONSTANT * (heat_over_r(share, temperature, 1) - heat_over_r(share, ENTHALPY_ZERO, 1));

	if (!in_range(temperature, pressure))
		return (double)NAN;
	struct mixture mixture = mix(share, temperature);
	if (solve(&mixture, temperature, pressure, mostly_dry(share), &z) != GAS_FINE)
		return (double)NAN;
	double volume = z * rt / pressure;
	return ideal + rt * (z - 1) - mixture.c * pressure +
		(temperature * mixture.slope - mixture.a) / mixture.b * log1p(mixture.b / volume);
}

/* ---- a gas known by its molar mass ---- */

bool gas_add_by_molar_mass(double share[COMPONENT_COUNT], double amount, double molar_mass)
{
	static const enum component ladder[] = {COMPONENT_HYDROGEN, COMPONENT_METHANE, COMPONENT_ETHANE,
		COMPONENT_PROPANE, COMPONENT_BUTANE, COMPONENT_PENTANE, COMPONENT_HEXANE, COMPONENT_HEPTANE,
		COMPONENT_OCTANE};

	for (size_t i = 1; i < COUNT(ladder); i++) {
		double light = component_rows[ladder[i - 1]].molar_mass, heavy = component_rows[ladder[i]].molar_mass;

		if (molar_mass < light || molar_mass > heavy)
			continue;
		share[ladder[i - 1]] += amount * (heavy - molar_mass) / (heavy - light);
		share[ladder[i]] += amount * (molar_mass - light) / (heavy - light);
		return true;
	}
	return false;
}
