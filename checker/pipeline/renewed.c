#include "pipeline/renewed.h"

#include <string.h>

#include "resolve/alike.h"

/* One description beside the other: either beside either. */
struct beside {
	struct renewed *renewed;
	const struct table *own, *other;
	bool forward; /* from what was before to what is now */
	size_t found; /* values that both have */
};

static struct renewed_value *row_of(const struct renewed *renewed, const struct quantity *before)
{
	size_t mask = renewed->capacity - 1, at = ((uintptr_t)before >> 4) * 2654435761u & mask;
	while (renewed->rows[at].before && renewed->rows[at].before != before)
		at = (at + 1) & mask;
	return &renewed->rows[at];
}

const struct quantity *renewed_of(const struct renewed *renewed, const struct quantity *before)
{
	const struct renewed_value *row = row_of(renewed, before);
	return row->before ? row->now : before;
}

static void note(struct renewed *renewed, const struct quantity *before, const struct quantity *now)
{
	struct renewed_value *row = row_of(renewed, before);
	if (!row->before)
		*row = (struct renewed_value){before, now};
}

/* A value stated for one case is not that of all cases, be it the same. */
static bool has_own(const struct table *table, const struct item *item, int operating_case, const char *name,
	const struct quantity *value)
{
	return operating_case == EVERY_CASE || value != table_peek(table, item, EVERY_CASE, name);
}

static bool is_owed(int operating_case, const struct quantity *value)
{
	return value && operating_case != EVERY_CASE && value->known == UNKNOWN;
}

static void compare(
	const struct item *item, int operating_case, const char *name, const struct quantity *value, void *data)
{
	struct beside *beside = data;
	struct renewed *renewed = beside->renewed;
	const struct item *there = table_item(beside->other, item->index);
	const struct quantity *other = table_peek(beside->other, there, operating_case, name);
	bool own = has_own(beside->own, item, operating_case, name, value),
	     own_there = other && has_own(beside->other, there, operating_case, name, other);
	beside->found += own && own_there;
	if (other && beside->forward)
		note(renewed, value, other);
	if (own == own_there && alike_values(value, other))
		return;
	renewed->owed = renewed->owed || is_owed(operating_case, value) || is_owed(operating_case, other);
	renewed->moved(item, operating_case, name, renewed->data);
}

static void note_other(const struct item *item, int operating_case, const char *name, const struct quantity *before,
	const struct quantity *now, void *data)
{
	struct renewed *renewed = data;
	if (before)
		note(renewed, before, now);
	if (before && alike_values(before, now))
		return;
	renewed->owed = renewed->owed || is_owed(operating_case, before) || is_owed(operating_case, now);
	renewed->moved(item, operating_case, name, renewed->data);
}

static void make_room(struct renewed *renewed, size_t values)
{
	size_t capacity = 64;
	while (capacity < 2 * values)
		capacity *= 2;
	if (capacity > renewed->capacity)
		renewed->rows = arena_alloc(renewed->arena, capacity * sizeof *renewed->rows);
	renewed->capacity = capacity > renewed->capacity ? capacity : renewed->capacity;
}

void renewed_fill(struct renewed *renewed, const struct table *before, const struct table *now)
{
	struct beside forward = {.renewed = renewed, .own = before, .other = now, .forward = true},
		      back = {.renewed = renewed, .own = now, .other = before};
	make_room(renewed, table_cell_count(before));
	memset(renewed->rows, 0, renewed->capacity * sizeof *renewed->rows);
	renewed->owed = false;
	if (table_each_other(now, before, note_other, renewed))
		return;
	table_each_cell(before, compare, &forward);
	if (forward.found < table_cell_count(before) || forward.found < table_cell_count(now))
		table_each_cell(now, compare, &back);
}

static void note_owed(
	const struct item *item, int operating_case, const char *name, const struct quantity *value, void *data)
{
	bool *owed = data;
	(void)item, (void)name;
	*owed = *owed || is_owed(operating_case, value);
}

bool renewed_owes(const struct table *table)
{
	bool owed = false;
	table_each_cell(table, note_owed, &owed);
	return owed;
}
