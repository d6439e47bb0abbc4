#include "judge/unstated.h"

#include <string.h>

#include "base/text.h"
#include "compute/title.h"

struct said {
	const char *quantity; /* as the rule reads it; NULL: free */
	struct missing missing;
};

struct unstated {
	struct arena *arena;
	struct said *rows; /* open addressing, a power of two */
	size_t count, capacity;
};

struct unstated *unstated_new(struct arena *arena)
{
	struct unstated *memory = arena_alloc(arena, sizeof *memory);
	memory->arena = arena;
	return memory;
}

const char *unstated_word(struct arena *arena, const char *quantity)
{
	size_t family = text_ends(quantity, "-family") ? strlen("-family") : 0;
	return family ? arena_copy_span(arena, quantity, strlen(quantity) - family) : quantity;
}

const char *unstated_reason(struct arena *arena, const struct missing *missing)
{
	const char *sources = missing->item && missing->quantity && text_ends(missing->reason, " is not stated")
		? title_of_sources(missing->item->kind, missing->quantity)
		: NULL;
	if (!sources)
		return missing->reason;
	struct arena scratch = {0};
	const char *reason = arena_format(arena, "%s of %s is not known; it follows from %s",
		title_of(&scratch, missing->quantity), missing->item->tag, sources);
	arena_release(&scratch);
	return reason;
}

static struct missing in_words(struct arena *arena, const struct item *item, const char *quantity)
{
	struct missing missing = {.item = item, .quantity = unstated_word(arena, quantity)};
	struct arena scratch = {0};
	const struct missing lacks = item_lacks(&scratch, item, missing.quantity);
	const char *reason = unstated_reason(arena, &lacks);
	missing.reason = reason == lacks.reason ? arena_copy(arena, reason) : reason;
	arena_release(&scratch);
	return missing;
}

static struct said *place_of(const struct unstated *memory, const struct item *item, const char *quantity)
{
	const uint32_t multiplier = UINT32_C(2654435761);
	uint32_t hash = text_hash(quantity) ^ (uint32_t)item->index * multiplier;
	size_t at = (hash ^ hash >> 15) & (memory->capacity - 1);
	while (memory->rows[at].quantity &&
		(memory->rows[at].missing.item != item || strcmp(memory->rows[at].quantity, quantity) != 0))
		at = (at + 1) & (memory->capacity - 1);
	return &memory->rows[at];
}

static void make_room(struct unstated *memory)
{
	enum { FIRST = 64 };
	struct said *before = memory->rows;
	size_t old = memory->capacity;
	if (4 * (memory->count + 1) <= 3 * old)
		return;
	memory->capacity = old ? 2 * old : FIRST;
	memory->rows = arena_alloc(memory->arena, memory->capacity * sizeof *memory->rows);
	for (size_t i = 0; i < old; i++)
		if (before[i].quantity)
			*place_of(memory, before[i].missing.item, before[i].quantity) = before[i];
	arena_give_back(memory->arena, before, old * sizeof *before);
}

struct missing unstated_missing(
	struct unstated *memory, struct arena *arena, const struct item *item, const char *quantity)
{
	if (!memory)
		return in_words(arena, item, quantity);
	make_room(memory);
	struct said *row = place_of(memory, item, quantity);
	if (!row->quantity) {
		*row = (struct said){.quantity = quantity, .missing = in_words(memory->arena, item, quantity)};
		memory->count++;
	}
	return row->missing;
}
