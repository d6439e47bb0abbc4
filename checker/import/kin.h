/* Elements of a description found again in another: by what names them, among the children of one parent. */
#ifndef LEANRICH_KIN_H
#define LEANRICH_KIN_H

#include <libxml/tree.h>

#include "base/arena.h"
#include "base/names.h"

struct kin_row {
	const xmlNode *node;
	const char *key; /* of children no two are alike: what is named alike is numbered */
};

struct kin {
	const struct kin_row *rows;
	size_t count;
	struct names names; /* keys, to rows */
	size_t next;	    /* of rows with one key, where the next search begins */
};

/* The children of an element, which may be NULL. */
struct kin kin_of(struct arena *arena, const xmlNode *parent);
const xmlNode *kin_find(struct kin *kin, const char *key); /* NULL: there is none */

/* The attribute as written, blanks folded, or NULL. The text of an element likewise, "" where there is none. */
const char *kin_value(struct arena *arena, const xmlNode *element, const char *name);
const char *kin_text(struct arena *arena, const xmlNode *element);

/* All elements at and below `root` that have the attribute, by its value. */
struct kin kin_with(struct arena *arena, const xmlNode *root, const char *name);

/*
 * The same element with the same attributes, texts and elements in it. Their order, comments and layout do not count, nor which
 * document the values come from (`data`), nor the cells in it: they are others with each revision.
 */
bool kin_equal(struct arena *arena, const xmlNode *one, const xmlNode *other);

/* "line L-100", "in winter of stream S-1": how messages call it. */
const char *kin_called(struct arena *arena, const xmlNode *element);

const xmlNode *kin_first(const xmlNode *parent); /* the first child element, or NULL */
const xmlNode *kin_after(const xmlNode *element);

/* Do two values of the attribute say the same: in the same words, or one figure in one unit? NULL is nothing. */
bool kin_same_value(const char *name, const char *one, const char *other);

#endif
