/*
 * Density and heat of gases against published values (tests/data/gas_published.csv), against reference equations worked apart
 * (gas_reference.csv, tests/external/gas_check.py), and against what must hold of any gas.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/gas.h"
#include "chemistry/water.h"
#include "csv.h"

static double *share_of(double share[COMPONENT_COUNT], const char *name, size_t length)
{
	for (size_t i = 0; i < COMPONENT_COUNT; i++)
		if (strlen(component_rows[i].name) == length && strncmp(component_rows[i].name, name, length) == 0)
			return &share[i];
	cr_assert(false, "no gas %.*s", (int)length, name);
	return NULL;
}

/* "methane=0.9 h2s=0.1" */
static void read_shares(const char *text, double share[COMPONENT_COUNT])
{
	memset(share, 0, COMPONENT_COUNT * sizeof *share);
	while (*text) {
		size_t length = strcspn(text, "=");
		char *end;

		*share_of(share, text, length) = strtod(text + length + 1, &end);
		text = end + strspn(end, " ");
	}
}

static struct gas_state state_of(const char *gas, double celsius, double bar)
{
	double share[COMPONENT_COUNT];
	struct gas_state state = {0};

	read_shares(gas, share);
	enum gas_trouble trouble = gas_state_of(share, celsius + ZERO_CELSIUS, bar * 1e5, &state);
	cr_assert_eq(trouble, GAS_FINE, "%s at %g degC, %g bar: %d", gas, celsius, bar, (int)trouble);
	return state;
}

struct errors {
	double sum, worst;
	size_t count;
};

static void add(struct errors *errors, double value, double published)
{
	double error = fabs(value / published - 1);

	errors->sum += error;
	errors->worst = fmax(errors->worst, error);
	errors->count++;
}

static void against(const char *path, bool steam, struct errors *errors)
{
	static struct csv csv;

	csv_read(path, &csv);
	bool of_z = strcmp(csv.names[3], "of") == 0;
	for (size_t i = 0; i < csv.rows; i++) {
		const char *gas = csv_text(&csv, i, "gas");
		struct gas_state state;

		if ((strncmp(gas, "water=1", 7) == 0) != steam)
			continue;
		state = state_of(gas, csv_number(&csv, i, "degC"), csv_number(&csv, i, "bar"));
		bool z = of_z && strcmp(csv_text(&csv, i, "of"), "Z") == 0;
		double published = csv_number(&csv, i, of_z ? "value" : "density");
		double value = z ? state.compressibility : state.density;
		add(errors, value, published);
		cr_expect_leq(fabs(value / published - 1), state.uncertainty, "%s, %s degC, %s bar: %g, published %g",
			gas, csv_text(&csv, i, "degC"), csv_text(&csv, i, "bar"), value, published);
	}
}

Test(gas, density_is_within_two_per_cent_of_published_values_in_the_mean_and_five_at_worst)
{
	struct errors errors = {0};

	against("tests/data/gas_published.csv", false, &errors);
	cr_expect_geq(errors.count, 30);
	cr_expect_leq(errors.sum / (double)errors.count, 0.02, "%g", errors.sum / (double)errors.count);
	cr_expect_leq(errors.worst, 0.05, "%g", errors.worst);
}

Test(gas, sour_gas_and_acid_gas_are_within_one_per_cent_of_reference_equations_in_the_mean)
{
	struct errors errors = {0};

	against("tests/data/gas_reference.csv", false, &errors);
	cr_expect_geq(errors.count, 25);
	cr_expect_leq(errors.sum / (double)errors.count, 0.01, "%g", errors.sum / (double)errors.count);
	cr_expect_leq(errors.worst, 0.02, "%g", errors.worst);
}

Test(gas, steam_is_within_a_tenth_of_a_per_cent)
{
	struct errors errors = {0};

	against("tests/data/gas_published.csv", true, &errors);
	cr_expect_geq(errors.count, 7);
	cr_expect_leq(errors.worst, 0.001, "%g", errors.worst);
}

/* Air of 1.2041 kg/m3 at 20 degC and 101325 Pa, dry: ISO 2533, Standard Atmosphere, 1975, from memory (1.225 at 15 degC). */
Test(gas, air_is_the_standard_atmosphere)
{
	cr_expect_float_eq(state_of("nitrogen=0.7812 o2=0.2095 argon=0.0093", 15, 1.01325).density, 1.225, 0.002);
}

/* What passes into pure steam does so without a step: a little hydrogen moves the compressibility a little. */
Test(gas, wet_gas_goes_over_into_steam)
{
	double steam = state_of("water=1", 120, 1.5).compressibility;
	double wet = state_of("water=0.998 hydrogen=0.002", 120, 1.5).compressibility;

	cr_expect_float_eq(wet, steam, 0.0005, "%g, steam %g", wet, steam);
	double half = state_of("water=0.5 methane=0.5", 120, 1.5).compressibility;
	cr_expect(half > steam && half < state_of("methane=1", 120, 1.5).compressibility, "%g", half);
}

static enum gas_trouble trouble_of(const char *gas, double celsius, double bar)
{
	double share[COMPONENT_COUNT];
	struct gas_state state;

	read_shares(gas, share);
	return gas_state_of(share, celsius + ZERO_CELSIUS, bar * 1e5, &state);
}

/* H2S boils at 20.2 bar at 25 degC, propane at 9.5 bar (Poling and others 2001, from memory). */
Test(gas, what_is_liquid_is_no_gas)
{
	cr_expect_eq(trouble_of("h2s=1", 25, 19), GAS_FINE);
	cr_expect_eq(trouble_of("h2s=1", 25, 22), GAS_CONDENSES);
	cr_expect_eq(trouble_of("propane=1", 25, 9), GAS_FINE);
	cr_expect_eq(trouble_of("propane=1", 25, 10.2), GAS_CONDENSES);
	cr_expect_eq(trouble_of("water=1", 100, 1.1), GAS_CONDENSES);
	cr_expect_eq(trouble_of("octane=1", 40, 1), GAS_CONDENSES);
	cr_expect_eq(trouble_of("co2=1", 35, 120), GAS_CONDENSES); /* above its critical point, dense as a liquid */
}

Test(gas, outside_the_range_there_is_no_answer)
{
	cr_expect_eq(trouble_of("methane=1", -10, 10), GAS_OUT_OF_RANGE);
	cr_expect_eq(trouble_of("methane=1", 230, 10), GAS_OUT_OF_RANGE);
	cr_expect_eq(trouble_of("methane=1", 40, 151), GAS_OUT_OF_RANGE);
	cr_expect_eq(trouble_of("methane=1", 40, 0), GAS_OUT_OF_RANGE);
	cr_expect_eq(trouble_of("methane=1", (double)NAN, 10), GAS_OUT_OF_RANGE);
	cr_expect_eq(trouble_of("methane=1", 40, (double)NAN), GAS_OUT_OF_RANGE);
}

/* At no pressure every gas is ideal; twice the pressure is less than twice the density where Z rises, more where it falls. */
Test(gas, at_no_pressure_it_is_ideal)
{
	for (size_t i = 0; i < COMPONENT_COUNT; i++) {
		double share[COMPONENT_COUNT] = {0};
		struct gas_state state;

		share[i] = 1;
		cr_assert_eq(gas_state_of(share, 323.15, 10, &state), GAS_FINE, "%s", component_rows[i].name);
		cr_expect_float_eq(
			state.compressibility, 1, 2e-5, "%s %g", component_rows[i].name, state.compressibility);
		cr_expect_float_eq(gas_molar_mass(share), component_rows[i].molar_mass, 1e-12);
	}
}

/*
 * Heat capacity of the ideal gas at 298.15 K, J/mol/K: Chase (editor), NIST-JANAF Thermochemical Tables, 4th edition 1998;
 * of the hydrocarbons above ethane API Research Project 44, as Poling and others 2001 give it. All from memory.
 */
Test(gas, ideal_heat_capacity)
{
	static const struct {
		const char *gas;
		double published;
	} rows[] = {{"hydrogen=1", 28.84}, {"methane=1", 35.64}, {"ethane=1", 52.5}, {"propane=1", 73.6},
		{"butane=1", 98.6}, {"ethylene=1", 42.88}, {"propylene=1", 64.3}, {"benzene=1", 82.4},
		{"nitrogen=1", 29.12}, {"o2=1", 29.38}, {"co=1", 29.14}, {"co2=1", 37.13}, {"h2s=1", 34.19},
		{"cos=1", 41.5}, {"so2=1", 39.9}, {"hcn=1", 35.86}, {"nh3=1", 35.65}, {"water=1", 33.59}};

	for (size_t i = 0; i < COUNT(rows); i++) {
		double share[COMPONENT_COUNT];

		read_shares(rows[i].gas, share);
		double found = gas_ideal_heat_capacity(share, 298.15);
		cr_expect_float_eq(found, rows[i].published, 0.01 * rows[i].published, "%s: %g", rows[i].gas, found);
	}
}

/*
 * Heat capacity of methane at 300 K: 35.8 at no pressure, 42.9 J/mol/K at 60 bar and 48.9 at 100 bar (Setzmann and Wagner
 * 1991, A new equation of state and tables of thermodynamic properties for methane; from memory).
 */
Test(gas, pressure_adds_to_the_heat)
{
	static const struct {
		double bar, published;
	} rows[] = {{0.01, 35.8}, {60, 42.9}, {100, 48.9}};
	double methane[COMPONENT_COUNT] = {[COMPONENT_METHANE] = 1};

	for (size_t i = 0; i < COUNT(rows); i++) {
		double pressure = rows[i].bar * 1e5;
		double found = (gas_enthalpy(methane, 301, pressure) - gas_enthalpy(methane, 299, pressure)) / 2;
		cr_expect_float_eq(
			found, rows[i].published, 0.015 * rows[i].published, "%g bar: %g", rows[i].bar, found);
	}
	cr_expect(isnan(gas_enthalpy(methane, 200, 1e5)));
}

/* Enthalpy of expansion without heat: dH/dP at constant T is -(c_p) x the Joule-Thomson coefficient, v - T (dv/dT). */
Test(gas, enthalpy_and_volume_are_of_one_equation)
{
	double share[COMPONENT_COUNT] = {0};
	struct gas_state warm, cold;
	const double t = 320, p = 50e5, dp = 1e3, dt = 0.05;

	read_shares("methane=0.8 h2s=0.1 co2=0.1", share);
	double by_heat = (gas_enthalpy(share, t, p + dp) - gas_enthalpy(share, t, p - dp)) / (2 * dp);
	cr_assert_eq(gas_state_of(share, t + dt, p, &warm), GAS_FINE);
	cr_assert_eq(gas_state_of(share, t - dt, p, &cold), GAS_FINE);
	double up = gas_molar_mass(share) / warm.density, down = gas_molar_mass(share) / cold.density;
	double by_volume = (up + down) / 2 - t * (up - down) / (2 * dt);
	cr_expect_float_eq(by_heat, by_volume, 1e-4 * fabs(by_volume), "%g and %g", by_heat, by_volume);
}

Test(gas, a_gas_of_a_molar_mass_has_it)
{
	for (int i = 0; i < 86; i++) {
		double share[COMPONENT_COUNT] = {0}, mass = 0.0021 + 0.0013 * i;

		cr_assert(gas_add_by_molar_mass(share, 1, mass), "%g", mass);
		cr_expect_float_eq(gas_molar_mass(share), mass, 1e-12);
	}
	double share[COMPONENT_COUNT] = {0};
	cr_expect_not(gas_add_by_molar_mass(share, 1, 0.0019));
	cr_expect_not(gas_add_by_molar_mass(share, 1, 0.12));
}

/* The hydrocarbons of a natural gas by their mean molar mass alone: within half a per cent of all of them by name. */
Test(gas, hydrocarbon_by_molar_mass_stands_for_its_analysis)
{
	static struct csv csv;
	csv_read("tests/data/gas_published.csv", &csv);
	for (size_t i = 0; i < csv.rows; i++) {
		double named[COMPONENT_COUNT], lumped[COMPONENT_COUNT] = {0}, rest = 0, mass = 0;
		struct gas_state by_name, by_mass;

		if (strncmp(csv_text(&csv, i, "source"), "ISO", 3) != 0 || csv_number(&csv, i, "bar") > 60)
			continue;
		read_shares(csv_text(&csv, i, "gas"), named);
		for (size_t k = 0; k < COMPONENT_COUNT; k++) {
			bool hydrocarbon = k >= COMPONENT_METHANE && k <= COMPONENT_TOLUENE;
			rest += hydrocarbon ? named[k] : 0;
			mass += hydrocarbon ? named[k] * component_rows[k].molar_mass : 0;
			lumped[k] = hydrocarbon ? 0 : named[k];
		}
		double t = csv_number(&csv, i, "degC") + ZERO_CELSIUS, p = csv_number(&csv, i, "bar") * 1e5;
		cr_assert(gas_add_by_molar_mass(lumped, rest, mass / rest));
		cr_assert_eq(gas_state_of(named, t, p, &by_name), GAS_FINE);
		cr_assert_eq(gas_state_of(lumped, t, p, &by_mass), GAS_FINE);
		cr_expect_float_eq(
			by_mass.density, by_name.density, 0.005 * by_name.density, "%s", csv_text(&csv, i, "gas"));
	}
}

/* Every gas has a heat capacity at room temperature, that rises with temperature, and constants of its kind. */
Test(gas, rows_are_complete)
{
	for (size_t i = 0; i < COMPONENT_COUNT; i++) {
		const struct component_row *row = &component_rows[i];
		double share[COMPONENT_COUNT] = {0};

		share[i] = 1;
		double cool = gas_ideal_heat_capacity(share, 300), hot = gas_ideal_heat_capacity(share, 420);
		cr_expect(cool > 20 && cool < 200 && hot >= cool, "%s %g %g", row->name, cool, hot);
		/* R Tc / Pc against molar mass: no gas here has a volume below 60 or above 2000 mL/mol */
		double volume = GAS_CONSTANT * row->critical_temperature / row->critical_pressure;
		cr_expect(volume > 60e-6 && volume < 2000e-6, "%s %g", row->name, volume);
		cr_expect(row->acentric > -0.25 && row->acentric < 0.6, "%s", row->name);
	}
}
