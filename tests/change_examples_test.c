/*
 * The changes that remedies name, held against the examples of their own rules: where a change is of something that the rule looks at,
 * or of what that follows from by a word alone (a family of metal, stress relief as it is now), an example that departs no longer
 * does with the value that the change gives. What acts through a calculation is tried on whole designs (remedy_test.c).
 */
#include <criterion/criterion.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "judge/change_read.h"
#include "judge/change_value.h"
#include "judge/examples.h"
#include "review_support.h"

enum { CLEARED_AT_LEAST = 230 }; /* of some 300: a change that no example shows any more is to be seen */

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(change_examples, .init = begin, .fini = end);

/* ---- what follows from an attribute by a word alone ---- */

/* `value` NULL: the same value. */
static const struct {
	const char *attribute, *quantity, *value;
} follows[] = {
	{"pwht", "stress-relieved", NULL},
	{"hic-tested", "top-hic-tested", NULL},
	{"cladding", "top-clad", "yes"},
	{"cladding", "bottom-clad", "yes"},
	{"cladding", "vapour-space-clad", "yes"},
	{"cladding", "wall-clad", "yes"},
	{"cladding", "wetted-material-family", "austenitic"},
	{"cladding", "wetted-material", NULL},
	{"channel-cladding", "channel-material-family", "austenitic"},
	{"channel-cladding", "wall-clad", "yes"},
	{"material", "wetted-material", NULL},
	{"material", "surface-material", NULL},
	{"heating-coil", "heating-coil", NULL},
	{"blow-by-relief", "covers-blow-by", NULL},
	{"tube-rupture-relief", "covers-tube-rupture", NULL},
	{"set-pressure", "set-pressure", NULL},
	{"strength", "total-strength", NULL},
	{"rich-loading", "loading-judged", NULL},
	{"lean-loading", "loading-judged", NULL},
};

static const char *family_of(const char *word)
{
	for (size_t i = 0; i < trial.vocabulary->element_count; i++) {
		const struct vocabulary_element *element = trial.vocabulary->elements[i];
		for (size_t k = 0; k < element->attribute_count; k++) {
			const struct choice *choice = vocabulary_choice(element->attributes[k].type, word);
			if (choice && choice->family)
				return choice->family;
		}
	}
	return NULL;
}

/* Is it "material-family", "wetted-material-family" and the like of "material"? */
static bool is_family_of(const char *quantity, const char *attribute)
{
	static const char *const before[] = {"", "wetted-", "wall-", "surface-"};
	for (size_t i = 0; i < COUNT(before); i++) {
		size_t length = strlen(before[i]);
		if (strncmp(quantity, before[i], length) == 0 &&
			strncmp(quantity + length, attribute, strlen(attribute)) == 0 &&
			strcmp(quantity + length + strlen(attribute), "-family") == 0)
			return true;
	}
	return false;
}

/* What a quantity becomes when an attribute is `value`; NULL: it does not follow by a word. */
static const char *followed(const char *quantity, const char *attribute, const char *value)
{
	if (strcmp(quantity, attribute) == 0)
		return value;
	if (is_family_of(quantity, attribute))
		return family_of(value);
	size_t length = strlen(attribute);
	if (strncmp(quantity, attribute, length) == 0 && strcmp(quantity + length, "-judged") == 0)
		return value;
	for (size_t i = 0; i < COUNT(follows); i++)
		if (strcmp(follows[i].quantity, quantity) == 0 && strcmp(follows[i].attribute, attribute) == 0)
			return follows[i].value ? follows[i].value : value;
	return NULL;
}

/* ---- an example with a change made ---- */

struct changed {
	const struct rule *rule;
	struct condition values[64];
	size_t count;
	bool touched;	/* something that the rule looks at was changed */
	bool judged;	/* what is compared with the limits was, or the rule asserts */
	bool deselects; /* the rule looks at the item no more */
};

static void put(struct changed *changed, const char *name, const char *words)
{
	size_t at = 0;
	while (at < changed->count && strcmp(changed->values[at].name, name) != 0)
		at++;
	cr_assert_lt(at, COUNT(changed->values));
	changed->values[at] = (struct condition){name, words};
	changed->count += at == changed->count;
}

/* Does every selection of the rule ask for words of this quantity that the value is none of? */
static bool is_deselected(const struct rule *rule, const char *attribute, const char *value)
{
	for (size_t i = 0; i < rule->selection_count; i++) {
		const struct conditions *conditions = &rule->selections[i].conditions;
		bool out = false;
		for (size_t k = 0; k < conditions->count; k++) {
			const char *words = conditions->rows[k].words,
				   *is = followed(conditions->rows[k].name, attribute, value);
			size_t length;
			bool among = !is;
			for (const char *part; !among && (part = text_alternative(&words, &length)) != NULL;)
				among = strlen(is) == length && strncmp(part, is, length) == 0;
			out = out || !among;
		}
		if (!out)
			return false;
	}
	return true;
}

static void change_input(struct changed *changed, const struct change_part *part, const char *value)
{
	const struct rule *rule = changed->rule;
	for (size_t i = 0; i < rule->input_count; i++) {
		const struct rule_input *input = &rule->inputs[i];
		const char *is = input->constant ? NULL : followed(input->quantity, part->name, value);
		if (!is || (part->verb == CHANGE_SET && strcmp(input->of, part->of) != 0))
			continue;
		put(changed, input->name, is);
		changed->touched = true;
		changed->judged = changed->judged || rule->judged < 0 || (size_t)rule->judged == i;
	}
	if (!*part->of && is_deselected(rule, part->name, value))
		changed->deselects = true;
}

/* What stands in the example times a factor, where the rule looks at the attribute itself. */
static const char *scaled(
	const struct rule *rule, const struct finding *finding, const struct change_part *part, double factor)
{
	for (size_t i = 0; i < rule->input_count; i++) {
		const struct quantity *now = finding->inputs[i].quantity;
		if (!rule->inputs[i].constant && kind_is_number(now->kind) && now->known != UNKNOWN &&
			followed(rule->inputs[i].quantity, part->name, "")) {
			const char *unit = kind_si(now->kind);
			return arena_format(&trial.arena, "%.10g%s%s", now->si * factor, strcmp(unit, "1") ? " " : "",
				strcmp(unit, "1") ? unit : "");
		}
	}
	return NULL;
}

/* An element that carries the attribute; the unit in which it shows a number is that of its type, whichever it is. */
static const struct vocabulary_element *element_with(const char *attribute)
{
	for (size_t i = 0; i < trial.vocabulary->element_count; i++)
		if (vocabulary_attribute(trial.vocabulary->elements[i], attribute))
			return trial.vocabulary->elements[i];
	return NULL;
}

/* A table that has nothing but an item with what the example says of the attribute: an example is of no unit. */
static const struct table *bare(const struct finding *finding, const char *attribute)
{
	static const struct operating_case normal = {"normal", "normal", false};
	struct table *table = table_new(&trial.arena, &normal, 1);
	struct item entry = *finding->item;
	entry.meaning = element_with(attribute);
	const struct item *item = table_add_item(table, entry);
	for (size_t i = 0; i < finding->input_count; i++)
		if (strcmp(finding->rule->inputs[i].quantity, attribute) == 0)
			table_put(table, item, EVERY_CASE, attribute, finding->inputs[i].quantity);
	return table;
}

static void make(struct changed *changed, const struct change_part *part, const struct finding *finding,
	struct evaluator *evaluator)
{
	const struct change_context context = {
		.arena = &trial.arena, .table = bare(finding, part->name), .finding = finding, .evaluator = evaluator};
	bool set = part->verb == CHANGE_SET || part->verb == CHANGE_VARY;
	if (!set || *part->step || strcmp(part->name, "flange-class") == 0) /* what a class allows is calculated */
		return;
	struct changed_value value = change_value(&context, part, table_item(context.table, 0));
	if (value.why)
		return;
	const char *written = value.written ? value.written : scaled(changed->rule, finding, part, value.factor);
	if (written)
		change_input(changed, part, written);
}

/* ELSEWHERE: it acts through a calculation, or the example leaves open what it does. */
enum outcome_of_change { STAYS, CLEARS, ELSEWHERE };

static enum outcome_of_change try_example(const struct rule *rule, const struct example *example,
	const struct rule_change *change, struct evaluator *evaluator)
{
	struct changed changed = {.rule = rule, .count = example->count};
	struct finding finding = judge_example(&trial.arena, rule, trial.catalogue, example, &trial.problems);
	cr_assert_leq(example->count, COUNT(changed.values));
	memcpy(changed.values, example->values, example->count * sizeof *changed.values);
	for (size_t i = 0; i < change->part_count; i++) {
		if (change->parts[i].verb == CHANGE_REMOVE)
			return CLEARS;
		make(&changed, &change->parts[i], &finding, evaluator);
	}
	if (changed.deselects)
		return CLEARS;
	struct example after = {
		.verdict = VERDICT_MEETS, .values = changed.values, .count = changed.count, .place = example->place};
	enum verdict verdict = changed.touched
		? judge_example(&trial.arena, rule, trial.catalogue, &after, &trial.problems).verdict
		: VERDICT_DEPARTS;
	if (verdict == VERDICT_MEETS || verdict == VERDICT_NOT_APPLICABLE)
		return CLEARS;
	return changed.touched && changed.judged && verdict == VERDICT_DEPARTS ? STAYS : ELSEWHERE;
}

/* The best that the change does to any departing example. */
static enum outcome_of_change try_change(
	const struct rule *rule, const struct rule_change *change, struct evaluator *evaluator)
{
	bool clears = false, stays = false, elsewhere = false;
	for (size_t i = 0; i < rule->example_count && !clears; i++) {
		if (rule->examples[i].verdict != VERDICT_DEPARTS)
			continue;
		enum outcome_of_change outcome = try_example(rule, &rule->examples[i], change, evaluator);
		clears = outcome == CLEARS;
		stays = stays || outcome == STAYS;
		elsewhere = elsewhere || outcome == ELSEWHERE;
	}
	return clears ? CLEARS : stays && !elsewhere ? STAYS : ELSEWHERE;
}

Test(change_examples, a_change_of_what_a_rule_looks_at_clears_an_example_of_it)
{
	struct evaluator *evaluator = evaluator_new();
	size_t counts[3] = {0};
	for (size_t i = 0; i < trial.catalogue->rule_count; i++) {
		const struct rule *rule = &trial.catalogue->rules[i];
		for (size_t k = 0; k < rule->change_count; k++) {
			enum outcome_of_change outcome = try_change(rule, &rule->changes[k], evaluator);
			counts[outcome]++;
			cr_expect_neq(outcome, STAYS, "%s still departs with the change '%s'", rule->id,
				rule->changes[k].says);
		}
	}
	evaluator_release(evaluator);
	cr_expect_geq(counts[CLEARS], CLEARED_AT_LEAST, "%zu changes clear an example, %zu are seen elsewhere",
		counts[CLEARS], counts[ELSEWHERE]);
}
