/*
 * What a remark of a list says, in words of the trade ("wafer check valve; PWHT 2016; not traced"), as values of the item.
 *
 * A phrase that the glossary has (glossary.def: English, German, French, Spanish) gives an attribute of the item, or a child
 * element with its attributes. No value is better than a wrong one. What is denied plainly is read as denied; what is asked,
 * conditional, left to a note, said of a part only, or contradicted within the remark is doubtful: it has a reason and is not
 * to be taken. What no phrase covers is unread. A remark is meant to be kept whole as a note, whatever was understood of it.
 *
 * The values are words of the description's language; a test holds every row to the schema. It does not judge whether a
 * value agrees with what another column says.
 */
#ifndef LEANRICH_GLOSSARY_H
#define LEANRICH_GLOSSARY_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

struct glossary_word {
	const char *child;     /* element of the item that carries the value; NULL: the item itself */
	size_t which;	       /* words of one child have one number; 0: of the item itself */
	const char *attribute; /* NULL: the child is there, and nothing more is said of it */
	const char *value;     /* as a description writes it; NULL with the attribute */
	size_t start, length;  /* bytes of the remark that were read for it */
	bool certain;	       /* false: to be left out and reported */
	const char *why;       /* what makes it doubtful; "" when certain */
};

/* The words of a remark (UTF-8) of an item of this kind, in their order; 0 for a kind that the glossary does not have. */
size_t glossary_read(struct arena *arena, const char *kind, const char *remark, struct glossary_word **words);

/* What no word covers, pieces separated by "; "; "" when all is read. Signs alone are no piece. */
const char *glossary_unread(struct arena *arena, const char *remark, const struct glossary_word *words, size_t count);

/* The i-th row of glossary.def, for the test against the schema: its kinds, child and sets. False after the last. */
bool glossary_row(size_t i, const char **kinds, const char **child, const char **sets);

#endif
