/*
 * A value of an item stated otherwise, everywhere the description states it: for who asks what an answer or a change would do.
 *
 * An attribute of the item, of its operating cases (<in>) and of what other documents say of it (<stated>) is one statement. Were only
 * one of them changed the description would contradict itself.
 */
#ifndef LEANRICH_RESTATE_H
#define LEANRICH_RESTATE_H

#include "resolve/table.h"
#include "revamp/variant.h"

/* One attribute of one element with another value, or dropped (NULL): an edit of the variant and of the file alike. */
struct restated {
	const struct element *element;
	const char *name, *written;
};

struct restated_list {
	struct restated *rows;
	size_t count, capacity;
};

/*
 * The edits after which `item` has the value `written` of the attribute. `operating_case`: where that case states a value of its own
 * only that one changes, and else all that is not a case's own; EVERY_CASE: all of them. None where the item may not carry the
 * attribute, or has no element of its own.
 */
struct restated_list restate(struct arena *arena, const struct element *unit, const struct table *table,
	const struct item *item, const char *name, const char *written, int operating_case);

void restate_in(struct variant *variant, struct restated_list edits);

#endif
