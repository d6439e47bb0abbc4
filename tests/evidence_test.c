/*
 * What rules are about, what a departure leads to and what it rests on: the closed lists, that every rule has its place in them, and that
 * force follows evidence.
 */
#include <criterion/criterion.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/embedded.h"
#include "judge/evidence.h"
#include "printed.h"
#include "review_support.h"
#include "write/write.h"

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

/* ---- force ---- */

static struct source source_of(const char *author)
{
	return (struct source){.key = author, .author = author};
}

static struct limit limit_of(const struct source *source, enum evidence evidence, bool context)
{
	return (struct limit){.source = source, .evidence = evidence, .context = context};
}

Test(evidence, two_published_sources_count_for_more_than_one_and_one_author_twice_does_not)
{
	const struct source first = source_of("First"), again = source_of("First"), second = source_of("Second");
	struct limit limits[] = {limit_of(&first, EVIDENCE_PUBLISHED, false),
		limit_of(&again, EVIDENCE_PUBLISHED, false), limit_of(&second, EVIDENCE_PUBLISHED, true),
		limit_of(&second, EVIDENCE_COMPANY, false)};
	cr_expect_eq(evidence_of_limits(limits, 4), EVIDENCE_PUBLISHED);
	limits[2].context = false;
	cr_expect_eq(evidence_of_limits(limits, 4), EVIDENCE_TWO_PUBLISHED);
	cr_expect_eq(evidence_of_limits(limits + 3, 1), EVIDENCE_COMPANY);
	cr_expect_eq(evidence_of_limits(limits, 0), EVIDENCE_PRACTICE);
}

/* Nobody's figure alone, and no practice, is more than something to consider; money and paper never come out. */
Test(evidence, force_falls_with_evidence_and_with_consequence)
{
	for (int c = 0; c <= CONSEQUENCE_PAPER; c++) {
		enum consequence consequence = (enum consequence)c;
		cr_expect_eq(evidence_force(EVIDENCE_COMPANY, consequence), FORCE_ADVISORY);
		cr_expect_eq(evidence_force(EVIDENCE_PRACTICE, consequence), FORCE_ADVISORY);
		cr_expect_eq(evidence_force(EVIDENCE_TWO_PUBLISHED, consequence),
			evidence_force(EVIDENCE_RECOMMENDED_PRACTICE, consequence));
		for (int e = EVIDENCE_RECOMMENDED_PRACTICE; e < EVIDENCE_PRACTICE; e++)
			cr_expect(evidence_force((enum evidence)e, consequence) <=
				evidence_force((enum evidence)(e + 1), consequence));
	}
	cr_expect_eq(evidence_force(EVIDENCE_CODE, CONSEQUENCE_LOSS_OF_CONTAINMENT), FORCE_REQUIRED);
	cr_expect_eq(evidence_force(EVIDENCE_PHYSICS, CONSEQUENCE_CAPACITY), FORCE_REQUIRED);
	cr_expect_eq(evidence_force(EVIDENCE_PHYSICS, CONSEQUENCE_PAPER), FORCE_RECOMMENDED);
	cr_expect_eq(evidence_force(EVIDENCE_PUBLISHED, CONSEQUENCE_RELIABILITY), FORCE_ADVISORY);
}

/* Above its evidence a rule stands only by the safety list; below it with a reason of its own. */
Test(evidence, a_rule_is_held_above_its_evidence_only_by_the_safety_list)
{
	size_t above = 0, below = 0;
	for (size_t i = 0; i < trial.catalogue->rule_count; i++) {
		const struct rule *rule = &trial.catalogue->rules[i];
		enum force computed = evidence_force(rule->evidence, rule->consequence);
		cr_expect(rule->held || rule->force == computed, "%s", rule->id);
		cr_expect(!rule->held || rule->force != computed || strncmp(rule->why_force, "safety list: ", 13) == 0,
			"%s is held at the force of its evidence", rule->id);
		if (rule->force < computed)
			cr_expect(strncmp(rule->why_force, "safety list: ", 13) == 0, "%s: %s", rule->id,
				rule->why_force);
		above += rule->force < computed;
		below += rule->force > computed;
	}
	cr_expect(above > 5 && above < 20, "%zu", above);
	cr_expect(below > 5 && below < 50, "%zu", below);
}

Test(evidence, printed_table_of_rules)
{
	char *table = NULL;
	size_t size = 0;
	FILE *out = open_memstream(&table, &size);
	cr_assert(write_rule_table(trial.catalogue, out));
	fclose(out);
	cr_expect(printed_holds("tests/data/rules_table.txt", table));
	free(table);
}
