/*
 * What an item does not state, in the words that every rule which waits for it says: made once for each value of an item, since a
 * long description lacks the same values of every line, and a dozen rules ask for each.
 */
#ifndef LEANRICH_UNSTATED_H
#define LEANRICH_UNSTATED_H

#include "resolve/table.h"

struct unstated; /* opaque */

/* Nothing is said yet; everything that will be lives in the arena. */
struct unstated *unstated_new(struct arena *arena);

/*
 * The value to be stated of the item where a rule reads `quantity`: of a family the word that it follows from, of what is only ever
 * calculated what it would follow from. `memory` NULL: the words are made in `arena`, for this once.
 */
struct missing unstated_missing(
	struct unstated *memory, struct arena *arena, const struct item *item, const char *quantity);

/* "material", not "material-family": the word that is to be stated. */
const char *unstated_word(struct arena *arena, const char *quantity);

/* Of what nobody can state, since it is only ever calculated: from what. Another reason stands as it is. */
const char *unstated_reason(struct arena *arena, const struct missing *missing);

#endif
