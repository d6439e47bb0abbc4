#include "record/statements.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

bool statement_is_printed(const char *kind, const char *name)
{
	static const struct {
		const char *kind, *names;
	} printed[] = {
		{"unit", "number name revision date document-number"},
		{"case", "title upset"}, /* that it is an upset says which rules look at it */
		{"document", "title revision date"},
		{"deviation", "because approved"},
		{"part", "name"}, /* of what has no tag the name is part of what it is called */
		{"zone", "name"},
		{"weld", "name"},
		{"repair", "name"},
		{"elbow", "name"},
		{"internals", "name"},
		{"gasket", "name"},
		{"seal", "name"},
		{"bolting", "name"},
	};
	for (size_t i = 0; i < COUNT(printed); i++)
		if (strcmp(printed[i].kind, kind) == 0 && text_has_word(printed[i].names, name))
			return true;
	return false;
}

static int by_attribute_and_kind(const void *a, const void *b)
{
	const struct statement *x = *(const struct statement *const *)a, *y = *(const struct statement *const *)b;
	int order = strcmp(x->name, y->name);
	if (!order)
		order = strcmp(x->item->kind, y->item->kind);
	return order ? order : x < y ? -1 : x > y;
}

static bool is_unread(const struct statement *statement)
{
	return !*statement->read && !statement->quantity->owed &&
		!statement_is_printed(statement->item->kind, statement->name);
}

static struct owed owed_of(const struct table *table, const struct statement *statement)
{
	const struct quantity *used = table_stated(table, statement->item, statement->operating_case, statement->name);
	return (struct owed){.statement = statement, .instead = used && !used->owed ? used : NULL};
}

struct statements statements_collect(struct arena *arena, const struct table *table)
{
	size_t count;
	const struct statement *all = table_statements(table, &count);
	const struct statement **unread = arena_alloc(arena, (count + 1) * sizeof *unread);
	struct owed *owed = arena_alloc(arena, (count + 1) * sizeof *owed);
	struct owed *unrecorded = arena_alloc(arena, (count + 1) * sizeof *unrecorded);
	struct statements out = {
		.unread = unread, .owed = owed, .unrecorded = unrecorded, .notes = table_of_kind(table, "note")};
	for (size_t i = 0; i < count; i++) {
		if (is_unread(&all[i]))
			unread[out.unread_count++] = &all[i];
		if (all[i].quantity->unrecorded)
			unrecorded[out.unrecorded_count++] = owed_of(table, &all[i]);
		else if (all[i].quantity->owed)
			owed[out.owed_count++] = owed_of(table, &all[i]);
	}
	qsort(unread, out.unread_count, sizeof *unread, by_attribute_and_kind);
	return out;
}

size_t statements_alike(const struct statements *statements, size_t first)
{
	const struct statement *one = statements->unread[first];
	size_t end = first + 1;
	while (end < statements->unread_count && strcmp(statements->unread[end]->name, one->name) == 0 &&
		strcmp(statements->unread[end]->item->kind, one->item->kind) == 0)
		end++;
	return end - first;
}
