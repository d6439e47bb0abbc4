#include "judge/change_check.h"

#include <string.h>

#include "base/text.h"
#include "resolve/pipe.h"

struct checking {
	struct arena *arena;
	const struct vocabulary *units;
	struct problems *problems;
	const struct rule *rule;
	const struct change_part *part;
};

static const struct vocabulary_element *element_named(const struct vocabulary *units, const char *name)
{
	for (size_t i = 0; i < units->element_count; i++)
		if (strcmp(units->elements[i]->name, name) == 0)
			return units->elements[i];
	return NULL;
}

static bool selects(const struct rule *rule, const char *kind)
{
	for (size_t i = 0; i < rule->selection_count; i++) {
		const char *kinds = rule->selections[i].kinds;
		size_t length = strlen(kind);
		for (const char *at = kinds; *at; at += *at == '|') {
			size_t span = strcspn(at, "|");
			if ((span == length && strncmp(at, kind, span) == 0) || (span == 1 && *at == '*'))
				return true;
			at += span;
		}
	}
	return false;
}

static bool has_child(const struct vocabulary_element *element, const struct rule *rule)
{
	for (size_t i = 0; i < element->child_count; i++)
		if (selects(rule, element->children[i]->name))
			return true;
	return false;
}

/* Can the part be about an item of this kind, as far as is known before there is a unit? */
static bool may_be(const struct checking *checking, const struct vocabulary_element *element)
{
	const char *of = checking->part->of;
	if (!*of)
		return selects(checking->rule, element->name);
	if (strcmp(of, "parent") == 0)
		return has_child(element, checking->rule);
	return !element_named(checking->units, of) || strcmp(of, element->name) == 0;
}

static void fault(const struct checking *checking, enum problem_code code, const char *what)
{
	problem_add(checking->problems, code, checking->part->place, "%s: %s", checking->rule->id, what);
}

/* ---- the value of an attribute ---- */

static bool is_literal_of(const struct checking *checking, const struct vocabulary_type *type, const char *written)
{
	const struct accepted *accepted = &type->accepted;
	struct quantity value;
	struct problems unheard = {.arena = checking->arena};
	if (strchr(written, '{'))
		return true;
	if (kind_is_number(accepted->kinds[0]))
		return quantity_parse(checking->arena, written, type->name, *accepted, 101325, checking->part->place,
			&unheard, &value);
	if (accepted->kinds[0] == KIND_YES_NO)
		return strcmp(written, "yes") == 0 || strcmp(written, "no") == 0;
	return accepted->kinds[0] != KIND_WORD || vocabulary_choice(type, written) != NULL;
}

static bool takes(const struct checking *checking, const struct vocabulary_attribute *attribute)
{
	const struct change_part *part = checking->part;
	if (part->is)
		return is_literal_of(checking, attribute->type, part->is);
	if (part->times)
		return kind_is_number(attribute->type->accepted.kinds[0]);
	return attribute->type->accepted.kinds[0] != KIND_REFERENCE;
}

static void check_attribute(const struct checking *checking)
{
	const struct change_part *part = checking->part;
	bool carried = false, taken = part->verb == CHANGE_DROP;
	for (size_t i = 0; i < checking->units->element_count; i++) {
		const struct vocabulary_element *element = checking->units->elements[i];
		const struct vocabulary_attribute *attribute =
			may_be(checking, element) ? vocabulary_attribute(element, part->name) : NULL;
		carried = carried || attribute;
		taken = taken || (attribute && takes(checking, attribute));
	}
	if (!carried)
		fault(checking, PROBLEM_NO_SUCH_QUANTITY,
			arena_format(checking->arena, "no item that the change is about can carry '%s'", part->name));
	else if (!taken)
		fault(checking, PROBLEM_BAD_RULE,
			arena_format(checking->arena, "'%s' cannot become '%s'", part->name,
				part->is	      ? part->is
					: part->times ? part->times->written
					: part->to    ? part->to->written
						      : part->step));
	if (*part->step && strcmp(part->name, strcmp(part->step, "next-schedule") == 0 ? "schedule" : "size") != 0)
		fault(checking, PROBLEM_BAD_RULE,
			arena_format(checking->arena, "the step %s is not one of '%s'", part->step, part->name));
}

/* ---- an element to be added ---- */

static void check_added(const struct checking *checking)
{
	const struct change_part *part = checking->part;
	const struct vocabulary_element *child = element_named(checking->units, part->name);
	bool fits = false;
	for (size_t i = 0; child && i < checking->units->element_count; i++)
		fits = fits ||
			(may_be(checking, checking->units->elements[i]) &&
				vocabulary_child(checking->units->elements[i], part->name));
	if (!fits)
		fault(checking, PROBLEM_NO_SUCH_ITEM,
			arena_format(checking->arena, "no item that the change is about takes a <%s>", part->name));
	for (size_t i = 0; fits && i < part->attributes.count; i++) {
		const struct condition *row = &part->attributes.rows[i];
		const struct vocabulary_attribute *attribute = vocabulary_attribute(child, row->name);
		if (!attribute || !is_literal_of(checking, attribute->type, row->words))
			fault(checking, attribute ? PROBLEM_BAD_RULE : PROBLEM_NO_SUCH_QUANTITY,
				arena_format(checking->arena, "<%s> carries no %s=\"%s\"", part->name, row->name,
					row->words));
	}
}

static bool is_item(const struct checking *checking)
{
	const char *of = checking->part->of;
	bool found = !*of || strcmp(of, "parent") == 0 || element_named(checking->units, of);
	for (size_t i = 0; !found && i < checking->units->element_count; i++) {
		const struct vocabulary_attribute *attribute = vocabulary_attribute(checking->units->elements[i], of);
		found = attribute && attribute->type->accepted.kinds[0] == KIND_REFERENCE;
	}
	return found;
}

static void check_part(const struct checking *checking)
{
	const struct change_part *part = checking->part;
	if (!is_item(checking)) {
		fault(checking, PROBLEM_NO_SUCH_ITEM,
			arena_format(checking->arena, "'%s' is no item or reference", part->of));
		return;
	}
	if (part->verb == CHANGE_SET || part->verb == CHANGE_DROP)
		check_attribute(checking);
	else if (part->verb == CHANGE_ADD)
		check_added(checking);
}

void changes_check(const struct catalogue *catalogue, const struct vocabulary *units, struct problems *problems)
{
	struct checking checking = {.arena = problems->arena, .units = units, .problems = problems};
	for (size_t i = 0; i < catalogue->rule_count; i++)
		for (size_t c = 0; c < catalogue->rules[i].change_count; c++)
			for (size_t p = 0; p < catalogue->rules[i].changes[c].part_count; p++) {
				checking.rule = &catalogue->rules[i];
				checking.part = &catalogue->rules[i].changes[c].parts[p];
				check_part(&checking);
			}
}
