/*
 * The unknowns of an open verdict as values of the description, and what is tried of each. Shared by who fills them in (permits.c);
 * nobody else needs it.
 */
#ifndef LEANRICH_PERMITS_VALUES_H
#define LEANRICH_PERMITS_VALUES_H

#include "revamp/permits.h"

/* Where unknowns are looked up. */
struct permit_source {
	struct arena *arena;
	const struct catalogue *catalogue;
	const struct table *table;
	const struct reconciliations *reconciled; /* or NULL */
	size_t kind_choice; /* of a value that can be stated in several kinds, which: hardness by HRC, HBW, HV */
};

struct permit_unknowns {
	struct permit_unknown rows[PERMITS_UNKNOWNS];
	size_t count;
	bool whole; /* the values tried are all there are, as far as the rule tells them apart */
	const char *why_not;
	size_t kinds; /* the most kinds that one of them can be stated in */
};

/*
 * Adds what the finding lacks and is not there yet; gives how many were added. False in `why_not`: something it lacks is no single
 * value of the description, has no values to try, or is one too many.
 */
size_t permit_unknowns_add(
	const struct permit_source *source, const struct finding *finding, struct permit_unknowns *unknowns);

/* How a description writes the number, in the first unit of the kind. */
const char *permit_written(struct arena *arena, enum kind kind, double si);

#endif
