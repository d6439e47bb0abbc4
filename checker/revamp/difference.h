/*
 * Two descriptions of one unit laid side by side: which element is which, and every value that differs.
 *
 * Items are matched by tag; one that was renamed says so in its attribute `was`. What has no tag is matched by its kind and name
 * under what it is part of, in order; overrides and restatements by their case and document. Values are compared as quantities:
 * "123.0 t/h" and "123 t/h" do not differ. Notes on the description (names, revisions, documents) are no inputs and not compared.
 */
#ifndef LEANRICH_DIFFERENCE_H
#define LEANRICH_DIFFERENCE_H

#include "read/element.h"
#include "revamp/variant.h"

enum input_group {
	GROUP_CONDITIONS,
	GROUP_FLOW,
	GROUP_SOLVENT,
	GROUP_SIZE,
	GROUP_MATERIAL,
	GROUP_LIMITS,
	GROUP_ITEMS, /* items that only one of the two describes */
	INPUT_GROUPS
};

struct difference {
	enum input_group group;
	const struct element *base, *revamp; /* that carry the value; NULL where there is none to carry it */
	const struct element *parent;	     /* in the revamp: what the base's element would be in */
	const char *item;		     /* as the revamp calls it */
	const char *operating_case;	     /* or "" */
	const char *name;		     /* "" for a whole item */
	const char *before, *after;	     /* as written; NULL: not stated */
	struct place before_place, after_place;
};

struct pairing {
	const struct element *base, *revamp;
};

struct differences {
	struct arena *arena;
	const struct element *base, *revamp;
	struct pairing *pairs;
	size_t pair_count, pair_capacity;
	struct difference *rows;
	size_t count, capacity;
	size_t of_group[INPUT_GROUPS];
};

struct differences differences_of(struct arena *arena, const struct element *base, const struct element *revamp);

/* The element of the revamp that is the base's `element`, or NULL. */
const struct element *paired_with(const struct differences *differences, const struct element *element);

/* What the revamp calls what the base calls so. */
const char *renamed(const struct differences *differences, const char *tag);

/* The revamp with one group of inputs put back to what the base has. */
const struct element *difference_put_back(
	struct arena *arena, const struct differences *differences, enum input_group group);

const char *group_word(enum input_group group);

#endif
