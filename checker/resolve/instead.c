#include "resolve/instead.h"

#include <string.h>

#include "base/text.h"
#include "resolve/handed_down.h"
#include "resolve/history.h"
#include "resolve/stated_value.h"

void instead_put(struct table *table, const struct item *item, const struct vocabulary_element *meaning,
	const struct instead *instead)
{
	const struct vocabulary_attribute *attribute = vocabulary_attribute(meaning, instead->name);
	if (!attribute)
		return;
	struct quantity *copy = arena_alloc(table_arena(table), sizeof *copy);
	*copy = *instead->quantity;
	copy->read = NULL;
	stated_put(table, item, instead->operating_case, attribute, copy);
}

/* Do its parts have the value of what they are in, unless they state their own? */
static bool has_heirs(const struct table *table, const struct item *item, const char *name)
{
	const size_t end = table_parts_end(table, item);
	bool any = item_is_any(item, "zone part"); /* which hand down to what names them */
	for (size_t i = item->index + 1; i < end && !any; i++) {
		const struct vocabulary_element *meaning = table_item(table, i)->meaning;
		const struct vocabulary_attribute *attribute = meaning ? vocabulary_attribute(meaning, name) : NULL;
		any = attribute && attribute->inherited;
	}
	return any;
}

/* Would it have the value, in some case, from something else if it did not state it? */
static bool is_heir(const struct table *table, const struct item *item, const struct element *element,
	const struct vocabulary_attribute *attribute)
{
	if (!attribute->inherited || !item->parent)
		return false;
	return hand_down_from(table, item) ||
		(!element_attribute(element, attribute->name) && table_may_carry(table, item->parent, attribute->name));
}

/* Does anything else look at it when the description is resolved? */
static bool is_looked_at(const struct table *table, const struct vocabulary_attribute *attribute)
{
	const enum kind kind = attribute->type->accepted.kinds[0];
	return kind == KIND_REFERENCE || text_is(attribute->name, "barometric-pressure") ||
		hand_down_looks_at(attribute->name) || history_checks(attribute->name) ||
		table_of_kind(table, "owner-rule").count;
}

struct table *instead_alone(struct arena *arena, const struct element *unit, const struct instead *instead)
{
	const bool known =
		instead->as_is && instead->quantity && !unit->derived; /* what is derived may share a place */
	const struct item *item = known ? table_find(instead->as_is, instead->tag) : NULL;
	const struct element *element = item ? resolve_element(unit, item) : NULL;
	const struct vocabulary_attribute *attribute =
		element && !element_is(element, "alternative") && !element_child(element, "alternative")
		? vocabulary_attribute(element->meaning, instead->name)
		: NULL;
	if (!attribute || is_looked_at(instead->as_is, attribute) || has_heirs(instead->as_is, item, attribute->name) ||
		is_heir(instead->as_is, item, element, attribute))
		return NULL;
	struct table *table = table_copy(arena, instead->as_is);
	if (table)
		instead_put(table, item, element->meaning, instead);
	return table;
}
