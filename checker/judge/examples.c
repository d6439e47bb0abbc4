#include "judge/examples.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "judge/weigh.h"

static const double NEAR_TEMPERATURE = 2, NEAR_COUNT = 1, NEAR_SHARE = 0.05; /* K, one, of the number */

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

/* ---- both sides of every number ---- */

/* Within this of a number of a rule an example is just beside it: SI, what a careful reader calls near for the kind. */
static double beside(enum kind kind, double si)
{
	switch (kind) {
	case KIND_TEMPERATURE:
		return NEAR_TEMPERATURE;
	case KIND_COUNT:
		return NEAR_COUNT;
	default:
		return NEAR_SHARE * fabs(si);
	}
}

static bool same_outcome(const struct finding *a, const struct finding *b)
{
	if (a->verdict != b->verdict || a->limit_count != b->limit_count)
		return false;
	for (size_t i = 0; i < a->limit_count; i++)
		if (a->limits[i].applied != b->limits[i].applied || a->limits[i].met != b->limits[i].met)
			return false;
	return true;
}

/* Does any example come out differently with the rule so changed? */
static bool any_example_tells(
	struct arena *arena, const struct catalogue *catalogue, const struct rule *rule, const struct rule *changed)
{
	struct problems ignored = {.arena = arena};
	for (size_t k = 0; k < rule->example_count; k++) {
		struct finding as_is = judge_example(arena, rule, catalogue, &rule->examples[k], &ignored);
		struct finding moved = judge_example(arena, changed, catalogue, &rule->examples[k], &ignored);
		if (!same_outcome(&as_is, &moved))
			return true;
	}
	return false;
}

static void *copy_of(struct arena *arena, const void *rows, size_t size)
{
	return memcpy(arena_alloc(arena, size), rows, size);
}

static const struct quantity *moved(struct arena *arena, const struct quantity *number, double by)
{
	struct quantity *copy = copy_of(arena, number, sizeof *number);
	copy->si += by;
	return copy;
}

/* A number of a rule, an input that is a constant or a limit, is moved up and down a little: an example that is between
 * must notice, or none is just on that side. */
static void sides_tell(struct arena *arena, const struct catalogue *catalogue, const struct rule *rule,
	const struct quantity *number, size_t input, size_t limit, struct place place, struct problems *problems)
{
	for (int side = -1; side <= 1; side += 2) {
		double by = side * beside(number->kind, number->si);
		struct rule changed = *rule;
		if (input < rule->input_count) {
			struct rule_input *inputs =
				copy_of(arena, rule->inputs, rule->input_count * sizeof *rule->inputs);
			inputs[input].constant = moved(arena, number, by);
			changed.inputs = inputs;
		} else {
			struct limit *limits = copy_of(arena, rule->limits, rule->limit_count * sizeof *rule->limits);
			limits[limit].value = *moved(arena, number, by);
			changed.limits = limits;
		}
		if (!any_example_tells(arena, catalogue, rule, &changed))
			problem_add(problems, PROBLEM_BAD_EXAMPLE, place, "%s: no example is just %s %s", rule->id,
				side < 0 ? "below" : "above", number->written);
	}
}

/* A figure for pipe is in a rule about tubes to be seen beside it: nothing is ever held against it. */
static bool ever_applies(struct arena *arena, const struct rule *rule, const struct limit *limit)
{
	for (size_t i = 0; i < rule->selection_count; i++)
		for (const char *kind = rule->selections[i].kinds; *kind;
			kind += strcspn(kind, "|"), kind += *kind == '|') {
			if (limit_is_for_kind(limit, arena_copy_span(arena, kind, strcspn(kind, "|"))))
				return true;
		}
	return false;
}

static void borders_run(
	struct arena *arena, const struct catalogue *catalogue, const struct rule *rule, struct problems *problems)
{
	for (size_t i = 0; i < rule->input_count; i++) {
		const struct quantity *constant = rule->inputs[i].constant;
		/* A constant of zero asks whether there is any: it has no near side. */
		if (constant && kind_is_number(constant->kind) && fabs(constant->si) > 0)
			sides_tell(arena, catalogue, rule, constant, i, rule->limit_count, rule->inputs[i].place,
				problems);
	}
	for (size_t i = 0; i < rule->limit_count; i++)
		if (!rule->limits[i].says && fabs(rule->limits[i].value.si) > 0 &&
			ever_applies(arena, rule, &rule->limits[i]))
			sides_tell(arena, catalogue, rule, &rule->limits[i].value, rule->input_count, i,
				rule->limits[i].place, problems);
}

size_t examples_run(struct arena *arena, const struct catalogue *catalogue, struct problems *problems)
{
	static const enum verdict wanted[] = {VERDICT_DEPARTS, VERDICT_MEETS, VERDICT_NOT_JUDGED};
	size_t run = 0;
	for (size_t i = 0; i < catalogue->rule_count; i++) {
		const struct rule *rule = &catalogue->rules[i];
		size_t before = problems->count;
		for (size_t k = 0; k < rule->example_count; k++, run++)
			run_example(arena, catalogue, rule, &rule->examples[k], problems);
		for (size_t k = 0; k < COUNT(wanted); k++)
			if (!has_example(rule, wanted[k]))
				problem_add(problems, PROBLEM_BAD_EXAMPLE, rule->place,
					"%s has no example that is '%s'", rule->id, verdict_word(wanted[k]));
		if (problems->count == before) /* what an example that fails tells of borders is not worth reading */
			borders_run(arena, catalogue, rule, problems);
	}
	return run;
}
