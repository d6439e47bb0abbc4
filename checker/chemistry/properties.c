#include "chemistry/properties.h"

#include <math.h>

#include "chemistry/constants.h"
#include "chemistry/water.h"

/* Whose correlation an amine is given. */
static const enum amine density_of[AMINE_COUNT] = {[AMINE_MEA] = AMINE_MEA,
	[AMINE_DEA] = AMINE_DEA,
	[AMINE_MDEA] = AMINE_MDEA,
	[AMINE_DGA] = AMINE_MEA,
	[AMINE_DIPA] = AMINE_MDEA};
static const enum amine viscosity_of[AMINE_COUNT] = {[AMINE_MEA] = AMINE_MEA,
	[AMINE_DEA] = AMINE_MDEA,
	[AMINE_MDEA] = AMINE_MDEA,
	[AMINE_DGA] = AMINE_MEA,
	[AMINE_DIPA] = AMINE_MDEA};
static const enum amine heat_capacity_of[AMINE_COUNT] = {[AMINE_MEA] = AMINE_MEA,
	[AMINE_DEA] = AMINE_DEA,
	[AMINE_MDEA] = AMINE_MDEA,
	[AMINE_DGA] = AMINE_DGA,
	[AMINE_DIPA] = AMINE_DEA};

static double water_share(const double *mass_fraction)
{
	double water = 1;

	for (size_t i = 0; i < AMINE_COUNT; i++)
		water -= mass_fraction[i];
	return water;
}

static bool in_domain(const double *mass_fraction, double temperature)
{
	return temperature >= DOMAIN_LOWEST_TEMPERATURE && temperature <= DOMAIN_HIGHEST_TEMPERATURE &&
		water_share(mass_fraction) > 0;
}

static struct property judged(
	double value, const double *mass_fraction, const enum amine *of, double own, double by_relative)
{
	struct property property = {.value = value, .uncertainty = own};

	for (size_t i = 0; i < AMINE_COUNT; i++)
		if (mass_fraction[i] > 0 && of[i] != (enum amine)i) {
			property.relative = true;
			property.uncertainty = by_relative;
		}
	return property;
}

static const struct property outside = {(double)NAN, (double)NAN, false};

struct density_terms property_density_terms(enum amine amine)
{
	static const struct density_terms mea = {AMINE_MEA, {MEA_DENSITY_R0, MEA_DENSITY_R1, MEA_DENSITY_R2},
		1e-6 * MEA_EXCESS_VOLUME, 1e-6 * CO2_VOLUME_IN_MEA};
	static const struct density_terms dea = {
		AMINE_DEA, {DEA_DENSITY_R0, DEA_DENSITY_R1, DEA_DENSITY_R2}, 1e-6 * DEA_EXCESS_VOLUME, 0};
	static const struct density_terms mdea = {
		AMINE_MDEA, {MDEA_DENSITY_R0, MDEA_DENSITY_R1, MDEA_DENSITY_R2}, 1e-6 * MDEA_EXCESS_VOLUME, 0};
	struct density_terms terms = density_of[amine] == AMINE_MEA ? mea : density_of[amine] == AMINE_DEA ? dea : mdea;

	if (amine != AMINE_MEA)
		terms.co2_volume = 0; /* read for MEA alone */
	return terms;
}

/* kg/m3 of the pure liquid; T in K. */
static double pure_density(enum amine amine, double temperature)
{
	const struct density_terms terms = property_density_terms(amine);
	const double kg_m3 = 1000;

	return kg_m3 * (terms.r[0] + temperature * (terms.r[1] + temperature * terms.r[2]));
}

/* Mol per kg of solution without gases; an amine on a relative's volume counts by the relative's molar mass. */
static double moles_by_volume(enum amine amine, double mass_fraction)
{
	return mass_fraction / amine_rows[density_of[amine]].molar_mass;
}

struct property property_density(
	const double mass_fraction[AMINE_COUNT], double temperature, const double loading[GAS_COUNT])
{
	double water = water_share(mass_fraction), moles, volume, mass = 1, amine_moles = 0, pressure;

	if (!in_domain(mass_fraction, temperature))
		return outside;
	pressure = fmax(ATMOSPHERE, water_saturation_pressure(temperature));
	moles = water / MOLAR_MASS_WATER;
	volume = water / water_liquid_density(temperature, pressure);
	for (size_t i = 0; i < AMINE_COUNT; i++)
		moles += moles_by_volume((enum amine)i, mass_fraction[i]);
	for (size_t i = 0; i < AMINE_COUNT; i++) {
		enum amine amine = (enum amine)i;

		if (mass_fraction[i] == 0)
			continue;
		volume += mass_fraction[i] / pure_density(amine, temperature);
		volume += property_density_terms(amine).excess * moles_by_volume(amine, mass_fraction[i]) *
			(water / MOLAR_MASS_WATER) / moles;
		amine_moles += mass_fraction[i] / amine_rows[i].molar_mass;
	}
	mass += amine_moles * (loading[GAS_CO2] * MOLAR_MASS_CO2 + loading[GAS_H2S] * MOLAR_MASS_H2S);
	volume += 1e-6 * CO2_VOLUME_IN_MEA * loading[GAS_CO2] * mass_fraction[AMINE_MEA] /
		amine_rows[AMINE_MEA].molar_mass;
	return judged(mass / volume, mass_fraction, density_of, DENSITY_UNCERTAINTY, DENSITY_UNCERTAINTY_RELATIVE);
}

struct viscosity_row {
	double a, b, c, d, e, f, g;
};

/* ln(eta/eta_w) of one amine as if it were all the amine there is, w in wt%. */
static double ln_relative_viscosity(enum amine amine, double w, double temperature, double loading)
{
	static const struct viscosity_row mea = {MEA_VISCOSITY_A, MEA_VISCOSITY_B, MEA_VISCOSITY_C, MEA_VISCOSITY_D,
		MEA_VISCOSITY_E, MEA_VISCOSITY_F, MEA_VISCOSITY_G};
	static const struct viscosity_row mdea = {MDEA_VISCOSITY_A, MDEA_VISCOSITY_B, MDEA_VISCOSITY_C,
		MDEA_VISCOSITY_D, MDEA_VISCOSITY_E, MDEA_VISCOSITY_F, MDEA_VISCOSITY_G};
	const struct viscosity_row *row = viscosity_of[amine] == AMINE_MEA ? &mea : &mdea;

	return ((row->a * w + row->b) * temperature + row->c * w + row->d) *
		(loading * (row->e * w + row->f * temperature + row->g) + 1) * w / (temperature * temperature);
}

struct property property_viscosity(
	const double mass_fraction[AMINE_COUNT], double temperature, const double loading[GAS_COUNT])
{
	double strength = 1 - water_share(mass_fraction), ln_relative = 0;

	if (!in_domain(mass_fraction, temperature))
		return outside;
	/* A blend is the mean of its amines, by mass. */
	for (size_t i = 0; i < AMINE_COUNT; i++)
		if (mass_fraction[i] > 0)
			ln_relative += mass_fraction[i] / strength *
				ln_relative_viscosity((enum amine)i, 100 * strength, temperature,
					loading[GAS_H2S] + loading[GAS_CO2]);
	return judged(water_liquid_viscosity(temperature) * exp(ln_relative), mass_fraction, viscosity_of,
		VISCOSITY_UNCERTAINTY, VISCOSITY_UNCERTAINTY_RELATIVE);
}

static double amine_heat_capacity(enum amine amine, double celsius)
{
	switch (heat_capacity_of[amine]) {
	case AMINE_MEA:
		return MEA_HEAT_CAPACITY_0 + celsius * (MEA_HEAT_CAPACITY_1 + celsius * MEA_HEAT_CAPACITY_2);
	case AMINE_MDEA:
		return MDEA_HEAT_CAPACITY;
	case AMINE_DGA:
		return DGA_HEAT_CAPACITY;
	default:
		return DEA_HEAT_CAPACITY;
	}
}

/* kJ/(kg K) */
static double of_water(double celsius)
{
	return WATER_HEAT_CAPACITY_0 +
		celsius *
		(WATER_HEAT_CAPACITY_1 +
			celsius *
				(WATER_HEAT_CAPACITY_2 +
					celsius * (WATER_HEAT_CAPACITY_3 + celsius * WATER_HEAT_CAPACITY_4)));
}

static const double J_OF_KJ = 1000;

double property_heat_of_water(double temperature)
{
	return temperature >= DOMAIN_LOWEST_TEMPERATURE && temperature <= DOMAIN_HIGHEST_TEMPERATURE
		? J_OF_KJ * of_water(temperature - ZERO_CELSIUS)
		: (double)NAN;
}

double property_heat(const double mass_fraction[AMINE_COUNT], double temperature)
{
	double celsius = temperature - ZERO_CELSIUS, sum;

	if (!in_domain(mass_fraction, temperature))
		return (double)NAN;
	sum = water_share(mass_fraction) * of_water(celsius);
	for (size_t i = 0; i < AMINE_COUNT; i++)
		if (mass_fraction[i] != 0)
			sum += mass_fraction[i] * amine_heat_capacity((enum amine)i, celsius);
	return J_OF_KJ * sum;
}

struct property property_heat_capacity(const double mass_fraction[AMINE_COUNT], double temperature)
{
	struct property property;

	if (!in_domain(mass_fraction, temperature))
		return outside;
	property = judged(property_heat(mass_fraction, temperature), mass_fraction, heat_capacity_of,
		HEAT_CAPACITY_UNCERTAINTY, HEAT_CAPACITY_UNCERTAINTY_RELATIVE);
	/* Only MEA's was read as a correlation; the others rest on a remembered range. */
	if (mass_fraction[AMINE_MEA] < 1 - water_share(mass_fraction))
		property.uncertainty = HEAT_CAPACITY_UNCERTAINTY_RELATIVE;
	return property;
}

/* The density hardly depends on the strength, so putting one into the other converges in a few rounds. */
double property_mass_fraction(enum amine amine, double concentration)
{
	static const double no_gas[GAS_COUNT] = {0, 0};
	double mass_fraction[AMINE_COUNT] = {0}, before = -1;

	mass_fraction[amine] = 0;
	for (int i = 0; i < 100 && fabs(mass_fraction[amine] - before) > 1e-13; i++) {
		before = mass_fraction[amine];
		mass_fraction[amine] = concentration * amine_rows[amine].molar_mass /
			property_density(mass_fraction, STRENGTH_TEMPERATURE, no_gas).value;
	}
	return mass_fraction[amine] >= 0 && mass_fraction[amine] < 1 ? mass_fraction[amine] : (double)NAN;
}

double property_mass_per_amine(const double mass_fraction[AMINE_COUNT])
{
	double moles = 0;

	for (size_t i = 0; i < AMINE_COUNT; i++)
		moles += mass_fraction[i] / amine_rows[i].molar_mass;
	return 1 / moles;
}

double property_water_per_amine(const double mass_fraction[AMINE_COUNT])
{
	double water = 1;

	for (size_t i = 0; i < AMINE_COUNT; i++)
		water -= mass_fraction[i];
	return water * property_mass_per_amine(mass_fraction) / MOLAR_MASS_WATER;
}

double property_loaded_mass(const double mass_fraction[AMINE_COUNT], const double loading[GAS_COUNT])
{
	return property_mass_per_amine(mass_fraction) + loading[GAS_H2S] * MOLAR_MASS_H2S +
		loading[GAS_CO2] * MOLAR_MASS_CO2;
}
