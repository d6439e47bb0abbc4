/*
 * Which rules read an attribute of a kind of item: asked the other way round from a rule's own list of inputs.
 *
 * An input taken from another item is counted for every kind that item can be; where a reference may point to anything (`about`,
 * `at`, `to`), for every kind that has the attribute. What a rule reads of computed quantities is not followed here.
 */
#ifndef LEANRICH_READERS_H
#define LEANRICH_READERS_H

#include "judge/catalogue.h"

struct reader {
	const struct rule *rule;
	const struct quantity *absent; /* what the rule takes where the attribute is not stated, or NULL */
};

struct readers {
	const struct reader *rows; /* in the order of the catalogue */
	size_t count;
};

struct readers readers_of(struct arena *arena, const struct catalogue *catalogue, const struct vocabulary *units,
	const struct vocabulary_element *kind, const char *attribute);

#endif
