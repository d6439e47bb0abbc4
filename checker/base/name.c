#include "base/name.h"

#include <string.h>

#include "base/arena.h"
#include "base/text.h"

/* By the text: open addressing, a power of two. */
static struct {
	struct arena arena;
	const struct name **rows;
	size_t count, capacity;
} known;

/*
 * By where the text stands, which for most is a literal of the program: the name that stood there last. It is compared before it is
 * believed, for something else may stand there by now.
 */
enum { PLACE_BITS = 12 };
static const struct name *last_at[1 << PLACE_BITS];

static const struct name **row_of(const char *text, uint32_t hash)
{
	size_t mask = known.capacity - 1, at = hash & mask;
	while (known.rows[at] && (known.rows[at]->hash != hash || strcmp(known.rows[at]->text, text) != 0))
		at = (at + 1) & mask;
	return &known.rows[at];
}

static void make_room(void)
{
	const struct name **before = known.rows;
	size_t old = known.capacity;
	if (2 * (known.count + 1) <= old)
		return;
	known.capacity = old ? 2 * old : 2048;
	known.rows = arena_alloc(&known.arena, known.capacity * sizeof(const struct name *));
	for (size_t i = 0; i < old; i++)
		if (before[i])
			*row_of(before[i]->text, before[i]->hash) = before[i];
}

static const struct name *find(const char *text)
{
	make_room();
	uint32_t hash = text_hash(text);
	const struct name **row = row_of(text, hash);
	if (!*row) {
		struct name *name = arena_alloc(&known.arena, sizeof *name);
		*name = (struct name){arena_copy(&known.arena, text), hash, (uint32_t)known.count++};
		*row = name;
	}
	return *row;
}

const struct name *name_find(const char *text)
{
	const struct name **last =
		&last_at[(uint64_t)(uintptr_t)text * UINT64_C(0x9E3779B97F4A7C15) >> (64 - PLACE_BITS)];
	if (!*last || strcmp((*last)->text, text) != 0)
		*last = find(text);
	return *last;
}
