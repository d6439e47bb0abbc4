/*
 * Pumps in series, pumping out, and the two sides of what stands in a line. The figures are worked by hand beside each;
 * the designs are invented.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "review_support.h"

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(envelope_series, .init = begin, .fini = end);

static void unit(const char *body)
{
	trial_review_unit(&trial, "MDEA", arena_format(&trial.arena, "%s", body));
}

static int verdict(const char *rule, const char *item)
{
	const struct finding *found = trial_finding(&trial, rule, item);
	return found ? (int)found->verdict : (int)VERDICT_NOT_APPLICABLE;
}

static double barg(const char *item, const char *name, double atmosphere)
{
	return trial_number(&trial, item, NULL, name, "bara") - atmosphere;
}

Test(envelope_series, of_each_matter_one_item_departs_and_another_meets)
{
	static const struct {
		const char *rule, *departs, *meets;
	} rows[] = {{"ENV-001", "L-3", "L-2"}, {"ENV-004", "E-1 tube side", NULL}, {"PMP-007", "L-4", "L-2"},
		{"HLP-002", "P-1", NULL}, {"HLP-005", "E-2", "E-3"}, {"ENV-020", "D-1", "D-2"}};
	trial_review_file(&trial, "tests/designs/series.xml");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	for (size_t i = 0; i < COUNT(rows); i++) {
		cr_expect_eq(verdict(rows[i].rule, rows[i].departs), VERDICT_DEPARTS, "%s", rows[i].rule);
		if (rows[i].meets)
			cr_expect_eq(verdict(rows[i].rule, rows[i].meets), VERDICT_MEETS, "%s", rows[i].rule);
	}
	/* The booster 1 + 1.25 (7 - 1) is 8.5 barg; the pump after it 8.5 + 1.25 (66 - 6) is 83.5, where from 6 barg it would be 81. */
	cr_expect_float_eq(barg("P-1", "shut-off-pressure", 1.013), 8.5, 1e-6);
	cr_expect_float_eq(barg("P-2", "shut-off-pressure", 1.013), 83.5, 1e-6);
	/* C-1 at 70 barg, past both pumps, into C-2 that was tested at 1.3 x 3.5. */
	cr_expect_float_eq(trial_number(&trial, "P-1", NULL, "reverse-over-test", ""), 70 / 4.55, 1e-6);
}

/* ---- pumps in series ---- */

static const char series[] = "<stream id='a' service='lean' from='C' to='P' pressure='1 barg'/>"
			     "<stream id='b' service='lean' from='P' to='%s' pressure='7 barg'/>%s"
			     "<stream id='d' service='lean' from='Q' to='A' pressure='66 barg'/>"
			     "<regenerator tag='C' lean='a' design-pressure='3.5 barg'/><absorber tag='A' lean='d' "
			     "design-pressure='70 barg'/>"
			     "<pump tag='P' service='lean' suction='a' discharge='b' %s/>"
			     "<pump tag='Q' service='lean' suction='%s' discharge='d' %s/>";

static void in_series(const char *booster, const char *second)
{
	unit(arena_format(&trial.arena, series, "Q", "", booster, "b", second));
}

/* From the suction of the second, 7 barg: 7 + 1.25 (66 - 7) is 80.75; from the booster at 8.5 barg 82.25, at 12 barg 85.75. */
Test(envelope_series, a_booster_raises_the_highest_suction)
{
	static const struct {
		const char *booster, *second;
		double shut_off;
	} rows[] = {{"", "", 82.25}, {"shut-off-pressure='12 barg'", "", 85.75},
		{"shut-off-pressure='6 barg'", "", 80.75}, {"", "shut-off-pressure='90 barg'", 90}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		in_series(rows[i].booster, rows[i].second);
		cr_expect_float_eq(barg("Q", "shut-off-pressure", 1.01325), rows[i].shut_off, 1e-6, "row %zu", i);
	}
	/* A vessel between holds the booster's pressure from the second pump. */
	unit(arena_format(&trial.arena, series, "V",
		"<stream id='c' service='lean' from='V' to='Q' pressure='7 barg'/><vessel tag='V' design-pressure='10 "
		"barg'/>",
		"", "c", ""));
	cr_expect_float_eq(barg("Q", "shut-off-pressure", 1.01325), 80.75, 1e-6);
}

Test(envelope_series, two_pumps_of_one_suction_do_not_boost_each_other)
{
	unit("<stream id='a' service='lean' from='C' to='P' pressure='1 barg'/>"
	     "<stream id='b' service='lean' from='P' to='A' pressure='66 barg'/>"
	     "<regenerator tag='C' lean='a'/><absorber tag='A' lean='b'/>"
	     "<pump tag='P' service='lean' suction='a' discharge='b'/><pump tag='Q' service='lean' suction='a' "
	     "discharge='b'/>");
	cr_expect_float_eq(barg("P", "shut-off-pressure", 1.01325), 82.25, 1e-6);
	cr_expect_float_eq(barg("Q", "shut-off-pressure", 1.01325), 82.25, 1e-6);
}

/*
 * What a booster gives that nobody states is at least its suction: the second pump then gives at least so much, and
 * nothing is met by it.
 */
Test(envelope_series, a_booster_that_nobody_rates_leaves_the_second_a_bound)
{
	static const char unrated[] =
		"<stream id='a' service='lean' from='C' to='P'/><stream id='b' service='lean' from='P' to='Q'/>"
		"<stream id='d' service='lean' from='Q' to='A' pressure='66 barg'/><regenerator tag='C' lean='a'/>"
		"<absorber tag='A' lean='d'/><pump tag='P' service='lean' suction='a' discharge='b'/>"
		"<pump tag='Q' service='lean' suction='b' discharge='d' suction-pressure='7 barg'/>"
		"<line tag='L' from='Q' to='A' stream='d' design-pressure='%s'/>";
	unit(arena_format(&trial.arena, unrated, "90 barg"));
	cr_expect_eq(trial_value(&trial, "Q", NULL, "shut-off-pressure")->bound, BOUND_ABOVE);
	cr_expect_eq(verdict("PMP-007", "L"), VERDICT_NOT_JUDGED);
	unit(arena_format(&trial.arena, unrated, "80 barg"));
	cr_expect_eq(verdict("PMP-007", "L"), VERDICT_DEPARTS);
}

/*
 * One check valve at the booster is enough where the pump after it has two unlike ones and a shut-off: nothing comes
 * back so far.
 */
Test(envelope_series, what_runs_back_passes_a_pump_that_does_not_hold_it)
{
	static const struct {
		const char *second;
		int verdict;
	} rows[] = {{"check-valves='2' dissimilar-check-valves='yes' low-flow-shut-off='yes'", VERDICT_MEETS},
		{"check-valves='2' dissimilar-check-valves='yes'", VERDICT_DEPARTS},
		{"check-valves='2'", VERDICT_DEPARTS}, {"", VERDICT_DEPARTS}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		in_series("check-valves='1'", rows[i].second);
		cr_expect_eq(verdict("HLP-002", "P"), rows[i].verdict, "row %zu", i);
	}
	/* The other way: the pump after the booster sees the column that the booster draws from, unless the booster lets nothing back. */
	in_series("check-valves='1'", "check-valves='1'");
	cr_expect_eq(verdict("HLP-002", "Q"), VERDICT_DEPARTS);
}

/* ---- the two sides of what stands in a line ---- */

/* 60 barg upstream and 6 barg downstream: each piece operates at the pressure of its side, and neither at that of the stream. */
Test(envelope_series, the_pieces_either_side_of_a_valve_operate_at_its_sides)
{
	static const struct {
		const char *place, *design;
		int verdict;
	} rows[] = {{"upstream of letdown", "50 barg", VERDICT_DEPARTS},
		{"upstream of letdown", "61 barg", VERDICT_MEETS}, {"downstream of letdown", "5 barg", VERDICT_DEPARTS},
		{"downstream of letdown", "8 barg", VERDICT_MEETS}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		unit(arena_format(&trial.arena,
			"<stream id='s' service='rich' from='C' to='D' pressure='60 barg'/>"
			"<gas id='g' role='feed' pressure='60 barg'/><absorber tag='C' gas='g' rich='s' "
			"design-pressure='70 barg'/>"
			"<flash-drum tag='D' rich='s' design-pressure='8 barg' pressure='6 barg'/>"
			"<line tag='K' from='C' to='D' stream='s' place='upstream of letdown'><valve tag='LV' "
			"role='letdown' "
			"to='D'/></line><line tag='L' from='C' to='D' stream='s' place='%s' design-pressure='%s'/>",
			rows[i].place, rows[i].design));
		cr_expect_eq(verdict("ENV-001", "L"), rows[i].verdict, "row %zu", i);
	}
}

/* The line that holds the valve bears what is upstream of it, and one that lies nobody knows where is asked of nobody. */
Test(envelope_series, the_line_that_holds_the_valve_bears_what_is_upstream)
{
	static const char with_valve[] =
		"<stream id='s' service='rich' from='C' to='D' pressure='%s'/><gas id='g' role='feed' pressure='60 "
		"barg'/><absorber tag='C' gas='g' rich='s'/>"
		"<flash-drum tag='D' rich='s' pressure='6 barg'/>"
		"<line tag='L' from='C' to='D' stream='s' design-pressure='50 barg'><valve tag='LV' role='letdown' "
		"to='D'/></line>";
	unit(arena_format(&trial.arena, with_valve, "60 barg"));
	cr_expect_eq(verdict("ENV-001", "L"), VERDICT_DEPARTS);
	unit(arena_format(&trial.arena, with_valve, "6 barg")); /* the stream as it stands downstream */
	cr_expect_eq(verdict("ENV-001", "L"), VERDICT_MEETS, "at least 6 barg, as its stream says");
}

/* "More than 0.75 barg" may be any pressure: that of the vessel it is open to is not taken in its place. */
Test(envelope_series, a_pressure_that_is_a_bound_is_not_replaced)
{
	unit("<stream id='s' service='lean' from='C' to='D' pressure='>0.75 barg'/><vessel tag='C' pressure='1 barg' "
	     "design-pressure='3 barg'/><vessel tag='D' pressure='0.8 barg' design-pressure='3 barg'/>"
	     "<cooler tag='E'><tube-side inlet='s' design-pressure='3 barg'/></cooler>");
	cr_expect_neq(verdict("ENV-001", "E tube side"), VERDICT_MEETS);
}

/* ---- vacuum ---- */

Test(envelope_series, what_a_pump_draws_from_bears_vacuum_or_is_kept_from_it)
{
	static const struct {
		const char *drum;
		int verdict;
	} rows[] = {{"design-pressure='6 barg'", VERDICT_NOT_JUDGED},
		{"design-pressure='6 barg' vacuum-design='no'", VERDICT_DEPARTS},
		{"design-pressure='6 barg' vacuum-design='yes'", VERDICT_MEETS},
		{"design-pressure='60 barg' vacuum-design='no'", VERDICT_NOT_APPLICABLE}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		unit(arena_format(&trial.arena,
			"<stream id='a' service='rich' from='D' to='P' pressure='3 barg'/><flash-drum tag='D' "
			"rich-outlet='a' %s/><pump tag='P' service='rich' suction='a' discharge-pressure='9 barg'/>",
			rows[i].drum));
		cr_expect_eq(verdict("ENV-020", "D"), rows[i].verdict, "row %zu", i);
	}
	/* It runs out under its own pressure, and no pump draws. */
	unit("<stream id='a' service='rich' from='D' to='C' pressure='3 barg'/><flash-drum tag='D' rich-outlet='a' "
	     "design-pressure='6 barg' vacuum-design='no'/><regenerator tag='C' feed='a'/>");
	cr_expect_eq(verdict("ENV-020", "D"), VERDICT_NOT_APPLICABLE);
}

/* Steam condenses faster than a vent breathes: an open vent serves a tank that is pumped out and not one that is steamed. */
Test(envelope_series, a_tank_that_is_steamed_out_needs_more_than_its_vent)
{
	static const struct {
		const char *tank;
		int verdict;
	} rows[] = {{"open-vent='yes' vacuum-design='no'", VERDICT_MEETS},
		{"open-vent='yes' vacuum-design='no' steamed-out='yes'", VERDICT_DEPARTS},
		{"open-vent='yes' vacuum-design='yes' steamed-out='yes'", VERDICT_MEETS},
		{"open-vent='no' vacuum-design='no'", VERDICT_DEPARTS}, {"", VERDICT_NOT_JUDGED}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		unit(arena_format(&trial.arena,
			"<regenerator tag='C' design-pressure='3.5 barg'/><tank tag='T' service='lean' %s/>",
			rows[i].tank));
		cr_expect_eq(verdict("ENV-020", "T"), rows[i].verdict, "row %zu", i);
	}
}

/* ---- H2S ---- */

/* What isolates, drains and samples sour solution is asked where there is H2S, or may be. */
Test(envelope_series, the_sour_inventory_is_asked_of_where_there_is_h2s)
{
	static const char feed[] = "<gas id='g' role='feed' h2s='%s' co2='5 mol%%'/>";
	static const char *const rules[] = {"HLP-008", "HLP-010"};
	for (size_t i = 0; i < COUNT(rules); i++) {
		unit(arena_format(&trial.arena, feed, "0 mol%"));
		cr_expect_eq(verdict(rules[i], "basis"), VERDICT_NOT_APPLICABLE);
		unit(arena_format(&trial.arena, feed, "1 mol%"));
		cr_expect_eq(verdict(rules[i], "basis"), VERDICT_NOT_JUDGED);
		unit("<gas id='g' role='feed' co2='5 mol%'/>");
		cr_expect_eq(verdict(rules[i], "basis"), VERDICT_NOT_JUDGED);
	}
}
