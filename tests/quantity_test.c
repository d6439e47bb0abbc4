#include <criterion/criterion.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "quantity/quantity.h"
#include "said.h"

static const double BAROMETRIC = 100500; /* Pa, of the invented site */

static struct arena arena;
static struct problems problems;

static void begin(void)
{
	arena = (struct arena){0};
	problems = (struct problems){.arena = &arena};
}

static void end(void)
{
	arena_release(&arena);
}

TestSuite(quantity, .init = begin, .fini = end);

static bool parse(enum kind kind, const char *written, struct quantity *out)
{
	return quantity_parse(&arena, written, "value", (struct accepted){{kind}, 1}, BAROMETRIC,
		(struct place){"design.xml", 3, 7}, &problems, out);
}

static bool close_to(double a, double b, double relative)
{
	return fabs(a - b) <= relative * fmax(fabs(a), fabs(b));
}

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
		cr_expect(close_to(q.si, published[i].si, published[i].relative), "%s: %.12g, not %.12g",
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
			cr_expect(close_to(factor, units[i].one, TWELVE_DIGITS), "%s of %s: %.15g, not %.15g", spelling,
				kind_name(units[i].kind), factor, units[i].one);
			cr_expect(close_to(offset, zero, TWELVE_DIGITS), "zero %s of %s: %.15g, not %.15g", spelling,
				kind_name(units[i].kind), offset, zero);
		}
	cr_expect_eq(met, unit_count(), "%zu spellings in the table of the test, %zu in units.def", met, unit_count());
}

/* What a reader may write: the same value in other signs. */
static const struct {
	enum kind kind;
	const char *written;
	double si;
	enum bound bound;
	double uncertainty; /* negative: not stated */
} forms[] = {
	{KIND_TEMPERATURE, "121 degC", 394.15, BOUND_NONE, -1},
	{KIND_TEMPERATURE, "121degC", 394.15, BOUND_NONE, -1},
	{KIND_TEMPERATURE, " 121  deg C ", 394.15, BOUND_NONE, -1},
	{KIND_TEMPERATURE, "121 \u00b0C", 394.15, BOUND_NONE, -1},
	{KIND_TEMPERATURE, "121\u00a0\u00baC", 394.15, BOUND_NONE, -1},
	{KIND_TEMPERATURE, "121 \u2103", 394.15, BOUND_NONE, -1},
	{KIND_TEMPERATURE, "121 DEGC", 394.15, BOUND_NONE, -1},
	{KIND_TEMPERATURE, "+1.21e2 C", 394.15, BOUND_NONE, -1},
	{KIND_TEMPERATURE, "\u22123 degC", 270.15, BOUND_NONE, -1},
	{KIND_TEMPERATURE, "121 +/- 2 degC", 394.15, BOUND_NONE, 2},
	{KIND_TEMPERATURE, "121 \u00b1 2 degC", 394.15, BOUND_NONE, 2},
	{KIND_TEMPERATURE, "121 +/- 0 degC", 394.15, BOUND_NONE, 0},
	{KIND_TEMPERATURE, "121 degC +/- 2 K", 394.15, BOUND_NONE, 2},
	{KIND_TEMPERATURE, "32 degF +/- 9 degF", 273.15, BOUND_NONE, 5},
	{KIND_TEMPERATURE, "> 90 degC", 363.15, BOUND_ABOVE, -1},
	{KIND_PRESSURE, "62 barg", 6300500, BOUND_NONE, -1},
	{KIND_PRESSURE, "62 bar(g)", 6300500, BOUND_NONE, -1},
	{KIND_PRESSURE, "62 +/- 1 barg", 6300500, BOUND_NONE, 1e5},
	{KIND_PRESSURE, "62 barg +/- 10 kPa", 6300500, BOUND_NONE, 1e4},
	{KIND_PRESSURE, "62 +/- 1% barg", 6300500, BOUND_NONE, 62e3},
	{KIND_PRESSURE, "-0.5 barg", 50500, BOUND_NONE, -1},
	{KIND_PRESSURE, "-1.005 barg", 0, BOUND_NONE, -1},
	{KIND_PRESSURE, "2 KPAG", 102500, BOUND_NONE, -1},
	{KIND_PRESSURE, "2 bara", 2e5, BOUND_NONE, -1},
	{KIND_PRESSURE, "2 kg/cm\u00b2a", 196133, BOUND_NONE, -1},
	{KIND_PRESSURE, "2 kg/cM2a", 196133, BOUND_NONE, -1}, /* the m within a word turns no milli into mega */
	{KIND_PRESSURE_DIFFERENCE, "0.7 bar", 7e4, BOUND_NONE, -1},
	{KIND_PARTIAL_PRESSURE, "3 kPa", 3e3, BOUND_NONE, -1},
	{KIND_STRESS, "137.9 MPa", 137.9e6, BOUND_NONE, -1},
	{KIND_STRESS, "137.9 mpa", 137.9e6, BOUND_NONE, -1},
	{KIND_TRACE, "<5 ppmw", 5e-6, BOUND_BELOW, -1},
	{KIND_TRACE, "\u2264 5 ppm(w)", 5e-6, BOUND_BELOW, -1},
	{KIND_TRACE, "5 mg/kg", 5e-6, BOUND_NONE, -1},
	{KIND_MOLE_FRACTION, "4 +/- 0.5 mol%", 0.04, BOUND_NONE, 0.005},
	{KIND_MOLE_FRACTION, "4 +/- 0.5 % mol", 0.04, BOUND_NONE, 0.005},
	{KIND_MOLE_FRACTION, "4 mol %", 0.04, BOUND_NONE, -1},
	{KIND_MASS_FRACTION, "100 wt%", 1, BOUND_NONE, -1},
	{KIND_MASS_FRACTION, "45 +/- 10% wt%", 0.45, BOUND_NONE, 0.045},
	{KIND_LIQUID_FLOW, "36 +/- 5% m3/h", 0.01, BOUND_NONE, 0.0005},
	{KIND_LIQUID_FLOW, "36 m3/h +/- 5%", 0.01, BOUND_NONE, 0.0005},
	{KIND_LIQUID_FLOW, "36 m^3/h", 0.01, BOUND_NONE, -1},
	{KIND_LIQUID_FLOW, "36 m\u00b3/h", 0.01, BOUND_NONE, -1},
	{KIND_LIQUID_FLOW, "36 M3/H", 0.01, BOUND_NONE, -1},
	{KIND_VISCOSITY, "2 mPa\u00b7s", 0.002, BOUND_NONE, -1},
	{KIND_VISCOSITY, "2 mPas", 0.002, BOUND_NONE, -1},
	{KIND_VISCOSITY, "2 MPA S", 0.002, BOUND_NONE, -1}, /* capitals throughout tell nothing apart */
	{KIND_HEAT_TRANSFER, "500 W/(m\u00b2\u00b7K)", 500, BOUND_NONE, -1},
	{KIND_LENGTH, "2\"", 0.0508, BOUND_NONE, -1},
	{KIND_LENGTH, "5 \u00b5m", 5e-6, BOUND_NONE, -1},
	{KIND_LOADING, "0.006", 0.006, BOUND_NONE, -1},
	{KIND_LOADING, "0.45 +/- 0.02", 0.45, BOUND_NONE, 0.02},
	{KIND_LOADING, "0.45 +/- 10 %", 0.45, BOUND_NONE, 0.045},
	{KIND_SHARE, "90 +/- 2 %", 0.9, BOUND_NONE, 0.02},
	{KIND_COUNT, "412", 412, BOUND_NONE, -1},
	{KIND_YES_NO, "yes", 1, BOUND_NONE, 0},
	{KIND_YES_NO, " no", 0, BOUND_NONE, 0},
};

Test(quantity, reads_every_form)
{
	for (size_t i = 0; i < COUNT(forms); i++) {
		struct quantity q = {0};
		cr_expect(parse(forms[i].kind, forms[i].written, &q), "%s", forms[i].written);
		cr_expect(close_to(q.si, forms[i].si, 1e-12), "%s: %.12g", forms[i].written, q.si);
		cr_expect_eq(q.bound, forms[i].bound, "%s", forms[i].written);
		bool stated = forms[i].uncertainty >= 0;
		cr_expect(stated ? close_to(q.uncertainty, forms[i].uncertainty, 1e-12) : q.uncertainty < 0,
			"%s: width %g", forms[i].written, q.uncertainty);
		cr_expect(q.known == STATED && q.kind == forms[i].kind);
		cr_expect_str_eq(q.written, forms[i].written);
		cr_expect(q.place.line == 3 && q.place.column == 7);
	}
	cr_expect_eq(problems.count, 0);
}

#define TEN_DEGREES "\u00b0\u00b0\u00b0\u00b0\u00b0\u00b0\u00b0\u00b0\u00b0\u00b0"

static const struct {
	enum kind kind;
	const char *written;
	enum problem_code code;
	const char *says;
} faults[] = {
	{KIND_TEMPERATURE, "121", PROBLEM_UNIT_MISSING, "allowed: degC, degF, K"},
	{KIND_TEMPERATURE, "", PROBLEM_NOT_A_NUMBER, "a number is expected"},
	{KIND_TEMPERATURE, "hot", PROBLEM_NOT_A_NUMBER, "a number is expected"},
	{KIND_TEMPERATURE, "degC 121", PROBLEM_NOT_A_NUMBER, "a number is expected"},
	{KIND_TEMPERATURE, "nan degC", PROBLEM_NOT_A_NUMBER, ""},
	{KIND_TEMPERATURE, "inf K", PROBLEM_NOT_A_NUMBER, ""},
	{KIND_TEMPERATURE, "0x10 K", PROBLEM_NOT_A_NUMBER, "decimal"},
	{KIND_TEMPERATURE, "1e999 K", PROBLEM_NOT_A_NUMBER, ""},
	{KIND_TEMPERATURE, "1,5 degC", PROBLEM_NOT_A_NUMBER, "decimal point"},
	{KIND_TEMPERATURE, "1 000 K", PROBLEM_NOT_A_NUMBER, "without spaces"},
	{KIND_TEMPERATURE, "1.2.3 K", PROBLEM_NOT_A_NUMBER, ""},
	{KIND_TEMPERATURE, "110-121 degC", PROBLEM_NOT_A_NUMBER, "range"},
	{KIND_TEMPERATURE, "110 to 121 degC", PROBLEM_NOT_A_NUMBER, "range"},
	{KIND_TEMPERATURE, "<121 +/- 2 degC", PROBLEM_NOT_A_NUMBER, "bound"},
	{KIND_TEMPERATURE, "121 +/- -2 degC", PROBLEM_NOT_A_NUMBER, "positive"},
	{KIND_TEMPERATURE, "121 +/- degC", PROBLEM_NOT_A_NUMBER, "+/-"},
	{KIND_TEMPERATURE, "121 degX", PROBLEM_UNKNOWN_UNIT, "nearest: degC"},
	{KIND_TEMPERATURE, "121 degC x", PROBLEM_UNKNOWN_UNIT, "nearest: degC"},
	{KIND_TEMPERATURE, "121 c", PROBLEM_UNKNOWN_UNIT, "nearest: C"},
	{KIND_TEMPERATURE, "121 kPa", PROBLEM_WRONG_KIND, "kPa measures pressure difference"},
	{KIND_TEMPERATURE, "121 degC +/- 2 bar", PROBLEM_WRONG_KIND, "allowed: K, degC"},
	{KIND_TEMPERATURE, "-300 degC", PROBLEM_OUT_OF_PHYSICS, "below absolute zero (-273.15 degC)"},
	{KIND_TEMPERATURE, "-460 degF", PROBLEM_OUT_OF_PHYSICS, "-459.67 degF"},
	{KIND_PRESSURE, "62 bar", PROBLEM_WRONG_KIND, "write bara or barg"},
	{KIND_PRESSURE, "62 BAR", PROBLEM_WRONG_KIND, "write bara or barg"},
	{KIND_PRESSURE, "900 psi", PROBLEM_WRONG_KIND, "write psia or psig"},
	{KIND_PRESSURE, "900 kPa", PROBLEM_WRONG_KIND, "write kPaa or kPag"},
	{KIND_PRESSURE, "-3 bara", PROBLEM_OUT_OF_PHYSICS, "below absolute zero pressure"},
	{KIND_PRESSURE, "-1.1 barg", PROBLEM_OUT_OF_PHYSICS, "(-1.005 barg)"},
	{KIND_PRESSURE, "5 mPag", PROBLEM_UNKNOWN_UNIT, "nearest: MPag"},
	{KIND_MASS_FRACTION, "140 wt%", PROBLEM_OUT_OF_PHYSICS, "above 100 wt%"},
	{KIND_MASS_FRACTION, "-1 wt%", PROBLEM_OUT_OF_PHYSICS, "below zero"},
	{KIND_MASS_FRACTION, "45 %", PROBLEM_WRONG_KIND, "write wt%"},
	{KIND_MASS_FRACTION, "0.45", PROBLEM_UNIT_MISSING, "45 wt%"},
	{KIND_TRACE, "5 ppm", PROBLEM_UNKNOWN_UNIT, "write ppmw"},
	{KIND_GAS_TRACE, "5 ppmw", PROBLEM_WRONG_KIND, "ppmw measures mass fraction"},
	{KIND_MOLAR_FLOW, "31 Mscfd", PROBLEM_UNKNOWN_UNIT, "MMscfd"},
	{KIND_MOLAR_FLOW, "31 m3/h", PROBLEM_WRONG_KIND, "reference state"},
	{KIND_MASS_FLOW, "31 ton/h", PROBLEM_UNKNOWN_UNIT, "short or long"},
	{KIND_VISCOSITY, "2 MPa.s", PROBLEM_UNKNOWN_UNIT, "nearest: mPa"},
	{KIND_POWER, "2 mW", PROBLEM_UNKNOWN_UNIT, "nearest: MW"},
	{KIND_STRESS, "2 N/Mm2", PROBLEM_UNKNOWN_UNIT, "nearest: N/mm2"},
	{KIND_CONCENTRATION, "2 m", PROBLEM_WRONG_KIND, "m measures length"},
	{KIND_LOADING, "45 mol%", PROBLEM_WRONG_KIND, "mole per mole"},
	{KIND_LOADING, "0,45", PROBLEM_NOT_A_NUMBER, "decimal point"},
	{KIND_LENGTH, "1-1/2 in", PROBLEM_NOT_A_NUMBER, "not a fraction"},
	{KIND_LENGTH, "1/2 in", PROBLEM_NOT_A_NUMBER, "not a fraction"},
	{KIND_COUNT, "5 kg", PROBLEM_WRONG_KIND, "a number without a unit"},
	{KIND_PH, "17", PROBLEM_OUT_OF_PHYSICS, "above 16"},
	{KIND_PH, "-2.5", PROBLEM_OUT_OF_PHYSICS, "below -2"},
	{KIND_YES_NO, "Yes", PROBLEM_NOT_A_CHOICE, "nearest: yes"},
	/* Signs alone are no unit, neither one that may be left away nor one that is refused. */
	{KIND_LOADING, "0.45 ^", PROBLEM_UNKNOWN_UNIT, "unknown unit \"^\""},
	{KIND_MASS_FRACTION, "0.45 .^", PROBLEM_UNKNOWN_UNIT, "unknown unit \".^\""},
	/* Thirteen signs of three letters each fill what a spelling is compared in to the last byte. */
	{KIND_TEMPERATURE, "5 " TEN_DEGREES "\u00b0\u00b0\u00b0C", PROBLEM_UNKNOWN_UNIT, "unknown unit"},
};

Test(quantity, refuses_with_the_reason)
{
	for (size_t i = 0; i < COUNT(faults); i++) {
		struct quantity q = {.si = -7};
		size_t before = problems.count;
		cr_expect_not(parse(faults[i].kind, faults[i].written, &q), "%s", faults[i].written);
		cr_assert_eq(problems.count, before + 1, "%s", faults[i].written);
		const struct problem *problem = &problems.rows[before];
		cr_expect_eq(
			problem->code, faults[i].code, "%s: %s", faults[i].written, problem_line(&problems, problem));
		cr_expect_not_null(
			strstr(problem->message, faults[i].says), "%s: %s", faults[i].written, problem->message);
		cr_expect_eq(problem->place.column, 7);
		cr_expect_eq(q.si, -7, "%s: nothing is written after a fault", faults[i].written);
	}
}

/* What follows the last accepted kind is not accepted: of none of them is anything offered. */
Test(quantity, an_unknown_unit_is_answered_with_some_of_each_accepted_kind)
{
	static const struct {
		struct accepted accepted;
		const char *message;
	} rows[] = {
		{{{KIND_LENGTH}, 1}, "flow \"5 degX\": unknown unit \"degX\"; allowed: mm, in, m, ft ..."},
		{{{KIND_VELOCITY, KIND_TEMPERATURE}, 1},
			"flow \"5 degX\": unknown unit \"degX\"; allowed: m/s, ft/s, ft/min, km/h ..."},
		{{{KIND_LIQUID_FLOW, KIND_MASS_FLOW}, 2},
			"flow \"5 degX\": unknown unit \"degX\"; allowed: m3/h, gpm, m3/d, bbl/d, kg/h, kg/s, t/h, "
			"lb/h ..."},
		{{{KIND_MOLAR_FLOW, KIND_MASS_FLOW, KIND_GAS_FLOW}, 3},
			"flow \"5 degX\": unknown unit \"degX\"; allowed: kmol/h, MMscfd, kg/h, kg/s, am3/h, acfm ..."},
		{{{KIND_LOADING, KIND_COUNT}, 2},
			"flow \"5 degX\": unknown unit \"degX\"; allowed: mol/mol, mmol/mol, a number without a unit"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct quantity q;
		cr_expect_not(quantity_parse(&arena, "5 degX", "flow", rows[i].accepted, BAROMETRIC,
			(struct place){"design.xml", 1, 1}, &problems, &q));
		cr_assert_eq(problems.count, i + 1);
		cr_expect_str_eq(problems.rows[i].message, rows[i].message);
	}
	struct quantity q;
	cr_expect_not(quantity_parse(&arena, "5 psi", "flow", (struct accepted){{KIND_LENGTH, KIND_PRESSURE}, 1},
		BAROMETRIC, (struct place){"design.xml", 1, 1}, &problems, &q));
	cr_expect_null(strstr(problems.rows[problems.count - 1].message, "psia"), "%s",
		problems.rows[problems.count - 1].message);
}

Test(quantity, several_kinds_take_the_one_of_the_unit)
{
	struct accepted flow = {{KIND_LIQUID_FLOW, KIND_MASS_FLOW}, 2};
	struct accepted content = {{KIND_LOADING, KIND_MASS_FRACTION}, 2},
			other = {{KIND_MASS_FRACTION, KIND_LOADING}, 2};
	struct place place = {"design.xml", 1, 1};
	struct quantity q;
	cr_assert(quantity_parse(&arena, "3600 kg/h", "flow", flow, BAROMETRIC, place, &problems, &q));
	cr_expect(q.kind == KIND_MASS_FLOW && close_to(q.si, 1, 1e-14));
	cr_assert(quantity_parse(&arena, "3600 m3/h", "flow", flow, BAROMETRIC, place, &problems, &q));
	cr_expect(q.kind == KIND_LIQUID_FLOW && close_to(q.si, 1, 1e-14));
	cr_assert(quantity_parse(&arena, "0.4", "content", content, BAROMETRIC, place, &problems, &q));
	cr_expect_eq(q.kind, KIND_LOADING);
	cr_expect_not(quantity_parse(&arena, "0.4", "content", other, BAROMETRIC, place, &problems, &q),
		"a bare number only where the first kind has one");
}

Test(quantity, kinds_are_sound)
{
	static const struct {
		double least, largest;
	} bounds[] = {
#define KIND(code, name, si, shown, second, least, largest) {least, largest},
#include "quantity/kinds.def"
#undef KIND
	};
	for (int i = 0; i < QUANTITY_KINDS; i++) {
		enum kind kind = (enum kind)i, found;
		double factor, offset;
		cr_expect(kind_from_name(kind_name(kind), &found) && found == kind, "%s", kind_name(kind));
		if (!kind_is_number(kind))
			continue;
		cr_expect(unit_find(kind, kind_unit(kind), 0, &factor, &offset), "%s", kind_name(kind));
		cr_expect(!*kind_second(kind) || unit_find(kind, kind_second(kind), 0, &factor, &offset), "%s",
			kind_name(kind));
		cr_expect_lt(bounds[i].least, bounds[i].largest, "%s", kind_name(kind));
	}
	enum kind kind;
	cr_expect_not(kind_from_name("colour", &kind));
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
				cr_expect(close_to(factor, other_factor, 0) && close_to(offset, other_offset, 0),
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

/* A step of a linear congruential generator (Knuth, The Art of Computer Programming 2, 1997, 3.3.4: the constants of MMIX). */
static double next_share(unsigned long long *state)
{
	*state = *state * 6364136223846793005ULL + 1442695040888963407ULL;
	return (double)(*state >> 11) / 9007199254740992.0;
}

/* What is shown reads back to the same value within half of its fourth digit. */
Test(quantity, what_is_shown_reads_back)
{
	unsigned long long state = 20260914;
	size_t tried = 0;
	for (size_t i = 0; i < unit_count(); i++) {
		enum kind kind, found;
		const char *unit = unit_spelling(i, &kind);
		double factor, offset, at_sea, at_site;
		cr_assert(unit_find(kind, unit, 0, &factor, &at_sea) &&
			unit_find(kind, unit, BAROMETRIC, &factor, &at_site));
		if (at_sea < at_site)
			continue; /* gauge units do not show */
		offset = at_sea;
		for (int j = 0; j < 40; j++) {
			double value = pow(10, 9 * next_share(&state) - 7), si = value * factor + offset;
			struct quantity made = {.known = COMPUTED, .kind = kind, .si = si}, read = {0};
			made.bound = (enum bound)(j % 3);
			const char *shown = quantity_show(&arena, &made, unit);
			cr_expect_null(strstr(shown, "nan"));
			size_t before = problems.count;
			if (!parse(kind, shown, &read)) { /* above 100 % is refused, nothing else */
				cr_expect_eq(problems.rows[before].code, PROBLEM_OUT_OF_PHYSICS, "%s of %s", shown,
					kind_name(kind));
				continue;
			}
			tried++;
			cr_expect_eq(read.bound, made.bound, "%s", shown);
			cr_expect(close_to((read.si - offset) / factor, value, 5.1e-4), "%s of %s from %.17g", shown,
				kind_name(kind), value);
			found = read.kind;
			cr_expect_eq(found, kind);
		}
	}
	cr_expect_gt(tried, 10000);
}

/* Any bytes at all: a value or one problem, no crash, and every value within the bounds of physics. */
Test(quantity, survives_rubbish)
{
	static const char *const scraps[] = {"1", "0", ".", ",", "-", "+", "/", "e", "E9", "+/-", "<", ">", " ", "%",
		"degC", "bar", "g", "m3", "\u00b1", "\u00b0", "\xc2", "\xff", "\n", "x", "(", ")", "9999999999", "ppm",
		"w", "\"", "_"};
	const size_t scrap_count = COUNT(scraps);
	unsigned long long state = 1;
	for (int i = 0; i < 20000; i++) {
		const char *written = "";
		for (int j = (int)(7 * next_share(&state)); j >= 0; j--)
			written = arena_format(
				&arena, "%s%s", written, scraps[(size_t)(next_share(&state) * (double)scrap_count)]);
		enum kind kind = (enum kind)(next_share(&state) * KIND_WORD);
		struct quantity q = {0};
		size_t before = problems.count;
		bool read = parse(kind, written, &q);
		cr_assert_eq(problems.count, before + (read ? 0 : 1), "\"%s\"", written);
		cr_assert(!read || isfinite(q.si), "\"%s\"", written);
		if (!read)
			cr_assert_null(strchr(problem_line(&problems, &problems.rows[before]), '\n'));
	}
}

Test(quantity, a_long_text_is_refused_shortly)
{
	char *written = arena_alloc(&arena, 100001);
	memset(written, '9', 100000);
	struct quantity q;
	cr_expect_not(parse(KIND_MASS, written, &q));
	written[1] = ' ';
	memset(written + 2, 'k', 99998);
	cr_expect_not(parse(KIND_MASS, written, &q));
	cr_assert_eq(problems.count, 2);
	cr_expect_lt(strlen(problems.rows[0].message), 250);
	cr_expect_lt(strlen(problems.rows[1].message), 300);
}

Test(quantity, shows_as_an_engineer_writes)
{
	static const struct {
		enum kind kind;
		double si;
		const char *unit, *shown;
	} rows[] = {
		{KIND_VELOCITY, 2.1, NULL, "2.10 m/s"},
		{KIND_VELOCITY, 2.1, "ft/s", "6.89 ft/s"},
		{KIND_VELOCITY, 0, NULL, "0 m/s"},
		{KIND_VELOCITY, (double)NAN, NULL, "not known"},
		{KIND_VELOCITY, (double)INFINITY, NULL, "beyond all numbers"},
		{KIND_TEMPERATURE, 394.15, NULL, "121 degC"},
		{KIND_TEMPERATURE, 272.65, NULL, "-0.500 degC"},
		{KIND_TEMPERATURE_DIFFERENCE, 10, "degF", "18.0 degF"},
		{KIND_PRESSURE, 6300500, NULL, "63.01 bara"},
		{KIND_PRESSURE, 6300500, "barg", "63.01 bara"},
		{KIND_LENGTH, 0.2191, NULL, "219.1 mm"},
		{KIND_MASS_FLOW, 34567.89 / 3.6, NULL, "3.457e7 kg/h"},
		{KIND_MASS_FLOW, 34567.89 / 3600, NULL, "34570 kg/h"},
		{KIND_COUNT, 12345, NULL, "12345"},
		{KIND_COUNT, 7.5, NULL, "7.50"},
		{KIND_RATIO, 0.62, NULL, "0.620"},
		{KIND_PH, 9.2, NULL, "9.20"},
		{KIND_LOADING, 0.006, NULL, "0.00600 mol/mol"},
		{KIND_TRACE, 3e-9, NULL, "0.00300 ppmw"},
		{KIND_TRACE, 3e-11, NULL, "3.00e-5 ppmw"},
		{KIND_YES_NO, 1, NULL, "yes"},
		{KIND_YES_NO, 0, NULL, "no"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct quantity q = {.known = COMPUTED, .kind = rows[i].kind, .si = rows[i].si};
		cr_expect_str_eq(quantity_show(&arena, &q, rows[i].unit), rows[i].shown);
	}
}

Test(quantity, shows_both_units)
{
	const struct quantity velocity = {.known = COMPUTED, .kind = KIND_VELOCITY, .si = 2.1};
	const struct quantity wall = {.known = STATED, .kind = KIND_LENGTH, .si = 0.005, .bound = BOUND_BELOW};
	const struct quantity approach = {.known = COMPUTED, .kind = KIND_TEMPERATURE_DIFFERENCE, .si = 10};
	const struct quantity ph = {.known = COMPUTED, .kind = KIND_PH, .si = 9.2};
	const struct quantity word = {.known = STATED, .kind = KIND_WORD, .word = "MDEA"};
	cr_expect_str_eq(quantity_show_both(&arena, &velocity), "2.10 m/s (6.89 ft/s)");
	cr_expect_str_eq(quantity_show_both(&arena, &wall), "< 5.00 mm (< 0.1969 in)");
	cr_expect_str_eq(quantity_show_both(&arena, &approach), "10.0 K (18.0 degF)");
	cr_expect_str_eq(quantity_show_both(&arena, &ph), "9.20");
	cr_expect_str_eq(quantity_show_both(&arena, &word), "MDEA");
	const struct quantity *unknown = quantity_unknown(&arena, KIND_VELOCITY, "no flow is stated");
	cr_expect_str_eq(quantity_show_both(&arena, unknown), "not stated");
}

Test(quantity, number_show_keeps_four_digits)
{
	static const struct {
		double value;
		const char *shown;
	} rows[] = {{0, "0"}, {-0.0, "0"}, {2.1, "2.1"}, {1.23456, "1.235"}, {-1.23456, "-1.235"}, {121, "121"},
		{12346, "12350"}, {0.0001, "0.0001"}, {0.00001234, "1.234e-5"}, {1e6, "1000000"}, {99999, "100000"},
		{1e7, "1e7"}, {9.9999e6, "1e7"}, {1.5e100, "1.5e100"}, {-2e-300, "-2e-300"}};
	for (size_t i = 0; i < COUNT(rows); i++)
		cr_expect_str_eq(number_show(&arena, rows[i].value), rows[i].shown);
}

static const struct formula formula = {"line-velocity", "v = 4 Q / (pi D^2)", "", ""};

Test(quantity, computed_copies_its_inputs)
{
	const struct quantity *flow = quantity_assumed(&arena, KIND_LIQUID_FLOW, 0.01, 0, "example");
	struct input inputs[] = {{.symbol = "Q", .name = "volume flow", .quantity = flow, .effect = EFFECT_UNSAID}};
	const struct quantity *v = quantity_computed(&arena, KIND_VELOCITY, 2, 0.1, &formula, inputs, 1);
	inputs[0].quantity = NULL;
	cr_expect(v->known == COMPUTED && v->kind == KIND_VELOCITY && v->formula == &formula);
	cr_assert_eq(v->input_count, 1);
	cr_expect_eq(v->inputs[0].quantity, flow);
	cr_expect(close_to(v->si, 2, 0) && close_to(v->uncertainty, 0.1, 0));
}

Test(quantity, computed_is_unknown_when_an_input_is)
{
	struct quantity bound;
	cr_assert(parse(KIND_TRACE, "<5 ppmw", &bound));
	const struct quantity *unknown =
		quantity_unknown(&arena, KIND_LIQUID_FLOW, "the flow of lean-hot is not stated");
	const struct quantity *known = quantity_assumed(&arena, KIND_LENGTH, 0.1, 0, "example");
	const struct input with_unknown[] = {
		{.symbol = "D", .name = "bore", .quantity = known, .effect = EFFECT_UNSAID},
		{.symbol = "Q", .name = "volume flow", .quantity = unknown, .effect = EFFECT_UNSAID}};
	const struct input with_nothing[] = {
		{.symbol = "Q", .name = "volume flow", .quantity = NULL, .effect = EFFECT_UNSAID}};
	const struct input with_bound[] = {
		{.symbol = "c", .name = "chloride", .quantity = &bound, .effect = EFFECT_UNSAID}};
	const struct input good[] = {{.symbol = "D", .name = "bore", .quantity = known, .effect = EFFECT_UNSAID}};
	cr_expect(inputs_known(good, 1) && inputs_known(NULL, 0));
	cr_expect_not(inputs_known(with_unknown, 2) || inputs_known(with_nothing, 1) || inputs_known(with_bound, 1));
	const struct quantity *v = quantity_computed(&arena, KIND_VELOCITY, 1, 0, &formula, with_unknown, 2);
	cr_expect_eq(v->known, UNKNOWN);
	cr_expect_str_eq(v->reason, "the flow of lean-hot is not stated");
	v = quantity_computed(&arena, KIND_VELOCITY, 1, 0, &formula, with_nothing, 1);
	cr_expect_str_eq(v->reason, "volume flow is not stated");
	v = quantity_computed(&arena, KIND_VELOCITY, 1, 0, &formula, with_bound, 1);
	cr_expect_str_eq(v->reason, "chloride is stated only as a bound (< 5.00 ppmw)");
	v = quantity_computed(&arena, KIND_VELOCITY, (double)NAN, 0, &formula, good, 1);
	cr_expect_eq(v->known, UNKNOWN);
	cr_expect_str_eq(v->reason, "line-velocity gives no number here");
}

Test(quantity, assumed_words)
{
	const struct quantity *yes = quantity_assumed_word(&arena, KIND_YES_NO, "yes", "default");
	const struct quantity *amine = quantity_assumed_word(&arena, KIND_WORD, "MDEA", "default");
	cr_expect(yes->known == ASSUMED && yes->si > 0);
	cr_expect_str_eq(quantity_show(&arena, yes, NULL), "yes");
	cr_expect_str_eq(quantity_show(&arena, amine, NULL), "MDEA");
}

Test(quantity, quantity_in_converts)
{
	cr_expect(close_to(quantity_in(373.15, KIND_TEMPERATURE, "degF"), 212, 1e-12));
	cr_expect(close_to(quantity_in(0.01, KIND_LIQUID_FLOW, "m3/h"), 36, 1e-12));
}

static int in_an_unknown_unit(void)
{
	quantity_in(1, KIND_LENGTH, "furlong");
	return 0;
}

static int in_a_gauge_unit(void)
{
	quantity_in(1, KIND_PRESSURE, "barg");
	return 0;
}

/* A bug in the program: it ends at once, with the place and what was asked for. */
Test(quantity, quantity_in_aborts_where_the_program_asks_for_no_unit)
{
	struct said unknown = said_by(&arena, in_an_unknown_unit), gauge = said_by(&arena, in_a_gauge_unit);
	cr_expect_eq(unknown.signal, SIGABRT, "%d: %s", unknown.status, unknown.text);
	cr_expect(strstr(unknown.text, "quantity_show.c:") && strstr(unknown.text, ": furlong\n"), "%s", unknown.text);
	cr_expect_eq(gauge.signal, SIGABRT, "%d: %s", gauge.status, gauge.text);
	cr_expect(strstr(gauge.text, ": a gauge unit needs the barometric pressure"), "%s", gauge.text);
}

Test(quantity, the_same_number)
{
	cr_assert(number_same(0.0, -0.0));
	cr_assert(number_same((double)NAN, (double)NAN), "what is unknown twice is one reading");
	cr_assert_not(number_same((double)NAN, 1.0), "what is unknown is not what is known");
	cr_assert_not(number_same(1.0, (double)NAN));
	cr_assert_not(number_same(1.0, 1.0 + 1e-15));
}
