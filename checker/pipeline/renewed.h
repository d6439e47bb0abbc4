/*
 * What a description states beside what it stated with other values, item by item: which values are others, and which value has taken
 * the place of which.
 */
#ifndef LEANRICH_RENEWED_H
#define LEANRICH_RENEWED_H

#include "resolve/table.h"

struct renewed_value {
	const struct quantity *before, *now;
};

/* Starts with an arena and zeros. */
struct renewed {
	struct arena *arena;
	struct renewed_value *rows; /* open addressing, a power of two; by `before` */
	size_t capacity;
	bool owed; /* a value that is another now is owed in one case and not in the others */
	void (*moved)(const struct item *item, int operating_case, const char *name, void *data);
	void *data;
};

/* Tells `moved` of every value that is another, or is there in one of the two alone. Both are lowest tables of the same items. */
void renewed_fill(struct renewed *renewed, const struct table *before, const struct table *now);

/* What stands in the place of a value that was stated before; the value itself where none does. */
const struct quantity *renewed_of(const struct renewed *renewed, const struct quantity *before);

/* Is there a value that is owed in one case and not in the others? */
bool renewed_owes(const struct table *table);

#endif
