/*
 * The unit description as it was written: elements with their attributes and places, no numbers yet.
 *
 * A design is free of libxml2: everything is copied into the arena, so that the tree can be released. Structure has been
 * checked against the schema; values, units and references have not (resolve.h does that).
 */
#ifndef LEANRICH_DESIGN_H
#define LEANRICH_DESIGN_H

#include <stddef.h>

#include "arena.h"
#include "document.h"
#include "problem.h"
#include "vocabulary.h"

struct attribute {
	const struct vocabulary_attribute *meaning;
	const char *written;
	struct place place;
};

struct element {
	const struct vocabulary_element *meaning;
	const struct element *parent;
	const struct attribute *attributes;
	size_t attribute_count;
	const struct element *const *children;
	size_t child_count;
	const char *text; /* of an element that may hold text; else "" */
	struct place place;
};

struct design {
	const char *file;
	const struct element *root;
};

/*
 * Reads one unit description from a file ("-": standard input). NULL when it cannot be used: the reasons are in `problems`.
 * The vocabulary is that of unit.xsd, whose text is `xsd`.
 */
const struct design *design_read(struct arena *arena, const char *path, const struct vocabulary *vocabulary,
	const char *xsd, size_t xsd_size, struct problems *problems);

/* The same from memory, for tests. `bytes[size]` must be NUL. */
const struct design *design_parse(struct arena *arena, const char *name, const char *bytes, size_t size,
	const struct vocabulary *vocabulary, const char *xsd, size_t xsd_size, struct problems *problems);

const char *element_attribute(const struct element *element, const char *name); /* as written, or NULL */

#endif
