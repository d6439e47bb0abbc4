/*
 * One rule before one item in several cases: which case speaks, and what the others are told to be. Rules of the test's own; all
 * numbers are invented.
 */
#include <criterion/criterion.h>

#include "base/count.h"
#include "judge/judge.h"
#include "judge/outcomes.h"
#include "evaluation_support.h"

/* ---- which case speaks ---- */

Test(evaluation, the_further_departure_speaks_in_whatever_order)
{
	expect_case(of_design(OF_LINES, IN_SUMMER("3 m/s"), "P-1"), VERDICT_DEPARTS, "summer");
	expect_case(of_design(OF_LINES, IN_SUMMER("2.2 m/s"), "P-1"), VERDICT_DEPARTS, "normal");
	expect_case(of_design(OF_LINES, IN_SUMMER("1 m/s"), "P-1"), VERDICT_DEPARTS, "normal");
}

Test(evaluation, a_departure_speaks_before_what_is_not_judged_and_that_before_what_is_met)
{
	expect_case(of_design(OF_LINES, IN_SUMMER(">1 m/s"), "P-1"), VERDICT_DEPARTS, "normal");
	expect_case(of_design(OF_LINES,
			    OF_THREE("<line tag='P-1' velocity='1 m/s'><in case='winter' velocity='>1 m/s'/></line>"),
			    "P-1"),
		VERDICT_NOT_JUDGED, "winter");
	expect_case(of_design(OF_LINES,
			    OF_THREE("<line tag='P-1' velocity='>1 m/s'><in case='winter' velocity='1 m/s'/></line>"),
			    "P-1"),
		VERDICT_NOT_JUDGED, "normal");
}

Test(evaluation, what_is_the_same_in_every_case_names_none_though_the_item_varies)
{
	expect_case(of_design(OF_LINES,
			    OF_THREE("<line tag='P-1' velocity='3 m/s' temperature='40 degC'><in case='summer' "
				     "temperature='50 degC'/></line>"),
			    "P-1"),
		VERDICT_DEPARTS, "every");
	expect_case(of_design(OF_LINES,
			    OF_THREE("<line tag='P-1' temperature='40 degC'><in case='summer' temperature='50 "
				     "degC'/></line>"),
			    "P-1"),
		VERDICT_NOT_JUDGED, "every");
	/* Not stated in one and only a bound in another is not the same. */
	expect_case(
		of_design(OF_LINES, OF_THREE("<line tag='P-1'><in case='summer' velocity='>1 m/s'/></line>"), "P-1"),
		VERDICT_NOT_JUDGED, "normal");
	/* One alike in two cases and met in the third is that of the first. */
	expect_case(of_design(OF_LINES,
			    OF_THREE("<line tag='P-1' velocity='3 m/s'><in case='winter' velocity='1 m/s'/></line>"),
			    "P-1"),
		VERDICT_DEPARTS, "normal");
	/* A rule without limits, broken in every case. */
	static const char traced[] = OPEN("") "<select kind='line'/><input name='t' quantity='traced' kind='yes-no'/>"
					      "<assert test='$t'/>" TAIL;
	expect_case(
		of_design(traced,
			OF_THREE("<line tag='P-1' traced='no' temperature='40 degC'><in case='summer' temperature='50 "
				 "degC'/></line>"),
			"P-1"),
		VERDICT_DEPARTS, "every");
	expect_case(of_design(traced, OF_THREE("<line tag='P-1' traced='no'><in case='winter' traced='yes'/></line>"),
			    "P-1"),
		VERDICT_DEPARTS, "normal");
}

/* Its words count beside its values: an assertion broken twice, with a limit in words that is beside one of them. */
Test(evaluation, a_departure_with_a_limit_beside_it_and_one_without_are_compared)
{
	static const char rule[] =
		OPEN("") "<select kind='line'/><input name='t' quantity='traced' kind='yes-no'/>" VELOCITY
			 "<limit says='traced' source='read' known='read' when='$v &gt; 2'/>"
			 "<assert test='$t'/>" TAIL;
	expect_case(of_design(rule,
			    OF_THREE("<line tag='P-1' traced='no' velocity='1 m/s'><in case='summer' velocity='3 "
				     "m/s'/></line>"),
			    "P-1"),
		VERDICT_DEPARTS, "every");
	expect_case(of_design(rule,
			    OF_THREE("<line tag='P-1' traced='no' velocity='3 m/s'><in case='summer' velocity='1 "
				     "m/s'/></line>"),
			    "P-1"),
		VERDICT_DEPARTS, "every");
}

Test(evaluation, an_input_of_another_item_varies_though_the_item_does_not)
{
	static const char rule[] =
		OPEN("judged='x'") "<select kind='line'/><input name='x' quantity='strength' of='solvent' "
				   "kind='mass-fraction'/><limit at-most='40 wt%' source='read' "
				   "known='read'/>" TAIL;
	expect_case(of_design(rule,
			    OF_THREE("<solvent amine='MDEA' strength='35 wt%'><in case='summer' strength='45 "
				     "wt%'/></solvent>"
				     "<line tag='P-1'/>"),
			    "P-1"),
		VERDICT_DEPARTS, "summer");
	expect_case(of_design(rule,
			    OF_THREE("<solvent amine='MDEA'><in case='summer' strength='45 wt%'/></solvent><line "
				     "tag='P-1'/>"),
			    "P-1"),
		VERDICT_DEPARTS, "summer");
	expect_case(of_design(rule, OF_THREE("<solvent amine='MDEA'/><line tag='P-1'/>"), "P-1"), VERDICT_NOT_JUDGED,
		"every");
	/* Nor is what cannot be calculated in one case the same as what can in the next. */
	static const char of_a_line[] =
		OPEN("judged='v'") "<select kind='vessel'/><input name='v' quantity='velocity' of='line' "
				   "kind='velocity'/>" AT_MOST_TWO TAIL;
	expect_case(of_design(of_a_line,
			    OF_THREE("<stream id='s' service='lean'><in case='summer' flow='500 m3/h'/></stream><line "
				     "tag='P-1' stream='s' size='NPS 4' schedule='40'/><vessel tag='V-1'/>"),
			    "V-1"),
		VERDICT_DEPARTS, "summer");
	expect_case(of_design(of_a_line,
			    OF_THREE("<stream id='s' service='lean' flow='20 m3/h'><in case='summer' flow='>19 "
				     "m3/h'/></stream><line tag='P-1' stream='s' size='NPS 4' "
				     "schedule='40'/><vessel tag='V-1'/>"),
			    "V-1"),
		VERDICT_NOT_JUDGED, "summer");
}

Test(evaluation, a_unit_of_upsets_alone_is_judged_in_them)
{
	expect_case(
		of_design(OF_LINES, UNIT("<case id='a' upset='yes'/>", "<line tag='P-1' velocity='3 m/s'/>"), "P-1"),
		VERDICT_DEPARTS, "every");
	static const char two[] = UNIT("<case id='a' upset='yes'/><case id='b' upset='yes'/>",
		"<line tag='P-1' velocity='1 m/s'><in case='b' velocity='3 m/s'/></line>");
	expect_case(of_design(OF_LINES, two, "P-1"), VERDICT_DEPARTS, "b");
	static const char mixed[] = UNIT("<case id='a' upset='yes'/><case id='b'/><case id='c' upset='yes'/>",
		"<stream id='z'><in case='b' temperature='50 degC'/></stream>"
		"<line tag='P-1' velocity='1 m/s'><in case='a' velocity='3 m/s'/><in case='c' velocity='4 "
		"m/s'/></line>");
	expect_case(of_design(OF_LINES, mixed, "P-1"), VERDICT_MEETS, "every");
}

Test(evaluation, one_case_may_be_judged_alone)
{
	of_design(OF_LINES,
		UNIT("<case id='normal'/><case id='summer'/><case id='steaming' upset='yes'/>",
			"<line tag='P-1' velocity='3 m/s'><in case='summer' velocity='1 m/s'/><in case='steaming' "
			"velocity='4 "
			"m/s'/></line>"),
		"P-1");
	static const enum verdict verdicts[] = {VERDICT_DEPARTS, VERDICT_MEETS, VERDICT_DEPARTS};
	static const double velocities[] = {3, 1, 4};
	for (int c = 0; c < 3; c++) {
		struct judgement alone = judge(&trial.arena, trial.catalogue, trial.table, c);
		cr_assert_eq(alone.count, 1);
		cr_expect(alone.findings[0].verdict == verdicts[c] && alone.findings[0].operating_case == c, "case %d",
			c);
		cr_expect_float_eq(alone.findings[0].value->si, velocities[c], 1e-12);
	}
}

/* What narrows a limit or selects an item may vary by case though no input does and the item itself does not. */
Test(evaluation, a_word_of_the_solvent_or_of_the_basis_varies_though_no_input_does)
{
	static const char narrowed[] =
		OPEN("judged='v'") "<select kind='line'/>" VELOCITY
				   "<limit at-most='3 m/s' source='read' known='read'/>"
				   "<limit at-most='2 m/s' name='d' amine='DEA' source='read' known='read'/>" TAIL;
	static const char selected[] = OPEN("judged='v'") "<select kind='line' amine='DEA'/>" VELOCITY AT_MOST_TWO TAIL;
#define SWITCHED(first, then)                                                                                          \
	OF_THREE("<solvent amine='" first "'><in case='winter' amine='" then                                           \
		 "'/></solvent><line tag='P-1' velocity='2.5 m/s'/>")
	expect_case(of_design(narrowed, SWITCHED("MDEA", "DEA"), "P-1"), VERDICT_DEPARTS, "winter");
	expect_case(of_design(narrowed, SWITCHED("DEA", "MDEA"), "P-1"), VERDICT_DEPARTS, "normal");
	expect_case(of_design(narrowed, SWITCHED("MDEA", "MEA"), "P-1"), VERDICT_MEETS, "every");
	expect_case(of_design(selected, SWITCHED("MDEA", "DEA"), "P-1"), VERDICT_DEPARTS, "winter");
	expect_case(of_design(selected, SWITCHED("DEA", "MDEA"), "P-1"), VERDICT_DEPARTS, "normal");
#undef SWITCHED
}

/* A word that is not known selects and narrows nothing surely, and none of another item takes its place. */
Test(evaluation, an_unknown_word_is_not_replaced_by_that_of_the_solvent_or_the_basis)
{
	static const char narrowed[] =
		OPEN("judged='v'") "<select kind='line'/>" VELOCITY
				   "<limit at-most='3 m/s' source='read' known='read'/>"
				   "<limit at-most='2 m/s' name='d' amine='DEA' source='read' known='read'/>" TAIL;
	trial_open_with(&trial, narrowed, NULL);
	static const struct operating_case normal = {.id = "normal", .title = "normal"};
	struct table *table = table_new(&trial.arena, &normal, 1);
	const struct item *solvent =
		table_add_item(table, (struct item){.kind = "solvent", .tag = "solvent", .text = ""});
	const struct item *line = table_add_item(table, (struct item){.kind = "line", .tag = "P-1", .text = ""});
	table_put(table, solvent, EVERY_CASE, "amine",
		quantity_assumed_word(&trial.arena, KIND_WORD, "MDEA", "of the test"));
	table_put(table, line, EVERY_CASE, "velocity", quantity_constant(&trial.arena, KIND_VELOCITY, 2.5, "test"));
	struct judgement found = judge(&trial.arena, trial.catalogue, table, EVERY_CASE);
	cr_assert(found.count == 1 && found.findings[0].verdict == VERDICT_MEETS);
	table_put(table, line, EVERY_CASE, "amine",
		quantity_unknown(&trial.arena, KIND_WORD, "amine of P-1 is not stated: it is owed"));
	found = judge(&trial.arena, trial.catalogue, table, EVERY_CASE);
	cr_assert(found.count == 1 && found.findings[0].verdict == VERDICT_NOT_JUDGED);
	cr_expect_str_eq(found.findings[0].missing[0].reason, "amine of P-1 is not stated: it is owed");
	/* One value that both limits meet is met whichever applies. */
	table_put(table, line, EVERY_CASE, "velocity", quantity_constant(&trial.arena, KIND_VELOCITY, 1.5, "test"));
	found = judge(&trial.arena, trial.catalogue, table, EVERY_CASE);
	cr_expect(found.findings[0].verdict == VERDICT_MEETS);
}

/* ---- every case that departs ---- */

static void expect_outcomes(const struct finding *found, const char *all, const char *others)
{
	const char *words = outcomes_words(&trial.arena, found, trial.table, false);
	const char *rest = outcomes_words(&trial.arena, found, trial.table, true);
	cr_expect_str_eq(words ? words : "none", all, "%s", words ? words : "none");
	cr_expect_str_eq(rest ? rest : "none", others, "%s", rest ? rest : "none");
}

Test(evaluation, the_worst_case_hides_no_other_that_departs)
{
	static const char design[] = OF_THREE("<line tag='P-1' velocity='%s'><in case='summer' velocity='%s'/><in "
					      "case='winter' velocity='%s'/></line>");
	static const struct {
		const char *velocities[3], *all, *others;
	} rows[] = {
		{{"1 m/s", "4 m/s", "3 m/s"},
			"normal: 1 m/s (3.281 ft/s), meets; summer: 4 m/s (13.12 ft/s), departs; winter: 3 m/s (9.843 "
			"ft/s), departs",
			"winter: 3 m/s (9.843 ft/s), departs"},
		{{"3 m/s", "4 m/s", "1 m/s"},
			"normal: 3 m/s (9.843 ft/s), departs; summer: 4 m/s (13.12 ft/s), departs",
			"normal: 3 m/s (9.843 ft/s), departs"},
		{{"1.5 m/s", "1 m/s", "3 m/s"},
			"normal: 1.5 m/s (4.921 ft/s), meets; winter: 3 m/s (9.843 ft/s), departs", "none"},
		{{"3 m/s", "1.5 m/s", "1 m/s"}, "none", "none"}, /* the finding says it itself */
		{{"1.5 m/s", "1 m/s", "1.2 m/s"}, "none", "none"},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		const struct finding *found = of_design(OF_LINES,
			arena_format(
				&arena, design, rows[i].velocities[0], rows[i].velocities[1], rows[i].velocities[2]),
			"P-1");
		cr_assert_not_null(found);
		expect_outcomes(found, rows[i].all, rows[i].others);
		arena_release(&arena);
	}
}

Test(evaluation, cases_that_are_the_same_are_told_each)
{
	const struct finding *found = of_design(OF_LINES,
		OF_THREE("<line tag='P-1' velocity='3 m/s'><in case='winter' velocity='1 "
			 "m/s'/></line>"),
		"P-1");
	expect_outcomes(found, "normal: 3 m/s (9.843 ft/s), departs; summer: 3 m/s (9.843 ft/s), departs",
		"summer: 3 m/s (9.843 ft/s), departs");
	expect_outcomes(of_design(OF_LINES, OF_THREE("<line tag='P-1' velocity='3 m/s'/>"), "P-1"), "none", "none");
}

Test(evaluation, another_cause_in_another_case_is_said)
{
	static const char narrowed[] =
		OPEN("judged='v'") "<select kind='line'/>" VELOCITY
				   "<limit at-most='3 m/s' source='read' known='read'/>"
				   "<limit at-most='2 m/s' name='d' amine='DEA' source='read' known='read'/>" TAIL;
	const struct finding *found = of_design(narrowed,
		OF_THREE("<solvent amine='MDEA'><in case='winter' amine='DEA'/></solvent><line tag='P-1' "
			 "velocity='4 m/s'/>"),
		"P-1");
	cr_assert(found && found->verdict == VERDICT_DEPARTS && found->outcome_count == 3);
	cr_expect_str_eq(found->cases[0].cause, "at most 3 m/s (9.843 ft/s)", "%s", found->cases[0].cause);
	/* An assertion that is broken in two ways. */
	static const char either[] =
		OPEN("") "<select kind='line'/>" VELOCITY "<input name='t' quantity='temperature' kind='temperature'/>"
			 "<constant name='c' value='2 m/s' kind='velocity' source='read' known='read'/>"
			 "<constant name='h' value='90 degC' kind='temperature' source='read' known='read'/>"
			 "<limit says='slow and cold' source='read' known='read'/>"
			 "<assert test='$v &lt; $c and $t &lt; $h'/>" TAIL;
	found = of_design(either,
		OF_THREE("<line tag='P-1' velocity='3 m/s' temperature='50 degC'><in case='summer' velocity='1 m/s' "
			 "temperature='100 degC'/></line>"),
		"P-1");
	cr_assert_not_null(found);
	expect_outcomes(found,
		"normal: departs; summer: departs, with velocity 1 m/s (3.281 ft/s), temperature 100 degC (212 degF); "
		"winter: departs",
		"summer: departs, with velocity 1 m/s (3.281 ft/s), temperature 100 degC (212 degF)");
}

/* A case in which the rule does not look at the item, and an accepted departure. */
Test(evaluation, the_first_case_is_told_though_the_rule_is_not_for_it)
{
	static const char rich[] = OPEN("judged='v'") "<select kind='line' service='rich'/>" VELOCITY AT_MOST_TWO TAIL;
	const struct finding *found = of_design(rich,
		OF_THREE("<line tag='P-1' service='lean' velocity='3 m/s'><in case='winter' service='rich'/></line>"
			 "<deviation rule='TST-001' item='P-1' because='b' approved='A' until='2030-01-01'/>"),
		"P-1");
	cr_assert(found && found->verdict == VERDICT_ACCEPTED);
	expect_outcomes(found, "normal: not applicable; winter: 3 m/s (9.843 ft/s), departs", "none");
}
