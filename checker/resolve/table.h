/*
 * The resolved table: item x operating case x named value. Rules and writers see a design only through it.
 *
 * An item is anything of the unit that carries values: the solvent, a stream, an exchanger, its tube side, a line, a claim.
 * A value is either for every case or for one case; asked for one case, the table gives that case's value, else the one
 * for every case. A table may lie over another (compute over resolve): the upper one's values come first, the
 * lower is not changed. What was never put is NULL: "not stated".
 */
#ifndef LEANRICH_TABLE_H
#define LEANRICH_TABLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "quantity/quantity.h"

enum { EVERY_CASE = -1 };

struct name;		   /* base/name.h */
struct vocabulary_element; /* read/vocabulary.h */

struct item {
	const char *kind;	   /* element name of the description: "line", "tube-side" */
	unsigned classes;	   /* of the kind (equipment.h); filled in when the item is added */
	const char *tag;	   /* what the engineer calls it: "E-302", "E-302 tube side" */
	const struct item *parent; /* the item it is nested in, or NULL directly under the unit */
	const char *text;	   /* content of an element that holds text: the name of a code */
	bool *text_read;	   /* set by whoever reads it; NULL: no text */
	struct place place;
	size_t index;				  /* in order of the description */
	const struct vocabulary_element *meaning; /* its element; NULL: no element describes it */
};

/* Is it an item (not NULL), and of this kind, or of one of these, separated by spaces? */
bool item_is(const struct item *item, const char *kind);
bool item_is_any(const struct item *item, const char *kinds);

/* Is it an item (not NULL) whose kind belongs to one of these classes: CLASS_... of equipment.h, joined by `|`? */
bool item_in(const struct item *item, unsigned classes);
/* What an item lacks that does not state a value: "<name> of <tag> is not stated". */
struct missing item_lacks(struct arena *arena, const struct item *item, const char *name);

struct operating_case {
	const char *id, *title;
	bool upset; /* steam-out and the like: not a steady operating case */
};

/*
 * One value, or the text of an element, that the description states. What is in a table may have been inherited or taken
 * over and then carries the same mark: a statement is read when anything looks at it or at a copy of it.
 */
struct statement {
	const struct item *item;
	int operating_case;
	const char *name; /* of the attribute; "text": the text of the element */
	const struct quantity *quantity;
	bool *read;    /* by a rule or a calculation, or compared with what another document states */
	bool restated; /* said again of a value that is there already: by <stated>, or by a second <in> of one case */
};

/*
 * Two values of one quantity that do not agree, put by who compares them (compute/agreement.h); or a value and what it would be
 * without the slip that a balance names.
 */
struct contradiction {
	const struct item
		*item;	       /* of kind "contradiction", what rules and writers see of it; else that of the balance */
	const struct item *of; /* whose quantity it is */
	const char *name;
	int operating_case;	     /* in which the used value is stated */
	const struct quantity *used; /* what the review rests on */
	const struct quantity
		*other; /* what is stated again; NULL: what the item would have without a value of its own */
	const struct quantity *second; /* the other value, whosever it is; NULL: of no statement */
	bool by_circuit; /* `other` is what the balances of the whole circuit would have (reconcile/finding.h) */
};

struct table; /* opaque */

struct table *table_new(struct arena *arena, const struct operating_case *cases, size_t case_count);
struct table *table_overlay(struct arena *arena, const struct table *under);

/*
 * A lowest table once more, for other values: the same items, statements and values but for what is put. Nothing that is looked at in it
 * or over it counts as read. It gets no items, and ends before the first. NULL: something is owed for one case (table_owe).
 */
struct table *table_copy(struct arena *arena, const struct table *of);
void table_reserve(struct table *table, size_t cells); /* room for so many, where it is known what is coming */

struct arena *table_arena(const struct table *table);
size_t table_case_count(const struct table *table); /* at least one */
const struct operating_case *table_case(const struct table *table, int operating_case);

/* Adds an item; the struct is copied. Items may be added to the upper table too. */
const struct item *table_add_item(struct table *table, struct item item);
size_t table_item_count(const struct table *table);
const struct item *table_item(const struct table *table, size_t index);
const struct item *table_find(const struct table *table, const char *tag); /* NULL: none, or no tag */

/* The items of a kind, in the order in which they were added. */
struct items {
	const struct item *const *rows;
	size_t count;
};
struct items table_of_kind(const struct table *table, const char *kind);

/* An item's parts, and theirs, follow it: the index of the first item after them. */
size_t table_parts_end(const struct table *table, const struct item *item);

/* The only item of its kind, or NULL when there is none or more than one. */
const struct item *table_sole(const struct table *table, const char *kind);

void table_put(struct table *table, const struct item *item, int operating_case, const char *name,
	const struct quantity *quantity);

/* Not where the value for every case is the same already and none was put for this case before. */
bool table_puts(const struct table *table, const struct item *item, int operating_case, const char *name,
	const struct quantity *quantity);

/* As table_put, where table_puts says so; whether it was put. */
bool table_put_if_other(struct table *table, const struct item *item, int operating_case, const char *name,
	const struct quantity *quantity);

/*
 * A cell: NULL when nothing was put. With EVERY_CASE only the value common to all cases is looked for. What is got counts as
 * read; to look without reading (to copy it, to ask whether it is there, to print it) is table_peek.
 */
const struct quantity *table_get(
	const struct table *table, const struct item *item, int operating_case, const char *name);
const struct quantity *table_peek(
	const struct table *table, const struct item *item, int operating_case, const char *name);

/* False: nothing was put under this name for the item, in any case. Who looks only for that looks at nothing. */
bool table_may_carry(const struct table *table, const struct item *item, const char *name);

/*
 * What is put for a value that the item does not state: unknown, with item_lacks as the reason. One quantity for everybody who
 * asks for it as the same kind, which is most of what is asked.
 */
const struct quantity *table_lacking(
	const struct table *table, const struct item *item, enum kind kind, const char *name);

/* In this case `owed` takes the place of the common value: what rests on that is owed too (owing.h). Before any table over it. */
void table_owe(struct table *table, int operating_case, const struct quantity *common, const struct quantity *owed);

/*
 * Whether the description names the item to say that there is none: a reclaimer of type "none". It has no metal, no design
 * conditions and nothing to be asked for; that there is none is for the rules of what would need it (they read its type).
 */
bool table_says_none(const struct table *table, const struct item *item, int operating_case);

/* Marks the text of an item as read. */
void table_read_text(const struct table *table, const struct item *item);

/* Marks what was peeked at as read: by the rule that turned out to concern the item. */
void table_read(const struct table *table, const struct item *item, const char *name, const struct quantity *quantity);

/*
 * Told of what is done with a table and those over it. A member that is NULL is not told.
 *
 * look: every look at a value that counts as read, found or not: which attributes anything reads at all.
 * peek: every name that is looked for; `stated`: in the lowest table alone. The name "" is whether the item varies.
 * all: a walk over all values, over what is stated alone or over what is computed too.
 * put: every value that is put.
 * pass and visit: who visits items one after another says so: a pass begins with something that tells it from others and ends with
 * 0, and its answer is false where all items are left out; visit is asked before each item, and answers false where that one is.
 */
struct watcher {
	void (*look)(const struct item *item, const char *name, void *data);
	void (*peek)(const struct item *item, const struct name *name, bool stated, void *data);
	void (*all)(void *data);
	void (*put)(const struct item *item, int operating_case, const struct name *name,
		const struct quantity *quantity, void *data);
	bool (*pass)(uintptr_t visitor, void *data);
	bool (*visit)(const struct item *item, void *data);
	void *data;
	bool unmarked; /* what is looked at does not count as read */
};
void table_watch(struct table *table, const struct watcher *watcher);

bool table_pass(const struct table *table, uintptr_t visitor);
bool table_visits(const struct table *table, const struct item *item);

/* What the description states, in its order; added by who resolves it. */
void table_add_statement(struct table *table, struct statement statement);
const struct statement *table_statements(const struct table *table, size_t *count);

/* What was found to disagree, in the order in which it was found. */
void table_add_contradiction(struct table *table, struct contradiction contradiction);
const struct contradiction *table_contradictions(const struct table *table, size_t *count);

/* As table_peek, but only what the description states: the lowest table, without anything computed. */
const struct quantity *table_stated(
	const struct table *table, const struct item *item, int operating_case, const char *name);

/* Does any value of the item differ by operating case? */
bool table_varies(const struct table *table, const struct item *item);
void table_set_varying(struct table *table, const struct item *item); /* as if such a value were put */

/* The word of a WORD, TEXT, REFERENCE or DATE cell, or NULL. */
const char *table_word(const struct table *table, const struct item *item, int operating_case, const char *name);

/* A word of the unit itself ("number", "revision"), common to all cases; "" where it has none. */
const char *table_unit_word(const struct table *table, const char *name);

/*
 * The other item that `of` points to from `item`: "" is the item itself, "parent", the name of a reference attribute
 * of the item or of one it is nested in ("stream", "gas"), or the kind of a sole item ("solvent"). NULL: there is none.
 */
const struct item *table_follow(const struct table *table, const struct item *item, int operating_case, const char *of);

/* Walks the cells of this table alone, not of those below, in no promised order. Do not put while it walks. */
void table_each_cell(const struct table *table,
	void (*visit)(const struct item *item, int operating_case, const char *name, const struct quantity *quantity,
		void *data),
	void *data);

/*
 * Walks the cells of a copy that hold another value than they did in the table it is a copy of; before: NULL where there was none.
 * False: it is no copy of that.
 */
bool table_each_other(const struct table *copy, const struct table *first,
	void (*visit)(const struct item *item, int operating_case, const char *name, const struct quantity *before,
		const struct quantity *now, void *data),
	void *data);

size_t table_cell_count(const struct table *table); /* of this table alone */

/* The lowest table: what the description states. */
const struct table *table_lowest(const struct table *table);

/* Walks all names that an item carries in this table and those below, in no promised order; for tests and checks. */
void table_each_name(const struct table *table, void (*visit)(const char *name, void *data), void *data);

#endif
