#include "revamp/restate.h"

#include "base/text.h"
#include "resolve/resolve.h"

static void add(struct arena *arena, struct restated_list *list, struct restated row)
{
	list->rows = arena_grow(arena, list->rows, list->count, &list->capacity, sizeof *list->rows);
	list->rows[list->count++] = row;
}

static bool states(const struct element *child, const char *tag, const char *name)
{
	return element_is(child, tag) && element_attribute(child, name);
}

static const struct element *own_of_case(const struct element *element, const char *name, const char *operating_case)
{
	for (size_t i = 0; i < element->child_count; i++)
		if (states(element->children[i], "in", name) &&
			text_same(element_attribute(element->children[i], "case"), operating_case))
			return element->children[i];
	return NULL;
}

/* Does what another document states hold in the case that changes? `only` NULL: in every case. */
static bool speaks_of(const struct element *stated, const char *only)
{
	const char *operating_case = element_attribute(stated, "case");
	return !only || !operating_case || text_same(operating_case, only);
}

struct restated_list restate(struct arena *arena, const struct element *unit, const struct table *table,
	const struct item *item, const char *name, const char *written, int operating_case)
{
	struct restated_list list = {.rows = NULL};
	const struct element *element = resolve_element(unit, item);
	if (!element || !vocabulary_attribute(element->meaning, name))
		return list;
	const char *id = operating_case == EVERY_CASE ? NULL : table_case(table, operating_case)->id;
	const struct element *own = id ? own_of_case(element, name, id) : NULL;
	add(arena, &list, (struct restated){own ? own : element, name, written});
	for (size_t i = 0; i < element->child_count; i++) {
		const struct element *child = element->children[i];
		bool of_case = states(child, "in", name) && !id;
		if (of_case || (states(child, "stated", name) && speaks_of(child, own ? id : NULL)))
			add(arena, &list, (struct restated){child, name, NULL});
	}
	return list;
}

void restate_in(struct variant *variant, struct restated_list edits)
{
	for (size_t i = 0; i < edits.count; i++)
		variant_set(variant, edits.rows[i].element, edits.rows[i].name, edits.rows[i].written);
}
