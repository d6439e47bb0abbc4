/*
 * Judging with three truth values, on small units and rules of the test's own: what is unknown, selection, bounds, which limit
 * governs. All numbers here are invented.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "judge_support.h"

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
	cr_assert(found->missing_count == count, "%s: %u", line, found->missing_count);
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
			"<stream id='s' service='lean' flow='30 m3/h'/><line tag='P-1' stream='s' size='NPS 4'/>"),
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
	/* most specific first, though a stricter one of the same reading is beside it */
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
	/* A number the company sets itself is held against the strictest, too. */
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
