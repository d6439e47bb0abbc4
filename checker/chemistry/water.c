#include "chemistry/water.h"

#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/count.h"
#include "chemistry/constants.h"

struct power {
	int i, j;
	double n, by_y; /* by_y: of the derivative by y, n j */
};

static const struct power region_1[] = {
#define REGION1(i, j, n) {i, j, n, (n) * (j)},
#define REGION2_IDEAL(j, n)
#define REGION2_RESIDUAL(i, j, n)
#define VISCOSITY_IDEAL(h)
#define VISCOSITY_RESIDUAL(i, j, h)
#include "chemistry/if97.def"
#undef REGION1
#undef REGION2_IDEAL
#undef REGION2_RESIDUAL
#undef VISCOSITY_IDEAL
#undef VISCOSITY_RESIDUAL
};

static const struct power region_2_ideal[] = {
#define REGION1(i, j, n)
#define REGION2_IDEAL(j, n) {0, j, n, (n) * (j)},
#define REGION2_RESIDUAL(i, j, n)
#define VISCOSITY_IDEAL(h)
#define VISCOSITY_RESIDUAL(i, j, h)
#include "chemistry/if97.def"
#undef REGION2_IDEAL
#undef REGION2_RESIDUAL
};

static const struct power region_2_residual[] = {
#define REGION2_IDEAL(j, n)
#define REGION2_RESIDUAL(i, j, n) {i, j, n, (n) * (j)},
#include "chemistry/if97.def"
#undef REGION1
#undef REGION2_IDEAL
#undef REGION2_RESIDUAL
#undef VISCOSITY_IDEAL
#undef VISCOSITY_RESIDUAL
};

static const double viscosity_ideal[] = {
#define REGION1(i, j, n)
#define REGION2_IDEAL(j, n)
#define REGION2_RESIDUAL(i, j, n)
#define VISCOSITY_IDEAL(h) h,
#define VISCOSITY_RESIDUAL(i, j, h)
#include "chemistry/if97.def"
#undef VISCOSITY_IDEAL
#undef VISCOSITY_RESIDUAL
};

static const struct power viscosity_residual[] = {
#define VISCOSITY_IDEAL(h)
#define VISCOSITY_RESIDUAL(i, j, h) {i, j, h, (h) * (j)},
#include "chemistry/if97.def"
#undef REGION1
#undef REGION2_IDEAL
#undef REGION2_RESIDUAL
#undef VISCOSITY_IDEAL
#undef VISCOSITY_RESIDUAL
};

/* Powers of one number, each from a smaller one and a square of the number, from the smallest square up. */
enum { SQUARES = 6, POWERS = 1 << SQUARES }; /* the largest exponent of the tables is 58 */
struct powers {
	double of[POWERS];
};

/* `below`: a power of two that no exponent asked for reaches. */
static void powers_fill(struct powers *powers, double base, size_t below)
{
	double square = base;

	powers->of[0] = 1;
	for (size_t first = 1; first < below; first *= 2) {
		for (size_t n = 0; n < first; n++)
			powers->of[first + n] = powers->of[n] * square;
		square *= square;
	}
}

static double raised(const struct powers *powers, int exponent)
{
	return exponent < 0 ? 1 / powers->of[-exponent] : powers->of[exponent];
}

static double power(double base, int exponent)
{
	double square = base, result = 1;

	for (int n = exponent; n > 0; n /= 2) {
		result *= n % 2 ? square : 1;
		square *= square;
	}
	return result;
}

/*
 * One sum of a dimensionless Gibbs energy, or a derivative of it: sum n (d/dx)^di x^i (d/dy)^dj y^j, the derivatives
 * of order 0, 1 or 2.
 */
static double gibbs(const struct power *rows, size_t count, double x, double y, int di, int dj)
{
	struct powers of_x, of_y;
	double sum = 0;

	powers_fill(&of_x, x, POWERS);
	powers_fill(&of_y, y, POWERS);
	for (size_t k = 0; k < count; k++) {
		int i = rows[k].i, j = rows[k].j;
		double factor = rows[k].n;

		for (int d = 0; d < di; d++)
			factor *= i - d;
		for (int d = 0; d < dj; d++)
			factor *= j - d;
		if (factor != 0)
			sum += factor * raised(&of_x, i - di) * raised(&of_y, j - dj);
	}
	return sum;
}

/* The first derivative by y, by which enthalpies are found: they are asked for by the thousand. `below`: the exponents of x. */
static double gibbs_by_y(const struct power *rows, size_t count, double x, double y, size_t below)
{
	struct powers of_x, of_y;
	double sum = 0;

	powers_fill(&of_x, x, below);
	powers_fill(&of_y, y, POWERS);
	for (size_t k = 0; k < count; k++)
		if (rows[k].j != 0)
			sum += rows[k].by_y * of_x.of[rows[k].i] * raised(&of_y, rows[k].j - 1);
	return sum;
}

double water_saturation_pressure(double temperature)
{
	double theta, a, b, c;

	if (!(temperature >= IF97_LOWEST_TEMPERATURE && temperature <= IF97_CRITICAL_TEMPERATURE))
		return (double)NAN;
	theta = temperature + IF97_SATURATION_N9 / (temperature - IF97_SATURATION_N10);
	a = (theta + IF97_SATURATION_N1) * theta + IF97_SATURATION_N2;
	b = (IF97_SATURATION_N3 * theta + IF97_SATURATION_N4) * theta + IF97_SATURATION_N5;
	c = (IF97_SATURATION_N6 * theta + IF97_SATURATION_N7) * theta + IF97_SATURATION_N8;
	return IF97_REGION_2_PRESSURE * power(2 * c / (-b + sqrt(b * b - 4 * a * c)), 4);
}

double water_saturation_temperature(double pressure)
{
	double beta, d, e, f, g, sum;

	if (!(pressure >= IF97_SATURATION_LOWEST && pressure <= IF97_SATURATION_HIGHEST))
		return (double)NAN;
	beta = sqrt(sqrt(pressure / IF97_REGION_2_PRESSURE));
	e = (beta + IF97_SATURATION_N3) * beta + IF97_SATURATION_N6;
	f = (IF97_SATURATION_N1 * beta + IF97_SATURATION_N4) * beta + IF97_SATURATION_N7;
	g = (IF97_SATURATION_N2 * beta + IF97_SATURATION_N5) * beta + IF97_SATURATION_N8;
	d = 2 * g / (-f - sqrt(f * f - 4 * e * g));
	sum = IF97_SATURATION_N10 + d;
	return (sum - sqrt(sum * sum - 4 * (IF97_SATURATION_N9 + IF97_SATURATION_N10 * d))) / 2;
}

/* On the saturation line itself both regions hold; rounding must not decide. */
static bool at_saturation(double temperature, double pressure)
{
	double saturation = water_saturation_pressure(temperature);

	return fabs(pressure - saturation) <= 1e-9 * saturation;
}

static bool is_liquid(double temperature, double pressure)
{
	return temperature >= IF97_LOWEST_TEMPERATURE && temperature <= IF97_REGION_1_END &&
		pressure <= IF97_LARGEST_PRESSURE &&
		(pressure >= water_saturation_pressure(temperature) || at_saturation(temperature, pressure));
}

static bool is_steam(double temperature, double pressure)
{
	if (!(temperature >= IF97_LOWEST_TEMPERATURE && temperature <= IF97_REGION_2_END && pressure > 0))
		return false;
	/* Between 623.15 K and region 3 the border is another equation; steam checks stay far below it. */
	if (temperature > IF97_REGION_1_END)
		return pressure <= water_saturation_pressure(IF97_REGION_1_END);
	return pressure <= water_saturation_pressure(temperature) || at_saturation(temperature, pressure);
}

static double liquid_gibbs(double temperature, double pressure, int order_pressure, int order_temperature)
{
	return gibbs(region_1, COUNT(region_1), IF97_REGION_1_PI - pressure / IF97_REGION_1_PRESSURE,
		IF97_REGION_1_TEMPERATURE / temperature - IF97_REGION_1_TAU, order_pressure, order_temperature);
}

double water_liquid_enthalpy(double temperature, double pressure)
{
	if (!is_liquid(temperature, pressure))
		return (double)NAN;
	return IF97_GAS_CONSTANT * IF97_REGION_1_TEMPERATURE *
		gibbs_by_y(region_1, COUNT(region_1), IF97_REGION_1_PI - pressure / IF97_REGION_1_PRESSURE,
			IF97_REGION_1_TEMPERATURE / temperature - IF97_REGION_1_TAU, POWERS);
}

double water_liquid_density(double temperature, double pressure)
{
	if (!is_liquid(temperature, pressure))
		return (double)NAN;
	return -IF97_REGION_1_PRESSURE / (IF97_GAS_CONSTANT * temperature * liquid_gibbs(temperature, pressure, 1, 0));
}

double water_sea_density(double temperature)
{
	const double salinity = 35, celsius = temperature - 273.15; /* g/kg, degC */
	const double a[] = {0.824493, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9};
	const double b[] = {-5.72466e-3, 1.0227e-4, -1.6546e-6}, c = 4.8314e-4;
	double linear = 0, root = 0;
	if (temperature < 271 || temperature > 313.15)
		return (double)NAN;
	for (size_t i = COUNT(a); i-- > 0;)
		linear = linear * celsius + a[i];
	for (size_t i = COUNT(b); i-- > 0;)
		root = root * celsius + b[i];
	return water_liquid_density(fmax(temperature, 273.15), 101325) +
		salinity * (linear + root * sqrt(salinity) + c * salinity);
}

double water_liquid_heat_capacity(double temperature, double pressure)
{
	double tau = IF97_REGION_1_TEMPERATURE / temperature;

	if (!is_liquid(temperature, pressure))
		return (double)NAN;
	return -IF97_GAS_CONSTANT * tau * tau * liquid_gibbs(temperature, pressure, 0, 2);
}

double water_steam_enthalpy(double temperature, double pressure)
{
	double tau = IF97_REGION_2_TEMPERATURE / temperature, pi = pressure / IF97_REGION_2_PRESSURE;

	if (!is_steam(temperature, pressure))
		return (double)NAN;
	return IF97_GAS_CONSTANT * IF97_REGION_2_TEMPERATURE *
		(gibbs_by_y(region_2_ideal, COUNT(region_2_ideal), 1, tau, 1) +
			gibbs_by_y(region_2_residual, COUNT(region_2_residual), pi, tau - IF97_REGION_2_TAU, 32));
}

double water_steam_density(double temperature, double pressure)
{
	double tau = IF97_REGION_2_TEMPERATURE / temperature, pi = pressure / IF97_REGION_2_PRESSURE;

	if (!is_steam(temperature, pressure))
		return (double)NAN;
	return pressure /
		(IF97_GAS_CONSTANT * temperature *
			(1 +
				pi *
					gibbs(region_2_residual, COUNT(region_2_residual), pi, tau - IF97_REGION_2_TAU,
						1, 0)));
}

static double latent_heat(double temperature)
{
	double pressure = water_saturation_pressure(temperature);

	return water_steam_enthalpy(temperature, pressure) - water_liquid_enthalpy(temperature, pressure);
}

/*
 * A function of temperature alone, smooth up to the critical point, and asked for by the ten thousand where a column is solved: up to
 * 200 degC, below which solutions of amine and their steam are, its series of Chebyshev polynomials through as many nodes, which
 * agrees with it to 1e-14 of it.
 */
enum { LATENT_TERMS = 28 };
static const double latent_series_end = 473.15; /* K */

struct series {
	bool made;
	double coefficient[LATENT_TERMS]; /* J/kg */
};

static void make_series(struct series *series)
{
	const double half = (latent_series_end - IF97_LOWEST_TEMPERATURE) / 2, step = acos(-1) / LATENT_TERMS;

	for (int k = 0; k < LATENT_TERMS; k++) {
		double angle = step * (k + 0.5);
		double value = latent_heat(IF97_LOWEST_TEMPERATURE + half * (1 + cos(angle)));
		for (int i = 0; i < LATENT_TERMS; i++)
			series->coefficient[i] += (i ? 2 : 1) * value * cos(i * angle) / LATENT_TERMS;
	}
	series->made = true;
}

/* Clenshaw's recurrence. */
static double sum_series(const struct series *series, double x)
{
	double above = 0, sum = 0;

	for (size_t i = LATENT_TERMS - 1; i > 0; i--) {
		double next = 2 * x * sum - above + series->coefficient[i];

		above = sum;
		sum = next;
	}
	return x * sum - above + series->coefficient[0];
}

double water_latent_heat(double temperature)
{
	static _Thread_local struct series series;
	const double half = (latent_series_end - IF97_LOWEST_TEMPERATURE) / 2;

	if (!(temperature >= IF97_LOWEST_TEMPERATURE && temperature <= latent_series_end))
		return latent_heat(temperature);
	if (!series.made)
		make_series(&series);
	return sum_series(&series, (temperature - IF97_LOWEST_TEMPERATURE) / half - 1);
}

double water_liquid_viscosity(double temperature)
{
	double density = water_liquid_density(temperature, fmax(ATMOSPHERE, water_saturation_pressure(temperature)));
	double reduced = temperature / IF97_CRITICAL_TEMPERATURE, ideal = 0;

	for (size_t i = 0; i < COUNT(viscosity_ideal); i++)
		ideal += viscosity_ideal[i] / power(reduced, (int)i);
	density /= VISCOSITY_REDUCING_DENSITY;
	return VISCOSITY_REDUCING * VISCOSITY_IDEAL_FACTOR * sqrt(reduced) / ideal *
		exp(density * gibbs(viscosity_residual, COUNT(viscosity_residual), 1 / reduced - 1, density - 1, 0, 0));
}
