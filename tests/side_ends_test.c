/* What sides of exchangers state of their own ends, where they name no streams; the invented unit of tests/designs/side-ends.xml. */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "review_support.h"

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
	trial_review_file(&trial, "tests/designs/side-ends.xml");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(side_ends, .init = begin, .fini = end);

static double in(const char *item, const char *of_case, const char *name, const char *unit)
{
	return trial_number(&trial, item, of_case, name, unit);
}

Test(side_ends, a_side_is_as_hot_as_its_hotter_end_and_has_the_pressure_of_its_inlet)
{
	cr_expect_float_eq(in("E-1 shell side", NULL, "temperature", "degC"), 98, 1e-6);
	cr_expect_float_eq(in("E-1 tube side", NULL, "temperature", "degC"), 121, 1e-6);
	cr_expect_float_eq(in("E-1 shell side", NULL, "pressure", "bara"), 6.5 + 1.01325, 1e-4);
	cr_expect_float_eq(in("E-4 shell side", NULL, "temperature", "degC"), 38, 1e-6);
}

/* By hand: 121 - 98 = 23 K, 84 - 62 = 22 K, (23 - 22) / ln(23 / 22) = 22.496 K; 120 - 95 = 85 - 60 = 25 K. */
Test(side_ends, the_four_temperatures_of_a_lean_rich_exchanger_give_its_approach)
{
	cr_expect_float_eq(trial_si(&trial, "E-1", "hot-end-approach"), 23, 1e-6);
	cr_expect_float_eq(trial_si(&trial, "E-1", "cold-end-approach"), 22, 1e-6);
	cr_expect_float_eq(trial_si(&trial, "E-1", "lmtd"), 22.4963, 1e-3);
	cr_expect_float_eq(trial_si(&trial, "E-1", "approach-judged"), 22, 1e-6);
	cr_expect_float_eq(trial_si(&trial, "E-2", "lmtd"), 25, 1e-6);
}

Test(side_ends, what_cools_has_the_temperatures_of_its_side_in_each_case)
{
	cr_expect_float_eq(in("E-4", "normal", "medium-inlet-temperature", "degC"), 28, 1e-6);
	cr_expect_float_eq(in("E-4", "normal", "medium-outlet-temperature", "degC"), 38, 1e-6);
	cr_expect_float_eq(in("E-4", "summer", "medium-inlet-temperature", "degC"), 32, 1e-6);
	cr_expect_float_eq(in("E-4", "normal", "approach-to-medium", "K"), 45 - 28, 1e-6);
}

/* The other end of the rich plates is not stated: they may be hotter than their inlet. */
Test(side_ends, one_end_alone_is_a_lower_bound)
{
	trial_review_unit(&trial, "MDEA",
		"<exchanger tag='E-1' service='lean/rich'><shell-side service='rich' inlet-temperature='62 "
		"degC'/></exchanger>");
	const struct quantity *bound = trial_put(&trial, "E-1 shell side", "temperature");
	cr_expect(bound->bound == BOUND_ABOVE && fabs(bound->si - 335.15) < 1e-6, "%g", bound->si);
}

/* 121 degC beside the 110 degC of the stream that enters, 8 barg beside the 3 barg of the one that leaves; 80 degC and 4 barg agree. */
Test(side_ends, an_end_that_its_stream_contradicts_is_an_item_of_the_review)
{
	size_t temperatures = 0, pressures = 0;
	for (size_t i = 0; i < table_item_count(trial.review->table); i++) {
		const char *tag = table_item(trial.review->table, i)->tag;
		if (!item_is(table_item(trial.review->table, i), "contradiction") || !strstr(tag, "E-3"))
			continue;
		temperatures += strstr(tag, "temperature") != NULL;
		pressures += strstr(tag, "pressure") != NULL;
	}
	cr_expect(temperatures == 1 && pressures == 1, "%zu %zu", temperatures, pressures);
}
