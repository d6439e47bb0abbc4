/*
 * Units: every spelling against its definition and published factors.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "quantity_support.h"

/* Numbers published with seven digits agree to half of the last one. */
static const double SEVEN_DIGITS = 5e-7;

/* Conversion factors as printed in NIST Special Publication 811 (2008), appendix B, unless the row says otherwise. */
static const struct {
	enum kind kind;
	const char *written;
	double si, relative;
} published[] = {
	{KIND_PRESSURE, "1 psia", 6.894757e3, SEVEN_DIGITS},
	{KIND_PRESSURE, "1 atm", 1.01325e5, 0},
	{KIND_PRESSURE, "1 torr", 1.333224e2, SEVEN_DIGITS},
	{KIND_PRESSURE, "1 mmHga", 1.333224e2, SEVEN_DIGITS},
	{KIND_PRESSURE, "1 inHga", 3.386389e3, SEVEN_DIGITS},
	{KIND_PRESSURE, "1 kg/cm2a", 9.80665e4, SEVEN_DIGITS},
	{KIND_PRESSURE_DIFFERENCE, "1 inH2O", 2.490889e2, SEVEN_DIGITS},
	{KIND_PRESSURE_DIFFERENCE, "1 mmH2O", 9.80665, SEVEN_DIGITS},
	{KIND_STRESS, "1 ksi", 6.894757e6, SEVEN_DIGITS},
	{KIND_TEMPERATURE, "32 degF", 273.15, 1e-12},
	{KIND_TEMPERATURE, "212 degF", 373.15, 1e-12},
	{KIND_TEMPERATURE, "0 degC", 273.15, 0},
	{KIND_TEMPERATURE, "491.67 degR", 273.15, 1e-12},
	{KIND_TEMPERATURE_DIFFERENCE, "1 degF", 5.555556e-1, SEVEN_DIGITS},
	{KIND_LIQUID_FLOW, "1 gpm", 6.309020e-5, SEVEN_DIGITS},
	{KIND_LIQUID_FLOW, "1 L/min", 1.666667e-5, SEVEN_DIGITS},
	{KIND_LIQUID_FLOW, "86400 bbl/d", 1.589873e-1, SEVEN_DIGITS},
	{KIND_LIQUID_FLOW, "60 igpm", 4.54609e-3, SEVEN_DIGITS},
	{KIND_GAS_FLOW, "1 acfm", 4.719474e-4, SEVEN_DIGITS},
	{KIND_MASS_FLOW, "1 lb/h", 1.259979e-4, SEVEN_DIGITS},
	{KIND_LENGTH, "1 in", 2.54e-2, 1e-15},
	{KIND_LENGTH, "1 mil", 2.54e-5, 1e-15},
	{KIND_DISTANCE, "1 mile", 1.609344e3, 1e-15},
	{KIND_AREA, "1 ft2", 9.290304e-2, SEVEN_DIGITS},
	{KIND_VOLUME, "1 gal", 3.785412e-3, SEVEN_DIGITS},
	{KIND_VOLUME, "1 igal", 4.54609e-3, 1e-15},
	{KIND_VOLUME, "1 bbl", 1.589873e-1, SEVEN_DIGITS},
	{KIND_VOLUME, "1 ft3", 2.831685e-2, SEVEN_DIGITS},
	{KIND_VELOCITY, "1 ft/min", 5.08e-3, 1e-15},
	{KIND_DENSITY, "1 lb/ft3", 1.601846e1, SEVEN_DIGITS},
	{KIND_DENSITY, "1 lb/gal", 1.198264e2, SEVEN_DIGITS},
	{KIND_VISCOSITY, "1 cP", 1e-3, 1e-15},
	{KIND_VISCOSITY, "1 lb/(ft s)", 1.488164, SEVEN_DIGITS},
	{KIND_MASS, "1 lb", 4.535924e-1, SEVEN_DIGITS},
	{KIND_POWER, "3600 Btu/h", 1.055056e3, SEVEN_DIGITS},
	{KIND_POWER, "1 hp", 7.456999e2, SEVEN_DIGITS},
	{KIND_POWER, "3600 kcal/h", 4.1868e3, 1e-12},
	{KIND_HEAT_FLUX, "1 Btu/(h ft2)", 3.154591, SEVEN_DIGITS},
	{KIND_HEAT_TRANSFER, "1 Btu/(h ft2 degF)", 5.678263, SEVEN_DIGITS},
	/* CODATA recommended values, 2018: molar volume of the ideal gas at 273.15 K, 101.325 kPa: 22.41396954e-3 m3/mol. */
	{KIND_MOLAR_FLOW, "80.69029234 Nm3/h", 80.69029234 / 22.41396954e-3 / 3600, 1e-9},
	{KIND_GAS_MASS_CONTENT, "1 g/Nm3", 1e-3 * 22.41396954e-3, 1e-9},
	/* 379.49 scf a pound-mole and 23.645 m3 a kilomole: common practice in gas processing, from memory. */
	{KIND_MOLAR_FLOW, "379.49 scfh", 453.59237 / 3600, 2e-5},
	{KIND_MOLAR_FLOW, "23.645 Sm3/h", 1e3 / 3600, 4e-5},
	/* 100 grains of H2S in 100 standard cubic feet of gas are 1590 ppm by volume: 1 grain is 15.9 ppmv; common
	 * practice, from memory; 34.08 g/mol. */
	{KIND_GAS_MASS_CONTENT, "100 gr/100scf", 1590e-6 * 34.08e-3, 2e-3},
	/* 1 mpy is 0.0254 mm/y by definition; a year of 365.25 days. */
	{KIND_CORROSION_RATE, "1 mpy", 2.54e-5 / (365.25 * 86400), 1e-14},
};

Test(quantity, agrees_with_published_factors)
{
	for (size_t i = 0; i < COUNT(published); i++) {
		struct quantity q = {0};
		cr_expect(parse(published[i].kind, published[i].written, &q), "%s", published[i].written);
		cr_expect(same_within(q.si, published[i].si, published[i].relative), "%s: %.12g, not %.12g",
			published[i].written, q.si, published[i].si);
	}
}

/* Every spelling there is, each with one and zero of it in SI. GAUGE: zero is the barometric pressure. */
enum { GAUGE = -1, SPELLINGS = 8 };
static const struct {
	enum kind kind;
	double one, zero; /* `one` counts from zero */
	const char *spellings[SPELLINGS];
} units[] = {
#define ONE(kind, one, zero, ...) {KIND_##kind, one, zero, {__VA_ARGS__}},
#include "units_table.def"
#undef ONE
};

/* Numbers of twelve digits agree to half of the last one. */
static const double TWELVE_DIGITS = 5e-12;

Test(quantity, every_spelling_is_what_its_definition_says)
{
	size_t met = 0;
	for (size_t i = 0; i < COUNT(units); i++)
		for (size_t j = 0; j < SPELLINGS && units[i].spellings[j]; j++, met++) {
			const char *spelling = units[i].spellings[j];
			double zero = units[i].zero < 0 ? BAROMETRIC : units[i].zero, factor = 0, offset = -1;
			cr_expect(unit_find(units[i].kind, spelling, BAROMETRIC, &factor, &offset), "%s", spelling);
			cr_expect(same_within(factor, units[i].one, TWELVE_DIGITS), "%s of %s: %.15g, not %.15g",
				spelling, kind_name(units[i].kind), factor, units[i].one);
			cr_expect(same_within(offset, zero, TWELVE_DIGITS), "zero %s of %s: %.15g, not %.15g", spelling,
				kind_name(units[i].kind), offset, zero);
		}
	cr_expect_eq(met, unit_count(), "%zu spellings in the table of the test, %zu in units.def", met, unit_count());
}

static bool same_row(size_t i, size_t j)
{
	enum kind a, b;
	return strcmp(unit_spelling(i, &a), unit_spelling(j, &b)) == 0 && a == b;
}

/* Case, spaces and signs may be changed freely; what is found then is the unit itself or nothing. */
Test(quantity, a_spelling_never_turns_into_another_unit)
{
	cr_expect_geq(unit_count(), 150);
	for (size_t i = 0; i < unit_count(); i++) {
		for (size_t j = 0; j < i; j++)
			cr_expect_not(same_row(i, j), "row %zu occurs twice", i);
		enum kind kind;
		const char *spelling = unit_spelling(i, &kind);
		double factor, offset, other_factor, other_offset;
		cr_assert(unit_find(kind, spelling, BAROMETRIC, &factor, &offset), "%s", spelling);
		char upper[64] = "", lower[64] = "";
		for (size_t c = 0; spelling[c]; c++) {
			bool letter = (spelling[c] >= 'a' && spelling[c] <= 'z') ||
				(spelling[c] >= 'A' && spelling[c] <= 'Z');
			upper[c] = (char)(letter ? spelling[c] & ~0x20 : spelling[c]);
			lower[c] = (char)(letter ? spelling[c] | 0x20 : spelling[c]);
		}
		const char *const variants[] = {upper, lower};
		for (size_t v = 0; v < COUNT(variants); v++)
			if (unit_find(kind, variants[v], BAROMETRIC, &other_factor, &other_offset))
				cr_expect(same_within(factor, other_factor, 0) && same_within(offset, other_offset, 0),
					"%s and %s of %s", spelling, variants[v], kind_name(kind));
	}
}

Test(quantity, every_unit_round_trips)
{
	static const double readings[] = {0.0123, 0.5, 0.9871, 1};
	for (size_t i = 0; i < unit_count(); i++) {
		enum kind kind;
		const char *spelling = unit_spelling(i, &kind);
		double factor, offset;
		cr_assert(unit_find(kind, spelling, BAROMETRIC, &factor, &offset));
		for (size_t j = 0; j < COUNT(readings); j++) {
			struct quantity q;
			const char *written = arena_format(&arena, "%.17g %s", readings[j], spelling);
			cr_assert(parse(kind, written, &q), "%s of %s", written, kind_name(kind));
			cr_expect_eq(q.kind, kind);
			double back = (q.si - offset) / factor;
			double lost = 4e-16 * fabs(offset / factor); /* the zero point takes digits away */
			cr_expect_leq(fabs(back - readings[j]), 1e-15 + lost, "%s of %s: %.17g", written,
				kind_name(kind), back);
		}
	}
}
