/*
 * What is to be asked although something stands in its place: a test at the border, steel of whose cladding nobody speaks, a test
 * pressure taken from a code, a relief valve of which nobody says what it is for. Rules and figures are the test's own, but for rules
 * of the catalogue, whose sources stand there.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "review_support.h"

static struct trial trial;

static void end(void)
{
	trial_close(&trial);
}

TestSuite(asked, .fini = end);

static void review(const char *body)
{
	trial_open(&trial, NULL);
	trial_review_unit(&trial, "MDEA", body);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

static const struct request *asked(const char *item, const char *quantity)
{
	for (size_t i = 0; i < trial.review->request_count; i++) {
		const struct request *request = &trial.review->requests[i];
		if (request->item && text_same(request->item->tag, item) && text_same(request->quantity, quantity))
			return request;
	}
	return NULL;
}

static enum verdict verdict_of(const char *rule, const char *item)
{
	const struct finding *finding = trial_finding(&trial, rule, item);
	cr_assert_not_null(finding, "%s does not select %s", rule, item);
	return finding->verdict;
}

/* ---- at the border ---- */

#define NEAR                                                                                                           \
	"<rule id='TST-001' since='1' title='Title' force='required' why-force='test' judged='t'><select "             \
	"kind='line'/>"                                                                                                \
	"<input name='t' quantity='temperature' kind='temperature'/>"                                                  \
	"<input name='pwht' quantity='pwht' kind='yes-no'/><met-if test='$pwht'/>"                                     \
	"<limit below='82 degC' source='read' known='read'/>"                                                          \
	"<message>{item} departs</message><why>w</why><remedy>r</remedy></rule>"

static const struct request *asked_near(const char *line)
{
	trial_open_with(&trial, NEAR, NULL);
	trial_review_unit(&trial, "MDEA", line);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return asked("P-1", "pwht");
}

Test(asked, what_would_settle_a_verdict_within_its_uncertainty)
{
	const struct request *request = asked_near("<line tag='P-1' temperature='81.9 degC'/>");
	cr_expect_eq(verdict_of("TST-001", "P-1"), VERDICT_MEETS);
	cr_assert_not_null(request);
	cr_expect_eq(request->force, FORCE_REQUIRED);
	cr_expect_not_null(strstr(request->turns, "PWHT no TST-001 on P-1 departs"), "%s", request->turns);
	cr_expect_null(strstr(request->turns, "PWHT yes"), "%s", request->turns);
}

Test(asked, nothing_of_what_is_met_well_or_is_answered)
{
	static const char *const lines[] = {"<line tag='P-1' temperature='60 degC'/>",
		"<line tag='P-1' temperature='81.9 degC' pwht='no'/>",
		"<line tag='P-1' temperature='81.9 degC' pwht='yes'/>"};
	for (size_t i = 0; i < COUNT(lines); i++) {
		cr_expect_null(asked_near(lines[i]), "%s", lines[i]);
		cr_expect_eq(verdict_of("TST-001", "P-1"), VERDICT_MEETS, "%s", lines[i]);
	}
	cr_expect_not_null(asked_near("<line tag='P-1' temperature='95 degC'/>"), "it is not judged without");
	cr_expect_eq(verdict_of("TST-001", "P-1"), VERDICT_NOT_JUDGED);
}

/* ---- cladding ---- */

static const struct request *asked_clad(const char *more, const char *zone)
{
	struct arena arena = {0};
	review(arena_format(&arena, "<regenerator tag='D-3' material='carbon steel'%s>%s</regenerator>", more, zone));
	arena_release(&arena);
	return asked("D-3", "cladding of the top zone");
}

Test(asked, whether_steel_is_clad_of_which_nobody_says_so)
{
	static const char other[] = "<zone name='bottom' cladding='316L'/>";
	const struct request *request = asked_clad("", "");
	cr_expect_eq(verdict_of("MAT-023", "D-3"), VERDICT_DEPARTS);
	cr_assert_not_null(request);
	cr_expect_not_null(strstr(request->turns, "MAT-023 on D-3 meets"), "%s", request->turns);
	cr_expect_not_null(asked_clad("", other), "another zone says nothing of it");
}

Test(asked, not_whether_steel_is_clad_that_is_said_to_be_bare)
{
	cr_expect_null(asked_clad(" cladding='none'", ""));
	cr_expect_eq(verdict_of("MAT-023", "D-3"), VERDICT_DEPARTS);
	cr_expect_null(asked_clad("", "<zone name='top' cladding='none'/>"));
	cr_expect_eq(verdict_of("MAT-023", "D-3"), VERDICT_DEPARTS);
	cr_expect_null(asked_clad("", "<zone name='top' material='carbon steel'/>"));
	cr_expect_eq(verdict_of("MAT-023", "D-3"), VERDICT_DEPARTS);
	cr_expect_null(asked_clad("", "<zone name='top' cladding='304L'/>"));
	cr_expect_eq(verdict_of("MAT-023", "D-3"), VERDICT_MEETS);
}

/* ---- a broken tube ---- */

static const struct request *asked_tested(const char *design, const char *test)
{
	struct arena arena = {0};
	review(arena_format(&arena,
		"<cooler tag='E-8' type='shell and tube' cooling-medium='cooling water'>"
		"<tube-side service='lean' design-pressure='60 barg' material='316L'/>"
		"<shell-side service='cooling water' design-pressure='%s'%s material='carbon steel'/></cooler>",
		design, test));
	arena_release(&arena);
	return asked("E-8 shell side", "test-pressure");
}

/* API Std 521: the low side is tested at the design pressure of the high one; 1.3 of 43 barg is 55.9, and 1.5 of it 64.5. */
Test(asked, at_what_pressure_a_side_is_tested_that_may_just_stand_a_broken_tube)
{
	const struct request *request = asked_tested("43 barg", "");
	cr_expect_eq(verdict_of("HLP-005", "E-8"), VERDICT_DEPARTS);
	cr_assert_not_null(request);
	cr_expect_eq(request->force, FORCE_REQUIRED);
	cr_expect_not_null(strstr(request->turns, "HLP-005 on E-8 meets"), "%s", request->turns);
	cr_expect_null(asked_tested("20 barg", ""), "it departs whatever codes test at");
	cr_expect_eq(verdict_of("HLP-005", "E-8"), VERDICT_DEPARTS);
	cr_expect_null(asked_tested("50 barg", ""), "it stands the test of today's code");
	cr_expect_eq(verdict_of("HLP-005", "E-8"), VERDICT_MEETS);
	cr_expect_null(asked_tested("43 barg", " test-pressure='56 barg'"), "it is stated");
	cr_expect_eq(verdict_of("HLP-005", "E-8"), VERDICT_DEPARTS);
}

/* ---- what a relief valve is for ---- */

static enum verdict relieved(const char *complete, const char *valve)
{
	trial_open(&trial, NULL);
	struct arena arena = {0};
	trial_review(&trial,
		arena_format(&arena,
			"<unit xmlns='urn:leanrich:unit:1' number='1' name='u'><basis kind='new'%s/>"
			"<solvent amine='MDEA' strength='45 wt%%'/><flash-drum tag='V-6'>%s"
			"<valve tag='LV-6' role='letdown' to='V-6'/></flash-drum></unit>",
			complete, valve));
	arena_release(&arena);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return verdict_of("HLP-001", "LV-6");
}

Test(asked, what_a_relief_valve_is_for_before_it_is_said_to_cover_nothing)
{
	static const char complete[] = " relief-cases-complete='yes'";
	cr_expect_eq(relieved(complete, "<relief-valve tag='PSV-6'/>"), VERDICT_NOT_JUDGED);
	const struct request *request = asked("PSV-6", "sized-for");
	cr_assert_not_null(request);
	cr_expect_eq(request->force, FORCE_REQUIRED);
	cr_expect_eq(relieved(complete, "<relief-valve tag='PSV-6' sized-for='fire'/>"), VERDICT_DEPARTS);
	cr_expect_eq(relieved(complete, "<relief-valve tag='PSV-6' sized-for='gas blow-by'/>"), VERDICT_MEETS);
	cr_expect_eq(
		relieved(complete,
			"<relief-valve tag='PSV-6'><relief-case name='blocked outlet' covered='yes'/></relief-valve>"),
		VERDICT_DEPARTS);
	cr_expect_eq(relieved(complete, ""), VERDICT_DEPARTS);
	relieved("", "<relief-valve tag='PSV-6'/>");
	cr_expect_not_null(asked("V-6", "relief case 'gas blow-by'"), "an open list is asked for the case itself");
}

/* ---- ratings ---- */

static enum verdict rated(const char *own, const char *sides)
{
	struct arena arena = {0};
	review(arena_format(&arena,
		"<stream id='hot' service='lean' temperature='118 degC' h2s='0.002' co2='0.01'/>"
		"<reboiler tag='E-5' lean='hot' bulk-temperature='118 degC'%s>%s</reboiler>",
		own, sides));
	arena_release(&arena);
	return verdict_of("DAT-008", "E-5");
}

#define TUBES "<tube-side service='steam' design-temperature='180 degC'/>"

/* What is rated side by side is asked for no rating of the whole. */
Test(asked, no_rating_of_what_is_rated_by_its_sides)
{
	cr_expect_eq(
		rated("", TUBES "<shell-side service='lean' design-temperature='170 degC'/>"), VERDICT_NOT_APPLICABLE);
	cr_expect_null(asked("E-5", "design-temperature"));
	cr_expect_eq(rated("", TUBES "<shell-side service='lean'/>"), VERDICT_NOT_JUDGED);
	cr_expect_eq(rated("", TUBES), VERDICT_NOT_JUDGED);
	cr_expect_not_null(asked("E-5", "design-temperature"));
	cr_expect_eq(rated(" design-temperature='110 degC'", TUBES), VERDICT_DEPARTS);
	cr_expect_eq(rated(" design-temperature='170 degC'", TUBES), VERDICT_MEETS);
}

/* ---- the age of the film ---- */

static const struct request *asked_film(const char *kind, const char *h2s)
{
	struct arena arena = {0};
	trial_open(&trial, NULL);
	trial_review(&trial,
		arena_format(&arena,
			"<unit xmlns='urn:leanrich:unit:1' number='1' name='u'><basis kind='%s'/>"
			"<gas id='g' role='feed' h2s='%s' co2='3 mol%%'/><solvent amine='MDEA' strength='45 wt%%'/>"
			"<stream id='s' service='lean' temperature='95 degC'%s co2='0.01'/>"
			"<line tag='P-2' stream='s' material='carbon steel'/></unit>",
			kind, h2s, text_same(h2s, "0 mol%") ? " h2s='0'" : " h2s='0.004'"));
	arena_release(&arena);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return asked("basis", "film-age");
}

Test(asked, how_old_the_film_is_of_steel_that_has_one)
{
	cr_expect_not_null(asked_film("revamp", "1 mol%"));
	cr_expect_eq(verdict_of("SUL-007", "basis"), VERDICT_NOT_JUDGED);
	asked_film("new", "1 mol%");
	cr_expect_eq(verdict_of("SUL-007", "basis"), VERDICT_NOT_APPLICABLE);
	asked_film("existing", "0 mol%");
	cr_expect_eq(verdict_of("SUL-007", "basis"), VERDICT_NOT_APPLICABLE);
}

/* ---- order and words ---- */

#define WAITS(id, force, asks)                                                                                         \
	"<rule id='" id "' since='1' title='Title' force='" force "' why-force='test'><select kind='line'/>" asks      \
	"<limit says='so' source='read' known='read'/><message>{item} departs</message><why>w</why><remedy>r</remedy>" \
	"</rule>"
#define ANSWER(name, quantity) "<input name='" name "' quantity='" quantity "' kind='yes-no'/>"

static size_t place_of(const char *key)
{
	size_t i = 0;
	while (i < trial.review->questions.count && !text_same(trial.review->questions.rows[i].key, key))
		i++;
	cr_assert_lt(i, trial.review->questions.count, "nobody is asked for %s", key);
	return i;
}

/* Three unknown answers that would have to come together stand below one that decides alone, if for a lesser action. */
Test(asked, what_waits_for_much_after_what_decides_alone)
{
	static const char rules[] = WAITS("TST-001", "required",
		ANSWER("a", "traced") ANSWER("b", "insulated")
			ANSWER("c", "seamless") "<assert test='$a or $b or $c'/>")
		WAITS("TST-002", "recommended", ANSWER("a", "pwht") "<assert test='$a'/>");
	static const char two[] =
		WAITS("TST-001", "required", ANSWER("a", "traced") ANSWER("b", "insulated") "<assert test='$a or $b'/>")
			WAITS("TST-002", "recommended", ANSWER("a", "pwht") "<assert test='$a'/>");
	trial_open_with(&trial, rules, NULL);
	trial_review_unit(&trial, "MDEA", "<line tag='P-1'/>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	cr_expect_lt(place_of("stress-relief"), place_of("steam-out"));
	trial_open_with(&trial, two, NULL);
	trial_review_unit(&trial, "MDEA", "<line tag='P-1'/>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	cr_expect_gt(place_of("stress-relief"), place_of("steam-out"));
}

static const char *words_for(const char *input, const char *key)
{
	struct arena arena = {0};
	trial_open_with(&trial, arena_format(&arena, WAITS("TST-001", "required", "%s"), input), NULL);
	arena_release(&arena);
	trial_review_unit(&trial, "MDEA", "<line tag='P-1'/>");
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return trial.review->questions.rows[place_of(key)].words;
}

Test(asked, words_of_its_own_for_what_has_no_row)
{
	cr_expect_str_eq(words_for(ANSWER("a", "seamless") "<assert test='$a'/>", "seamless"), "Yes or no: seamless?");
	cr_expect_str_eq(words_for("<input name='a' quantity='elbow-radius' kind='ratio'/><constant name='l' value='1' "
				   "kind='ratio' "
				   "source='read' known='read'/><assert test='$a &gt; $l'/>",
				 "elbow-radius"),
		"Please state: elbow radius.");
}
