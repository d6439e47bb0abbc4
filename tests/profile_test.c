/*
 * What a profile changes of the rules inside the program.
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

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

TestSuite(profile, .init = begin, .fini = end);

static const struct limit *governing(const char *profile, const char *rule_id, const char *design, const char *item)
{
	trial_open(&trial, profile);
	trial_review_file(&trial, design);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	const struct finding *found = trial_finding(&trial, rule_id, item);
	cr_assert(found && found->governing, "%s on %s", rule_id, item);
	return found->governing->limit;
}

Test(profile, profiles_change_what_governs)
{
	static const char network[] = "tests/designs/two-absorbers.xml", tubes[] = "tests/designs/k15.xml";
	/* rich piping: 1.5 m/s (DuPart 1993); the example company takes 0.9 (Campbell 1981), which is the strictest as well */
	cr_expect_float_eq(governing("default", "VEL-002", network, "3-P-2")->value.si, 5 * 0.3048, 1e-12);
	cr_expect_float_eq(governing("strictest", "VEL-002", network, "3-P-2")->value.si, 3 * 0.3048, 1e-12);
	cr_expect_float_eq(governing("example-company", "VEL-002", network, "3-P-2")->value.si, 3 * 0.3048, 1e-12);
	/* DEA tubes: 3.3 ft/s (Dailey) by the catalogue's choice, 3 ft/s (Smith and Younger) is the strictest */
	cr_expect_float_eq(governing("default", "VEL-008", tubes, "E-17 tube side")->value.si, 3.3 * 0.3048, 1e-12);
	cr_expect_float_eq(governing("strictest", "VEL-008", tubes, "E-17 tube side")->value.si, 3 * 0.3048, 1e-12);
	cr_expect_float_eq(
		governing("example-company", "VEL-008", tubes, "E-17 tube side")->value.si, 3.3 * 0.3048, 1e-12);
}

static const struct limit *limit_named(const struct rule *rule, const char *name)
{
	for (size_t i = 0; i < rule->limit_count; i++)
		if (strcmp(rule->limits[i].name, name) == 0 ||
			(!*rule->limits[i].name && strcmp(rule->limits[i].source->key, name) == 0))
			return &rule->limits[i];
	cr_assert_fail("%s has no limit '%s'", rule->id, name);
	return NULL;
}

Test(profile, the_example_company_changes_what_it_says_and_nothing_else)
{
	struct trial plain = {.review = NULL};
	trial_open(&plain, "default");
	trial_open(&trial, "example-company");
	const struct rule *rich = catalogue_rule(trial.catalogue, "VEL-002");
	cr_expect(limit_named(rich, "campbell1981")->governs && !limit_named(rich, "dupart1993")->governs);
	const struct limit *own = limit_named(catalogue_rule(trial.catalogue, "TMP-003"), "wse-401");
	cr_expect_float_eq(own->value.si, 273.15 + 122, 1e-9);
	cr_expect(own->governs && own->overridden);
	cr_expect_str_eq(own->source->key, "wse-401");
	size_t changed = 0;
	for (size_t i = 0; i < trial.catalogue->rule_count; i++) {
		const struct rule *a = &trial.catalogue->rules[i], *b = &plain.catalogue->rules[i];
		bool same = a->force == b->force && a->limit_count == b->limit_count;
		for (size_t k = 0; same && k < a->limit_count; k++)
			same = a->limits[k].governs == b->limits[k].governs &&
				!(fabs(a->limits[k].value.si - b->limits[k].value.si) > 0);
		changed += !same;
	}
	cr_expect(changed == 5, "%zu rules are changed", changed);
	trial_close(&plain);
}
