/*
 * How firm a finding is and what it asks for: certainty, force, operating cases, deviations. Rules of the test's own; all numbers
 * are invented.
 */
#include <criterion/criterion.h>
#include <stdio.h>
#include <string.h>

#include "base/count.h"
#include "judge_support.h"

/* ---- certainty ---- */

/* A remembered figure may be a fifth wrong, so that close to it nothing is firm; no misquotation turns three times the limit. */
Test(judge, a_finding_is_screening_where_what_was_not_read_could_turn_it)
{
	static const struct {
		const char *known, *velocity;
		enum certainty certainty;
	} rows[] = {
		{"memory", "1.15 m/s", CERTAINTY_SCREENING},
		{"memory", "3 m/s", CERTAINTY_FIRM},
		{"secondary", "1.15 m/s", CERTAINTY_SCREENING},
		{"secondary", "3 m/s", CERTAINTY_FIRM},
		{"common practice", "1.15 m/s", CERTAINTY_SCREENING},
		{"common practice", "3 m/s", CERTAINTY_SCREENING},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		const struct finding *found =
			judge_line(arena_format(&arena, VELOCITY("<limit at-most='1 m/s' source='memory' known='%s'/>"),
					   rows[i].known),
				arena_format(&arena, "<line tag='P-1' velocity='%s'/>", rows[i].velocity));
		expect_verdict(found, VERDICT_DEPARTS);
		cr_expect_eq(found->certainty, rows[i].certainty, "%s, %s: %s", rows[i].known, rows[i].velocity,
			certainty_word(found->certainty));
		arena_release(&arena);
	}
}

/* What two works of different authors say, neither of them read, no one memory turns; two of one author are one. */
Test(judge, two_authors_make_firm_what_neither_does_alone)
{
	static const char two[] = VELOCITY("<limit at-most='1 m/s' source='memory' known='memory'/>"
					   "<limit at-most='1.1 m/s' source='read' known='secondary'/>");
	static const char one[] = VELOCITY("<limit at-most='1 m/s' source='memory' known='memory'/>"
					   "<limit at-most='1.1 m/s' source='memory' known='secondary'/>");
	cr_expect_eq(judge_line(two, "<line tag='P-1' velocity='1.15 m/s'/>")->certainty, CERTAINTY_FIRM);
	cr_expect_eq(judge_line(one, "<line tag='P-1' velocity='1.15 m/s'/>")->certainty, CERTAINTY_SCREENING);
}

/* A usual figure passed by less than the value is uncertain by is told and not asked for, unless what is in it can get out. */
Test(judge, a_usual_figure_is_asked_for_where_the_value_is_clear_of_it)
{
	static const struct {
		const char *force, *consequence, *velocity;
		bool remark;
	} rows[] = {
		{"advisory", "reliability", "1.05 m/s +/- 0.1 m/s", true},
		{"advisory", "paper", "1.05 m/s +/- 0.1 m/s", true},
		{"advisory", "reliability", "1.15 m/s +/- 0.1 m/s", false},
		{"advisory", "loss of containment", "1.05 m/s +/- 0.1 m/s", false},
		{"recommended", "reliability", "1.05 m/s +/- 0.1 m/s", false},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		const struct finding *found = judge_line(
			arena_format(&arena,
				RULE("TST-001", "%s", "consequence='%s' judged='v'",
					"<select kind='line'/><input name='v' quantity='velocity' kind='velocity'/>"
					"<limit at-most='1 m/s' source='read' known='read'/>"),
				rows[i].force, rows[i].consequence),
			arena_format(&arena, "<line tag='P-1' velocity='%s'/>", rows[i].velocity));
		expect_verdict(found, VERDICT_DEPARTS);
		cr_expect_eq(found->remark, rows[i].remark, "row %zu", i);
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
	cr_expect(judge_line(pinned, "<line tag='P-1' velocity='1.15 m/s'/>")->certainty == CERTAINTY_SCREENING);
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
	static const char *const lacks[] = {"its reason, its approver and its expiry date",
		"its approver and its expiry date", "its reason and its expiry date", "its expiry date",
		"its reason and its approver", "its approver", "its reason", "nothing"};
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
