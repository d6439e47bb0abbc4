#include "judge/selected.h"

#include <string.h>

#include "base/text.h"

enum { LONGEST_KIND = 64 }; /* bytes; no element of unit.xsd has so long a name */

struct selected selected_open(struct arena *arena, const struct table *table)
{
	const size_t count = table_item_count(table) + 1;
	return (struct selected){.table = table,
		.rows = arena_alloc(arena, count * sizeof(struct item *)),
		.marked = arena_alloc(arena, count * sizeof(bool))};
}

static struct items of_span(const struct table *table, const char *kind, size_t length)
{
	char name[LONGEST_KIND];
	if (length >= sizeof name)
		return (struct items){.count = 0};
	memcpy(name, kind, length);
	name[length] = '\0';
	return table_of_kind(table, name);
}

static struct items every_item(struct selected *selected)
{
	const size_t count = table_item_count(selected->table);
	for (size_t i = 0; i < count; i++)
		selected->rows[i] = table_item(selected->table, i);
	return (struct items){selected->rows, count};
}

/* Where the marked items are. */
struct span {
	size_t first, end;
};

static void mark(struct selected *selected, struct items items, struct span *span)
{
	for (size_t i = 0; i < items.count; i++)
		selected->marked[items.rows[i]->index] = true;
	if (!items.count)
		return;
	const size_t first = items.rows[0]->index, last = items.rows[items.count - 1]->index;
	span->first = first < span->first ? first : span->first;
	span->end = last < span->end ? span->end : last + 1;
}

static struct items marked_items(struct selected *selected, struct span span)
{
	size_t count = 0;
	for (size_t i = span.first; i < span.end; i++) {
		if (selected->marked[i])
			selected->rows[count++] = table_item(selected->table, i);
		selected->marked[i] = false;
	}
	return (struct items){selected->rows, count};
}

static bool takes_any_kind(const struct rule *rule)
{
	bool any = false;
	for (size_t i = 0; i < rule->selection_count; i++)
		any = any || text_is(rule->selections[i].kinds, "*");
	return any;
}

struct items selected_items(struct selected *selected, const struct rule *rule)
{
	struct span span = {.first = table_item_count(selected->table)};
	if (takes_any_kind(rule))
		return every_item(selected);
	for (size_t i = 0; i < rule->selection_count; i++) {
		const char *at = rule->selections[i].kinds, *kind;
		size_t length;
		while ((kind = text_alternative(&at, &length)) != NULL)
			mark(selected, of_span(selected->table, kind, length), &span);
	}
	return marked_items(selected, span);
}
