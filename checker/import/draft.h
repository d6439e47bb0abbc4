/*
 * A description in the making: items with what sheets state of them, each statement with its document and its cells.
 *
 * The first document that states anything of an item is its own (data="..."), with <in> for other operating cases; what is said
 * first of another case holds there, whichever document says it. What any other document, or the same one a second time, says
 * of the same value is a second statement (<stated>): nothing is ever overwritten. Items keep the order in which they came, in the order of their kinds; a line of the text is one item or one
 * statement.
 */
#ifndef LEANRICH_IMPORT_DRAFT_H
#define LEANRICH_IMPORT_DRAFT_H

#include "base/hashed.h"
#include "base/problem.h"
#include "base/text.h"
#include "read/vocabulary.h"

struct draft_value {
	const char *attribute, *value;
	const char *of_case; /* id, or NULL: of the first case, or of all */
	const char *document, *cells;
	bool reference;
	struct place place; /* of the cell, and its name: for what is said when a reference leads nowhere */
	const char *cell;
	bool dropped;
};

struct draft_note {
	const char *text, *document;
};

struct draft_item {
	const struct vocabulary_element *element;
	const char *key_attribute, *key, *identity; /* attribute NULL: it has no name of its own */
	struct draft_item *parent, *joined;	    /* joined: it is one of these, which is described in its place */
	struct draft_item *first_child, *last_child, *next_child; /* of it, and the next of its parent's */
	size_t serial;						  /* among all items, from 1 */
	struct draft_value *values;
	size_t count, capacity;
	struct draft_note *notes;
	size_t note_count, note_capacity;
	struct text marks; /* what of it was left out */
};

struct draft_case {
	const char *id, *title;
};

struct draft {
	struct arena *arena;
	const struct vocabulary_element *unit;
	const char *number, *name, *amine, *files;
	struct draft_item **items;
	size_t count, capacity;
	struct hashed by_tag, by_identity; /* without blanks and the letters of a pair; by identity within the parent */
	struct draft_case *cases;
	size_t case_count, case_capacity;
	struct draft_note *notes; /* of the unit */
	size_t note_count, note_capacity;
	struct hashed by_note; /* texts of these */
};

/* The item with this identity among the children of `parent` (NULL: of the unit), made when there is none. */
struct draft_item *draft_item(struct draft *draft, struct draft_item *parent, const char *element,
	const char *key_attribute, const char *key, const char *identity);

/* An item of the unit or of a part of it by its tag or id, as people write it: blanks and letters' size do not matter. */
struct draft_item *draft_find(const struct draft *draft, const char *tag);

/* False when it cannot be said a second time: then another value stands there already. */
bool draft_state(struct draft *draft, struct draft_item *item, const struct draft_value *value);

void draft_add_case(struct draft *draft, const char *id, const char *title);
/* Of the unit where there is no item; the same words from the same place are kept once. */
void draft_add_note(struct draft *draft, struct draft_item *item, const char *text, const char *document);

/* References become the tags they mean; those that lead nowhere become notes, and are reported. How many. */
size_t draft_resolve(struct draft *draft, struct problems *doubts);

const char *draft_write(const struct draft *draft);

/* Text as XML takes it; in a comment two hyphens may not follow each other. */
void draft_escape(struct text *out, const char *words, bool comment);

#endif
