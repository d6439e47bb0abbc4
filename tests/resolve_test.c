/*
 * From written to meant: dates, default uncertainties, cases, the same value said by two documents, references. Faults with
 * their messages are in tests/broken. All numbers are invented.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "resolve/resolve.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

TestSuite(resolve, .fini = end);

static const char rule[] = "<rule id='TST-001' since='1' title='Title' force='recommended' why-force='test'>"
			   "<select kind='line'/><input name='t' quantity='traced' kind='yes-no'/><assert test='$t'/>"
			   "<message>{item} departs</message><why>w</why><remedy>r</remedy></rule>";

#define UNIT(attributes, cases, body)                                                                                  \
	"<unit xmlns='urn:leanrich:unit:1' number='T' " attributes "><basis kind='new'>" cases "</basis>" body "</"    \
	"unit>"

/* True when the description has no fault. */
static bool resolve_design(const char *design)
{
	trial_open_with(&trial, rule, NULL);
	trial_review(&trial, design);
	return trial.problems.count == 0;
}

static void expect_sound(const char *design)
{
	cr_assert(resolve_design(design), "%s: %s", design, trial_messages(&trial));
}

static size_t contradictions(void)
{
	size_t count = 0;
	for (size_t i = 0; i < table_item_count(trial.table); i++)
		count += item_is(table_item(trial.table, i), "contradiction");
	return count;
}

/* ---- one value ---- */

Test(resolve, a_date_is_a_year_a_month_and_a_day)
{
	static const char *const dates[] = {
		"2026-01-01", "2026-12-31", "0000-10-09", "9999-09-30", "2026-02-28", "2019-08-17"};
	static const char *const others[] = {"2026-13-01", "2026-00-10", "2026-01-00", "2026-01-32", "2026-1-01",
		"2026/01/01", "2026-01/01", "2026-01-1x", "20a6-01-01", "2026-01-011", "2026-0:-01", "202/-01-01",
		"2026-01-0/", "26-01-01", "2026-01-01 ", ""};
	for (size_t i = 0; i < COUNT(dates); i++) {
		struct arena arena = {0};
		expect_sound(arena_format(&arena, UNIT("date='%s'", "", "<line tag='P-1'/>"), dates[i]));
		const struct item *unit = table_sole(trial.table, "unit");
		cr_expect_str_eq(table_word(trial.table, unit, EVERY_CASE, "date"), dates[i]);
		arena_release(&arena);
	}
	for (size_t i = 0; i < COUNT(others); i++) {
		struct arena arena = {0};
		cr_expect_not(
			resolve_design(arena_format(&arena, UNIT("date='%s'", "", "<line tag='P-1'/>"), others[i])),
			"'%s'", others[i]);
		cr_expect(trial.problems.count == 1 && trial.problems.rows[0].code == PROBLEM_NOT_A_DATE, "'%s': %s",
			others[i], trial_messages(&trial));
		arena_release(&arena);
	}
}

Test(resolve, yes_is_one_and_no_is_nothing)
{
	expect_sound(UNIT("", "", "<line tag='P-1' traced='yes' pwht='no'/>"));
	const struct quantity *yes = trial_value(&trial, "P-1", NULL, "traced"),
			      *no = trial_value(&trial, "P-1", NULL, "pwht");
	cr_assert(yes && no);
	cr_expect(yes->si > 0.5 && yes->si < 1.5 && no->si < 0.5);
	cr_expect_str_eq(yes->word, "yes");
	cr_expect_str_eq(no->word, "no");
}

Test(resolve, an_uncertainty_that_is_not_stated_is_that_of_the_kind)
{
	expect_sound(UNIT("", "",
		"<line tag='P-1' temperature='100 degC' velocity='2 m/s' bore='0.1 m'/>"
		"<line tag='P-2' temperature='100 +/- 0.5 degC' velocity='2 m/s +/- 5%' bore='0.1 m +/- 1 mm'/>"
		"<line tag='P-3' temperature='100 +/- 0 degC'/>"));
	static const struct {
		const char *item, *name;
		double width;
	} rows[] = {{"P-1", "temperature", 2}, {"P-1", "velocity", 0.06}, {"P-1", "bore", 0},
		{"P-2", "temperature", 0.5}, {"P-2", "velocity", 0.1}, {"P-2", "bore", 0.001},
		{"P-3", "temperature", 0}};
	for (size_t i = 0; i < COUNT(rows); i++)
		cr_expect_float_eq(trial_value(&trial, rows[i].item, NULL, rows[i].name)->uncertainty, rows[i].width,
			1e-12, "%s of %s", rows[i].name, rows[i].item);
}

Test(resolve, a_word_brings_its_family_where_it_has_one)
{
	expect_sound(UNIT("", "", "<line tag='P-1' material='316L' service='lean'/>"));
	cr_expect_not_null(table_word(trial.table, table_find(trial.table, "P-1"), EVERY_CASE, "material-family"));
	cr_expect_null(trial_value(&trial, "P-1", NULL, "service-family"));
}

Test(resolve, the_document_of_a_value_is_kept)
{
	expect_sound(UNIT("", "<case id='normal'/><case id='summer'/>",
		"<line tag='P-1' velocity='2 m/s' data='PDS-1'><in case='summer' velocity='3 m/s'/></line>"
		"<line tag='P-2' velocity='2 m/s'><in case='summer' velocity='3 m/s'/></line>"));
	cr_expect_str_eq(trial_value(&trial, "P-1", "normal", "velocity")->document, "PDS-1");
	cr_expect_str_eq(trial_value(&trial, "P-1", "summer", "velocity")->document, "PDS-1");
	cr_expect_str_eq(trial_value(&trial, "P-2", "normal", "velocity")->document, "");
	cr_expect_str_eq(trial_value(&trial, "P-2", "summer", "velocity")->document, "");
}

/* ---- the same value said by two documents ---- */

Test(resolve, two_documents_agree_or_contradict_each_other)
{
	static const struct {
		const char *name, *first, *second;
		bool agree;
	} rows[] = {
		{"velocity", "2 m/s", "2.05 m/s", true}, /* 3 % of the larger */
		{"velocity", "2.05 m/s", "2 m/s", true},
		{"velocity", "2 m/s", "2.07 m/s", false},
		{"velocity", "2 m/s +/- 0.25 m/s", "2.25 m/s +/- 0.01 m/s", true},
		{"velocity", "2.25 m/s +/- 0.01 m/s", "2 m/s +/- 0.25 m/s", true},
		{"velocity", "2 m/s +/- 0.01 m/s", "2.25 m/s +/- 0.24 m/s", false},
		{"bore", "0.1 m", "100 mm", true},
		{"bore", "100 mm", "100.09 mm", true}, /* one in a thousand is rounding */
		{"bore", "100.09 mm", "100 mm", true},
		{"bore", "100 mm", "100.2 mm", false},
		{"bore", "100.2 mm", "100 mm", false},
		{"velocity", "&lt;2 m/s", "1.5 m/s +/- 0.01 m/s", true},
		{"velocity", "&lt;2 m/s", "2.5 m/s +/- 0.01 m/s", false},
		{"velocity", "1.5 m/s +/- 0.01 m/s", "&lt;2 m/s", true},
		{"velocity", "2.5 m/s +/- 0.01 m/s", "&lt;2 m/s", false},
		{"velocity", ">2 m/s", "2.5 m/s +/- 0.01 m/s", true},
		{"velocity", ">2 m/s", "1.5 m/s +/- 0.01 m/s", false},
		{"velocity", ">2 m/s", "1.75 m/s +/- 0.25 m/s", true},
		{"velocity", "&lt;2 m/s", "2.25 m/s +/- 0.25 m/s", true},
		{"velocity", "&lt;2 m/s", "2.25 m/s +/- 0.24 m/s", false},
		{"bore", "&lt;100 mm", "100.09 mm", true},
		{"bore", "&lt;100 mm", "100.2 mm", false},
		{"velocity", "&lt;2 m/s", ">3 m/s", true}, /* two bounds are not compared */
		{"velocity", "&lt;2 m/s", "&lt;3 m/s", true},
		{"flow", "100 m3/h", "100 kg/h", false}, /* a volume and a mass without a density: nobody can say */
		{"flow", "100 m3/h", "90 m3/h", false},
		{"service", "lean", "lean", true},
		{"service", "lean", "rich", false},
		{"traced", "yes", "no", false},
		{"traced", "no", "no", true},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		expect_sound(arena_format(&arena,
			UNIT("", "", "<line tag='P-1' %s='%s'><stated document='HMB-2' %s='%s'/></line>"), rows[i].name,
			rows[i].first, rows[i].name, rows[i].second));
		cr_expect_eq(contradictions(), rows[i].agree ? 0 : 1, "%s %s and %s: %zu", rows[i].name, rows[i].first,
			rows[i].second, contradictions());
		cr_expect_str_eq(trial_value(&trial, "P-1", NULL, rows[i].name)->written,
			strncmp(rows[i].first, "&lt;", 4) == 0 ? arena_format(&arena, "<%s", rows[i].first + 4)
							       : rows[i].first,
			"the first is used");
		arena_release(&arena);
	}
}

Test(resolve, a_contradiction_names_both_and_how_far_they_are_apart)
{
	expect_sound(UNIT("", "",
		"<line tag='P-1' velocity='2 m/s' service='lean' data='PDS-1'><stated document='HMB-2' velocity='2.5 "
		"m/s' "
		"service='rich'/></line><line tag='P-2' velocity='0 m/s'><stated document='HMB-2' velocity='0.5 "
		"m/s'/><stated "
		"document='LL-3' velocity='0.6 m/s'/></line>"));
	cr_expect_eq(contradictions(), 4);
	static const struct {
		const char *tag, *name, *word;
	} words[] = {{"P-1 velocity", "item", "P-1"}, {"P-1 velocity", "quantity", "velocity"},
		{"P-1 velocity", "first", "2.00 m/s"}, {"P-1 velocity", "second", "2.50 m/s"},
		{"P-1 velocity", "first-document", "PDS-1"}, {"P-1 velocity", "second-document", "HMB-2"},
		{"P-1 service", "first", "lean"}, {"P-1 service", "second", "rich"},
		{"P-2 velocity", "first-document", "the description itself"},
		{"P-2 velocity (line 1)", "second-document", "LL-3"}};
	for (size_t i = 0; i < COUNT(words); i++) {
		const struct item *item = table_find(trial.table, words[i].tag);
		cr_assert_not_null(item, "%s", words[i].tag);
		cr_expect_str_eq(table_word(trial.table, item, EVERY_CASE, words[i].name), words[i].word,
			"%s: %s of %s", table_word(trial.table, item, EVERY_CASE, words[i].name), words[i].name,
			words[i].tag);
	}
	cr_expect_float_eq(trial_value(&trial, "P-1 velocity", NULL, "difference")->si, 0.2, 1e-12);
	cr_expect_float_eq(trial_value(&trial, "P-2 velocity", NULL, "difference")->si, 1, 1e-12);
	cr_expect_null(trial_value(&trial, "P-1 service", NULL, "difference"));
	cr_expect_str_eq(table_find(trial.table, "P-1 velocity")->parent->tag, "P-1");
}

Test(resolve, another_document_fills_a_gap)
{
	expect_sound(UNIT("", "<case id='normal'/><case id='summer'/>",
		"<line tag='P-1'><stated document='HMB-2' velocity='2 m/s'/><stated document='HMB-2' case='summer' "
		"bore='100 mm'/>"
		"</line>"));
	cr_expect_eq(contradictions(), 0);
	cr_expect_str_eq(trial_value(&trial, "P-1", NULL, "velocity")->document, "HMB-2");
	cr_expect_not_null(trial_value(&trial, "P-1", "summer", "bore"));
	cr_expect(trial_value(&trial, "P-1", "summer", "bore")->known == STATED);
	cr_expect(trial_value(&trial, "P-1", "normal", "bore")->known == UNKNOWN);
	/* What holds in every case is held against what is said of one. */
	expect_sound(UNIT("", "<case id='normal'/><case id='summer'/>",
		"<line tag='P-1' velocity='2 m/s'><in case='summer' velocity='3 m/s'/><stated document='H' "
		"case='summer' "
		"velocity='3 m/s'/></line>"));
	cr_expect_eq(contradictions(), 0);
	/* Nor does it contradict what it agrees with. */
	expect_sound(UNIT("", "<case id='normal'/><case id='summer'/>",
		"<line tag='P-1' velocity='2 m/s'><stated document='H' case='summer' velocity='2 m/s'/></line>"));
	cr_expect_eq(contradictions(), 0);
}

/* ---- cases ---- */

#define TWO_CASES "<case id='normal'/><case id='summer' title='Hot'/>"

Test(resolve, an_override_that_states_nothing_is_a_slip)
{
	static const struct {
		const char *body;
		size_t problems;
	} rows[] = {
		{"<line tag='P-1' velocity='2 m/s'><in case='summer' velocity='3 m/s'/></line>", 0},
		{"<line tag='P-1'><in case='summer' velocity='3 m/s'/></line>", 0},
		{"<line tag='P-1' velocity='2 m/s' bore='1 m'><in case='summer' velocity='2 m/s' bore='2 m'/></line>",
			0},
		{"<line tag='P-1' velocity='2 m/s'><in case='summer' velocity='2 m/s'/></line>", 0},
		{"<line tag='P-1' material='304L'><in case='summer' material='304L'/></line>", 0},
		{"<line tag='P-1' velocity='2 m/s'><in case='summer'/></line>", 1},
		{"<line tag='P-1' velocity='2 m/s'><in case='autumn' velocity='3 m/s'/></line>", 1},
		{"<line tag='P-1' velocity='2 m/s'><in case='summer' velocity='3 kg'/></line>", 1},
		{"<line tag='P-1' velocity='2 m/s'/>", 0},
	};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		resolve_design(arena_format(&arena, UNIT("", TWO_CASES, "%s"), rows[i].body));
		cr_expect_eq(trial.problems.count, rows[i].problems, "%s: %s", rows[i].body, trial_messages(&trial));
		arena_release(&arena);
	}
}

/* A row that repeats the normal case states its case; one that is declared and never spoken of is told of in the review. */
Test(resolve, a_case_that_states_nothing_is_told_apart)
{
	expect_sound(UNIT("", TWO_CASES "<case id='winter'/><case id='late'/>",
		"<line tag='P-1' velocity='2 m/s'><in case='summer' velocity='2 m/s'/><stated document='H' "
		"case='winter' bore='1 m'/></line>"));
	static const char *const ids[] = {"normal", "summer", "winter", "late"};
	for (size_t i = 0; i < COUNT(ids); i++)
		cr_expect_str_eq(trial_put(&trial, ids[i], "case-stated")->word, i == 3 ? "no" : "yes", "%s", ids[i]);
	cr_expect_eq(trial_value(&trial, "P-1", "summer", "velocity")->known, STATED);
}

Test(resolve, a_case_has_a_title_and_may_be_an_upset)
{
	expect_sound(UNIT("", TWO_CASES "<case id='steam' upset='yes'/><case id='idle' upset='no'/>",
		"<line tag='P-1' velocity='1 m/s'><in case='summer' velocity='2 m/s'/><in case='steam' velocity='3 "
		"m/s'/><in "
		"case='idle' velocity='0 m/s'/></line>"));
	cr_assert_eq(table_case_count(trial.table), 4);
	static const char *const titles[] = {"normal", "Hot", "steam", "idle"};
	for (int c = 0; c < 4; c++) {
		cr_expect_str_eq(table_case(trial.table, c)->title, titles[c]);
		cr_expect_eq(table_case(trial.table, c)->upset, c == 2);
	}
	expect_sound("<unit xmlns='urn:leanrich:unit:1' number='T'><line tag='P-1'/></unit>");
	cr_assert_eq(table_case_count(trial.table), 1);
	cr_expect_str_eq(table_case(trial.table, 0)->id, "normal");
}

/* ---- items ---- */

Test(resolve, only_a_case_of_the_basis_is_a_case)
{
	expect_sound(UNIT("",
		"<document id='d'/><case id='normal'/><code>API RP 571</code><case id='summer'/><document id='e'/>",
		"<line tag='P-1' velocity='1 m/s'><in case='summer' velocity='2 m/s'/></line>"));
	cr_assert_eq(table_case_count(trial.table), 2);
	cr_expect_str_eq(table_case(trial.table, 0)->id, "normal");
	cr_expect_str_eq(table_case(trial.table, 1)->id, "summer");
}

Test(resolve, a_description_with_a_fault_has_no_table)
{
	static const char design[] = UNIT("", "", "<line tag='P-1' velocity='fast'/>");
	trial_open_with(&trial, rule, NULL);
	const struct element *unit =
		element_parse(&trial.arena, "test.xml", design, sizeof design - 1, trial.vocabulary, &trial.problems);
	cr_assert(unit && trial.problems.count == 0);
	cr_expect_null(resolve(&trial.arena, unit, &trial.problems));
	cr_expect_eq(trial.problems.count, 1);
}

Test(resolve, what_has_no_tag_gets_one_and_each_only_once)
{
	expect_sound("<unit xmlns='urn:leanrich:unit:1' number='T'>\n<exchanger "
		     "tag='E-1'><tube-side/><shell-side/></exchanger>\n"
		     "<vessel tag='V-1'>\n<nozzle name='N1'/><nozzle "
		     "name='N2'/><nozzle/>\n<nozzle/><nozzle/></vessel></unit>");
	static const char *const tags[] = {"E-1 tube side", "E-1 shell side", "V-1 nozzle N1", "V-1 nozzle N2",
		"V-1 nozzle", "V-1 nozzle (line 5)", "nozzle (line 5, 2)"};
	for (size_t i = 0; i < COUNT(tags); i++)
		cr_expect_not_null(table_find(trial.table, tags[i]), "%s", tags[i]);
	for (size_t i = 0; i < table_item_count(trial.table); i++)
		for (size_t k = 0; k < i; k++)
			cr_expect_str_neq(table_item(trial.table, i)->tag, table_item(trial.table, k)->tag);
}

Test(resolve, a_part_takes_over_what_it_does_not_say_itself)
{
	expect_sound(UNIT("", TWO_CASES,
		"<vessel tag='V-1' material='316L' temperature='50 degC'><in case='summer' temperature='60 "
		"degC'/><nozzle "
		"name='N1'/><nozzle name='N2' temperature='40 degC' material='carbon steel'/></vessel>"));
	cr_expect_str_eq(trial_value(&trial, "V-1 nozzle N1", NULL, "material")->word, "316L");
	cr_expect_str_eq(trial_value(&trial, "V-1 nozzle N1", NULL, "material-family")->word,
		trial_value(&trial, "V-1", NULL, "material-family")->word);
	cr_expect_str_eq(trial_value(&trial, "V-1 nozzle N2", NULL, "material-family")->word, "carbon steel");
	cr_expect_float_eq(trial_value(&trial, "V-1 nozzle N1", "normal", "temperature")->si, 323.15, 1e-9);
	cr_expect_float_eq(trial_value(&trial, "V-1 nozzle N1", "summer", "temperature")->si, 333.15, 1e-9);
	cr_expect_float_eq(trial_value(&trial, "V-1 nozzle N2", "summer", "temperature")->si, 313.15, 1e-9);
}

Test(resolve, gauges_stand_on_the_air_of_the_site_or_the_standard_atmosphere)
{
	expect_sound(
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis barometric-pressure='0.8 bara'/><vessel tag='V-1' "
		"pressure='1 barg'/></unit>");
	cr_expect_float_eq(trial_value(&trial, "V-1", NULL, "pressure")->si, 1.8e5, 1e-6);
	expect_sound("<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new'/><vessel tag='V-1' pressure='1 "
		     "barg'/></unit>");
	cr_expect_float_eq(trial_value(&trial, "V-1", NULL, "pressure")->si, 2.01325e5, 1e-6);
	cr_expect(table_get(trial.table, table_sole(trial.table, "basis"), EVERY_CASE, "barometric-pressure")->known ==
		ASSUMED);
	cr_expect_not(resolve_design(
		"<unit xmlns='urn:leanrich:unit:1' number='T'><basis barometric-pressure='0.8 kg'/><vessel "
		"tag='V-1' pressure='1 barg'/></unit>"));
	cr_expect_eq(trial.problems.count, 1, "told once: %s", trial_messages(&trial));
}

Test(resolve, a_reference_means_something_that_is_there)
{
	expect_sound(UNIT("", "", "<stream id='s'/><line tag='P-1' stream='s'/>"));
	cr_expect_not(resolve_design(UNIT("", "", "<stream id='rich-1'/><line tag='P-1' stream='rich-2'/>")));
	cr_assert_eq(trial.problems.count, 1);
	cr_expect(trial.problems.rows[0].code == PROBLEM_NO_SUCH_ITEM);
	cr_expect(
		strstr(trial.problems.rows[0].message, "did you mean 'rich-1'?") != NULL, "%s", trial_messages(&trial));
	/* Of several each is looked for, however they are separated. */
	expect_sound(UNIT("", "",
		"<stream id='a'/><stream id='b'/><stream id='c'/><network><mix tag='M-1' from='a b' "
		"to='c'/></network>"));
	cr_expect_not(resolve_design(UNIT("", "",
		"<stream id='a'/><stream id='c'/><network><mix tag='M-1' from='a  b1&#10;b2' to='c'/></network>")));
	cr_assert_eq(trial.problems.count, 2, "%s", trial_messages(&trial));
	cr_expect_not_null(strstr(trial.problems.rows[0].message, "there is no 'b1'"));
	cr_expect_not_null(strstr(trial.problems.rows[1].message, "there is no 'b2'"));
}
