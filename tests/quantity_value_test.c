/*
 * A value as it is shown and passed on: kinds, digits, inputs of a computed value.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "quantity_support.h"
#include "said.h"

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
			cr_expect(same_within((read.si - offset) / factor, value, 5.1e-4), "%s of %s from %.17g", shown,
				kind_name(kind), value);
			found = read.kind;
			cr_expect_eq(found, kind);
		}
	}
	cr_expect_gt(tried, 10000);
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

/* "%.4g" as the library rounds it, without an exponent from 1e-4 to below 1e7. */
static void expect_as_library(double value)
{
	char expected[32];
	snprintf(expected, sizeof expected, "%.4g", value);
	double rounded = strtod(expected, NULL);
	if (fabs(rounded) < 1e-4 || fabs(rounded) >= 1e7)
		return;
	if (strchr(expected, 'e'))
		snprintf(expected, sizeof expected, "%.0f", rounded);
	cr_assert_str_eq(number_show(&arena, value), expected, "%.17g", value);
}

Test(quantity, number_show_rounds_as_the_library)
{
	static const double scales[] = {1e-6, 1e-5, 1e-4, 1e-3, 1e-2, 0.1, 1};
	for (int whole = 1; whole < 40000; whole++)
		for (size_t i = 0; i < COUNT(scales); i++) {
			const double scale = scales[i];
			expect_as_library(whole * scale);
			expect_as_library(-whole * scale / 8); /* ties among them */
			expect_as_library(nextafter(whole * scale / 2, (double)INFINITY));
			expect_as_library(nextafter(whole * scale / 2, -(double)INFINITY));
		}
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
	cr_expect(same_within(v->si, 2, 0) && same_within(v->uncertainty, 0.1, 0));
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
	cr_expect(same_within(quantity_in(373.15, KIND_TEMPERATURE, "degF"), 212, 1e-12));
	cr_expect(same_within(quantity_in(0.01, KIND_LIQUID_FLOW, "m3/h"), 36, 1e-12));
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

/* 8 known by a factor 2 lies between 4 and 16; known to +/- 4 between 4 and 12. */
Test(quantity, ends_of_a_value)
{
	const struct quantity *by_factor = quantity_computed_by_factor(&arena, KIND_RATIO, 8, 8, NULL, NULL, 0);
	const struct quantity *by_width = quantity_computed(&arena, KIND_RATIO, 8, 4, NULL, NULL, 0);

	cr_expect(same_within(quantity_low(by_factor), 4, 1e-12) && same_within(quantity_high(by_factor), 16, 1e-12));
	cr_expect(same_within(quantity_low(by_width), 4, 1e-12) && same_within(quantity_high(by_width), 12, 1e-12));
	cr_expect(same_within(quantity_reach(by_factor, 1), 4, 1e-12) &&
		same_within(quantity_reach(by_factor, 9), 8, 1e-12));
	const struct quantity *none = quantity_computed_by_factor(&arena, KIND_RATIO, 0, 1, NULL, NULL, 0);
	cr_expect(same_within(quantity_low(none), -1, 1e-12), "no factor of nothing");
}
