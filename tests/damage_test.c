/*
 * The damage table: what makes each mechanism credible and what takes it away; that it never speaks against a stress relief
 * that a rule asks for; that nothing unknown counts as harmless.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "judge/damage.h"
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

TestSuite(damage, .init = begin, .fini = end);

static const struct damage_answer *answer(const char *tag, enum mechanism mechanism)
{
	for (size_t i = 0; i < trial.review->damage_count; i++)
		if (strcmp(trial.review->damage[i].item->tag, tag) == 0)
			return &trial.review->damage[i].answers[mechanism];
	cr_assert_fail("%s is not in the damage table", tag);
	return NULL;
}

static void expect(const char *amine, const char *body, const char *tag, enum mechanism mechanism, enum truth credible)
{
	trial_review_unit(&trial, amine, body);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	const struct damage_answer *found = answer(tag, mechanism);
	cr_expect(found->credible == credible, "%s, %s: %d, not %d: %s", body, mechanisms[mechanism].name,
		(int)found->credible, (int)credible, found->why);
	cr_expect(*found->why);
}

#define LINE(attributes) "<line tag='P' " attributes "/>"

Test(damage, each_mechanism_has_what_makes_it_and_what_takes_it_away)
{
	static const struct {
		const char *body;
		enum mechanism mechanism;
		enum truth credible;
	} rows[] = {
		{LINE("service='lean' material='carbon steel' pwht='no'"), MECHANISM_AMINE_CRACKING, YES},
		{LINE("service='rich' material='carbon steel' pwht='no'"), MECHANISM_AMINE_CRACKING, YES},
		{LINE("service='lean' material='carbon steel'"), MECHANISM_AMINE_CRACKING, PERHAPS},
		{LINE("service='lean' material='carbon steel' pwht='yes'"), MECHANISM_AMINE_CRACKING, NO},
		{LINE("service='lean' material='carbon steel' pwht='no' cladding='316L'"), MECHANISM_AMINE_CRACKING,
			YES},
		{LINE("service='lean' material='316L'"), MECHANISM_AMINE_CRACKING, NO},
		{LINE("service='lean'"), MECHANISM_AMINE_CRACKING, PERHAPS},
		{LINE("service='rich' material='carbon steel' hardness-weld='230 HBW'"), MECHANISM_SULFIDE_CRACKING,
			YES},
		{LINE("service='rich' material='carbon steel'"), MECHANISM_SULFIDE_CRACKING, PERHAPS},
		{LINE("service='rich' material='carbon steel' hardness-weld='190 HBW' hardness-haz='230 HV'"),
			MECHANISM_SULFIDE_CRACKING, NO},
		{LINE("service='lean' material='carbon steel' hardness-weld='230 HBW'"), MECHANISM_SULFIDE_CRACKING,
			NO},
		{"<vessel tag='P' service='rich' material='carbon steel' hic-tested='no'/>", MECHANISM_HIC, YES},
		{"<vessel tag='P' service='rich' material='carbon steel' hic-tested='no' pwht='yes'/>", MECHANISM_HIC,
			YES},
		{"<vessel tag='P' service='rich' material='carbon steel' hic-tested='yes'/>", MECHANISM_HIC, NO},
		{"<vessel tag='P' service='rich' material='carbon steel'/>", MECHANISM_HIC, PERHAPS},
		{"<vessel tag='P' service='rich' material='carbon steel' hic-tested='no' pwht='no'/>", MECHANISM_SOHIC,
			YES},
		{LINE("service='lean' material='316L' temperature='60 degC'"), MECHANISM_CHLORIDE, YES},
		{LINE("service='lean' material='316L' temperature='59 degC'"), MECHANISM_CHLORIDE, NO},
		{LINE("service='lean' material='316L'"), MECHANISM_CHLORIDE, PERHAPS},
		{LINE("service='lean' material='316L' temperature='49 degC' insulated='yes'"), MECHANISM_INSULATION,
			YES},
		{LINE("service='lean' material='316L' temperature='48 degC' insulated='yes'"), MECHANISM_INSULATION,
			NO},
		{LINE("service='lean' material='316L' temperature='149 degC' insulated='yes'"), MECHANISM_INSULATION,
			YES},
		{LINE("service='lean' material='316L' temperature='90 degC' insulated='no'"), MECHANISM_INSULATION, NO},
		{LINE("service='lean' material='carbon steel' temperature='60 degC'"), MECHANISM_AMINE_CORROSION, YES},
		{LINE("service='lean' material='carbon steel' temperature='45 degC'"), MECHANISM_AMINE_CORROSION, NO},
		{LINE("service='rich' material='carbon steel' velocity='1 m/s'"), MECHANISM_EROSION, YES},
		{LINE("service='rich' material='carbon steel' velocity='0.8 m/s'"), MECHANISM_EROSION, NO},
		{LINE("service='rich' material='carbon steel' velocity='0.8 m/s' two-phase='yes'"), MECHANISM_EROSION,
			YES},
		{LINE("service='rich' material='carbon steel'"), MECHANISM_EROSION, PERHAPS},
		{LINE("service='acid gas' material='carbon steel'"), MECHANISM_ACID_WATER, YES},
		{LINE("service='lean' material='carbon steel'"), MECHANISM_ACID_WATER, NO},
		{LINE("service='reflux' material='316L'"), MECHANISM_BISULFIDE, PERHAPS},
		{LINE("service='lean' material='316L'"), MECHANISM_BISULFIDE, NO},
		{"<tank tag='P' blanket='none' material='304L'/>", MECHANISM_OXYGEN, YES},
		{"<tank tag='P' blanket='nitrogen' material='304L'/>", MECHANISM_OXYGEN, NO},
		{"<tank tag='P' material='304L'/>", MECHANISM_OXYGEN, PERHAPS},
	};
	for (size_t i = 0; i < sizeof rows / sizeof *rows; i++)
		expect("MDEA", rows[i].body, "P", rows[i].mechanism, rows[i].credible);
}

/* Where a rule on stress relief departs, amine cracking is credible: the table never takes it back. */
Test(damage, no_stress_relief_that_is_asked_for_is_called_needless)
{
	static const char *const designs[] = {"designs/tern-quay.xml", "designs/cobble-hythe.xml",
		"designs/curlew-spit.xml", "tests/designs/k01.xml", "tests/designs/k02-mea.xml",
		"tests/designs/k03.xml"};
	static const char *const rules[] = {"CRK-001", "CRK-002", "CRK-003", "CRK-004", "CRK-005"};
	size_t seen = 0;
	for (size_t d = 0; d < sizeof designs / sizeof *designs; d++) {
		trial_review_file(&trial, designs[d]);
		cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
		for (size_t i = 0; i < trial.review->damage_count; i++)
			for (size_t r = 0; r < sizeof rules / sizeof *rules; r++) {
				const struct item *item = trial.review->damage[i].item;
				const struct finding *found = trial_finding(&trial, rules[r], item->tag);
				if (!found || found->verdict != VERDICT_DEPARTS)
					continue;
				seen++;
				cr_expect(trial.review->damage[i].answers[MECHANISM_AMINE_CRACKING].credible == YES,
					"%s: %s", item->tag,
					trial.review->damage[i].answers[MECHANISM_AMINE_CRACKING].why);
			}
	}
	cr_expect(seen > 15, "%zu", seen);
}

Test(damage, every_answer_has_a_reason_and_every_source_is_there)
{
	trial_review_file(&trial, "designs/tern-quay.xml");
	cr_assert(trial.review && trial.review->damage_count > 30);
	for (size_t i = 0; i < trial.review->damage_count; i++)
		for (int m = 0; m < MECHANISM_COUNT; m++)
			cr_expect(trial.review->damage[i].answers[m].why && *trial.review->damage[i].answers[m].why);
	for (int m = 0; m < MECHANISM_COUNT; m++)
		cr_expect(catalogue_source(trial.catalogue, mechanisms[m].source), "%s", mechanisms[m].source);
}
