/*
 * Names by number: each is given the next number when it is first asked for, and is found again by its hash. What is known of
 * many names then fits into bits and arrays.
 */
#ifndef LEANRICH_NAME_INDEX_H
#define LEANRICH_NAME_INDEX_H

#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

struct indexed_name {
	const char *name; /* NULL: free */
	uint32_t hash, number;
};

/* Starts with an arena and zeros; the names are copied into it. */
struct name_index {
	struct arena *arena;
	struct indexed_name *rows; /* open addressing, a power of two */
	size_t count, capacity;
};

/* The number of a name whose text_hash is `hash`: below `count`. */
size_t name_index_of(struct name_index *index, const char *name, uint32_t hash);

#endif
