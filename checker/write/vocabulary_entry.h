/*
 * The vocabulary of unit descriptions for people: each element and attribute with its meaning, how it is written, what is
 * taken where it is silent, and which rules read it. The same entries make the text of `leanrich help describing` and the page.
 */
#ifndef LEANRICH_VOCABULARY_ENTRY_H
#define LEANRICH_VOCABULARY_ENTRY_H

#include "judge/readers.h"

struct vocabulary_entry {
	const struct vocabulary_attribute *attribute;
	const char *written; /* "a temperature, in degC, degF, K; +/- 2 K where no uncertainty is stated" */
	const char
		*traits; /* "required", "handed down to parts", "may differ by case"; separated by semicolons, or "" */
	const char *example;  /* size="NPS 8" */
	const char *read_by;  /* "VEL-001, VEL-004 (takes no where not stated)", or "no rule directly" */
	const char *used_for; /* "velocity, momentum-flux": what is calculated from it; "" */
};

struct vocabulary_entries {
	const struct vocabulary_entry *rows;
	size_t count;
};

/* Every attribute of an element, in the order of the schema. */
struct vocabulary_entries vocabulary_entries(struct arena *arena, const struct vocabulary *units,
	const struct catalogue *catalogue, const struct vocabulary_element *kind);

/* The elements that an element may be in, and those that may be in it: names separated by commas, or "". */
const char *vocabulary_holders(
	struct arena *arena, const struct vocabulary *units, const struct vocabulary_element *kind);
const char *vocabulary_parts(struct arena *arena, const struct vocabulary_element *kind);

/* A whole element as it may be written, with its required attributes or else its first few. */
const char *vocabulary_sample(struct arena *arena, const struct vocabulary_element *kind);

#endif
