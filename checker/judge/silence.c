#include "judge/silence.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

/* A word that no rule names: no description holds a control character. */
static const char OTHER_WORD[] = "\x01";

/* What is beside a number, as factors of it; and for temperatures, which have no true zero, K beside it. */
static const double FACTORS[] = {0.01, 0.5, 0.9, 0.999, 1, 1.001, 1.1, 2, 100};
static const double STEPS[] = {-100, -50, -10, -0.1, 0, 0.1, 10, 50, 100};

struct gathering {
	struct arena *arena;
	enum kind kind;
	struct values values;
	size_t capacity;
};

static void add(struct gathering *gathering, struct quantity value)
{
	struct values *values = &gathering->values;
	for (size_t i = 0; i < values->count; i++)
		if (text_same(values->rows[i]->word, value.word) && !(values->rows[i]->si < value.si) &&
			!(values->rows[i]->si > value.si))
			return;
	struct quantity *copy = arena_alloc(gathering->arena, sizeof *copy);
	value.known = STATED;
	value.kind = gathering->kind;
	value.document = "";
	*copy = value;
	values->rows = arena_grow(
		gathering->arena, values->rows, values->count, &gathering->capacity, sizeof(struct quantity *));
	values->rows[values->count++] = copy;
}

/* ---- words ---- */

static void add_word(struct gathering *gathering, const char *word, size_t length)
{
	const char *copy = arena_copy_span(gathering->arena, word, length);
	add(gathering, (struct quantity){.word = copy, .written = copy});
}

static void add_alternatives(struct gathering *gathering, const char *words)
{
	size_t length;
	for (const char *part; (part = text_alternative(&words, &length)) != NULL;)
		add_word(gathering, part, length);
}

static void add_quoted(struct gathering *gathering, const struct expression *expression)
{
	if (!expression)
		return;
	for (const char *at = expression->written; (at = strpbrk(at, "'\"")) != NULL;) {
		const char *end = strchr(at + 1, *at);
		add_word(gathering, at + 1, (size_t)(end - at) - 1);
		at = end + 1;
	}
}

static void add_quoted_of(struct gathering *gathering, struct expressions expressions)
{
	for (size_t i = 0; i < expressions.count; i++)
		add_quoted(gathering, &expressions.rows[i]);
}

static void add_conditions(struct gathering *gathering, struct conditions conditions)
{
	for (size_t i = 0; i < conditions.count; i++)
		add_alternatives(gathering, conditions.rows[i].words);
}

static void add_words_of_rule(struct gathering *gathering, const struct rule *rule, const struct finding *beside)
{
	add_quoted_of(gathering, rule->when);
	add_quoted_of(gathering, rule->met_if);
	add_quoted(gathering, rule->assertion);
	for (size_t i = 0; i < rule->limit_count; i++) {
		add_quoted(gathering, rule->limits[i].when);
		add_conditions(gathering, rule->limits[i].narrowing);
	}
	for (size_t i = 0; i < rule->selection_count; i++)
		add_conditions(gathering, rule->selections[i].conditions);
	for (size_t i = 0; beside && i < beside->input_count; i++) {
		const struct quantity *input = beside->inputs[i].quantity;
		if (input && input->word)
			add_word(gathering, input->word, strlen(input->word));
	}
	add_word(gathering, OTHER_WORD, 1);
}

/* The choices of the attribute of this name, of whatever element; of NAME-family the families of its choices. */
static void add_choices(struct gathering *gathering, const char *name, const struct vocabulary *units)
{
	bool family = text_ends(name, "-family");
	name = family ? arena_copy_span(gathering->arena, name, strlen(name) - strlen("-family")) : name;
	for (size_t i = 0; units && i < units->element_count; i++) {
		const struct vocabulary_attribute *attribute = vocabulary_attribute(units->elements[i], name);
		for (size_t k = 0; attribute && k < attribute->type->choice_count; k++) {
			const struct choice *choice = &attribute->type->choices[k];
			const char *word = family ? choice->family : choice->word;
			if (word)
				add_word(gathering, word, strlen(word));
		}
	}
}

/* ---- numbers ---- */

static void add_number(struct gathering *gathering, double si)
{
	if (kind_allows(gathering->kind, si))
		add(gathering, (struct quantity){.si = si});
}

static void add_beside(struct gathering *gathering, const struct quantity *number)
{
	if (!number || number->known == UNKNOWN || !kind_is_number(number->kind) ||
		strcmp(kind_si(number->kind), kind_si(gathering->kind)) != 0)
		return;
	bool steps = gathering->kind == KIND_TEMPERATURE || gathering->kind == KIND_TEMPERATURE_DIFFERENCE;
	for (size_t i = 0; i < COUNT(FACTORS); i++)
		add_number(gathering, steps ? number->si + STEPS[i] : number->si * FACTORS[i]);
	if (gathering->kind == KIND_COUNT)
		add_number(gathering, number->si - 1), add_number(gathering, number->si + 1);
}

static void add_numbers(struct gathering *gathering, const struct rule *rule, const struct finding *beside)
{
	for (size_t i = 0; i < rule->limit_count; i++)
		if (!rule->limits[i].says)
			add_beside(gathering, &rule->limits[i].value);
	for (size_t i = 0; i < rule->input_count; i++) {
		add_beside(gathering, rule->inputs[i].constant);
		add_beside(gathering, rule->inputs[i].absent);
	}
	for (size_t i = 0; beside && i < beside->input_count; i++)
		add_beside(gathering, beside->inputs[i].quantity);
	add_number(gathering, 0);
}

struct values values_possible(struct arena *arena, const struct rule *rule, const char *name, enum kind kind,
	const struct finding *beside, const struct vocabulary *units)
{
	struct gathering gathering = {.arena = arena, .kind = kind};
	if (kind_is_number(kind)) {
		add_numbers(&gathering, rule, beside);
	} else if (kind == KIND_YES_NO) {
		add(&gathering, (struct quantity){.si = 0, .word = "no", .written = "no"});
		add(&gathering, (struct quantity){.si = 1, .word = "yes", .written = "yes"});
	} else {
		add_choices(&gathering, name, units);
		if (gathering.values.count == 0)
			add_words_of_rule(&gathering, rule, beside);
	}
	return gathering.values;
}

/* ---- defaults ---- */

bool verdict_is_silent(const struct finding *finding)
{
	return finding->verdict == VERDICT_MEETS ||
		(finding->verdict == VERDICT_NOT_APPLICABLE && finding->missing_count == 0);
}

struct example example_without(struct arena *arena, const struct example *example, const char *name)
{
	struct condition *values = arena_alloc(arena, example->count * sizeof *values);
	struct example less = *example;
	less.values = values;
	less.count = 0;
	for (size_t i = 0; i < example->count; i++)
		if (strcmp(example->values[i].name, name) != 0)
			values[less.count++] = example->values[i];
	return less;
}

static const struct quantity *value_against(struct arena *arena, const struct catalogue *catalogue,
	const struct rule *rule, size_t input, const struct example *example, const struct vocabulary *units)
{
	struct problems ignored = {.arena = arena};
	struct example less = example_without(arena, example, rule->inputs[input].name);
	struct finding silent = judge_example(arena, rule, catalogue, &less, &ignored);
	if (!verdict_is_silent(&silent))
		return NULL;
	struct rule changed = *rule;
	struct rule_input *inputs = arena_alloc(arena, rule->input_count * sizeof *inputs);
	memcpy(inputs, rule->inputs, rule->input_count * sizeof *inputs);
	changed.inputs = inputs;
	struct values values = values_possible(
		arena, rule, rule->inputs[input].quantity, rule->inputs[input].accepted.kinds[0], &silent, units);
	for (size_t i = 0; i < values.count; i++) {
		inputs[input].absent = values.rows[i];
		if (judge_example(arena, &changed, catalogue, &less, &ignored).verdict == VERDICT_DEPARTS)
			return values.rows[i];
	}
	return NULL;
}

const struct example *default_is_favourable(struct arena *arena, const struct catalogue *catalogue,
	const struct rule *rule, size_t input, const struct vocabulary *units, const struct quantity **against)
{
	for (size_t k = 0; rule->inputs[input].absent && k < rule->example_count; k++) {
		const struct quantity *value = value_against(arena, catalogue, rule, input, &rule->examples[k], units);
		if (value && against)
			*against = value;
		if (value)
			return &rule->examples[k];
	}
	return NULL;
}
