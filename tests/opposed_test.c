/* Remedies of one review that ask for opposite changes of one quantity name each other; others do not. */
#include <criterion/criterion.h>

#include <string.h>

#include "record/opposed.h"
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

TestSuite(opposed, .init = begin, .fini = end);

static bool names(const char *rule, const char *item, const char *other)
{
	const struct finding *finding = NULL;
	for (size_t i = 0; i < trial.review->judgement.count && !finding; i++) {
		const struct finding *one = &trial.review->judgement.findings[i];
		if (strcmp(one->rule->id, rule) == 0 && strcmp(one->item->tag, item) == 0)
			finding = one;
	}
	cr_assert_not_null(finding, "%s on %s", rule, item);
	const char *said = strstr(finding->remedy, "contradicts the remedy of");
	return said && strstr(said, other);
}

/* 51 degC is close to a dew point of 49 degC and far above gas of 30 degC: one rule asks for warmer lean amine, one for cooler. */
Test(opposed, warmer_for_the_dew_point_and_cooler_for_the_gas)
{
	trial_review_unit(&trial, "MDEA",
		"<gas id='wet' temperature='30 degC' pressure='40 barg' hydrocarbon-dew-point='49 degC' h2s='1 mol%'/>"
		"<stream id='lean' service='lean' temperature='51 degC'/>"
		"<absorber tag='C-1' gas='wet' lean='lean'/>");
	cr_expect(names("TMP-013", "C-1", "TMP-014 on C-1"));
	cr_expect(names("TMP-014", "C-1", "TMP-013 on C-1"));
}

/* Two towers with lean amine of their own: what one needs does not oppose what the other needs. */
Test(opposed, not_at_two_places)
{
	trial_review_unit(&trial, "MDEA",
		"<gas id='heavy' temperature='45 degC' pressure='40 barg' hydrocarbon-dew-point='49 degC' h2s='1 "
		"mol%'/>"
		"<gas id='light' temperature='30 degC' pressure='40 barg' hydrocarbon-dew-point='10 degC' h2s='1 "
		"mol%'/>"
		"<stream id='warm' service='lean' temperature='51 degC'/>"
		"<stream id='hot' service='lean' temperature='55 degC'/>"
		"<absorber tag='C-1' gas='heavy' lean='warm'/>"
		"<absorber tag='C-2' gas='light' lean='hot'/>");
	cr_expect(!names("TMP-013", "C-1", "TMP-014"));
	cr_expect(!names("TMP-014", "C-2", "TMP-013"));
}

/* A row of a rule that went, or whose remedy was rewritten to change nothing, would never be seen. */
Test(opposed, every_row_is_of_a_rule_of_the_catalogue)
{
	static const char *const verbs[] = {
		"Raise", "Lower", "lower", "Cool", "cool", "Strip", "Reduce", "more passes", NULL};
	for (size_t i = 0; opposed_rule(i); i++) {
		const struct rule *rule = catalogue_rule(trial.catalogue, opposed_rule(i));
		cr_assert_not_null(rule, "%s", opposed_rule(i));
		bool changes = false;
		for (size_t k = 0; verbs[k]; k++)
			changes = changes || strstr(rule->remedy, verbs[k]);
		cr_expect(changes, "%s: %s", rule->id, rule->remedy);
		cr_expect(i == 0 || strcmp(opposed_rule(i - 1), opposed_rule(i)) < 0, "%s", opposed_rule(i));
	}
}
