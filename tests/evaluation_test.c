/*
 * One rule before the items of a unit: whom it selects, what counts as evidence, what a finding keeps. Rules of the test's own; all
 * numbers are invented.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "evaluation_support.h"

/* ---- what is met by silence ---- */

#define NOT_TRACED(inputs, test)                                                                                       \
	OPEN("")                                                                                                       \
	"<select kind='line'/>" inputs "<assert test='" test "'/>"                                                     \
	"<limit says='bare' source='read' known='read'/>" TAIL

Test(evaluation, nothing_is_met_by_a_default_alone_unless_it_says_why)
{
	static const char silent[] = NOT_TRACED(TRACED("absent='no'"), "not($t)");
	const struct finding *found = of_design(silent, OF_LINE(""), "P-1");
	cr_assert_not_null(found);
	cr_assert(found->verdict == VERDICT_NOT_JUDGED && found->missing_count == 1, "%s", found->message);
	cr_expect_str_eq(found->missing[0].reason, "traced of P-1 is not stated");
	found = of_design(silent, OF_LINE("traced='no'"), "P-1");
	cr_expect(found->verdict == VERDICT_MEETS && found->certainty == CERTAINTY_FIRM);
	cr_expect(of_design(silent, OF_LINE("traced='yes'"), "P-1")->verdict == VERDICT_DEPARTS);

	static const char declared[] =
		NOT_TRACED(TRACED("absent='no' absent-why='Tracing is drawn where there is any.'"), "not($t)");
	found = of_design(declared, OF_LINE(""), "P-1");
	cr_expect(found->verdict == VERDICT_MEETS && found->certainty == CERTAINTY_SCREENING, "%s: %s",
		verdict_word(found->verdict), certainty_word(found->certainty));
	cr_expect_str_eq(found->inputs[0].quantity->reason,
		"taken by TST-001 where it is not stated: Tracing is drawn where there is any.");
	cr_expect(of_design(declared, OF_LINE("traced='no'"), "P-1")->certainty == CERTAINTY_FIRM);
}

Test(evaluation, a_departure_may_rest_on_a_default)
{
	static const char strict[] = NOT_TRACED(TRACED("absent='yes'"), "not($t)");
	cr_expect(of_design(strict, OF_LINE(""), "P-1")->verdict == VERDICT_DEPARTS);
}

Test(evaluation, one_known_input_of_those_by_which_it_is_met_is_evidence)
{
	static const char two[] = NOT_TRACED(TRACED("absent='no'") PWHT(""), "not($t) and $p");
	cr_expect(of_design(two, OF_LINE("pwht='yes'"), "P-1")->verdict == VERDICT_MEETS);
	/* One that is only a condition of the rule is none. */
	static const char asked[] = OPEN("") "<select kind='line'/>" TRACED("absent='no'") PWHT(
		"") "<when test='$p'/><assert test='not($t)'/><limit says='bare' source='read' known='read'/>" TAIL;
	const struct finding *found = of_design(asked, OF_LINE("pwht='yes'"), "P-1");
	cr_expect(found->verdict == VERDICT_NOT_JUDGED && found->missing_count == 1, "%s", found->message);
	/* Of two defaults with a reason each both may be silent; of one without a reason neither. */
	static const char reasons[] =
		NOT_TRACED(TRACED("absent='no' absent-why='a'") PWHT("absent='yes' absent-why='b'"), "not($t) and $p");
	cr_expect(of_design(reasons, OF_LINE(""), "P-1")->verdict == VERDICT_MEETS);
	static const char one[] =
		NOT_TRACED(TRACED("absent='no' absent-why='a'") PWHT("absent='yes'"), "not($t) and $p");
	found = of_design(one, OF_LINE(""), "P-1");
	cr_assert(found->verdict == VERDICT_NOT_JUDGED && found->missing_count == 1);
	cr_expect_str_eq(found->missing[0].quantity, "pwht");
}

Test(evaluation, what_meets_a_rule_in_any_case_has_to_be_known_as_well)
{
	static const char rule[] = OPEN("judged='v'") "<select kind='line'/>" VELOCITY TRACED("absent='no'")
		PWHT("") "<met-if test='not($t)'/><met-if test='$p'/>" AT_MOST_TWO TAIL;
	cr_expect(of_design(rule, OF_LINE("velocity='3 m/s'"), "P-1")->verdict == VERDICT_NOT_JUDGED);
	cr_expect(of_design(rule, OF_LINE("velocity='3 m/s' traced='no'"), "P-1")->verdict == VERDICT_MEETS);
	cr_expect(of_design(rule, OF_LINE("velocity='3 m/s' pwht='yes'"), "P-1")->verdict == VERDICT_MEETS);
	cr_expect(
		of_design(rule, OF_LINE("velocity='3 m/s' traced='yes' pwht='no'"), "P-1")->verdict == VERDICT_DEPARTS);
	static const char judged[] =
		OPEN("judged='v'") "<select kind='line'/><input name='v' quantity='velocity' kind='velocity' "
				   "absent='1 m/s'/>" AT_MOST_TWO TAIL;
	cr_expect(of_design(judged, OF_LINE(""), "P-1")->verdict == VERDICT_NOT_JUDGED);
	cr_expect(of_design(judged, OF_LINE("velocity='1 m/s'"), "P-1")->verdict == VERDICT_MEETS);
}

/* Nobody stated the air of the site: what the program takes for it is no more evidence than a default of a rule. */
Test(evaluation, what_is_computed_from_silence_is_silent)
{
	static const char rule[] =
		OPEN("judged='b'") "<select kind='basis'/><input name='b' quantity='barometric-pressure' "
				   "kind='pressure'/><limit at-most='1.1 bara' source='read' known='read'/>" TAIL;
	trial_open_with(&trial, rule, NULL);
	trial_review(&trial, UNIT("", "<line tag='P-1'/>"));
	cr_assert(trial.review && trial.review->judgement.count == 1);
	cr_expect(trial.review->judgement.findings[0].verdict == VERDICT_NOT_JUDGED);
	struct arena *arena = &trial.arena;
	const struct input one[] = {{.quantity = quantity_default(arena, KIND_VELOCITY, 1, 0, "r")}};
	const struct input two[] = {one[0], {.quantity = quantity_constant(arena, KIND_VELOCITY, 1, "")}};
	cr_expect(quantity_computed(arena, KIND_VELOCITY, 1, 0, NULL, one, 1)->silent);
	cr_expect_not(quantity_computed(arena, KIND_VELOCITY, 1, 0, NULL, two, 2)->silent);
	cr_expect_not(quantity_computed(arena, KIND_VELOCITY, 1, 0, NULL, NULL, 0)->silent);
}

/* ---- whom it selects ---- */

Test(evaluation, any_item_or_any_of_several_kinds)
{
	static const char any[] = OPEN("") "<select kind='*'/><input name='t' quantity='traced' kind='yes-no'/>"
					   "<assert test='$t'/>" TAIL;
	static const char design[] =
		UNIT("", "<line tag='P-1' traced='no'/><vessel tag='V-1' traced='yes'/><tank tag='T-1'/>");
	expect_case(of_design(any, design, "P-1"), VERDICT_DEPARTS, "every");
	cr_expect(trial_finding(&trial, "TST-001", "V-1")->verdict == VERDICT_MEETS);
	cr_expect(trial_finding(&trial, "TST-001", "T-1")->verdict == VERDICT_NOT_JUDGED);
	static const char some[] =
		OPEN("") "<select kind='line|tank'/><input name='t' quantity='traced' kind='yes-no'/>"
			 "<assert test='$t'/>" TAIL;
	expect_case(of_design(some, design, "P-1"), VERDICT_DEPARTS, "every");
	cr_expect_null(trial_finding(&trial, "TST-001", "V-1"));
	cr_expect(trial_finding(&trial, "TST-001", "T-1")->verdict == VERDICT_NOT_JUDGED);
	static const char narrow[] = OPEN("") "<select kind='*' service='rich'/><input name='t' quantity='traced' "
					      "kind='yes-no'/><assert test='$t'/>" TAIL;
	const struct finding *found = of_design(narrow, UNIT("", "<line tag='P-1' traced='no'/>"), "P-1");
	cr_assert(found && found->verdict == VERDICT_NOT_JUDGED && found->missing_count == 1);
	cr_expect_str_eq(found->missing[0].reason, "service of P-1 is not stated");
}

Test(evaluation, of_two_selections_one_is_enough)
{
	static const char rule[] = OPEN("") "<select kind='line' service='rich'/><select kind='line' "
					    "material-family='carbon steel'/><input name='t' quantity='traced' "
					    "kind='yes-no'/><assert test='$t'/>" TAIL;
	cr_expect(of_design(rule, UNIT("", "<line tag='P-1' service='rich' traced='no'/>"), "P-1")->verdict ==
		VERDICT_DEPARTS);
	const struct finding *found = of_design(rule, UNIT("", "<line tag='P-1' service='lean' traced='no'/>"), "P-1");
	cr_assert(found && found->verdict == VERDICT_NOT_JUDGED && found->missing_count == 1);
	cr_expect_str_eq(found->missing[0].reason, "material of P-1 is not stated");
	found = of_design(rule, UNIT("", "<line tag='P-1' traced='no'/>"), "P-1");
	cr_assert(found && found->missing_count == 2);
	cr_expect_str_eq(found->missing[0].reason, "service of P-1 is not stated");
	cr_expect_null(
		of_design(rule, UNIT("", "<line tag='P-1' service='lean' material='316L' traced='no'/>"), "P-1"));
}

Test(evaluation, a_rule_that_selects_nothing_is_idle)
{
	of_design(OF_LINES, UNIT("", "<vessel tag='V-1'/>"), "V-1");
	cr_expect_eq(trial.review->judgement.count, 0);
	cr_expect_eq(trial.review->judgement.idle_count, 1);
	cr_expect_eq(trial.review->judgement.considered, 1);
	of_design(OF_LINES, UNIT("", "<line tag='P-1'/>"), "P-1");
	cr_expect_eq(trial.review->judgement.idle_count, 0);
}

/* ---- findings ---- */

Test(evaluation, findings_stand_by_rule_and_then_item_with_those_on_deviations_in_their_place)
{
	static const char rules[] = OPEN(
		"") "<select kind='deviation'/><input name='s' quantity='deviation-state' kind='word'/>"
		    "<assert test='$s = \"applies\"'/>" TAIL
		    "<rule id='TST-002' since='1' title='Title' force='required' why-force='test' judged='v'><select "
		    "kind='line'/>" VELOCITY AT_MOST_TWO TAIL
		    "<rule id='TST-003' since='1' title='Title' force='required' why-force='test' judged='v'><select "
		    "kind='line'/>" VELOCITY AT_MOST_TWO TAIL;
	of_design(rules,
		UNIT("",
			"<line tag='P-1' velocity='3 m/s'/><line tag='P-2' velocity='1 m/s'/><line tag='P-3'/>"
			"<deviation rule='TST-002' item='P-1' because='b' approved='A' until='2030-01-01'/>"
			"<deviation rule='TST-003' item='P-2' because='b' approved='A' until='2030-01-01'/>"),
		"P-1");
	const struct judgement *judgement = &trial.review->judgement;
	cr_assert_eq(judgement->count, 8);
	for (size_t i = 1; i < judgement->count; i++) {
		const struct finding *before = &judgement->findings[i - 1], *found = &judgement->findings[i];
		int order = strcmp(before->rule->id, found->rule->id);
		cr_expect(order < 0 || (order == 0 && before->item->index < found->item->index),
			"%zu: %s %s before %s %s", i, before->rule->id, before->item->tag, found->rule->id,
			found->item->tag);
	}
	cr_expect(judgement->findings[0].verdict == VERDICT_MEETS && judgement->findings[1].verdict == VERDICT_DEPARTS);
	cr_expect(judgement->findings[2].verdict == VERDICT_ACCEPTED);
}

Test(evaluation, a_code_that_asks_for_no_more_changes_nothing)
{
	static const char rule[] =
		OPEN("judged='v'") "<force is='recommended' when-code='Code X' why='Code X is claimed'/>"
				   "<force is='advisory' when-code='Code X' why='less'/>"
				   "<select kind='line'/>" VELOCITY AT_MOST_TWO TAIL;
	const struct finding *found =
		of_design(rule, UNIT("<code>Code X</code>", "<line tag='P-1' velocity='3 m/s'/>"), "P-1");
	cr_assert_not_null(found);
	cr_expect(found->force == FORCE_RECOMMENDED);
	cr_expect_str_eq(found->why_force, "test");
}

Test(evaluation, every_input_is_kept_as_it_was)
{
	static const char rule[] =
		OPEN("judged='v'") "<select kind='line'/>" VELOCITY
				   "<input name='x' quantity='strength' of='solvent' kind='mass-fraction'/>"
				   "<input name='d' quantity='density' kind='density' absent='1000 kg/m3 +/- 10 "
				   "kg/m3'/><input name='e' quantity='bore' kind='length' absent='2 in'/>"
				   "<constant name='c' value='3' kind='ratio' source='read' known='read'/><met-if "
				   "test='$x &gt; $c and $d &gt; "
				   "1 and $e &gt; 0'/>" AT_MOST_TWO TAIL;
	const struct finding *found = of_design(
		rule, UNIT("", "<solvent amine='MDEA' strength='35 wt%'/><line tag='P-1' velocity='3 m/s'/>"), "P-1");
	cr_assert(found && found->input_count == 5, "%s", found ? found->message : "");
	static const char *const names[] = {
		"velocity of P-1", "strength of ", "density of P-1", "bore of P-1", "a constant of the rule"};
	for (size_t i = 0; i < 5; i++) {
		const struct input input = finding_input(found, i);
		const char *name = input_name(&trial.arena, &input);
		cr_expect(strncmp(name, names[i], strlen(names[i])) == 0, "%s", name);
	}
	cr_expect(found->inputs[2].quantity->known == ASSUMED && found->inputs[3].quantity->known == ASSUMED);
	cr_expect_float_eq(found->inputs[2].quantity->uncertainty, 10, 1e-9);
	cr_expect_float_eq(
		found->inputs[3].quantity->uncertainty, 0, 1e-12, "a number of the rule is exact unless it says more");
}

/* A selection may turn on a word that a case changes, though no input of the rule does. */
Test(evaluation, a_case_may_bring_an_item_under_a_rule)
{
	static const char rule[] = OPEN("") "<select kind='line' service='rich'/><input name='t' quantity='traced' "
					    "kind='yes-no'/><assert test='$t'/>" TAIL;
	expect_case(
		of_design(rule,
			OF_THREE(
				"<line tag='P-1' service='lean' traced='no'><in case='summer' service='rich'/></line>"),
			"P-1"),
		VERDICT_DEPARTS, "summer");
}
