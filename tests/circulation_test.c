/*
 * Published worked examples: tests/data/worked_examples.csv, every row, and the sizing example of the gas processors'
 * data book. Molar masses and unit factors as the program has them.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "chemistry/constants.h"
#include "chemistry/salts.h"
#include "chemistry/water.h"
#include "compute/circulation.h"
#include "compute/two_phase.h"
#include "csv.h"
#include "quantity/quantity.h"

static double si(const char *kind, double value, const char *unit)
{
	enum kind code;
	double factor, offset;

	cr_assert(kind_from_name(kind, &code) && unit_find(code, unit, 101325, &factor, &offset), "%s %s", kind, unit);
	return value * factor + offset;
}

/* The same to as many digits as were printed: 16.6 stands for 16.55-16.65. */
static void expect_printed(double value, double printed, double last)
{
	cr_expect(fabs(value - printed) <= last / 2 * (1 + 1e-9), "%g is not %g as printed", value, printed);
}

/*
 * Gas processors' data book, worked example (from memory of it): 30 MMscfd at 850 psig with 0.6 % H2S and 2.8 % CO2, 20 wt% DEA.
 * The figures that follow are calculated from the circulation as it rounds it.
 */
Test(circulation, worked_example_of_the_data_book)
{
	double exact = circulation_short(SHORT_FORM_DEA_CUSTOMARY, 30, 0.6 + 2.8, 20), gpm = 10 * round(exact / 10);
	const double million = 1e6;

	expect_printed(gpm, 230, 1);
	expect_printed(circulation_duty_Btu_h(SIZED_REBOILER, gpm) / million, 16.6, 0.1);
	expect_printed(circulation_surface_ft2(SIZED_REBOILER, gpm), 2600, 10);
	expect_printed(circulation_duty_Btu_h(SIZED_LEAN_RICH, gpm) / million, 10.4, 0.1);
	expect_printed(circulation_surface_ft2(SIZED_LEAN_RICH, gpm), 2590, 10);
	expect_printed(circulation_duty_Btu_h(SIZED_LEAN_COOLER, gpm) / million, 3.45, 0.01);
	expect_printed(circulation_surface_ft2(SIZED_LEAN_COOLER, gpm), 2350, 10);
	expect_printed(circulation_duty_Btu_h(SIZED_REFLUX_CONDENSER, gpm) / million, 6.9, 0.1);
	expect_printed(circulation_surface_ft2(SIZED_REFLUX_CONDENSER, gpm), 1200, 10);
	expect_printed(circulation_power_hp(DRIVEN_MAIN_PUMP, gpm, 850), 127, 1);
	expect_printed(circulation_power_hp(DRIVEN_BOOSTER_PUMP, gpm, 0), 13.8, 0.1);
	expect_printed(circulation_power_hp(DRIVEN_AERIAL_COOLER, gpm, 0), 83, 1);
}

/* 17,000 lb/h of steam to 285 US gpm is 0.119 kg/L; saturation and latent heat at 4.5 bar by IAPWS-IF97. */
Test(circulation, steam)
{
	double rate = si("mass-flow", 17000, "lb/h") / si("liquid-flow", 285, "gpm");
	double boiling = water_saturation_temperature(450e3);

	cr_expect_float_eq(rate / 1000, 0.119, 0.0005);
	cr_expect_float_eq(boiling - ZERO_CELSIUS, 147.908, 0.0005);
	cr_expect_float_eq(water_latent_heat(boiling), 2120.16e3, 10);
}

static double bound(const char *anion, double ppmw, enum amine amine)
{
	struct solution_input input = {.temperature = 313.15};

	input.mass_fraction[amine] = 0.5;
	salts_add(&input, anion_find(anion), ppmw * 1e-6);
	return 100 * salts_bound_amine(&input) * 0.5;
}

/* Salts as wt% of bound amine, MDEA/DEA/MEA: rows W7d-W7i name anion and 1000 ppmw. */
static void expect_salts(const struct csv *csv, size_t row)
{
	static const enum amine amines[] = {AMINE_MDEA, AMINE_DEA, AMINE_MEA};
	const char *name = csv_text(csv, row, "topic") + strlen("HSS ");
	const char *at = csv_text(csv, row, "answer_recomputed");

	for (size_t i = 0; i < 3; i++) {
		char *end;
		double published = strtod(at, &end);

		cr_expect_float_eq(bound(name, 1000, amines[i]), published, 0.02 * published, "%s", name);
		at = end + (*end == '/');
	}
}

static double pounds_per_gallon(double specific_gravity)
{
	return specific_gravity * 8.345; /* of water at 60 F */
}

/* K of the short form out of the exact one, densities of the solutions from memory. */
static double short_form_of(enum amine amine, double pick_up, double specific_gravity)
{
	return 1.830 * amine_rows[amine].molar_mass * 1000 / (pick_up * pounds_per_gallon(specific_gravity));
}

struct worked {
	const char *id;
	double value, published;
};

Test(circulation, every_published_worked_example)
{
	static struct csv csv;
	const double normal = 23.645e-3, pound = 0.45359237, hour = 3600;
	/* 120000 std m3/h with 4.03 mol% acid gas, DEA 35 wt% of specific gravity 1.045, 0.50 mol/mol. */
	double first = 4.39 * 120 * 4.03 / (35 * 1.045 * 0.50);
	double acid_gas = 120000 / hour * 0.0403 / normal;
	double amine = 128 * 1045 * 0.35 / amine_rows[AMINE_DEA].molar_mass / 1000 / pound;
	double ve = two_phase_erosional(100, si("density", 12, "lb/ft3"));
	double pipe = 4 * si("liquid-flow", 8, "ft3/s") / (acos(-1) * pow(si("length", 4.026, "in"), 2));
	const struct worked rows[] = {
		{"W1a", first, 116},
		{"W1b", 1.1 * 116, 128},
		{"W1c", 120000 * 0.0403 / 10.87, 445},
		{"W1d", amine, 980},
		{"W1e", 445 / amine, 0.45},
		{"W1f", 445 * pound * 44.009 * 1395000 / hour / 1e6, 3.45},
		{"W1g", 0.166 * pound * 34.081 * 1300000 / hour, 923},
		{"W1h", 97200 / hour * 8 * 2700 / 1e3, 580},
		{"W1i", hour * circulation_exact(acid_gas, 0.50, 0.35, 1045, amine_rows[AMINE_DEA].molar_mass), 117.6},
		{"W2a", short_form_of(AMINE_MEA, 0.33, 1.00), short_form_rows[SHORT_FORM_MEA_CUSTOMARY].k},
		{"W2b", short_form_of(AMINE_DEA, 0.50, 1.025), short_form_rows[SHORT_FORM_DEA_CUSTOMARY].k},
		{"W2c", short_form_of(AMINE_DEA, 0.70, 1.025), short_form_rows[SHORT_FORM_DEA_HIGH].k},
		{"W2d", short_form_of(AMINE_DGA, 0.39, 1.05), short_form_rows[SHORT_FORM_DGA_CUSTOMARY].k},
		{"W3a", quantity_in(ve, KIND_VELOCITY, "ft/s"), 28.9},
		{"W3b", 100 * pipe / ve, 313},
		{"W6", 2 + (262 - 50) / 25.0 * 0.25, 4 + 7 / 60.0},
		{"W7a", bound("acetate", 2806, AMINE_MDEA), 0.566},
		{"W7b", bound("propionate", 1614, AMINE_MDEA), 0.263},
		{"W7c", bound("acetate", 2806, AMINE_MDEA) + bound("propionate", 1614, AMINE_MDEA), 0.829},
		{"W10", 0.15 * si("pressure", 1014.7, "psia") / 1e3, 1049},
		{"W12", (0.025 / MOLAR_MASS_H2S + 0.01 / MOLAR_MASS_CO2) / (0.075 / amine_rows[AMINE_DEA].molar_mass),
			1.35},
	};
	size_t met = 0;

	csv_read("tests/data/worked_examples.csv", &csv);
	for (size_t i = 0; i < csv.rows; i++) {
		const char *id = csv_text(&csv, i, "id");

		if (strncmp(csv_text(&csv, i, "topic"), "HSS ", 4) == 0 && strcmp(id, "W7c") > 0) {
			expect_salts(&csv, i);
			met++;
		}
		for (size_t k = 0; k < COUNT(rows); k++)
			if (strcmp(rows[k].id, id) == 0) {
				met++;
				cr_expect_float_eq(rows[k].value, rows[k].published, 0.02 * rows[k].published,
					"%s: %g, published %g", id, rows[k].value, rows[k].published);
			}
	}
	cr_expect_eq(met, csv.rows, "%zu of %zu rows calculated", met, csv.rows);
}
