/*
 * A description with some values replaced, so that the whole computation can be run on what might be instead of what is
 * written: a larger flow, another material, the values of an earlier revision.
 *
 * A variant is a list of edits against the elements of one description. Building it gives a new tree in an arena of the
 * caller's; the original is not touched, and everything that was not edited keeps its place in the file, so that findings
 * of the variant speak of the same lines. The root is marked as derived: an override that no longer changes anything is
 * then no fault (resolve.h).
 */
#ifndef LEANRICH_VARIANT_H
#define LEANRICH_VARIANT_H

#include "read/element.h"

struct variant {
	struct arena *arena; /* where the edits live */
	struct variant_edit *edits;
	size_t count, capacity;
};

struct variant variant_in(struct arena *arena);

/* The attribute with another value; NULL drops it. An attribute that the element may not carry is left out. */
void variant_set(struct variant *variant, const struct element *element, const char *name, const char *written);

/* The element and all in it, left out. */
void variant_remove(struct variant *variant, const struct element *element);

/* `child`, perhaps of another description, as the last child of `parent`. */
void variant_add(struct variant *variant, const struct element *parent, const struct element *child);

/* All edits of another list, after those there are. */
void variant_append(struct variant *variant, const struct variant *more);

/* The tree with all edits; a later edit of the same attribute goes before an earlier one. */
const struct element *variant_build(struct arena *arena, const struct variant *variant, const struct element *root);

/*
 * A value as written, times a factor: "97.4 t/h" and 2 give "194.8 t/h". The width after +/- is scaled too unless it is a
 * percentage. NULL where no number is found.
 */
const char *variant_scaled(struct arena *arena, const char *written, double factor);

/* Calls `visit` for the element and everything in it, outer ones first. */
void element_each(const struct element *root, void (*visit)(const struct element *element, void *data), void *data);

#endif
