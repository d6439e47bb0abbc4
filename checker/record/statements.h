/*
 * What became of every statement of the description: which nothing read, which are owed, which are notes.
 *
 * Read is what a calculation looked at, or a rule that concerns the item, or what was held against another document's
 * statement of it. A value handed down to a part, or taken over by what carries a stream, is read when someone reads it there.
 * What is only printed (a name, a title) is neither: statement_is_printed.
 */
#ifndef LEANRICH_STATEMENTS_H
#define LEANRICH_STATEMENTS_H

#include "resolve/table.h"

/* A value that the package owes, and what another document states in its place, or NULL. */
struct owed {
	const struct statement *statement;
	const struct quantity *instead;
};

struct statements {
	const struct statement *const
		*unread; /* by attribute, then kind of item, then in the order of the description */
	size_t unread_count;
	const struct owed *owed; /* in the order of the description */
	size_t owed_count;
	const struct owed *unrecorded; /* of which the package says that there is no record; likewise */
	size_t unrecorded_count;
	struct items notes;
};

/* To be called when everything is judged: what a writer reads afterwards would count. */
struct statements statements_collect(struct arena *arena, const struct table *table);

/* Unread statements from `first` on that are of one attribute and one kind of item. */
size_t statements_alike(const struct statements *statements, size_t first);

/* Is it there to be printed: a name, a revision, the reason of a deviation? */
bool statement_is_printed(const char *kind, const char *name);

#endif
