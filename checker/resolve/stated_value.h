/*
 * One value as a description states it: an attribute into a quantity, or a fault at its place.
 *
 * What is owed ("t.b.d.", written_is_owed) or not recorded becomes UNKNOWN with the reason, whatever the type of the attribute. Words of
 * choices were checked with the structure; references are checked once all items are known (resolve.c).
 */
#ifndef LEANRICH_STATED_VALUE_H
#define LEANRICH_STATED_VALUE_H

#include "read/element.h"
#include "resolve/table.h"

/* Who states it, and where. */
struct stating {
	const struct item *item;
	const char *document;	/* "": the description itself names none */
	const char *case_title; /* NULL: for every case */
	double barometric;	/* Pa, what gauge pressures are counted from */
};

/* NULL after a fault. Its `read` mark is its own, unset. */
struct quantity *stated_value(struct arena *arena, const struct attribute *attribute, const struct stating *stating,
	struct problems *problems);

/* The document an element names, or "" where it names none or owes it. */
const char *stated_document(const struct element *element, const char *attribute);

/* Whether a choice of the type has a family, which is put beside the word as "<name>-family". */
bool type_has_families(const struct vocabulary_type *type);

/*
 * Puts the value of an attribute, and its family. What is stated for no case in particular describes the first one, and any other only
 * as long as that states nothing: the value is marked so.
 */
void stated_put(struct table *table, const struct item *item, int operating_case,
	const struct vocabulary_attribute *meaning, struct quantity *quantity);

#endif
