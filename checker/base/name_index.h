/*
 * Names by number: each is given the next number when it is first asked for, and is found again by its hash. What is known of
 * many names then fits into bits and arrays. Names of one hash have one number: what is known of either counts for both, and
 * who has to tell them apart compares the names.
 */
#ifndef LEANRICH_NAME_INDEX_H
#define LEANRICH_NAME_INDEX_H

#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

struct indexed_name {
	uint32_t hash, number; /* number 0: free; else one more than the number */
};

/* Starts with an arena and zeros. */
struct name_index {
	struct arena *arena;
	struct indexed_name *rows; /* open addressing, a power of two */
	size_t count, capacity;
};

/* Gives the hash a number; where it stands. */
const struct indexed_name *name_index_add(struct name_index *index, uint32_t hash);

/* The number of a name by its text_hash: below `count`. Asked for at every look into a table. */
static inline size_t name_index_of(struct name_index *index, uint32_t hash)
{
	const size_t mask = index->capacity - 1;
	const struct indexed_name *row = NULL;
	for (size_t at = hash & mask; index->capacity; at = (at + 1) & mask) {
		row = &index->rows[at];
		if (row->hash == hash || !row->number)
			break;
	}
	if (!row || !row->number)
		row = name_index_add(index, hash);
	return row->number - 1;
}

#endif
