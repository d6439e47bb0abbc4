#include "base/hashed.h"

enum { FEWEST_LISTS = 64 }; /* a power of two, as every number of lists */

static void append(struct hashed *hashed, struct hashed_row *row)
{
	struct hashed_list *list = &hashed->lists[row->hash & (hashed->list_count - 1)];
	row->next = NULL;
	if (list->last)
		list->last->next = row;
	else
		list->first = row;
	list->last = row;
}

/* Twice the lists, each of whose rows stay in their order. */
static void grow(struct arena *arena, struct hashed *hashed)
{
	struct hashed larger = {
		.list_count = hashed->list_count ? 2 * hashed->list_count : FEWEST_LISTS, .count = hashed->count};
	larger.lists = arena_alloc(arena, larger.list_count * sizeof *larger.lists);
	for (size_t i = 0; i < hashed->list_count; i++)
		for (struct hashed_row *row = hashed->lists[i].first, *next; row; row = next) {
			next = row->next;
			append(&larger, row);
		}
	*hashed = larger;
}

void hashed_add(struct arena *arena, struct hashed *hashed, uint32_t hash, const void *thing)
{
	if (hashed->count == hashed->list_count)
		grow(arena, hashed);
	struct hashed_row *row = arena_alloc(arena, sizeof *row);
	*row = (struct hashed_row){.hash = hash, .thing = thing};
	append(hashed, row);
	hashed->count++;
}

static const struct hashed_row *of_hash(const struct hashed_row *row, uint32_t hash)
{
	while (row && row->hash != hash)
		row = row->next;
	return row;
}

const struct hashed_row *hashed_first(const struct hashed *hashed, uint32_t hash)
{
	return hashed->list_count ? of_hash(hashed->lists[hash & (hashed->list_count - 1)].first, hash) : NULL;
}

const struct hashed_row *hashed_next(const struct hashed_row *row)
{
	return of_hash(row->next, row->hash);
}
