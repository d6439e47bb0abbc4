/*
 * A solvent of which no measured data were read: what is calculated by its chemistry says so, and a rule on it is screening
 * at most and never Resolve; the same unit in a solvent that was measured is judged as before. The unit is invented.
 */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/no_data.h"
#include "review_support.h"
#include "sulfide/lean_side.h"
#include "write/write.h"

static struct trial trial;

/* The lean leaves far more H2S over it than 4 ppmv; the rich line boils at 1.2 bara; the lean line is far too fast. */
static void review_in(const char *solvent)
{
	trial_open(&trial, NULL);
	trial_review(&trial,
		arena_format(&trial.arena,
			"<unit xmlns='urn:leanrich:unit:1' number='T'><basis kind='new' "
			"barometric-pressure='1.01325 bara'>"
			"<case id='normal'/></basis><solvent %s/>"
			"<gas id='sour' role='feed' flow='500 kmol/h' temperature='35 degC' pressure='20 bara' h2s='3 "
			"mol%%' "
			"co2='2 mol%%'/>"
			"<gas id='sweet' role='treated' temperature='45 degC' pressure='20 bara' h2s='4 ppmv' co2='0 "
			"mol%%'/>"
			"<specification gas='sweet' h2s='4 ppmv'/>"
			"<stream id='lean' service='lean' flow='30 t/h' temperature='45 degC' pressure='21 bara' "
			"h2s='0.10' "
			"co2='0.05'/>"
			"<stream id='hot' service='lean' flow='30 t/h' temperature='120 degC' pressure='2 bara' "
			"h2s='0.10' "
			"co2='0.05'/>"
			"<stream id='rich' service='rich' flow='32 t/h' temperature='110 degC' pressure='1.2 bara' "
			"h2s='0.40' co2='0.20'/>"
			"<absorber tag='C-1' gas='sour' treated='sweet' lean='lean' rich='rich' top-temperature='47 "
			"degC'/>"
			"<line tag='L-1' stream='rich' size='NPS 8' schedule='40' material='316L'/>"
			"<line tag='L-2' stream='lean' size='NPS 2' schedule='40' material='carbon steel'/>"
			"<line tag='L-3' stream='hot' size='NPS 6' schedule='40' material='carbon steel'/></unit>",
			solvent));
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
}

static const struct finding *departing(const char *rule, const char *item)
{
	const struct finding *finding = trial_finding(&trial, rule, item);

	cr_assert_not_null(finding, "%s on %s", rule, item);
	cr_assert_eq(finding->verdict, VERDICT_DEPARTS, "%s on %s: %s", rule, item, finding->message);
	return finding;
}

/* Each side of the change of verdict: measured and firm enough to be resolved; estimated, and to be justified. */
Test(no_data, a_specification_under_equilibrium)
{
	static const struct {
		const char *solvent, *of;
	} estimated[] = {{"amine='DGA' strength='50 wt%'", "DGA"}, {"amine='DIPA' strength='40 wt%'", "DIPA"},
		{"amine='MDEA' strength='35 wt%' second-amine='DEA' second-strength='10 wt%'", "MDEA with DEA"}};

	review_in("amine='MDEA' strength='45 wt%'");
	const struct finding *measured = departing("ABS-001", "C-1");
	cr_expect_eq(finding_action(measured), ACTION_RESOLVE);
	cr_expect_null(measured->assumed);
	trial_close(&trial);
	for (size_t i = 0; i < COUNT(estimated); i++) {
		review_in(estimated[i].solvent);
		const struct finding *finding = departing("ABS-001", "C-1");

		cr_expect_eq(finding_action(finding), ACTION_JUSTIFY, "%s", estimated[i].of);
		cr_expect_eq(finding->certainty, CERTAINTY_SCREENING);
		cr_expect(finding->assumed && strstr(finding->assumed, "no measured data of") &&
				strstr(finding->assumed, estimated[i].of),
			"%s", finding->assumed);
		cr_expect_eq(departing("FLS-001", "L-1")->certainty, CERTAINTY_SCREENING);
		cr_expect_not_null(departing("FLS-001", "L-1")->assumed);
		trial_close(&trial);
	}
}

/* No rule that departs on a figure of the chemistry asks for Resolve, whichever rule it is. */
Test(no_data, nothing_is_to_be_resolved_on_an_estimate)
{
	size_t looked_at = 0;

	review_in("amine='DGA' strength='50 wt%'");
	for (size_t i = 0; i < trial.review->judgement.count; i++) {
		const struct finding *finding = &trial.review->judgement.findings[i];
		int judged = finding->rule->judged;

		if (finding->verdict != VERDICT_DEPARTS || judged < 0 || !no_data_reaches(finding->value))
			continue;
		looked_at++;
		cr_expect_neq(finding_action(finding), ACTION_RESOLVE, "%s", finding->rule->id);
		cr_expect_geq(finding->certainty, CERTAINTY_SCREENING, "%s", finding->rule->id);
	}
	cr_expect_geq(looked_at, 3, "%zu", looked_at);
	trial_close(&trial);
}

/* A velocity of liquid rests on density and bore, not on the equilibrium: it is judged as in any amine. */
Test(no_data, a_velocity_of_liquid_is_no_estimate)
{
	enum certainty certainty[2];

	for (int i = 0; i < 2; i++) {
		review_in(i ? "amine='DIPA' strength='40 wt%'" : "amine='MDEA' strength='40 wt%'");
		const struct finding *finding = departing("VEL-001", "L-2");

		cr_expect_null(finding->assumed);
		certainty[i] = finding->certainty;
		trial_close(&trial);
	}
	cr_expect_eq(certainty[0], certainty[1]);
}

Test(no_data, films_have_no_headline)
{
	const struct overstripping *films;

	review_in("amine='DGA' strength='50 wt%'");
	films = trial.review->lean_side->overstripping;
	cr_assert_eq(films->answer_count, 1);
	cr_expect(strstr(films->answers[0].words, "is not answered for this unit: no measured data of DGA"), "%s",
		films->answers[0].words);
	trial_close(&trial);
	review_in("amine='MDEA' strength='45 wt%' activated='yes'");
	films = trial.review->lean_side->overstripping;
	cr_assert_eq(films->answer_count, 1);
	cr_expect(strstr(films->answers[0].words, "activated MDEA"), "%s", films->answers[0].words);
	trial_close(&trial);
	review_in("amine='MDEA' strength='45 wt%'");
	films = trial.review->lean_side->overstripping;
	cr_expect_geq(films->answer_count, 2, "a measured solvent is answered");
	cr_expect_null(strstr(films->answers[0].words, "not answered"));
	trial_close(&trial);
}

/* In the record and on the page each figure of the chemistry says that it is estimated, and no figure of MDEA does. */
Test(no_data, every_figure_says_so)
{
	for (int i = 0; i < 2; i++) {
		char *bytes = NULL;
		size_t size = 0;
		FILE *out = open_memstream(&bytes, &size);

		review_in(i ? "amine='DIPA' strength='40 wt%'" : "amine='MDEA' strength='40 wt%'");
		cr_assert(write_json(trial.review, out));
		fclose(out);
		cr_expect_eq(strstr(bytes, "\"estimated\": true") != NULL, i == 1);
		cr_expect_not_null(strstr(bytes, "\"estimated\": false"));
		free(bytes);
		trial_close(&trial);
	}
}
