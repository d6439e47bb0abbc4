/*
 * The vocabulary of an XML language of ours (unit description, rule pack), learnt from its XSD.
 *
 * The XSD is the one source: what elements there are, what may be in them, which attributes they carry, the type
 * of each, its choices and its documentation. Structure, quantity types and choices are read here; the file is
 * checked against the same XSD by libxml2 as well (document.h).
 *
 * Only this subset of XSD is understood; anything else in the schema aborts at start-up, since the schema is part of the
 * program:
 *
 * - global `element` with a `type` or its own `complexType`;
 * - in a complexType one `choice` (or `sequence`, read alike) of `element ref=` or local elements with a complexType;
 *   mixed="true" for text; `attribute` with name, type and use="required"; `attributeGroup ref=` (groups may name groups);
 *   `anyAttribute`;
 * - named `simpleType` with a `restriction` and `enumeration`. A choice in whose place a value may be owed is a `union` of
 *   the type `owed`, the only one with a `pattern`, and its words, or those of another choice that it names, and its own;
 * - `annotation/documentation` everywhere: it becomes the words of messages and of `leanrich help describing`;
 * - meaning of our own in `appinfo`: <quantity kinds="liquid-flow mass-flow" uncertainty="3 %"/> on a type,
 *   <family name="austenitic"/> on an enumeration, <inherited/> on a group (parts inherit its attributes), <condition/> on an
 *   attribute (another case may well have it otherwise).
 *
 * No other facets, keys or assertions: values, tags and references are checked in C, all in one run. Rules that are
 * embedded are not validated at each start: `leanrich rules --check rules`, which the tests run, does.
 */
#ifndef LEANRICH_VOCABULARY_H
#define LEANRICH_VOCABULARY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "quantity/quantity.h"

/* One word of a choice, and the family it belongs to ("316L": "austenitic"), or NULL. */
struct choice {
	const char *word, *family;
};

struct vocabulary_type {
	const char *name;
	struct accepted accepted; /* numbers: the kinds; else one kind of WORD, YES_NO, TEXT, REFERENCE, DATE */
	double uncertainty;	  /* default half width: SI when absolute, a fraction when relative */
	bool uncertainty_is_relative;
	const struct choice *choices; /* WORD only */
	size_t choice_count;
	const char *documentation;
	const char *example; /* a value as it may be written: "121 degC", "carbon steel"; never NULL */
};

struct vocabulary_attribute {
	const char *name;
	const struct vocabulary_type *type;
	bool required, inherited;
	bool condition; /* an operating condition, which another operating case may well have otherwise: no size, no metal */
	const char *documentation;
};

struct vocabulary_element {
	const char *name;
	const struct vocabulary_attribute *attributes;
	size_t attribute_count;
	const struct vocabulary_element *const *children;
	size_t child_count;
	bool text;	    /* may hold text */
	bool any_attribute; /* carries attributes of any name, as text */
	const char *documentation;
};

struct vocabulary {
	const char *namespace_uri;
	const char *roots;				  /* the elements a file may start with, separated by spaces */
	const struct vocabulary_element *const *elements; /* every global element */
	size_t element_count;
	const char *xsd; /* the schema's text, for libxml2 */
	size_t xsd_size;
	bool owing;  /* a value may be owed in this language: "t.b.d." takes the place of any */
	bool proven; /* the files read by it were checked when the program was tested: structure is not checked again */
};

/* Reads an XSD in memory. Everything lives in the arena. Aborts with a message on a schema it does not understand. */
const struct vocabulary *vocabulary_read(struct arena *arena, const char *xsd, size_t size, const char *roots);

/* The element of this name if a file may start with it, else NULL. */
const struct vocabulary_element *vocabulary_root(const struct vocabulary *vocabulary, const char *name);

const struct vocabulary_attribute *vocabulary_attribute(const struct vocabulary_element *element, const char *name);
const struct vocabulary_element *vocabulary_child(const struct vocabulary_element *element, const char *name);
const struct choice *vocabulary_choice(const struct vocabulary_type *type, const char *word);

/*
 * Is it what a package writes in place of a value that it does not give: t.b.d., hold, later, not recorded, in any letters? As
 * the type "owed" of unit.xsd.
 */
bool written_is_owed(const char *written);
/* Is it the one of these that says that there is no record? It will not follow: somebody must measure it. */
bool written_is_unrecorded(const char *written);

/* A tag or a reference: it says what is spoken of, and cannot be owed. */
bool type_says_of_what(const struct vocabulary_type *type);

#endif
