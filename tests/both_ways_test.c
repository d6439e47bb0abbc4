/*
 * What is not known, judged with every value it can have; and what is calculated, on both sides of where a rule begins to apply. Rules
 * and figures are the test's own.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

TestSuite(both_ways, .fini = end);

#define RULE(attributes, body)                                                                                         \
	"<rule id='TST-001' since='1' title='Title' force='required' why-force='test' " attributes ">"                 \
	"<select kind='line'/>" body "<message>{item} departs</message><why>w</why><remedy>r</remedy></rule>"
#define SAYS "<limit says='so' source='read' known='read'/>"
#define YES_NO(name, quantity) "<input name='" name "' quantity='" quantity "' kind='yes-no'/>"
#define TEMPERATURE "<input name='t' quantity='temperature' kind='temperature'/>"
#define HOT "<constant name='hot' value='82 degC' kind='temperature' source='read' known='read'/>"
#define VELOCITY "<input name='v' quantity='velocity' kind='velocity'/>"

static const struct finding *judge_line(const char *rule, const char *line)
{
	trial_open_with(&trial, rule, NULL);
	trial_review_unit(&trial, "MDEA", line);
	const struct finding *found = trial_finding(&trial, "TST-001", "P-1");
	cr_assert_not_null(found);
	return found;
}

static void expect(const struct finding *found, enum verdict verdict, const char *turns)
{
	cr_expect(found->verdict == verdict, "%s, not %s: %s", verdict_word(found->verdict), verdict_word(verdict),
		found->message);
	if (turns)
		cr_expect_str_eq(found->turns ? found->turns : "", turns);
	else
		cr_expect_null(found->turns, "%s", found->turns);
}

/* ---- one thing unknown ---- */

Test(both_ways, a_figure_turns_at_its_limit)
{
	static const char rule[] = RULE("judged='v'", VELOCITY "<limit at-most='1.8 m/s' source='read' known='read'/>");
	expect(judge_line(rule, "<line tag='P-1'/>"), VERDICT_NOT_JUDGED,
		"departs if velocity is above 1.80 m/s; meets if velocity is at most 1.80 m/s");
	expect(judge_line(rule, "<line tag='P-1' velocity='&lt;3 m/s'/>"), VERDICT_NOT_JUDGED,
		"departs if velocity is above 1.80 m/s; meets if velocity is at most 1.80 m/s");
	expect(judge_line(rule, "<line tag='P-1' velocity='&lt;1.7 m/s'/>"), VERDICT_MEETS, NULL);
	expect(judge_line(rule, "<line tag='P-1' velocity='&gt;1.9 m/s'/>"), VERDICT_DEPARTS, NULL);
}

Test(both_ways, a_limit_that_leaves_its_figure_out_turns_from_it_on)
{
	expect(judge_line(RULE("judged='v'", VELOCITY "<limit below='1.8 m/s' source='read' known='read'/>"),
		       "<line tag='P-1'/>"),
		VERDICT_NOT_JUDGED, "departs if velocity is at least 1.80 m/s; meets if velocity is below 1.80 m/s");
}

Test(both_ways, an_answer_turns_it)
{
	static const char rule[] =
		RULE("", YES_NO("relieved", "pwht") TEMPERATURE HOT "<assert test='$relieved or $t &lt; $hot'/>" SAYS);
	expect(judge_line(rule, "<line tag='P-1' temperature='95 degC'/>"), VERDICT_NOT_JUDGED,
		"departs if PWHT is no; meets if PWHT is yes");
	expect(judge_line(rule, "<line tag='P-1' temperature='40 degC'/>"), VERDICT_MEETS, NULL);
	expect(judge_line(rule, "<line tag='P-1' pwht='no'/>"), VERDICT_NOT_JUDGED,
		"departs if temperature is at least 82.0 degC; meets if temperature is below 82.0 degC");
	const struct finding *both = judge_line(rule, "<line tag='P-1'/>");
	cr_expect(both->verdict == VERDICT_NOT_JUDGED && both->missing_count == 2, "%s", both->message);
	cr_expect_not_null(strstr(both->turns, "departs, for instance, if"));
}

/* ---- several ---- */

Test(both_ways, what_departs_with_every_value_departs)
{
	static const char rule[] =
		RULE("", YES_NO("a", "pwht") TEMPERATURE HOT "<assert test='$a and $t &lt; $hot'/>" SAYS);
	const struct finding *found = judge_line(rule, "<line tag='P-1' pwht='no'/>");
	expect(found, VERDICT_DEPARTS, NULL);
	cr_expect_not_null(
		strstr(found->message, "It departs whatever is stated of temperature."), "%s", found->message);
	cr_expect_null(found->value);
	cr_expect_eq(trial.review->request_count, 0);
	expect(judge_line(rule, "<line tag='P-1' pwht='yes'/>"), VERDICT_NOT_JUDGED,
		"departs if temperature is at least 82.0 degC; meets if temperature is below 82.0 degC");
}

/* A third unknown that turns nothing is not asked for. */
Test(both_ways, only_what_turns_is_asked_for)
{
	static const char rule[] = RULE("",
		YES_NO("a", "traced") YES_NO("b", "pwht") TEMPERATURE HOT
		"<when test='$a or not($a) and $t &lt; $hot or $t &gt;= $hot'/><assert test='$b'/>" SAYS);
	const struct finding *found = judge_line(rule, "<line tag='P-1'/>");
	expect(found, VERDICT_NOT_JUDGED, "departs if PWHT is no; meets if PWHT is yes");
	cr_expect_eq(found->missing_count, 1, "%s", found->message);
	cr_expect_str_eq(found->missing[0].quantity, "pwht");
}

/* ---- never by a gap ---- */

/* It departs between two figures that lie close together: no sample of usual values would find that. */
Test(both_ways, a_narrow_gap_is_not_passed_over)
{
	static const char rule[] = RULE("",
		TEMPERATURE "<constant name='low' value='82 degC' kind='temperature' source='read' known='read'/>"
			    "<constant name='high' value='82.001 degC' kind='temperature' source='read' known='read'/>"
			    "<assert test='$t &lt;= $low or $t &gt;= $high'/>" SAYS);
	const struct finding *found = judge_line(rule, "<line tag='P-1'/>");
	cr_expect_eq(found->verdict, VERDICT_NOT_JUDGED);
	cr_expect_not_null(found->turns);
}

/* What is calculated with the unknown is only tried: nothing is said of it, and nothing passes. */
Test(both_ways, of_a_sample_nothing_follows)
{
	static const char rule[] = RULE("",
		"<input name='a' quantity='corrosion-allowance' kind='length'/>"
		"<input name='t' quantity='thickness' kind='length'/>"
		"<assert test='$a * 1000000 &gt; $t or $a &gt;= 0'/>" SAYS);
	const struct finding *found = judge_line(rule, "<line tag='P-1' thickness='10 mm'/>");
	expect(found, VERDICT_NOT_JUDGED, NULL);
	cr_expect_not(found->idle);
	cr_expect_eq(trial.review->request_count, 1);
}

/* Two that are compared with each other. */
Test(both_ways, of_two_unknown_figures_nothing_follows)
{
	static const char rule[] = RULE("",
		"<input name='a' quantity='corrosion-allowance' kind='length'/>"
		"<input name='t' quantity='thickness' kind='length'/>"
		"<assert test='$a &lt; $t or $a &gt;= $t'/>" SAYS);
	const struct finding *found = judge_line(rule, "<line tag='P-1'/>");
	cr_expect(found->verdict == VERDICT_NOT_JUDGED && !found->idle, "%s", found->message);
}

/* What is met or does not apply is no question, and no meets either. */
Test(both_ways, what_no_answer_makes_depart_is_not_asked)
{
	static const char rule[] = RULE("judged='v'",
		VELOCITY YES_NO("two", "traced") "<when test='not($two)' first='yes'/><limit at-most='1.8 m/s' "
						 "source='read' known='read'/>");
	const struct finding *found = judge_line(rule, "<line tag='P-1' velocity='1 m/s'/>");
	cr_expect(found->verdict == VERDICT_NOT_JUDGED && found->idle, "%s", found->message);
	cr_expect_eq(trial.review->request_count, 0);
	cr_expect_eq(judge_line(rule, "<line tag='P-1' velocity='2 m/s'/>")->idle, false);
	cr_expect_eq(trial.review->request_count, 1);
}

/* ---- on both sides of a border ---- */

#define AROUND(low)                                                                                                    \
	RULE("",                                                                                                       \
		VELOCITY YES_NO("b", "pwht") "<constant name='low' value='" low                                        \
					     "' kind='velocity' source='read' known='read'/>"                          \
					     "<when test='$v &gt; $low'/><assert test='$b'/>" SAYS)

/* 36 m3/h in 100 mm: 1.273 m/s, 3 % of which is 0.038 m/s. */
static const char line[] = "<line tag='P-1' flow='36 m3/h' bore='100 mm' pwht='no'/>";

Test(both_ways, a_border_within_the_uncertainty_switches_nothing_off)
{
	const struct finding *found = judge_line(AROUND("1.30 m/s"), line);
	cr_expect_eq(found->verdict, VERDICT_DEPARTS, "%s", found->message);
	cr_expect_eq(found->certainty, CERTAINTY_SCREENING);
	cr_assert_not_null(found->unsettled);
	cr_expect_not_null(strstr(found->message, "Unsettled: velocity"), "%s", found->message);
}

Test(both_ways, nor_on)
{
	const struct finding *found = judge_line(AROUND("1.25 m/s"), line);
	cr_expect_eq(found->verdict, VERDICT_DEPARTS, "%s", found->message);
	cr_expect_eq(found->certainty, CERTAINTY_SCREENING);
	cr_expect_not_null(found->unsettled);
}

/* As the rule does not apply, it shows no input of which nothing is said; as it departs, all of them, each under its own name. */
Test(both_ways, what_departs_beyond_a_border_shows_its_own_inputs)
{
	static const char rule[] = RULE("",
		YES_NO("traced", "traced") VELOCITY YES_NO("b",
			"pwht") "<constant name='low' value='1.30 m/s' kind='velocity' source='read' known='read'/>"
				"<when test='$v &gt; $low'/><assert test='$b and $traced'/>" SAYS);
	const struct finding *found = judge_line(rule, line);
	cr_assert_eq(found->verdict, VERDICT_DEPARTS, "%s", found->message);
	cr_assert_eq(found->input_count, 4);
	static const char *const symbols[] = {"traced", "v", "b", "low"};
	static const enum knowledge known[] = {UNKNOWN, COMPUTED, STATED, STATED};
	for (size_t i = 0; i < COUNT(symbols); i++) {
		const struct input input = finding_input(found, i);
		cr_expect_str_eq(input.symbol, symbols[i]);
		cr_expect_eq(input.quantity->known, known[i], "%s", symbols[i]);
	}
	cr_expect_str_eq(finding_input(found, 2).quantity->word, "no");
}

Test(both_ways, a_border_beyond_the_uncertainty_decides)
{
	cr_expect_eq(judge_line(AROUND("1.40 m/s"), line)->verdict, VERDICT_NOT_APPLICABLE);
	const struct finding *found = judge_line(AROUND("1.10 m/s"), line);
	cr_expect_eq(found->verdict, VERDICT_DEPARTS);
	cr_expect_null(found->unsettled);
}

/* What nobody says beyond the border is asked for. */
Test(both_ways, beyond_a_border_what_is_missing_is_asked)
{
	static const char open[] = "<line tag='P-1' flow='36 m3/h' bore='100 mm'/>";
	const struct finding *found = judge_line(AROUND("1.30 m/s"), open);
	expect(found, VERDICT_NOT_JUDGED, "departs if PWHT is no; meets if PWHT is yes");
	cr_expect_eq(judge_line(AROUND("1.40 m/s"), open)->verdict, VERDICT_NOT_APPLICABLE);
}

/* ---- gauge or absolute ---- */

Test(both_ways, a_pressure_may_be_gauge_or_absolute)
{
	static const char rule[] = RULE("judged='p'",
		"<input name='p' quantity='pressure' kind='pressure'/>"
		"<limit at-most='62.5 bara' source='read' known='read'/>");
	const struct finding *found = judge_line(rule, "<line tag='P-1' pressure='62 bar?'/>");
	cr_expect_eq(found->verdict, VERDICT_DEPARTS, "%s", found->message);
	cr_expect_not_null(found->unsettled);
	cr_assert_eq(trial.review->questions.now, 1);
	cr_expect_str_eq(trial.review->questions.rows[0].words, "Is the pressure gauge or absolute?");
	found = judge_line(rule, "<line tag='P-1' pressure='40 bar?'/>");
	cr_expect(found->verdict == VERDICT_MEETS && !found->unsettled, "%s", found->message);
	cr_expect_eq(trial.review->questions.count, 0);
	found = judge_line(rule, "<line tag='P-1' pressure='70 bar?'/>");
	cr_expect(found->verdict == VERDICT_DEPARTS && !found->unsettled, "%s", found->message);
}

Test(both_ways, only_an_open_unit_may_be_in_question)
{
	static const char *const wrong[] = {"62 barg?", "62?", "?", "62 degC?"};
	for (size_t i = 0; i < COUNT(wrong); i++) {
		trial_open(&trial, NULL);
		trial_review(&trial,
			arena_format(&trial.arena,
				"<unit xmlns='urn:leanrich:unit:1' number='1' name='u'><line tag='P-1' "
				"pressure='%s'/></unit>",
				wrong[i]));
		cr_expect_null(trial.review, "%s", wrong[i]);
		cr_expect_not_null(strstr(trial_messages(&trial), "not-a-number"), "%s", trial_messages(&trial));
	}
}
