#include "judge/citation.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/computed.h"
#include "judge/late.h"

/* ---- what there is ---- */

struct names {
	struct arena *arena;
	const char **rows;
	size_t count, capacity;
};

static bool holds(const struct names *names, const char *name)
{
	for (size_t i = 0; i < names->count; i++)
		if (strcmp(names->rows[i], name) == 0)
			return true;
	return false;
}

static void add_name(struct names *names, const char *name)
{
	if (holds(names, name))
		return;
	names->rows = arena_grow(names->arena, names->rows, names->count, &names->capacity, sizeof *names->rows);
	names->rows[names->count++] = name;
}

struct citations {
	struct arena *arena;
	const struct vocabulary *units;
	struct problems *problems;
	struct names kinds, quantities, references;
	const struct rule *rule; /* the one looked at */
};

static bool has_families(const struct vocabulary_type *type)
{
	for (size_t i = 0; i < type->choice_count; i++)
		if (type->choices[i].family)
			return true;
	return false;
}

static void learn(struct citations *citations)
{
	add_name(&citations->kinds, "contradiction"); /* made by resolving, no element */
	for (size_t i = 0; late_names[i]; i++)
		add_name(&citations->quantities, late_names[i]);
	for (size_t i = 0; i < citations->units->element_count; i++) {
		const struct vocabulary_element *element = citations->units->elements[i];
		add_name(&citations->kinds, element->name);
		for (size_t k = 0; k < element->attribute_count; k++) {
			const struct vocabulary_attribute *attribute = &element->attributes[k];
			add_name(&citations->quantities, attribute->name);
			if (has_families(attribute->type))
				add_name(&citations->quantities,
					arena_format(citations->arena, "%s-family", attribute->name));
			if (attribute->type->accepted.kinds[0] == KIND_REFERENCE)
				add_name(&citations->references, attribute->name);
		}
	}
	for (size_t i = 0; computed_name(i); i++)
		add_name(&citations->quantities, computed_name(i));
}

/* The words an attribute of this name can have, wherever it is; of "material-family" the families. None: any word. */
static struct names words_for(const struct citations *citations, const char *name)
{
	struct names words = {.arena = citations->arena};
	bool family = text_ends(name, "-family");
	const char *own = family ? arena_copy_span(citations->arena, name, strlen(name) - strlen("-family")) : name;
	for (size_t i = 0; i < citations->units->element_count; i++) {
		const struct vocabulary_attribute *attribute = vocabulary_attribute(citations->units->elements[i], own);
		for (size_t k = 0; attribute && k < attribute->type->choice_count; k++) {
			const struct choice *choice = &attribute->type->choices[k];
			if (!family || choice->family)
				add_name(&words, family ? choice->family : choice->word);
		}
	}
	return words;
}

/* ---- checking ---- */

static void require(struct citations *citations, const struct names *names, const char *word, struct place place,
	enum problem_code code, const char *what)
{
	if (holds(names, word))
		return;
	const char *nearest = text_nearest(word, names->rows, names->count);
	problem_add(citations->problems, code, place, "%s: %s '%s' is not known%s%s%s", citations->rule->id, what, word,
		nearest ? "; did you mean '" : "", nearest ? nearest : "", nearest ? "'?" : "");
}

/* Each of the alternatives separated by `|`. */
static void require_each(
	struct citations *citations, const struct names *names, const char *words, struct place place, const char *what)
{
	for (const char *at = words; *at;) {
		size_t length = strcspn(at, "|");
		require(citations, names, arena_copy_span(citations->arena, at, length), place, PROBLEM_BAD_RULE, what);
		at += length + (at[length] == '|');
	}
}

static void check_conditions(struct citations *citations, struct conditions conditions, struct place place)
{
	static const char *const sides[] = {"tube", "shell", "plate"};
	for (size_t i = 0; i < conditions.count; i++) {
		const struct condition *condition = &conditions.rows[i];
		struct names words = words_for(citations, condition->name);
		if (strcmp(condition->name, "item") == 0)
			words = citations->kinds;
		else if (strcmp(condition->name, "side") == 0)
			for (size_t k = 0; k < COUNT(sides); k++)
				add_name(&words, sides[k]);
		else
			require(citations, &citations->quantities, condition->name, place, PROBLEM_NO_SUCH_QUANTITY,
				"the name");
		if (words.count)
			require_each(citations, &words, condition->words, place, condition->name);
	}
}

static void check_input(struct citations *citations, const struct rule_input *input)
{
	if (input->constant)
		return;
	require(citations, &citations->quantities, input->quantity, input->place, PROBLEM_NO_SUCH_QUANTITY,
		"the quantity");
	if (*input->of && strcmp(input->of, "parent") != 0 && !holds(&citations->references, input->of))
		require(citations, &citations->kinds, input->of, input->place, PROBLEM_NO_SUCH_ITEM,
			"an item or reference");
}

static void check_rule(struct citations *citations)
{
	const struct rule *rule = citations->rule;
	for (size_t i = 0; i < rule->selection_count; i++) {
		const struct selection *selection = &rule->selections[i];
		if (strcmp(selection->kinds, "*") != 0)
			require_each(citations, &citations->kinds, selection->kinds, rule->place, "the kind of item");
		check_conditions(citations, selection->conditions, rule->place);
	}
	for (size_t i = 0; i < rule->input_count; i++)
		check_input(citations, &rule->inputs[i]);
	for (size_t i = 0; i < rule->limit_count; i++)
		check_conditions(citations, rule->limits[i].narrowing, rule->limits[i].place);
}

void citations_check(const struct catalogue *catalogue, const struct vocabulary *units, struct problems *problems)
{
	struct arena *arena = problems->arena;
	struct citations citations = {.arena = arena,
		.units = units,
		.problems = problems,
		.kinds = {.arena = arena},
		.quantities = {.arena = arena},
		.references = {.arena = arena}};
	learn(&citations);
	for (size_t i = 0; i < catalogue->rule_count; i++) {
		citations.rule = &catalogue->rules[i];
		check_rule(&citations);
	}
}
