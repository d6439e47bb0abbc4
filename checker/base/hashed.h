/*
 * Things found again by the hash of a word while more of them come, where `names` is for what is all there before it is looked
 * up. Rows of one hash come in the order in which they were added; whether the word is the same the caller asks.
 */
#ifndef LEANRICH_HASHED_H
#define LEANRICH_HASHED_H

#include <stdint.h>

#include "base/arena.h"

struct hashed_row {
	uint32_t hash;
	const void *thing;
	struct hashed_row *next; /* in its list, of any hash */
};

struct hashed_list {
	struct hashed_row *first, *last;
};

/* Starts as zeros. */
struct hashed {
	struct hashed_list *lists;
	size_t list_count, count;
};

void hashed_add(struct arena *arena, struct hashed *hashed, uint32_t hash, const void *thing);

/* The first row of the hash, and the next; NULL: there is none. */
const struct hashed_row *hashed_first(const struct hashed *hashed, uint32_t hash);
const struct hashed_row *hashed_next(const struct hashed_row *row);

#endif
