#include "judge/examples.h"

#include <string.h>

static bool governed_as_claimed(const struct example *example, const struct finding *finding)
{
	if (!example->governing)
		return true;
	const struct limit *limit = finding->governing ? finding->governing->limit : NULL;
	return limit &&
		(strcmp(limit->name, example->governing) == 0 ||
			(limit->source && strcmp(limit->source->key, example->governing) == 0));
}

static void run_example(struct arena *arena, const struct catalogue *catalogue, const struct rule *rule,
	const struct example *example, struct problems *problems)
{
	struct finding finding = judge_example(arena, rule, catalogue, example, problems);
	const struct limit *limit = finding.governing ? finding.governing->limit : NULL;
	if (finding.verdict != example->verdict)
		problem_add(problems, PROBLEM_BAD_EXAMPLE, example->place,
			"%s: the verdict is '%s', the example claims '%s'%s%s", rule->id, verdict_word(finding.verdict),
			verdict_word(example->verdict), finding.missing_count ? "; " : "",
			finding.missing_count ? finding.missing[0].reason : "");
	else if (!governed_as_claimed(example, &finding))
		problem_add(problems, PROBLEM_BAD_EXAMPLE, example->place,
			"%s: the limit of '%s' governs, the example claims '%s'", rule->id,
			limit && limit->source ? limit->source->key : "none", example->governing);
	else if (example->certainty && strcmp(example->certainty, certainty_word(finding.certainty)) != 0)
		problem_add(problems, PROBLEM_BAD_EXAMPLE, example->place,
			"%s: the certainty is '%s', the example claims '%s'", rule->id,
			certainty_word(finding.certainty), example->certainty);
}

static bool has_example(const struct rule *rule, enum verdict verdict)
{
	for (size_t i = 0; i < rule->example_count; i++)
		if (rule->examples[i].verdict == verdict)
			return true;
	return false;
}

size_t examples_run(struct arena *arena, const struct catalogue *catalogue, struct problems *problems)
{
	static const enum verdict wanted[] = {VERDICT_DEPARTS, VERDICT_MEETS, VERDICT_NOT_JUDGED};
	size_t run = 0;
	for (size_t i = 0; i < catalogue->rule_count; i++) {
		const struct rule *rule = &catalogue->rules[i];
		for (size_t k = 0; k < rule->example_count; k++, run++)
			run_example(arena, catalogue, rule, &rule->examples[k], problems);
		for (size_t k = 0; k < sizeof wanted / sizeof *wanted; k++)
			if (!has_example(rule, wanted[k]))
				problem_add(problems, PROBLEM_BAD_EXAMPLE, rule->place,
					"%s has no example that is '%s'", rule->id, verdict_word(wanted[k]));
	}
	return run;
}
