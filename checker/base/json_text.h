/*
 * What jansson holds as text, with the bytes that json_dumps() would give and in half its time: it looks for loops by a table of
 * printed addresses, which ours cannot have. Its memory comes from here too: what jansson holds at one time is built, written and
 * given back whole, so it is taken from one piece that begins anew when the last of it came back. The record of a review, which is
 * large, is written without a tree (json_out.h).
 */
#ifndef LEANRICH_JSON_TEXT_H
#define LEANRICH_JSON_TEXT_H

#include <jansson.h>
#include <stdio.h>

#include "base/text.h"

/* Gives jansson that memory; called once, before its first use. Without it jansson uses malloc. */
void json_memory(void);

/*
 * Both write `root` as the flags of json_dumps say: JSON_INDENT, JSON_COMPACT and JSON_REAL_PRECISION are known. False: there is no
 * root, or it cannot be written.
 */
bool json_text(struct text *text, const json_t *root, size_t flags);
bool json_write(FILE *file, const json_t *root, size_t flags); /* and a line end */

#endif
