/*
 * Judging with three truth values, on small units and rules of the test's own. All numbers here are invented.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

TestSuite(judge, .fini = end);

/* A rule about lines with everything a rule must have around what is tested. */
#define RULE(id, force, attributes, body)                                                                              \
	"<rule id='" id "' since='1' title='Title' force='" force "' why-force='test' " attributes ">" body            \
	"<message>{item} departs</message><why>w</why><remedy>r</remedy></rule>"
#define VELOCITY(limits)                                                                                               \
	RULE("TST-001", "recommended", "judged='v'",                                                                   \
		"<select kind='line'/><input name='v' quantity='velocity' kind='velocity'/>" limits)

static const struct finding *judge_line(const char *rules, const char *line)
{
	trial_open_with(&trial, rules, NULL);
	trial_review_unit(&trial, "MDEA", line);
	return trial_finding(&trial, "TST-001", "P-1");
}

static void expect_missing(const struct finding *found, const char *reason)
{
	cr_assert_not_null(found);
	cr_expect(found->verdict == VERDICT_NOT_JUDGED, "%s", verdict_word(found->verdict));
	cr_expect(found->missing_count == 1, "%zu missing: %s", found->missing_count, found->message);
	for (size_t i = 0; i < found->missing_count; i++)
		cr_expect_str_eq(found->missing[i].reason, reason);
	cr_expect(strstr(found->message, reason) != NULL, "%s", found->message);
}

static void expect_verdict(const struct finding *found, enum verdict verdict)
{
	cr_assert_not_null(found);
	cr_expect(found->verdict == verdict, "%s, not %s: %s", verdict_word(found->verdict), verdict_word(verdict),
		found->message);
}

/* ---- what is unknown ---- */

/* A rule that speaks only where something is stated names it, but not where it would be silent all the same. */
static const char only_stated[] = RULE("TST-001", "recommended", "judged='h'",
	"<select kind='line'/><input name='h' quantity='hardness-weld' kind='hardness-brinell'/>"
	"<input name='traced' quantity='traced' kind='yes-no' absent='no'/><input name='relief' quantity='pwht' "
	"kind='yes-no'/>"
	"<when test='not($traced)'/><when test=\"known('h')\"/><when test=\"known('relief') or $traced\"/>"
	"<limit at-most='200 HBW' source='read' known='read'/>");

static void expect_silent(const char *line, const char *first, const char *second)
{
	const struct finding *found = judge_line(only_stated, line);
	const char *reasons[] = {first, second};
	size_t count = second ? 2 : first ? 1 : 0;
	expect_verdict(found, VERDICT_NOT_APPLICABLE);
	cr_assert(found->missing_count == count, "%s: %zu", line, found->missing_count);
	for (size_t i = 0; i < count; i++)
		cr_expect_str_eq(found->missing[i].reason, reasons[i]);
	trial_close(&trial);
}

Test(judge, a_rule_that_is_silent_for_want_of_a_value_names_it)
{
	expect_silent("<line tag='P-1'/>", "hardness-weld of P-1 is not stated", "pwht of P-1 is not stated");
	expect_silent("<line tag='P-1' pwht='no'/>", "hardness-weld of P-1 is not stated", NULL);
	expect_silent("<line tag='P-1' hardness-weld='210 HBW'/>", "pwht of P-1 is not stated", NULL);
	expect_silent("<line tag='P-1' traced='yes'/>", NULL, NULL);
	expect_verdict(judge_line(only_stated, "<line tag='P-1' pwht='no' hardness-weld='210 HBW'/>"), VERDICT_DEPARTS);
}

static const char hardness[] = RULE("TST-001", "required", "judged='h'",
	"<select kind='line'/><input name='h' quantity='hardness-weld' kind='hardness-brinell|hardness-vickers'/>"
	"<limit at-most='200 HBW' source='read' known='read'/>");

Test(judge, an_unknown_input_is_not_judged_and_named)
{
	expect_missing(judge_line(hardness, "<line tag='P-1'/>"), "hardness-weld of P-1 is not stated");
	cr_expect(finding_action(trial_finding(&trial, "TST-001", "P-1")) == ACTION_STATE);
	cr_assert(trial.review->request_count == 1);
	cr_expect_str_eq(trial.review->requests[0].quantity, "hardness-weld");
}

Test(judge, a_value_in_another_scale_is_not_compared)
{
	expect_missing(judge_line(hardness, "<line tag='P-1' hardness-weld='180 HV'/>"),
		"no limit of TST-001 can be compared with hardness-weld of P-1 as stated");
	const struct finding *found = trial_finding(&trial, "TST-001", "P-1");
	cr_expect(!found->limits[0].applied && strstr(found->limits[0].aside, "HV"), "%s", found->limits[0].aside);
}

Test(judge, a_kind_the_rule_cannot_use_is_named)
{
	expect_missing(judge_line(hardness, "<line tag='P-1' hardness-weld='20 HRC'/>"),
		"hardness-weld of P-1 is given as 20 HRC, which TST-001 cannot use");
}

Test(judge, the_root_of_an_unknown_computed_value_is_named)
{
	expect_missing(
		judge_line(VELOCITY("<limit at-most='1.5 m/s' source='read' known='read'/>"),
			"<stream id='s' service='lean' flow='10 m3/h'/><line tag='P-1' stream='s' size='NPS 4'/>"),
		"schedule of P-1 is not stated");
}

Test(judge, an_item_that_is_not_there_is_named)
{
	expect_missing(judge_line(RULE("TST-001", "required", "",
					  "<select kind='line'/><input name='t' quantity='temperature' of='stream' "
					  "kind='temperature'/><assert test='$t &lt; 300'/>"),
			       "<line tag='P-1'/>"),
		"temperature is not stated: no stream is given for P-1");
}

Test(judge, a_default_of_the_rule_is_taken_and_recorded)
{
	const struct finding *found = judge_line(
		RULE("TST-001", "required", "",
			"<select kind='line'/><input name='p' quantity='pwht' kind='yes-no' absent='no'/><assert "
			"test='$p'/>"),
		"<line tag='P-1'/>");
	expect_verdict(found, VERDICT_DEPARTS);
	cr_expect(found->inputs[0].quantity->known == ASSUMED);
	cr_expect_str_eq(found->inputs[0].quantity->reason, "taken by TST-001 where it is not stated");
}

Test(judge, an_unknown_input_that_decides_nothing_is_not_asked_for)
{
	static const char rule[] = RULE("TST-001", "required", "",
		"<select kind='line'/><input name='p' quantity='pwht' kind='yes-no'/>"
		"<input name='t' quantity='traced' kind='yes-no'/><assert test='$p or $t'/>");
	expect_verdict(judge_line(rule, "<line tag='P-1' pwht='yes'/>"), VERDICT_MEETS);
	cr_expect(trial_finding(&trial, "TST-001", "P-1")->missing_count == 0);
	expect_missing(judge_line(rule, "<line tag='P-1' pwht='no'/>"), "traced of P-1 is not stated");
}

/* ---- selection, conditions ---- */

static const char of_steel[] = RULE("TST-001", "required", "",
	"<select kind='line' material-family='carbon steel' service='lean|rich'/>"
	"<input name='p' quantity='pwht' kind='yes-no'/><assert test='$p'/>");

Test(judge, a_selection_on_an_unknown_word_asks_for_it)
{
	expect_missing(
		judge_line(of_steel, "<line tag='P-1' service='rich' pwht='no'/>"), "material of P-1 is not stated");
}

Test(judge, a_selection_on_an_unknown_word_does_not_matter_where_the_rule_is_met)
{
	expect_verdict(judge_line(of_steel, "<line tag='P-1' service='rich' pwht='yes'/>"), VERDICT_MEETS);
}

Test(judge, a_selection_takes_only_what_has_its_words)
{
	cr_expect_null(judge_line(of_steel, "<line tag='P-1' service='rich' material='316L' pwht='no'/>"));
	cr_expect(trial.review->judgement.idle_count == 1);
	/* One word that surely differs is enough, whatever the other would be. */
	cr_expect_null(judge_line(of_steel, "<line tag='P-1' service='steam' pwht='no'/>"));
	expect_verdict(judge_line(of_steel, "<line tag='P-1' service='lean' material='carbon steel' pwht='no'/>"),
		VERDICT_DEPARTS);
}

Test(judge, a_when_that_is_unknown_is_not_judged_unless_the_rule_is_met)
{
	static const char rule[] = RULE("TST-001", "required", "",
		"<select kind='line'/><input name='t' quantity='traced' kind='yes-no'/>"
		"<input name='p' quantity='pwht' kind='yes-no'/><when test='$t'/><assert test='$p'/>");
	expect_missing(judge_line(rule, "<line tag='P-1' pwht='no'/>"), "traced of P-1 is not stated");
	expect_verdict(judge_line(rule, "<line tag='P-1' pwht='yes'/>"), VERDICT_MEETS);
	expect_verdict(judge_line(rule, "<line tag='P-1' pwht='no' traced='no'/>"), VERDICT_NOT_APPLICABLE);
	expect_verdict(judge_line(rule, "<line tag='P-1' pwht='no' traced='yes'/>"), VERDICT_DEPARTS);
}

Test(judge, met_if_satisfies_whatever_the_limits_say)
{
	static const char rule[] = RULE("TST-001", "required", "judged='h'",
		"<select kind='line'/><input name='h' quantity='hardness-weld' kind='hardness-brinell'/>"
		"<input name='p' quantity='pwht' kind='yes-no'/><met-if test='$p'/>"
		"<limit at-most='200 HBW' source='read' known='read'/>");
	expect_verdict(judge_line(rule, "<line tag='P-1' pwht='yes' hardness-weld='240 HBW'/>"), VERDICT_MEETS);
	expect_verdict(judge_line(rule, "<line tag='P-1' pwht='yes'/>"), VERDICT_MEETS);
	expect_verdict(judge_line(rule, "<line tag='P-1' pwht='no' hardness-weld='240 HBW'/>"), VERDICT_DEPARTS);
	expect_verdict(judge_line(rule, "<line tag='P-1' hardness-weld='180 HBW'/>"), VERDICT_MEETS);
	/* Too hard, but perhaps heat treated: that is what has to be stated. */
	expect_missing(judge_line(rule, "<line tag='P-1' hardness-weld='240 HBW'/>"), "pwht of P-1 is not stated");
}

/* ---- bounds, borders ---- */

/* A line of this velocity against one limit of 2 m/s. */
static const struct finding *against_two(const char *relation, const char *velocity)
{
	struct arena arena = {0};
	const struct finding *found =
		judge_line(arena_format(&arena, VELOCITY("<limit %s='2 m/s' source='read' known='read'/>"), relation),
			arena_format(&arena, "<line tag='P-1' velocity='%s'/>", velocity));
	arena_release(&arena);
	return found;
}

Test(judge, a_bound_decides_on_one_side_only)
{
	static const struct {
		const char *relation, *velocity;
		enum verdict verdict;
	} rows[] = {
		{"at-most", "&lt;1 m/s", VERDICT_MEETS},
		{"at-most", "&lt;2 m/s", VERDICT_MEETS},
		{"at-most", "&lt;=2 m/s", VERDICT_MEETS},
		{"at-most", "&lt;3 m/s", VERDICT_NOT_JUDGED},
		{"at-most", ">1 m/s", VERDICT_NOT_JUDGED},
		{"at-most", ">=2 m/s", VERDICT_NOT_JUDGED},
		{"at-most", ">2 m/s", VERDICT_DEPARTS},
		{"at-most", ">3 m/s", VERDICT_DEPARTS},
		{"below", "&lt;1 m/s", VERDICT_MEETS},
		{"below", "&lt;2 m/s", VERDICT_MEETS},
		{"below", "&lt;=2 m/s", VERDICT_NOT_JUDGED},
		{"below", ">1 m/s", VERDICT_NOT_JUDGED},
		{"below", ">=2 m/s", VERDICT_DEPARTS},
		{"below", ">2 m/s", VERDICT_DEPARTS},
		{"at-least", ">3 m/s", VERDICT_MEETS},
		{"at-least", ">=2 m/s", VERDICT_MEETS},
		{"at-least", ">1 m/s", VERDICT_NOT_JUDGED},
		{"at-least", "&lt;=2 m/s", VERDICT_NOT_JUDGED},
		{"at-least", "&lt;2 m/s", VERDICT_DEPARTS},
		{"above", ">2 m/s", VERDICT_MEETS},
		{"above", ">=2 m/s", VERDICT_NOT_JUDGED},
		{"above", "&lt;=2 m/s", VERDICT_DEPARTS},
		{"above", "&lt;3 m/s", VERDICT_NOT_JUDGED},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct finding *found = against_two(rows[i].relation, rows[i].velocity);
		cr_expect(found->verdict == rows[i].verdict, "%s of %s 2 m/s: %s", rows[i].velocity, rows[i].relation,
			found->message);
		cr_expect(!found->limits[0].borderline);
		cr_expect(found->verdict != VERDICT_NOT_JUDGED || strstr(found->message, "only as a bound"), "%s",
			found->message);
	}
}

Test(judge, a_value_on_the_limit_and_within_its_uncertainty_is_borderline)
{
	static const struct {
		const char *relation, *velocity;
		enum verdict verdict;
		enum certainty certainty;
	} rows[] = {
		{"at-most", "2 m/s +/- 0.01 m/s", VERDICT_MEETS, CERTAINTY_BORDERLINE},
		{"at-most", "6.5616797900262467 ft/s +/- 0.01 ft/s", VERDICT_MEETS, CERTAINTY_BORDERLINE}, /* 2 m/s */
		{"below", "2 m/s +/- 0.01 m/s", VERDICT_DEPARTS, CERTAINTY_BORDERLINE},
		{"at-least", "2 m/s +/- 0.01 m/s", VERDICT_MEETS, CERTAINTY_BORDERLINE},
		{"above", "2 m/s +/- 0.01 m/s", VERDICT_DEPARTS, CERTAINTY_BORDERLINE},
		{"at-most", "2.009 m/s +/- 0.01 m/s", VERDICT_DEPARTS, CERTAINTY_BORDERLINE},
		{"at-most", "2.011 m/s +/- 0.01 m/s", VERDICT_DEPARTS, CERTAINTY_FIRM},
		{"at-most", "1.991 m/s +/- 0.01 m/s", VERDICT_MEETS, CERTAINTY_BORDERLINE},
		{"at-most", "1.989 m/s +/- 0.01 m/s", VERDICT_MEETS, CERTAINTY_FIRM},
		/* 3 % where no uncertainty of a velocity is stated */
		{"at-most", "2.06 m/s", VERDICT_DEPARTS, CERTAINTY_BORDERLINE},
		{"at-most", "2.07 m/s", VERDICT_DEPARTS, CERTAINTY_FIRM},
		{"at-most", "1.95 m/s", VERDICT_MEETS, CERTAINTY_BORDERLINE},
		{"at-most", "1.94 m/s", VERDICT_MEETS, CERTAINTY_FIRM},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		const struct finding *found = against_two(rows[i].relation, rows[i].velocity);
		cr_expect(found->verdict == rows[i].verdict && found->certainty == rows[i].certainty,
			"%s, %s 2 m/s: %s, %s", rows[i].velocity, rows[i].relation, verdict_word(found->verdict),
			certainty_word(found->certainty));
	}
}

/* An upper and a lower limit are both asked; the one the value is nearer to breaking is shown as governing. */
Test(judge, a_range_is_met_only_inside)
{
	static const char range[] = VELOCITY("<limit at-least='1 m/s' source='read' known='read'/>"
					     "<limit at-most='2 m/s' source='read' name='upper' known='read'/>");
	expect_verdict(judge_line(range, "<line tag='P-1' velocity='1.5 m/s'/>"), VERDICT_MEETS);
	const struct finding *found = judge_line(range, "<line tag='P-1' velocity='0.5 m/s'/>");
	expect_verdict(found, VERDICT_DEPARTS);
	cr_expect(found->governing->limit->relation == RELATION_AT_LEAST);
	found = judge_line(range, "<line tag='P-1' velocity='2.5 m/s'/>");
	expect_verdict(found, VERDICT_DEPARTS);
	cr_expect(found->governing->limit->relation == RELATION_AT_MOST);
}

/* ---- which limit governs ---- */

static void expect_governing(const char *limits, const char *profile, const char *unit, double velocity)
{
	struct arena arena = {0};
	trial_open_with(&trial, arena_format(&arena, VELOCITY("%s"), limits), profile);
	trial_review_unit(&trial, "MDEA", unit);
	const struct finding *found = trial_finding(&trial, "TST-001", "P-1");
	cr_assert(found && found->governing, "%s: nothing governs", limits);
	cr_expect_float_eq(found->governing->limit->value.si, velocity, 1e-12, "%s: %g governs, not %g", limits,
		found->governing->limit->value.si, velocity);
	size_t governing = 0;
	for (size_t i = 0; i < found->limit_count; i++)
		governing += found->limits[i].governs;
	cr_expect(governing == 1);
	arena_release(&arena);
}

#define LINE "<line tag='P-1' velocity='1 m/s' material='carbon steel' service='rich'/>"

Test(judge, the_most_specific_limit_governs_then_the_strictest_that_was_read)
{
	/* most specific first, though a stricter one of the same reading stands beside it */
	expect_governing("<limit at-most='1 m/s' source='read' known='read'/>"
			 "<limit at-most='2 m/s' source='read' name='b' known='read' amine='MDEA'/>",
		NULL, LINE, 2);
	expect_governing("<limit at-most='2 m/s' source='read' known='read' amine='MDEA' service='rich'/>"
			 "<limit at-most='1 m/s' source='read' name='b' known='read' amine='MDEA'/>",
		NULL, LINE, 2);
	/* narrowed to something else: it is not for this item */
	expect_governing("<limit at-most='1 m/s' source='read' known='read'/>"
			 "<limit at-most='2 m/s' source='read' name='b' known='read' amine='DEA'/>",
		NULL, LINE, 1);
	/* among equals the strictest that was read */
	expect_governing("<limit at-most='2 m/s' source='read' known='read'/>"
			 "<limit at-most='1.5 m/s' source='read' name='b' known='read'/>"
			 "<limit at-most='1 m/s' source='memory' known='memory'/>",
		NULL, LINE, 1.5);
	/* strictness of lower limits runs the other way */
	expect_governing("<limit at-least='0.2 m/s' source='read' known='read'/>"
			 "<limit at-least='0.4 m/s' source='read' name='b' known='read'/>",
		NULL, LINE, 0.4);
	/* of the same figure the one that excludes it is the stricter */
	trial_open_with(&trial,
		VELOCITY("<limit at-most='2 m/s' source='read' known='read'/>"
			 "<limit below='2 m/s' source='read' name='b' known='read'/>"),
		NULL);
	trial_review_unit(&trial, "MDEA", LINE);
	cr_expect(trial_finding(&trial, "TST-001", "P-1")->governing->limit->relation == RELATION_BELOW);
}

Test(judge, a_looser_remembered_number_never_governs_over_a_stricter_read_one)
{
	static const char *const unread[] = {"memory", "secondary", "common practice"};
	struct arena arena = {0};
	for (size_t i = 0; i < COUNT(unread); i++) {
		/* not even when it is more specific */
		expect_governing(
			arena_format(&arena,
				"<limit at-most='1.5 m/s' source='read' known='read'/>"
				"<limit at-most='2 m/s' source='memory' known='%s' amine='MDEA' service='rich'/>",
				unread[i]),
			NULL, LINE, 1.5);
		/* a stricter one that is more specific does */
		expect_governing(arena_format(&arena,
					 "<limit at-most='1.5 m/s' source='read' known='read'/>"
					 "<limit at-most='1 m/s' source='memory' known='%s' amine='MDEA'/>",
					 unread[i]),
			NULL, LINE, 1);
	}
	arena_release(&arena);
}

Test(judge, a_pin_governs_and_context_never_does)
{
	expect_governing("<limit at-most='1 m/s' source='read' known='read'/>"
			 "<limit at-most='2 m/s' source='custom' known='common practice' governs='yes'/>",
		NULL, LINE, 2);
	expect_governing("<limit at-most='1 m/s' source='read' known='read' context='yes'/>"
			 "<limit at-most='2 m/s' source='custom' known='common practice'/>",
		NULL, LINE, 2);
	/* a pin on a limit that is not for this item pins nothing */
	expect_governing("<limit at-most='1 m/s' source='read' known='read'/>"
			 "<limit at-most='2 m/s' source='custom' known='common practice' amine='DEA' governs='yes'/>",
		NULL, LINE, 1);
}

#define THREE                                                                                                          \
	"<limit at-most='2 m/s' source='read' known='read' governs='yes'/>"                                            \
	"<limit at-most='1.5 m/s' source='secondary' known='secondary'/>"                                              \
	"<limit at-most='1.2 m/s' source='memory' known='memory'/>"

Test(judge, a_profile_chooses_among_limits_and_adds_its_own)
{
	expect_governing(THREE, NULL, LINE, 2);
	expect_governing(THREE, "govern='strictest'>", LINE, 1.2);
	expect_governing(THREE, "><override rule='TST-001' limit='secondary' governs='yes'/>", LINE, 1.5);
	static const char source[] = "<source key='own' author='Own' title='Own specification' known='read'/>";
	struct arena arena = {0};
	expect_governing(THREE,
		arena_format(&arena,
			">%s<override rule='TST-001' limit='own' at-most='3 m/s' source='own' known='read' "
			"governs='yes'/>",
			source),
		LINE, 3);
	/* A number the company sets itself stands against the strictest, too. */
	expect_governing(THREE,
		arena_format(&arena,
			"govern='strictest'>%s<override rule='TST-001' limit='own' at-most='3 m/s' source='own' "
			"known='read' governs='yes'/>",
			source),
		LINE, 3);
	arena_release(&arena);
}

Test(judge, a_limit_that_may_or_may_not_apply_leaves_the_rule_open_only_where_it_would_decide)
{
	static const char limits[] = VELOCITY("<limit at-most='2 m/s' source='read' known='read'/>"
					      "<limit at-most='1 m/s' source='read' name='b' known='read' "
					      "material-family='carbon steel'/>");
	expect_missing(judge_line(limits, "<line tag='P-1' velocity='1.5 m/s'/>"), "material of P-1 is not stated");
	expect_verdict(judge_line(limits, "<line tag='P-1' velocity='0.5 m/s'/>"), VERDICT_MEETS);
	expect_verdict(judge_line(limits, "<line tag='P-1' velocity='2.5 m/s'/>"), VERDICT_DEPARTS);
	expect_verdict(judge_line(limits, "<line tag='P-1' velocity='1.5 m/s' material='316L'/>"), VERDICT_MEETS);
	expect_verdict(
		judge_line(limits, "<line tag='P-1' velocity='1.5 m/s' material='carbon steel'/>"), VERDICT_DEPARTS);
}

/* ---- certainty ---- */

Test(judge, a_finding_on_what_was_not_read_is_never_firm)
{
	static const char *const unread[] = {"memory", "secondary", "common practice"};
	for (size_t i = 0; i < COUNT(unread); i++) {
		struct arena arena = {0};
		const struct finding *found =
			judge_line(arena_format(&arena, VELOCITY("<limit at-most='1 m/s' source='memory' known='%s'/>"),
					   unread[i]),
				"<line tag='P-1' velocity='3 m/s'/>");
		expect_verdict(found, VERDICT_DEPARTS);
		cr_expect(
			found->certainty == CERTAINTY_SCREENING, "%s: %s", unread[i], certainty_word(found->certainty));
		arena_release(&arena);
	}
}

/* A read limit that would have passed the value does not make a departure from a remembered one firm. */
Test(judge, a_read_limit_counts_only_where_it_says_the_same)
{
	static const char limits[] = VELOCITY("<limit at-most='1 m/s' source='memory' known='memory'/>"
					      "<limit at-most='2 m/s' source='read' known='read'/>");
	static const char pinned[] = VELOCITY("<limit at-most='1 m/s' source='memory' known='memory' governs='yes'/>"
					      "<limit at-most='2 m/s' source='read' known='read'/>");
	cr_expect(judge_line(pinned, "<line tag='P-1' velocity='1.5 m/s'/>")->certainty == CERTAINTY_SCREENING);
	cr_expect(judge_line(pinned, "<line tag='P-1' velocity='2.5 m/s'/>")->certainty == CERTAINTY_FIRM);
	expect_verdict(judge_line(limits, "<line tag='P-1' velocity='1.5 m/s'/>"), VERDICT_MEETS);
}

Test(judge, a_cap_of_the_rule_holds)
{
	static const char rule[] = RULE("TST-001", "advisory", "judged='v' certainty='disputed'",
		"<select kind='line'/><input name='v' quantity='velocity' kind='velocity'/>"
		"<limit at-most='1 m/s' source='read' known='read'/>");
	cr_expect(judge_line(rule, "<line tag='P-1' velocity='3 m/s'/>")->certainty == CERTAINTY_DISPUTED);
}

/* ---- force ---- */

Test(judge, a_claimed_code_raises_the_force)
{
	static const char rule[] = RULE("TST-001", "recommended", "judged='v'",
		"<force is='required' when-code='Code X' why='Code X is claimed'/>"
		"<select kind='line'/><input name='v' quantity='velocity' kind='velocity'/>"
		"<limit at-most='1 m/s' source='read' known='read'/>");
	static const char design[] =
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><code>%s</code></basis>"
		"<line tag='P-1' velocity='3 m/s'/></unit>";
	static const struct {
		const char *code;
		enum action action;
	} rows[] = {{"Code X", ACTION_RESOLVE}, {"Code X, 2nd edition", ACTION_RESOLVE},
		{"ANSI/Code X", ACTION_RESOLVE}, {"Code Y", ACTION_JUSTIFY}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_open_with(&trial, rule, NULL);
		trial_review(&trial, arena_format(&trial.arena, design, rows[i].code));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct finding *found = trial_finding(&trial, "TST-001", "P-1");
		cr_expect(finding_action(found) == rows[i].action, "%s", rows[i].code);
	}
}

/* ---- operating cases ---- */

#define CASES(body)                                                                                                    \
	"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='normal'/><case id='summer' "         \
	"title='Hot summer'/><case id='steaming' upset='yes'/></basis><line tag='P-1' velocity='1 m/s'>" body          \
	"</line></unit>"

static const struct finding *judge_cases(const char *attributes, const char *design)
{
	struct arena arena = {0};
	trial_open_with(&trial,
		arena_format(&arena,
			"<rule id='TST-001' since='1' title='T' force='required' why-force='w' judged='v' %s><select "
			"kind='line'/><input name='v' quantity='velocity' kind='velocity'/><limit at-most='2 m/s' "
			"source='read' known='read'/><message>{item} in {case}: {v}</message><why>w</why>"
			"<remedy>r</remedy></rule>",
			attributes),
		NULL);
	arena_release(&arena);
	trial_review(&trial, design);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return trial_finding(&trial, "TST-001", "P-1");
}

Test(judge, the_worst_case_governs_and_is_named)
{
	const struct finding *found =
		judge_cases("", CASES("<in case='summer' velocity='2.5 m/s'/><in case='steaming' velocity='9 m/s'/>"));
	expect_verdict(found, VERDICT_DEPARTS);
	cr_expect_float_eq(found->value->si, 2.5, 1e-12);
	cr_assert(found->operating_case >= 0);
	cr_expect_str_eq(table_case(trial.table, found->operating_case)->id, "summer");
	cr_expect_str_eq(finding_case(trial.review, found), "Hot summer");
	cr_expect(strstr(found->message, "Hot summer") != NULL, "%s", found->message);
}

Test(judge, an_upset_is_judged_only_by_rules_that_ask_for_it)
{
	static const char design[] =
		CASES("<in case='summer' velocity='1.1 m/s'/><in case='steaming' velocity='9 m/s'/>");
	expect_verdict(judge_cases("", design), VERDICT_MEETS);
	const struct finding *found = judge_cases("cases='all'", design);
	expect_verdict(found, VERDICT_DEPARTS);
	cr_expect_str_eq(table_case(trial.table, found->operating_case)->id, "steaming");
}

Test(judge, what_departs_alike_in_every_case_names_none)
{
	const struct finding *found = judge_cases("",
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='normal'/><case id='summer'/>"
		"</basis><stream id='s'><in case='summer' temperature='50 degC'/></stream>"
		"<line tag='P-1' velocity='3 m/s'/></unit>");
	expect_verdict(found, VERDICT_DEPARTS);
	cr_expect(found->operating_case == EVERY_CASE);
}

Test(judge, one_case_unknown_and_one_departing_departs)
{
	const struct finding *found = judge_cases("",
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='normal'/><case id='summer'/>"
		"</basis><line tag='P-1'><in case='summer' velocity='3 m/s'/></line></unit>");
	expect_verdict(found, VERDICT_DEPARTS);
	cr_expect_str_eq(table_case(trial.table, found->operating_case)->id, "summer");
	/* And met in one, unknown in the other is not judged. */
	expect_verdict(judge_cases("",
			       "<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'><case id='normal'/>"
			       "<case id='summer'/></basis><line tag='P-1'><in case='summer' velocity='1 m/s'/></line>"
			       "</unit>"),
		VERDICT_NOT_JUDGED);
}

/* ---- deviations ---- */

static enum verdict judge_deviation(const char *date, const char *deviation)
{
	static const char rule[] =
		VELOCITY("<limit at-most='1 m/s' source='read' known='read'/>") RULE("TST-002", "required", "",
			"<select kind='pump'/><input name='m' quantity='material' kind='word'/>"
			"<assert test=\"$m = 'CF8M'\"/><limit says='x' source='read' known='read'/>"
			"<example verdict='departs' m='WCB'/><example verdict='meets' m='CF8M'/>");
	trial_open_with(&trial, rule, NULL);
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T' %s><basis kind='new'/><line tag='P-1' "
			"velocity='3 "
			"m/s'/><line tag='P-2' velocity='3 m/s'/>%s</unit>",
			date, deviation));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	cr_expect(trial_finding(&trial, "TST-001", "P-2")->verdict == VERDICT_DEPARTS);
	return trial_finding(&trial, "TST-001", "P-1")->verdict;
}

#define DEVIATION(rule, item, until)                                                                                   \
	"<deviation rule='" rule "' item='" item "' because='inspected twice a year' approved='A. N. Engineer' " until \
	"/>"

Test(judge, a_recorded_deviation_is_accepted_until_it_lapses)
{
	static const struct {
		const char *date, *deviation;
		enum verdict verdict;
		enum deviation_state state;
	} rows[] = {
		{"date='2026-01-01'", DEVIATION("TST-001", "P-1", "until='2027-01-01'"), VERDICT_ACCEPTED,
			DEVIATION_APPLIES},
		{"date='2027-01-01'", DEVIATION("TST-001", "P-1", "until='2027-01-01'"), VERDICT_ACCEPTED,
			DEVIATION_APPLIES},
		{"date='2027-01-02'", DEVIATION("TST-001", "P-1", "until='2027-01-01'"), VERDICT_DEPARTS,
			DEVIATION_LAPSED},
		/* Without a day it never ends: no acceptance. In a unit without a date none lapses. */
		{"date='2026-01-01'", DEVIATION("TST-001", "P-1", ""), VERDICT_DEPARTS, DEVIATION_INCOMPLETE},
		{"", DEVIATION("TST-001", "P-1", "until='2027-01-01'"), VERDICT_ACCEPTED, DEVIATION_APPLIES},
		{"date='2026-01-01'", DEVIATION("TST-002", "P-1", "until='2027-01-01'"), VERDICT_DEPARTS,
			DEVIATION_MATCHES_NOTHING},
		{"date='2026-01-01'", DEVIATION("TST-002", "P-1", ""), VERDICT_DEPARTS, DEVIATION_INCOMPLETE},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		cr_expect(judge_deviation(rows[i].date, rows[i].deviation) == rows[i].verdict, "row %zu", i);
		cr_assert(trial.review->deviation_count == 1);
		cr_expect(trial.review->deviations[0].state == rows[i].state, "row %zu: state %d", i,
			(int)trial.review->deviations[0].state);
		cr_expect(trial.review->accepted_count == (rows[i].verdict == VERDICT_ACCEPTED));
	}
}

/* What is recorded without reason, approver or day is a proposal, and says what it lacks; with all three it accepts. */
Test(judge, a_deviation_that_lacks_something_accepts_nothing_and_is_told_what)
{
	static const char *const parts[] = {
		" because='inspected'", " approved='A. N. Engineer'", " until='2027-01-01'"};
	static const char *const lacks[] = {"its reason, its approver and the date until when it holds",
		"its approver and the date until when it holds", "its reason and the date until when it holds",
		"the date until when it holds", "its reason and its approver", "its approver", "its reason", "nothing"};
	for (unsigned k = 0; k < COUNT(lacks); k++) {
		char deviation[200];
		snprintf(deviation, sizeof deviation, "<deviation rule='TST-001' item='P-1'%s%s%s/>",
			k & 1 ? parts[0] : " because='  '", k & 2 ? parts[1] : "", k & 4 ? parts[2] : "");
		enum verdict verdict = judge_deviation("date='2026-01-01'", deviation);
		const struct item *item = trial.review->deviations[0].item;
		cr_expect_str_eq(deviation_lacks(&trial.arena, trial.table, item), lacks[k]);
		cr_expect_eq(verdict, k == 7 ? VERDICT_ACCEPTED : VERDICT_DEPARTS, "%s", lacks[k]);
		cr_expect_eq(trial.review->deviations[0].state, k == 7 ? DEVIATION_APPLIES : DEVIATION_INCOMPLETE);
	}
}

Test(judge, an_accepted_deviation_is_no_longer_an_action)
{
	judge_deviation("date='2026-01-01'", DEVIATION("TST-001", "P-1", "until='2027-01-01'"));
	cr_expect(trial.review->counts[ACTION_JUSTIFY] == 1); /* P-2 */
	const struct finding *found = trial_finding(&trial, "TST-001", "P-1");
	cr_expect(finding_action(found) == ACTION_NONE);
	cr_assert_not_null(found->deviation);
	cr_expect_str_eq(table_word(trial.table, found->deviation, EVERY_CASE, "because"), "inspected twice a year");
}

/* A limit of "5 barg" is 5 bar above the air of the site, not above the standard atmosphere. */
Test(judge, a_gauge_limit_stands_on_the_barometer_of_the_site)
{
	static const char rule[] =
		"<rule id='TST-001' since='1' title='t' force='advisory' why-force='w' judged='p' mechanism='m'>"
		"<select kind='vessel'/><input name='p' quantity='design-pressure' kind='pressure'/>"
		"<limit at-most='5 barg' source='read' known='read' confidence='high'/><message>{item}: {p}</message>"
		"<why>w</why><remedy>r</remedy><example verdict='departs' p='14 barg'/><example verdict='meets' p='3 "
		"barg'/>"
		"<example verdict='not judged'/></rule>";
	static const char vessel[] =
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis barometric-pressure='%s'/><solvent amine='MDEA'/>"
		"<vessel tag='V-1' service='lean' material='carbon steel' pwht='no' design-pressure='%s'/></unit>";
	static const struct {
		const char *site, *pressure;
		enum verdict verdict;
	} rows[] = {
		{"0.75 bara", "5.2 barg", VERDICT_DEPARTS},
		{"0.75 bara", "4.8 barg", VERDICT_MEETS},
		{"1.01325 bara", "5.2 barg", VERDICT_DEPARTS},
		{"0.75 bara", "5.9 bara", VERDICT_DEPARTS}, /* 5.15 bar above the air there */
		{"1.01325 bara", "5.9 bara", VERDICT_MEETS},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		trial_open_with(&trial, rule, NULL);
		trial_review(&trial, arena_format(&trial.arena, vessel, rows[i].site, rows[i].pressure));
		cr_assert(trial.problems.count == 0, "%s", trial_messages(&trial));
		const struct finding *found = trial_finding(&trial, "TST-001", "V-1");
		cr_assert_not_null(found);
		cr_expect(found->verdict == rows[i].verdict, "row %zu: %s", i, verdict_word(found->verdict));
	}
}
