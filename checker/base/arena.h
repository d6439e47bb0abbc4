/*
 * One lifetime for everything that belongs to one design, one catalogue or one review.
 *
 * Memory from an arena is zeroed, aligned for every type but long double, never moved and, but for large pieces, never freed alone:
 * arena_release() gives it all back. Allocation never returns NULL. When the machine has no more
 * memory the arena calls its `exhausted` handler, which main installs and which does not return.
 */
#ifndef LEANRICH_ARENA_H
#define LEANRICH_ARENA_H

#include <stddef.h>

struct arena_block;

struct arena {
	struct arena_block *last; /* the block being filled; older ones are linked after it */
	size_t bytes;		  /* handed out so far */
};

/* Called when malloc fails; it must not return. Set once, before the first allocation. */
void arena_on_exhaustion(void (*handler)(void));

/* Takes memory from the system under the same rules, for what must outlive or grow outside any arena. */
void *checked_calloc(size_t size) __attribute__((returns_nonnull));

/* The same in the shapes of malloc, realloc and strdup, for libraries that let theirs be replaced: they never see NULL. */
void *checked_malloc(size_t size);
void *checked_realloc(void *memory, size_t size);
char *checked_strdup(const char *text);

void *arena_alloc(struct arena *arena, size_t size) __attribute__((returns_nonnull));
char *arena_copy(struct arena *arena, const char *text) __attribute__((returns_nonnull));
char *arena_copy_span(struct arena *arena, const char *text, size_t length);
/* Four texts end to end, in a tenth of what arena_format takes; and "flow of L-1", as every input is called. */
char *arena_join(struct arena *arena, const char *a, const char *b, const char *c, const char *d)
	__attribute__((returns_nonnull));
char *arena_of(struct arena *arena, const char *what, const char *whose) __attribute__((returns_nonnull));
char *arena_format(struct arena *arena, const char *format, ...) __attribute__((format(printf, 2, 3)));
void arena_release(struct arena *arena);

/* All that is in `other` belongs to this arena from now on; `other` is empty. */
void arena_adopt(struct arena *arena, struct arena *other);

/* A large piece that nobody looks at any more: what has a block to itself is freed, all else stays. NULL is none. */
void arena_give_back(struct arena *arena, const void *memory, size_t size);

/*
 * A piece in a block of its own, of another size than it had: moved where it must, and what it held before it is no more. NULL: a new
 * one. What is beyond the size before is not zeroed. For one large array that grows as long as nobody points into it; it leaves no
 * smaller copies behind, as arena_grow() does.
 */
void *arena_resize(struct arena *arena, void *piece, size_t size) __attribute__((returns_nonnull));

/*
 * Room for one more element in an array that lives in an arena: returns the array, moved when it had
 * to grow. `count` is the number of elements in use, `capacity` is kept up to date.
 */
void *arena_grow(struct arena *arena, void *array, size_t count, size_t *capacity, size_t element)
	__attribute__((returns_nonnull));

#endif
