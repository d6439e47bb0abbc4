/* What rules are about and what a departure leads to: the closed lists, and that every rule has its place in them. */
#include <criterion/criterion.h>
#include <string.h>

#include "base/embedded.h"
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

TestSuite(evidence, .init = begin, .fini = end);

/* Each names what it is about and what a departure leads to; "other" is for the packs of users. */
Test(evidence, every_rule_names_its_matter_and_its_consequence)
{
	for (size_t i = 0; i < trial.catalogue->rule_count; i++) {
		const struct rule *rule = &trial.catalogue->rules[i];
		cr_expect(rule->placed, "%s", rule->id);
		cr_expect(*rule_matter_meaning(rule->matter), "%s: %s", rule->id, rule->matter);
		cr_expect_str_neq(rule->matter, "other", "%s", rule->id);
	}
}

/* No matter is listed that no rule has, and none twice. */
Test(evidence, every_matter_has_a_rule_and_is_listed_once)
{
	for (size_t m = 0; rule_matter_word(m); m++) {
		const char *word = rule_matter_word(m);
		size_t rules = 0;
		for (size_t i = 0; i < trial.catalogue->rule_count; i++)
			rules += strcmp(trial.catalogue->rules[i].matter, word) == 0;
		cr_expect((rules > 0) == (strcmp(word, "other") != 0), "%s: %zu rules", word, rules);
		for (size_t k = 0; k < m; k++)
			cr_expect_str_neq(rule_matter_word(k), word);
	}
	cr_expect_str_empty(rule_matter_meaning("no such matter"));
}

/* The lists of the program and of the schema are one: in the same order, and both end together. */
Test(evidence, lists_of_matters_and_consequences_are_those_of_the_schema)
{
	const char *schema = (const char *)embedded_find("checker/judge/rules.xsd")->data;
	const char *at = strstr(schema, "name=\"rule-matter\"");
	for (size_t m = 0; rule_matter_word(m); m++) {
		at = strstr(at, "enumeration value=\"");
		cr_assert_not_null(at);
		at += strlen("enumeration value=\"");
		cr_expect(strncmp(at, rule_matter_word(m), strcspn(at, "\"")) == 0, "%s", rule_matter_word(m));
	}
	cr_expect(strstr(at, "enumeration") > strstr(at, "</xs:restriction>"));
	at = strstr(schema, "name=\"consequence\"");
	for (int i = 0; i <= CONSEQUENCE_PAPER; i++) {
		at = strstr(at, "enumeration value=\"");
		cr_assert_not_null(at);
		at += strlen("enumeration value=\"");
		cr_expect(strncmp(at, consequence_word((enum consequence)i), strcspn(at, "\"")) == 0);
	}
	cr_expect(strstr(at, "enumeration") > strstr(at, "</xs:restriction>"));
}
