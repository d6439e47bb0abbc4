/*
 * What a rule takes where nobody states anything, tried otherwise: what of it is a question. Rules and figures are the test's own, but
 * for the inhibitor, which is a rule of the catalogue.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/text.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

TestSuite(defaults, .fini = end);

#define RULE(body)                                                                                                     \
	"<rule id='TST-001' since='1' title='Title' force='required' why-force='test'><select kind='line'/>" body      \
	"<message>{item} departs</message><why>w</why><remedy>r</remedy></rule>"
#define SAYS "<limit says='so' source='read' known='read'/>"
#define TEMPERATURE "<input name='t' quantity='temperature' kind='temperature'/>"
#define HOT "<constant name='hot' value='82 degC' kind='temperature' source='read' known='read'/>"

static const struct review *review_line(const char *rule, const char *line)
{
	trial_open_with(&trial, rule, NULL);
	trial_review_unit(&trial, "MDEA", line);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return trial.review;
}

/* The request for this quantity; NULL: nobody is asked for it. */
static const struct request *asked(const char *quantity)
{
	for (size_t i = 0; i < trial.review->request_count; i++)
		if (text_same(trial.review->requests[i].quantity, quantity))
			return &trial.review->requests[i];
	return NULL;
}

static void expect_asked(const char *quantity, enum force force, const char *turns)
{
	const struct request *request = asked(quantity);
	cr_assert_not_null(request, "nobody is asked for %s", quantity);
	cr_expect_eq(request->force, force);
	cr_expect_str_eq(request->turns, turns);
}

/* ---- an answer of yes or no ---- */

#define TRACED_ABSENT(more) "<input name='a' quantity='traced' kind='yes-no' absent='no'" more "/>"

Test(defaults, an_answer_that_would_clear_a_departure_is_asked_for)
{
	static const char rule[] = RULE(TRACED_ABSENT("") TEMPERATURE HOT "<assert test='$a or $t &lt; $hot'/>" SAYS);
	review_line(rule, "<line tag='P-1' temperature='95 degC'/>");
	cr_expect_eq(trial_finding(&trial, "TST-001", "P-1")->verdict, VERDICT_DEPARTS);
	expect_asked("traced", FORCE_REQUIRED, "with traced yes TST-001 on P-1 meets");
	review_line(rule, "<line tag='P-1' temperature='40 degC'/>");
	cr_expect_null(asked("traced"), "it turns nothing");
	review_line(rule, "<line tag='P-1' temperature='95 degC' traced='no'/>");
	cr_expect_null(asked("traced"), "it is stated");
}

Test(defaults, an_answer_that_would_make_it_depart_is_asked_for)
{
	static const char rule[] =
		RULE(TRACED_ABSENT("") TEMPERATURE HOT "<assert test='not($a) or $t &lt; $hot'/>" SAYS);
	review_line(rule, "<line tag='P-1' temperature='95 degC'/>");
	expect_asked("traced", FORCE_REQUIRED, "with traced yes TST-001 on P-1 departs");
}

Test(defaults, a_rule_that_begins_to_apply_is_an_answer_too)
{
	static const char rule[] =
		RULE(TRACED_ABSENT("") TEMPERATURE HOT "<when test='$a'/><assert test='$t &lt; $hot'/>" SAYS);
	review_line(rule, "<line tag='P-1' temperature='95 degC'/>");
	cr_expect_eq(trial_finding(&trial, "TST-001", "P-1")->verdict, VERDICT_NOT_APPLICABLE);
	expect_asked("traced", FORCE_REQUIRED, "with traced yes TST-001 on P-1 departs");
}

/* Silence that the rule gives a reason for is understood. */
Test(defaults, what_the_rule_has_a_reason_for_is_not_asked_for)
{
	static const char rule[] =
		RULE(TRACED_ABSENT(" absent-why='r'") TEMPERATURE HOT "<assert test='not($a) or $t &lt; $hot'/>" SAYS);
	review_line(rule, "<line tag='P-1' temperature='95 degC'/>");
	cr_expect_null(asked("traced"));
}

/* What is accepted is nobody's question; what cannot be stated of an item neither. */
Test(defaults, what_cannot_be_stated_is_not_asked_for)
{
	static const char rule[] =
		RULE("<input name='a' quantity='rain-water' kind='yes-no' absent='no'/>" TEMPERATURE HOT
		     "<assert test='$a or $t &lt; $hot'/>" SAYS);
	review_line(rule, "<line tag='P-1' temperature='95 degC'/>");
	cr_expect_eq(trial_finding(&trial, "TST-001", "P-1")->verdict, VERDICT_DEPARTS);
	cr_expect_eq(trial.review->request_count, 0);
}

/* ---- words ---- */

Test(defaults, every_word_that_the_rule_tells_apart_is_tried)
{
	static const char rule[] = RULE("<input name='m' quantity='material' kind='word' absent='carbon steel'/>"
					"<assert test='$m = \"316L\"'/>" SAYS);
	review_line(rule, "<line tag='P-1'/>");
	expect_asked("material", FORCE_REQUIRED, "with material 316L TST-001 on P-1 meets");
}

Test(defaults, a_family_is_asked_for_by_the_word)
{
	static const char rule[] = RULE("<input name='m' quantity='material-family' kind='word' absent='carbon steel'/>"
					"<assert test='$m = \"austenitic\"'/>" SAYS);
	review_line(rule, "<line tag='P-1'/>");
	cr_assert_not_null(asked("material"));
	review_line(rule, "<line tag='P-1' material='carbon steel'/>");
	cr_expect_null(asked("material"));
}

/* ---- many items, other unknowns ---- */

Test(defaults, one_question_holds_all_items)
{
	static const char rule[] = RULE(TRACED_ABSENT("") "<assert test='$a'/>" SAYS);
	const struct review *review =
		review_line(rule, "<line tag='P-1'/><line tag='P-2'/><line tag='P-3' traced='yes'/>");
	cr_assert_eq(review->questions.count, 1);
	cr_expect_eq(review->questions.rows[0].request_count, 2);
	cr_expect_eq(review->questions.rows[0].verdicts, 2);
}

/* Whatever is unknown it departs, but by the default alone: that is what is asked for, and it stays open. */
Test(defaults, what_departs_by_a_default_alone_waits_for_its_answer)
{
	static const char rule[] = RULE(TRACED_ABSENT("") TEMPERATURE HOT "<assert test='$a and $t &lt; $hot'/>" SAYS);
	review_line(rule, "<line tag='P-1'/>");
	cr_expect_eq(trial_finding(&trial, "TST-001", "P-1")->verdict, VERDICT_NOT_JUDGED);
	cr_expect_not_null(asked("traced"));
}

/* ---- a force only ---- */

static const struct request *strong_mea(const char *strength, const char *inhibitor)
{
	trial_open(&trial, NULL);
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='1' name='u'><basis kind='new'/><solvent amine='MEA' "
			"strength='%s'%s/><line tag='L' material='carbon steel' pwht='yes'/></unit>",
			strength, inhibitor));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return asked("inhibitor");
}

Test(defaults, an_inhibitor_that_nobody_states_is_asked_for)
{
	cr_assert_not_null(strong_mea("31.5 wt%", ""));
	expect_asked("inhibitor", FORCE_RECOMMENDED,
		"with inhibitor yes LOD-006 on solvent departs as advisory instead of recommended; with inhibitor yes "
		"LOD-008 on solvent departs as advisory instead of recommended");
	cr_expect_not_null(strong_mea("26 wt%", ""));
	cr_expect_null(strong_mea("18 wt%", ""), "nothing departs with it or without it");
	cr_expect_null(strong_mea("26 wt%", " inhibitor='no'"));
	cr_expect_null(strong_mea("26 wt%", " inhibitor='yes'"));
}
