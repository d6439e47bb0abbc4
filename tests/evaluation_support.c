#include <criterion/criterion.h>

#include "evaluation_support.h"

TestSuite(evaluation, .fini = suite_trial_end);

const struct finding *of_design(const char *rules, const char *design, const char *tag)
{
	trial_open_with(&trial, rules, NULL);
	trial_review(&trial, design);
	cr_assert_not_null(trial.review, "%s", trial_messages(&trial));
	return trial_finding(&trial, "TST-001", tag);
}

const char *case_of(const struct finding *found)
{
	return found->operating_case == EVERY_CASE ? "every" : table_case(trial.table, found->operating_case)->id;
}

void expect_case(const struct finding *found, enum verdict verdict, const char *name)
{
	cr_assert_not_null(found);
	cr_expect(found->verdict == verdict, "%s: %s", verdict_word(found->verdict), found->message);
	cr_expect_str_eq(case_of(found), name, "%s, not %s", case_of(found), name);
}
