#include "judge/readers.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "judge/evaluation.h"

struct search {
	const struct vocabulary *units;
	const struct vocabulary_element *kind;
	const char *attribute;
};

/* "material-family" is read from "material". */
static bool is_named(const struct search *search, const char *quantity)
{
	size_t length = strlen(search->attribute);
	return strncmp(quantity, search->attribute, length) == 0 &&
		(!quantity[length] || strcmp(quantity + length, "-family") == 0);
}

/* The kinds that a reference attribute points to; NULL: any. */
static const char *kinds_of_reference(const char *name)
{
	static const char *const rows[][2] = {{"stream", "stream"}, {"lean", "stream"}, {"semi-lean", "stream"},
		{"rich", "stream"}, {"rich-outlet", "stream"}, {"suction", "stream"}, {"discharge", "stream"},
		{"reflux", "stream"}, {"feed", "stream"}, {"steam", "stream"}, {"into", "stream"}, {"gas", "gas"},
		{"regenerator", "regenerator"}, {"inlet", "stream gas"}, {"outlet", "stream gas"}};
	for (size_t i = 0; i < COUNT(rows); i++)
		if (strcmp(rows[i][0], name) == 0)
			return rows[i][1];
	return NULL;
}

static bool is_reference(const struct vocabulary *units, const char *name)
{
	for (size_t i = 0; i < units->element_count; i++) {
		const struct vocabulary_attribute *attribute = vocabulary_attribute(units->elements[i], name);
		if (attribute && attribute->type->accepted.kinds[0] == KIND_REFERENCE)
			return true;
	}
	return false;
}

static bool holds_selected(const struct search *search, const struct rule *rule)
{
	for (size_t i = 0; i < search->kind->child_count; i++)
		if (rule_selects_kind(rule, search->kind->children[i]->name))
			return true;
	return false;
}

/* Can the item that `of` points to be of the kind in question? */
static bool can_be(const struct search *search, const struct rule *rule, const char *of)
{
	if (!*of)
		return rule_selects_kind(rule, search->kind->name);
	if (strcmp(of, "parent") == 0)
		return holds_selected(search, rule);
	if (!is_reference(search->units, of))
		return strcmp(of, search->kind->name) == 0;
	const char *kinds = kinds_of_reference(of);
	return !kinds || text_has_word(kinds, search->kind->name);
}

/* A word that narrows is the item's own, else that of the solvent or of the basis. */
static bool has_word(const struct search *search, const struct rule *rule, struct conditions conditions)
{
	bool sole = strcmp(search->kind->name, "solvent") == 0 || strcmp(search->kind->name, "basis") == 0;
	for (size_t i = 0; i < conditions.count; i++)
		if (is_named(search, conditions.rows[i].name) && (sole || rule_selects_kind(rule, search->kind->name)))
			return true;
	return false;
}

static bool reads(const struct search *search, const struct rule *rule, const struct quantity **absent)
{
	bool found = false;
	*absent = NULL;
	for (size_t i = 0; i < rule->input_count; i++) {
		const struct rule_input *input = &rule->inputs[i];
		if (input->constant || !is_named(search, input->quantity) || !can_be(search, rule, input->of))
			continue;
		found = true;
		*absent = input->absent;
	}
	for (size_t i = 0; i < rule->selection_count; i++)
		found = found || has_word(search, rule, rule->selections[i].conditions);
	for (size_t i = 0; i < rule->limit_count; i++)
		found = found || has_word(search, rule, rule->limits[i].narrowing);
	return found;
}

struct readers readers_of(struct arena *arena, const struct catalogue *catalogue, const struct vocabulary *units,
	const struct vocabulary_element *kind, const char *attribute)
{
	const struct search search = {.units = units, .kind = kind, .attribute = attribute};
	struct reader *rows = arena_alloc(arena, catalogue->rule_count * sizeof *rows);
	size_t count = 0;
	for (size_t i = 0; i < catalogue->rule_count; i++) {
		const struct quantity *absent;
		if (reads(&search, &catalogue->rules[i], &absent))
			rows[count++] = (struct reader){.rule = &catalogue->rules[i], .absent = absent};
	}
	return (struct readers){.rows = rows, .count = count};
}
