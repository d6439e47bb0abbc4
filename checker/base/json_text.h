/*
 * A record as text. What jansson writes goes straight into the text: jansson hands a stream every token by itself, and a
 * string of jansson's own would have to be freed by whatever function jansson was given.
 */
#ifndef LEANRICH_JSON_TEXT_H
#define LEANRICH_JSON_TEXT_H

#include <jansson.h>

#include "base/text.h"

/* Adds `root` to the text as the flags of json_dumps say. False: there is no root, or it cannot be written. */
bool json_text(struct text *text, const json_t *root, size_t flags);

#endif
