#include "base/name.h"

#include <stdbool.h>
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
 * By where the text stands: the name that stood there last. A constant of the program never changes; of what else stands there is
 * compared, for it may be another text by now.
 */
enum { PLACE_BITS = 13 };
static struct {
	const char *text;
	const struct name *name;
	bool constant;
} at_place[1 << PLACE_BITS];

/*
 * Where the linker put the constants: between these two, the second of which begins what may be written. Where it tells of neither,
 * nothing is taken for constant.
 */
extern const char __executable_start[] __attribute__((weak));
extern const char data_start[] __attribute__((weak));

static bool is_constant(const char *text)
{
	uintptr_t at = (uintptr_t)text;
	return __executable_start && data_start && at >= (uintptr_t)__executable_start && at < (uintptr_t)data_start;
}

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

static __attribute__((noinline)) const struct name *find_at(const char *text, size_t place)
{
	const struct name *name = at_place[place].name;
	if (at_place[place].text != text || strcmp(name->text, text) != 0)
		name = find(text);
	at_place[place].text = text;
	at_place[place].name = name;
	at_place[place].constant = is_constant(text) || text == name->text;
	return name;
}

const struct name *name_find(const char *text)
{
	size_t place = (uint64_t)(uintptr_t)text * UINT64_C(0x9E3779B97F4A7C15) >> (64 - PLACE_BITS);
	bool same = at_place[place].text == text && at_place[place].constant;
	return same ? at_place[place].name : find_at(text, place);
}
