#include "judge/change_read.h"

#include <string.h>

#include "base/count.h"

size_t change_variables(const struct rule *rule, struct variable variables[EXPRESSION_VARIABLES])
{
	static const char *const own[] = {"limit", "now"};
	size_t count = 0;
	for (size_t i = 0; i < rule->input_count; i++)
		variables[count++] = (struct variable){rule->inputs[i].name, rule->inputs[i].accepted.kinds[0]};
	for (size_t i = 0; i < COUNT(own) && count < EXPRESSION_VARIABLES; i++)
		variables[count++] = (struct variable){own[i], KIND_RATIO};
	return count;
}

static const struct expression *compile(struct catalogue_builder *builder, const struct element *element,
	const char *attribute, const struct rule *rule)
{
	struct variable variables[EXPRESSION_VARIABLES];
	size_t count = change_variables(rule, variables);
	return element_attribute(element, attribute)
		? catalogue_builder_compile(builder, element, attribute, variables, count)
		: NULL;
}

static enum change_verb verb_of(const struct element *element)
{
	static const char *const verbs[] = {"set", "drop", "vary", "add"};
	for (size_t i = 0; i < COUNT(verbs); i++)
		if (element_is(element, verbs[i]))
			return (enum change_verb)i;
	return CHANGE_REMOVE;
}

/* What stands in the attribute by which a part of this verb says what it changes. */
static const char *name_of(const struct element *element, enum change_verb verb)
{
	static const char *const names[] = {"attribute", "attribute", "what", "element"};
	return verb == CHANGE_REMOVE ? "" : element_attribute(element, names[verb]);
}

static void check_value(struct catalogue_builder *builder, const struct rule *rule, const struct change_part *part)
{
	const bool says[] = {part->is != NULL, part->to != NULL, part->times != NULL, *part->step != '\0'};
	size_t said = 0;
	for (size_t i = 0; i < COUNT(says); i++)
		said += says[i];
	if (part->verb == CHANGE_SET && said != 1)
		problem_add(builder->problems, PROBLEM_BAD_RULE, part->place,
			"a <set> of %s says by one of is, to, times and step what '%s' becomes; here are %zu", rule->id,
			part->name, said);
	if (*part->toward && !part->to)
		problem_add(builder->problems, PROBLEM_BAD_RULE, part->place,
			"toward goes with a value that is calculated (to), in the change of '%s' of %s", part->name,
			rule->id);
}

static struct change_part read_part(
	struct catalogue_builder *builder, const struct element *element, const struct rule *rule)
{
	enum change_verb verb = verb_of(element);
	struct change_part part = {
		.verb = verb,
		.name = name_of(element, verb),
		.of = element_attribute_or(element, verb == CHANGE_ADD ? "beneath" : "of", ""),
		.is = verb == CHANGE_SET ? element_attribute(element, "is") : NULL,
		.step = verb == CHANGE_SET ? element_attribute_or(element, "step", "") : "",
		.toward = verb == CHANGE_SET ? element_attribute_or(element, "toward", "") : "",
		.place = element->place,
	};
	if (verb == CHANGE_SET)
		part.to = compile(builder, element, "to", rule);
	if (verb == CHANGE_SET || verb == CHANGE_VARY)
		part.times = compile(builder, element, "times", rule);
	if (verb == CHANGE_ADD)
		part.attributes = catalogue_builder_conditions(builder, element, "element beneath");
	check_value(builder, rule, &part);
	return part;
}

static struct rule_change read_change(
	struct catalogue_builder *builder, const struct element *element, const struct rule *rule)
{
	struct change_part *parts = arena_alloc(builder->arena, (element->child_count + 1) * sizeof *parts);
	struct rule_change change = {
		.says = element_attribute_or(element, "says", ""), .parts = parts, .place = element->place};
	for (size_t i = 0; i < element->child_count; i++)
		parts[change.part_count++] = read_part(builder, element->children[i], rule);
	if (!change.part_count)
		problem_add(builder->problems, PROBLEM_BAD_RULE, element->place, "a <change> of %s changes nothing",
			rule->id);
	return change;
}

void change_read(struct catalogue_builder *builder, const struct element *element, struct rule *rule)
{
	struct rule_change *changes = arena_alloc(builder->arena, (element->child_count + 1) * sizeof *changes);
	const struct element *remedy = element_child(element, "remedy");
	rule->changes = changes;
	rule->only = remedy ? element_attribute_or(remedy, "only", "") : "";
	for (size_t i = 0; i < element->child_count; i++)
		if (element_is(element->children[i], "change"))
			changes[rule->change_count++] = read_change(builder, element->children[i], rule);
	if (*rule->only && rule->change_count)
		problem_add(builder->problems, PROBLEM_BAD_RULE, remedy->place,
			"the remedy of %s is words only (%s), and has a <change>: one of the two", rule->id,
			rule->only);
}
