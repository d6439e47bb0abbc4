/*
 * Names that are looked up: each leads to the places it was added with. All are added, then sorted once, then found by halving,
 * so that looking up as many names as there are costs little more than reading them.
 */
#ifndef LEANRICH_NAMES_H
#define LEANRICH_NAMES_H

#include <stddef.h>

#include "base/arena.h"

struct named {
	const char *name;
	size_t at;
};

/* Starts as zeros. After names_sort the rows of one name are together, by their place. */
struct names {
	struct named *rows;
	size_t count, capacity;
};

void names_add(struct arena *arena, struct names *names, const char *name, size_t at); /* the name is not copied */
void names_sort(struct names *names);

/* Index of the first row of a name, of which only `length` bytes count; names->count where there is none. */
size_t names_first(const struct names *names, const char *name, size_t length);

/* Index of the first row after those of the name at `first`. */
size_t names_next(const struct names *names, size_t first);

#endif
