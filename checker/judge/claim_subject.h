/*
 * What a claim, an operating limit or a deviation speaks of: items, operating cases, and its own words.
 *
 * Items: the one it is `about`, those of the `kinds` it names, or the unit: then the solvent or the unit itself where they have the
 * quantity, else every item that has it. Cases: the one it names, else every steady one.
 */
#ifndef LEANRICH_CLAIM_SUBJECT_H
#define LEANRICH_CLAIM_SUBJECT_H

#include "resolve/table.h"

struct subjects {
	const struct item *const *rows;
	size_t count;
	bool of_unit; /* it names neither an item nor kinds */
};

/* `name`: the quantity, or NULL for a claim in words; then of_unit has no rows. */
struct subjects claim_subjects(const struct table *table, const struct item *claim, const char *name);

/* Does it speak of this case? A unit that has nothing but upsets is spoken of in them. */
bool claim_is_for_case(const struct table *table, const struct item *claim, int operating_case);

/* "velocity of 2-P-101 at most 2 m/s in summer", "no stress relief needed, of @sour-vessel". */
const char *claim_words(const struct table *table, const struct item *claim);

#endif
