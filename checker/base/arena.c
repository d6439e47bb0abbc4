#include "base/arena.h"

#include <stdarg.h>
#include <stdbool.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/format.h"

/*
 * A read or write beside what was handed out stays inside the block, where AddressSanitizer would not see it. Under it the
 * whole block is forbidden ground but for what was handed out, and a border lies after each piece.
 */
#if defined(__has_feature)
#if __has_feature(address_sanitizer)
#define SANITIZED 1
#endif
#elif defined(__SANITIZE_ADDRESS__)
#define SANITIZED 1
#endif
#ifdef SANITIZED
#include <sanitizer/asan_interface.h>
enum { BORDER = 16 };
#else
#define ASAN_POISON_MEMORY_REGION(start, size) ((void)(start), (void)(size))
#define ASAN_UNPOISON_MEMORY_REGION(start, size) ((void)(start), (void)(size))
enum { BORDER = 0 };
#endif

enum { FIRST_BLOCK = 2 * 1024, BLOCK_SIZE = 64 * 1024, ALIGNMENT = 8 };
_Static_assert(ALIGNMENT >= _Alignof(double) && ALIGNMENT >= _Alignof(uint64_t) && ALIGNMENT >= _Alignof(void *),
	"pieces are aligned for what structs are made of");

struct arena_block {
	struct arena_block *older;
	size_t used, size;
	size_t clean; /* so much of it is zero where it is not handed out */
	_Alignas(ALIGNMENT) unsigned char data[];
};

static void (*exhausted)(void) = abort;

void arena_on_exhaustion(void (*handler)(void))
{
	exhausted = handler;
}

static void *or_exhausted(void *memory)
{
	if (!memory) {
		exhausted();
		abort(); /* the handler must not return */
	}
	return memory;
}

void *checked_calloc(size_t size)
{
	return or_exhausted(calloc(1, size));
}

void *checked_malloc(size_t size)
{
	return or_exhausted(malloc(size ? size : 1));
}

void *checked_realloc(void *memory, size_t size)
{
	return or_exhausted(realloc(memory, size ? size : 1));
}

char *checked_strdup(const char *text)
{
	size_t size = strlen(text) + 1;
	return memcpy(checked_malloc(size), text, size);
}

/* Each block twice the size of the last: an arena for a moment costs little. */
static size_t next_size(const struct arena_block *last)
{
	size_t twice = last ? 2 * last->size : FIRST_BLOCK;
	return twice < BLOCK_SIZE ? twice : BLOCK_SIZE;
}

/*
 * Zeroes what is about to be handed out, and a little more so that small pieces are not wiped one by one; a large step at once costs more
 * by the byte, and what is never handed out needs none.
 */
static void clean(struct arena_block *block, size_t until)
{
	enum { STEP = 1024 };
	if (until <= block->clean)
		return;
	const size_t left = block->size - block->clean, wanted = until - block->clean;
	const size_t step = wanted > STEP ? wanted : left < STEP ? left : STEP;
	ASAN_UNPOISON_MEMORY_REGION(block->data + block->clean, step);
	memset(block->data + block->clean, 0, step);
	ASAN_POISON_MEMORY_REGION(block->data + block->clean, step);
	block->clean += step;
}

static struct arena_block *block_with_room(struct arena *arena, size_t size)
{
	struct arena_block *block = arena->last;
	if (block && block->size - block->used >= size)
		return block;
	size_t next = next_size(block), room = size > next / 4 ? size : next;
	const bool alone = room == size;
	block = alone ? checked_calloc(sizeof *block + room) : checked_malloc(sizeof *block + room);
	block->used = 0;
	block->size = room;
	block->clean = alone ? room : 0;
	ASAN_POISON_MEMORY_REGION(block->data, room);
	if (alone && arena->last) { /* a large piece is linked after it, the open block stays open */
		block->older = arena->last->older;
		arena->last->older = block;
	} else {
		block->older = arena->last;
		arena->last = block;
	}
	return block;
}

static size_t room_for(size_t size)
{
	return (size + BORDER + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT;
}

void *arena_alloc(struct arena *arena, size_t size)
{
	if (size > SIZE_MAX / 2) {
		exhausted();
		abort();
	}
	size_t room = room_for(size);
	struct arena_block *block = block_with_room(arena, room);
	void *memory = block->data + block->used;
	clean(block, block->used + room);
	ASAN_UNPOISON_MEMORY_REGION(memory, size);
	block->used += room;
	arena->bytes += room;
	return memory;
}

char *arena_copy_span(struct arena *arena, const char *text, size_t length)
{
	char *copy = arena_alloc(arena, length + 1);
	memcpy(copy, text, length);
	return copy;
}

char *arena_copy(struct arena *arena, const char *text)
{
	return arena_copy_span(arena, text, strlen(text));
}

char *arena_join(struct arena *arena, const char *a, const char *b, const char *c, const char *d)
{
	const char *const parts[] = {a, b, c, d};
	enum { PARTS = sizeof parts / sizeof *parts };
	size_t lengths[PARTS], length = 0;
	for (size_t i = 0; i < PARTS; i++)
		length += lengths[i] = strlen(parts[i]);
	char *out = arena_alloc(arena, length + 1), *at = out;
	for (size_t i = 0; i < PARTS; at += lengths[i], i++)
		memcpy(at, parts[i], lengths[i]);
	return out;
}

char *arena_of(struct arena *arena, const char *what, const char *whose)
{
	const size_t before = strlen(what), after = strlen(whose), between = 4;
	char *out = arena_alloc(arena, before + between + after + 1);
	memcpy(out, what, before + 1);
	memcpy(out + before, " of ", between + 1);
	memcpy(out + before + between, whose, after + 1);
	return out;
}

char *arena_format(struct arena *arena, const char *format, ...)
{
	enum { MOST_TEXTS = 256 }; /* what is longer is formatted twice */
	char brief[MOST_TEXTS];
	va_list arguments;
	va_start(arguments, format);
	size_t length = format_text(brief, sizeof brief, format, arguments);
	va_end(arguments);
	if (length < sizeof brief)
		return arena_copy_span(arena, brief, length);
	char *out = arena_alloc(arena, length + 1);
	va_start(arguments, format);
	format_text(out, length + 1, format, arguments);
	va_end(arguments);
	return out;
}

void arena_adopt(struct arena *arena, struct arena *other)
{
	struct arena_block *oldest = other->last;
	while (oldest && oldest->older)
		oldest = oldest->older;
	if (oldest && arena->last) { /* after the open block, which stays open */
		oldest->older = arena->last->older;
		arena->last->older = other->last;
	} else if (oldest) {
		arena->last = other->last;
	}
	arena->bytes += other->bytes;
	*other = (struct arena){0};
}

/* Where the block is linked whose only piece this is; NULL: there is none. */
static struct arena_block **link_of(struct arena *arena, const void *piece)
{
	struct arena_block **at = &arena->last;
	while (*at && (*at)->data != piece)
		at = &(*at)->older;
	return *at ? at : NULL;
}

void *arena_resize(struct arena *arena, void *piece, size_t size)
{
	struct arena_block **at = piece ? link_of(arena, piece) : &arena->last;
	if (!at || size > SIZE_MAX / 2) {
		exhausted();
		abort();
	}
	struct arena_block *older = piece ? (*at)->older : NULL;
	size_t room = room_for(size), before = piece ? (*at)->size : 0;
	if (piece)
		ASAN_UNPOISON_MEMORY_REGION(piece, before);
	struct arena_block *block = checked_realloc(piece ? *at : NULL, sizeof *block + room);
	block->used = block->size = block->clean = room;
	ASAN_POISON_MEMORY_REGION(block->data, room);
	ASAN_UNPOISON_MEMORY_REGION(block->data, size);
	arena->bytes += room - before;
	if (!piece && *at) { /* after the open block, which stays open */
		block->older = (*at)->older;
		(*at)->older = block;
	} else {
		block->older = older;
		*at = block;
	}
	return block->data;
}

void arena_give_back(struct arena *arena, const void *memory, size_t size)
{
	for (struct arena_block **at = &arena->last; *at && memory; at = &(*at)->older) {
		struct arena_block *block = *at;
		if (block->data != memory || block == arena->last || block->size != room_for(size))
			continue;
		*at = block->older;
		free(block);
		return;
	}
}

struct arena_mark arena_mark(const struct arena *arena)
{
	return (struct arena_mark){arena->last, arena->last ? arena->last->used : 0};
}

void arena_rewind(struct arena *arena, struct arena_mark from, struct arena_mark to)
{
	struct arena_block *block = arena->last;
	if (!block || block != from.block || block != to.block || block->used != to.used || to.used <= from.used)
		return;
	size_t back = to.used - from.used;
	ASAN_UNPOISON_MEMORY_REGION(block->data + from.used, back);
	memset(block->data + from.used, 0, back);
	ASAN_POISON_MEMORY_REGION(block->data + from.used, back);
	block->used = from.used;
	arena->bytes -= back;
}

void arena_undo(struct arena *arena, const void *piece, size_t size)
{
	struct arena_block *block = arena->last;
	size_t room = room_for(size);
	if (block && (const unsigned char *)piece + room == block->data + block->used)
		arena_rewind(arena, (struct arena_mark){block, block->used - room}, arena_mark(arena));
}

/* Larger where it is, if it was the last piece that was handed out and its block has room. */
static bool extend(struct arena *arena, const void *held, size_t size, size_t larger)
{
	struct arena_block *block = arena->last;
	size_t room = room_for(size), more = room_for(larger) - room;
	if (BORDER > 0 || !block || (const unsigned char *)held + room != block->data + block->used ||
		block->size - block->used < more)
		return false;
	clean(block, block->used + more);
	ASAN_UNPOISON_MEMORY_REGION(block->data + block->used, more);
	block->used += more;
	arena->bytes += more;
	return true;
}

/* Most arrays get one or two elements. */
static size_t first_capacity(size_t element)
{
	enum { FIRST_ROOM = 64 };
	return element < FIRST_ROOM ? FIRST_ROOM / element : 1;
}

void *arena_grow(struct arena *arena, void *array, size_t count, size_t *capacity, size_t element)
{
	void *held = array;
	if (!array || count >= *capacity) {
		size_t larger = *capacity ? *capacity * 2 : first_capacity(element);
		if (!array || !extend(arena, array, *capacity * element, larger * element)) {
			held = arena_alloc(arena, larger * element);
			if (array)
				memcpy(held, array, count * element);
		}
		*capacity = larger;
	}
	const size_t used = (count + 1) * element; /* what is not asked for yet is forbidden ground too */
	ASAN_UNPOISON_MEMORY_REGION(held, used);
	ASAN_POISON_MEMORY_REGION((unsigned char *)held + used, *capacity * element - used);
	return held;
}

void arena_release(struct arena *arena)
{
	for (struct arena_block *block = arena->last, *older; block; block = older) {
		older = block->older;
		free(block);
	}
	*arena = (struct arena){0};
}
