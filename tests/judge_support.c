#include <criterion/criterion.h>
#include <string.h>

#include "judge_support.h"

TestSuite(judge, .fini = suite_trial_end);

const struct finding *judge_line(const char *rules, const char *line)
{
	trial_open_with(&trial, rules, NULL);
	trial_review_unit(&trial, "MDEA", line);
	return trial_finding(&trial, "TST-001", "P-1");
}

void expect_missing(const struct finding *found, const char *reason)
{
	cr_assert_not_null(found);
	cr_expect(found->verdict == VERDICT_NOT_JUDGED, "%s", verdict_word(found->verdict));
	cr_expect(found->missing_count == 1, "%u missing: %s", found->missing_count, found->message);
	for (size_t i = 0; i < found->missing_count; i++)
		cr_expect_str_eq(found->missing[i].reason, reason);
	cr_expect(strstr(found->message, reason) != NULL, "%s", found->message);
}

void expect_verdict(const struct finding *found, enum verdict verdict)
{
	cr_assert_not_null(found);
	cr_expect(found->verdict == verdict, "%s, not %s: %s", verdict_word(found->verdict), verdict_word(verdict),
		found->message);
}
