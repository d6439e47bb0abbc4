/*
 * Questions: what is folded, what is asked later, and lists that are complete. The designs are those of designs/;
 * nothing here is published.
 */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
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

TestSuite(questions, .init = begin, .fini = end);

/* ---- folding, stages ---- */

static const char two_lines[] =
	"<stream id='rich' service='rich' temperature='95 degC' h2s='0.2' co2='0.2'/>"
	"<line tag='L1' stream='rich' material='carbon steel'/><line tag='L2' stream='rich' material='carbon steel'/>";

static const struct question *asked_by(const char *key)
{
	for (size_t i = 0; i < trial.review->questions.count; i++)
		if (text_same(trial.review->questions.rows[i].key, key))
			return &trial.review->questions.rows[i];
	cr_assert_fail("nobody is asked for %s", key);
	abort();
}

Test(questions, what_is_asked_of_many_items_is_one_question)
{
	trial_review_unit(&trial, "MDEA", two_lines);
	const struct question *question = asked_by("stress-relief");
	cr_expect_eq(question->who, ANSWERER_MATERIALS);
	cr_expect_eq(question->force, FORCE_REQUIRED);
	cr_expect_not_null(strstr(question_items(&trial.arena, question, 9), "L1, L2"));
	cr_expect_str_eq(question_items(&trial.arena, question, 1), "L1 and 1 more");
	for (size_t i = 0; i < trial.review->questions.count; i++)
		for (size_t k = i + 1; k < trial.review->questions.count; k++)
			cr_expect_str_neq(trial.review->questions.rows[i].key, trial.review->questions.rows[k].key);
}

static void review_at(const char *stage)
{
	trial_open(&trial, NULL);
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='1' name='u'><basis kind='new'%s/><solvent "
			"amine='MDEA' "
			"strength='45 wt%%'/>%s</unit>",
			stage, two_lines));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

Test(questions, later_stages_are_not_asked_yet)
{
	review_at("");
	cr_expect(asked_by("hardness")->later);
	size_t detailed = trial.review->questions.now;
	review_at(" stage='built'");
	cr_expect_not(asked_by("hardness")->later);
	cr_expect_gt(trial.review->questions.now, detailed);
	review_at(" stage='concept'");
	cr_expect_lt(trial.review->questions.now, detailed);
	cr_expect_eq(trial.review->counts[ACTION_STATE], trial.review->questions.now);
	for (size_t i = 0; i < trial.review->questions.count; i++)
		cr_expect_eq(trial.review->questions.rows[i].later, i >= trial.review->questions.now);
}

/* Each is ordered by the worst that an answer can lead to, or stands one action below where that waits for much else. */
Test(questions, the_worst_comes_first)
{
	trial_review_file(&trial, "designs/heron-gate.xml");
	const struct questions *questions = &trial.review->questions;
	cr_assert_gt(questions->now, 5);
	for (size_t i = 1; i < questions->now; i++)
		cr_expect(questions->rows[i - 1].rank <= questions->rows[i].rank, "%zu", i);
	for (size_t i = 0; i < questions->now; i++) {
		const struct question *question = &questions->rows[i];
		cr_expect(question->rank == question->force ||
				(question->rank == question->force + 1 && !question->alone),
			"%zu", i);
	}
}

Test(questions, a_described_unit_is_asked_nothing)
{
	trial_review_file(&trial, "designs/saltmarsh-lea.xml");
	cr_expect_eq(trial.review->questions.count, 0);
}

/* ---- what is complete ---- */

static void review_monitored(const char *complete)
{
	trial_open(&trial, NULL);
	trial_review_unit(&trial, "MDEA",
		arena_format(&trial.arena, "<monitoring%s><coupon place='hot lean'/></monitoring>", complete));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

Test(questions, silence_of_a_list_is_no_only_where_it_is_complete)
{
	review_monitored("");
	const struct items units = table_of_kind(trial.table, "unit");
	cr_assert_eq(units.count, 1);
	cr_expect_eq(trial_finding(&trial, "MON-001", units.rows[0]->tag)->verdict, VERDICT_NOT_JUDGED);
	cr_expect_eq(asked_by("monitoring")->who, ANSWERER_INSPECTION);
	review_monitored(" complete='yes'");
	cr_expect_eq(trial_finding(&trial, "MON-001", table_of_kind(trial.table, "unit").rows[0]->tag)->verdict,
		VERDICT_DEPARTS);
}

static void review_relieved(const char *complete)
{
	trial_open(&trial, NULL);
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='1' name='u'><basis kind='new'%s/>"
			"<solvent amine='MDEA' strength='45 wt%%'/><flash-drum tag='V'><relief-case name='fire' "
			"covered='yes'/><valve tag='LV' role='letdown' to='V'/></flash-drum></unit>",
			complete));
}

Test(questions, a_complete_list_of_relief_cases_covers_nothing_else)
{
	static const char *const stated[] = {"", " relief-cases-complete='yes'", " relief-cases-complete='no'"};
	static const enum verdict verdicts[] = {VERDICT_NOT_JUDGED, VERDICT_DEPARTS, VERDICT_NOT_JUDGED};
	for (size_t i = 0; i < COUNT(stated); i++) {
		review_relieved(stated[i]);
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		cr_expect_eq(trial_finding(&trial, "HLP-001", "LV")->verdict, verdicts[i], "%s", stated[i]);
	}
}

static enum verdict verdict_inspected(const char *complete, const char *inspection)
{
	trial_open(&trial, NULL);
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='1' name='u'><basis kind='revamp'%s/>"
			"<gas id='g' role='feed' h2s='2 mol%%' pressure='20 barg'/><solvent amine='MDEA' strength='45 "
			"wt%%'/>"
			"<knock-out-drum tag='V' gas='g' material='carbon steel'>%s</knock-out-drum></unit>",
			complete, inspection));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return trial_finding(&trial, "WHS-008", "V")->verdict;
}

/* What no inspection of a complete list reports was not found; what was never inspected is as unknown as before. */
Test(questions, a_complete_list_of_inspections_found_nothing_else)
{
	static const char made[] =
		"<inspection date='2021' method='wet fluorescent magnetic particle' result='cracks'/>",
			  complete[] = " inspections-complete='yes'";
	cr_expect_eq(verdict_inspected("", made), VERDICT_NOT_JUDGED);
	cr_expect_eq(verdict_inspected(complete, made), VERDICT_MEETS);
	cr_expect_eq(verdict_inspected(" inspections-complete='no'", made), VERDICT_NOT_JUDGED);
	cr_expect_eq(verdict_inspected(complete, ""), VERDICT_NOT_JUDGED);
	cr_expect_eq(verdict_inspected(complete, "<inspection date='2021' method='visual' result='blisters'/>"),
		VERDICT_DEPARTS);
}

static const struct finding *documents_of(const char *complete, const char *cited)
{
	trial_open(&trial, NULL);
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='1' name='u'><basis kind='new'%s><document "
			"id='LL-1'/>"
			"<document id='DS-20'/></basis><solvent amine='MDEA' strength='45 wt%%' data='DS-20 rev 2'/>"
			"<line tag='L' size='NPS 4' data='%s'/></unit>",
			complete, cited));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return trial_finding(&trial, "DAT-040", "basis");
}

Test(questions, a_complete_list_of_documents_lacks_what_is_cited_beside_it)
{
	static const char complete[] = " documents-complete='yes'";
	cr_expect_eq(documents_of(complete, "LL-1 rev 3")->verdict, VERDICT_MEETS);
	cr_expect_eq(documents_of("", "LL-11")->verdict, VERDICT_NOT_APPLICABLE);
	cr_expect_eq(documents_of(" documents-complete='no'", "LL-11")->verdict, VERDICT_NOT_APPLICABLE);
	const struct finding *found = documents_of(complete, "LL-11");
	cr_expect_eq(found->verdict, VERDICT_DEPARTS);
	cr_expect_not_null(strstr(found->message, "lacks LL-11,"), "%s", found->message);
}

/* A feed that brings CO2 alone has no H2S specification to ask for; one that does not say may have. */
Test(questions, no_specification_is_asked_of_what_no_feed_brings)
{
	static const char unit[] = "<gas id='g' role='feed' co2='9 mol%%'%s pressure='20 barg' temperature='40 degC' "
				   "flow='9000 Nm3/h'/><absorber tag='C' gas='g' material='304L'/>";
	static const char *const h2s[] = {" h2s='0 mol%'", "", " h2s='1 mol%'"};
	static const enum verdict verdicts[] = {VERDICT_NOT_APPLICABLE, VERDICT_NOT_JUDGED, VERDICT_NOT_JUDGED};
	for (size_t i = 0; i < COUNT(h2s); i++) {
		struct arena arena = {0};
		trial_open(&trial, NULL);
		trial_review_unit(&trial, "MDEA", arena_format(&arena, unit, h2s[i]));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		cr_expect_eq(trial_finding(&trial, "ABS-001", "C")->verdict, verdicts[i], "%s", h2s[i]);
		arena_release(&arena);
	}
}

/* What is hired for a campaign is one question, to who hires it out and once it is there. */
Test(questions, of_what_is_hired_one_thing_is_asked)
{
	static const char *const permanent[] = {"", " permanent='no'", " permanent='yes'"};
	for (size_t i = 0; i < COUNT(permanent); i++) {
		struct arena arena = {0};
		trial_open(&trial, NULL);
		trial_review_unit(&trial, "MDEA",
			arena_format(&arena,
				"<stream id='s' service='lean' temperature='45 degC' h2s='0.001' "
				"co2='0.01'/><reclaimer tag='X' stream='s' type='ion exchange'%s/>",
				permanent[i]));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		size_t rows = 0, hired = 0;
		for (size_t q = 0; q < trial.review->questions.count; q++) {
			const struct question *question = &trial.review->questions.rows[q];
			bool of_it = false;
			for (size_t k = 0; k < question->request_count; k++)
				of_it = of_it ||
					(question->requests[k]->item &&
						text_same(question->requests[k]->item->tag, "X"));
			rows += of_it;
			hired += text_same(question->key, "hired");
			cr_expect(!text_same(question->key, "hired") || question->later);
		}
		cr_expect_eq(hired, i == 1, "%s", permanent[i]);
		cr_expect(i == 1 ? rows == 1 : rows > 3, "%zu of %s", rows, permanent[i]);
		arena_release(&arena);
	}
}

/* What goes through is as warm as its stream, and an exchanger as its sides: neither is asked for. */
Test(questions, what_a_stream_tells_is_not_asked_for)
{
	trial_review_unit(&trial, "MDEA",
		"<stream id='hot' service='lean' temperature='88 degC' h2s='0.001' co2='0.01'/>"
		"<stream id='cold' service='lean' temperature='44 degC' h2s='0.001' co2='0.01'/>"
		"<carbon-bed tag='B' stream='cold' material='304L'/><filter tag='F' stream='cold' material='304L'/>"
		"<cooler tag='E' service='lean' design-temperature='80 degC'><tube-side inlet='hot' outlet='cold' "
		"material='304L'/></cooler>");
	cr_expect_eq(trial_finding(&trial, "FIL-010", "B")->verdict, VERDICT_MEETS);
	cr_expect_eq(trial_finding(&trial, "ENV-011", "E")->verdict, VERDICT_DEPARTS);
	cr_expect_float_eq(trial_number(&trial, "F", NULL, "temperature", "degC"), 44, 1e-9);
	for (size_t i = 0; i < trial.review->request_count; i++)
		cr_expect_str_neq(trial.review->requests[i].quantity, "temperature");
}

/* A laboratory that finds less than it can has answered. */
Test(questions, a_bound_below_what_is_found_is_an_answer)
{
	static const struct {
		const char *content, *word; /* NULL: open */
	} rows[] = {{"&lt;0.1 ppmv", "no"}, {"&lt;1 ppmv", "no"}, {"&lt;5 ppmv", NULL}, {"5 ppmv", "yes"},
		{"0 ppmv", "no"}};
	for (size_t i = 0; i < COUNT(rows); i++) {
		struct arena arena = {0};
		trial_open(&trial, NULL);
		trial_review_unit(&trial, "DEA",
			arena_format(&arena, "<gas id='g' role='feed' h2s='2 mol%%' nh3='%s'/>", rows[i].content));
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		const struct quantity *found =
			trial_put(&trial, table_of_kind(trial.table, "unit").rows[0]->tag, "ammonia-in-feed");
		cr_expect(rows[i].word ? found->known != UNKNOWN && text_same(found->word, rows[i].word)
				       : found->known == UNKNOWN,
			"%s", rows[i].content);
		arena_release(&arena);
	}
}

/* ---- what is assumed ---- */

/* In each review that asks for the age of the film, the question says what it moves. */
Test(questions, an_age_that_moves_a_verdict_is_asked_for)
{
	trial_review_file(&trial, "tests/designs/sulfide-claim.xml");
	cr_assert_not_null(trial.review);
	for (size_t i = 0; i < trial.review->judgement.assumption_count; i++) {
		const struct assumption *row = &trial.review->judgement.assumptions[i];
		cr_expect(row->count > 0 && *row->turns, "%s", row->reason);
	}
}
