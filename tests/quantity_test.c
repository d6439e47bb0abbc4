/*
 * A value as it is read: every form that is accepted, and every fault with its reason.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "quantity_support.h"

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
		cr_expect(same_within(q.si, forms[i].si, 1e-12), "%s: %.12g", forms[i].written, q.si);
		cr_expect_eq(q.bound, forms[i].bound, "%s", forms[i].written);
		bool stated = forms[i].uncertainty >= 0;
		cr_expect(stated ? same_within(q.uncertainty, forms[i].uncertainty, 1e-12) : q.uncertainty < 0,
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
			"flow \"5 degX\": unknown unit \"degX\"; allowed: mol/mol, mmol/mol, kmol/kmol, a number "
			"without a unit"},
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
	cr_expect(q.kind == KIND_MASS_FLOW && same_within(q.si, 1, 1e-14));
	cr_assert(quantity_parse(&arena, "3600 m3/h", "flow", flow, BAROMETRIC, place, &problems, &q));
	cr_expect(q.kind == KIND_LIQUID_FLOW && same_within(q.si, 1, 1e-14));
	cr_assert(quantity_parse(&arena, "0.4", "content", content, BAROMETRIC, place, &problems, &q));
	cr_expect_eq(q.kind, KIND_LOADING);
	cr_expect_not(quantity_parse(&arena, "0.4", "content", other, BAROMETRIC, place, &problems, &q),
		"a bare number only where the first kind has one");
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
