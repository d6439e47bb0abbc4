/*
 * An XML file as it was written, free of libxml2: elements with their attributes and places, no numbers yet.
 *
 * Structure has been checked against the schema, now or (vocabulary.proven) when the program was tested; values, units
 * and references have not (resolve.h does that for a unit description, catalogue.h for rules). Everything lives in the
 * arena.
 */
#ifndef LEANRICH_ELEMENT_H
#define LEANRICH_ELEMENT_H

#include <stddef.h>

#include "base/arena.h"
#include "base/problem.h"
#include "read/document.h"
#include "read/vocabulary.h"

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
	const char *text; /* of an element that may hold text, blanks folded; else "" */
	struct place place;
	bool incomplete; /* an attribute or a child of it was not understood, and is left out */
	bool cut_off;	 /* of a root: the file is malformed, what follows the break is left out */
	bool derived;	 /* of a root: made by the program from another (variant.h), not written by a person */
};

/*
 * Reads a file ("-": standard input) and gives its root. NULL when it could not be read at all. Faults of structure are in
 * `problems`, and what can be understood beside them is given all the same, so that faults of values are found in the same
 * run: a caller uses the result only when there are no problems.
 */
const struct element *element_read(
	struct arena *arena, const char *path, const struct vocabulary *vocabulary, struct problems *problems);

/* The same from memory; `bytes[size]` must be NUL. */
const struct element *element_parse(struct arena *arena, const char *name, const char *bytes, size_t size,
	const struct vocabulary *vocabulary, struct problems *problems);

/* The same of a description with so many elements at most, where it is not to be reviewed. */
const struct element *element_parse_up_to(struct arena *arena, const char *name, const char *bytes, size_t size,
	size_t most_elements, const struct vocabulary *vocabulary, struct problems *problems);

/* Elements at and below it. */
size_t element_count(const struct element *element);

const char *element_attribute(const struct element *element, const char *name); /* as written, or NULL */
const char *element_attribute_or(const struct element *element, const char *name, const char *otherwise);
struct place element_attribute_place(const struct element *element, const char *name);
bool element_is(const struct element *element, const char *name);
/* What the schema says of elements of this name, from the first there is in `element`; NULL: there is none. */
const struct vocabulary_element *element_meaning(const struct element *element, const char *name);
const struct element *element_child(const struct element *element, const char *name); /* the first, or NULL */

#endif
