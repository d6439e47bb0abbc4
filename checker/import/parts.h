/*
 * The number of a line in parts, "LINE NUMBER" over SIZE, SERV, SEQ and CLASS: one column of tags, made of its parts, in place
 * of that of the sequence; the others stay what they are. What is no such list is returned as it is.
 */
#ifndef LEANRICH_IMPORT_PARTS_H
#define LEANRICH_IMPORT_PARTS_H

#include "import/sheet.h"
#include "import/words.h"

const struct sheet *parts_join(struct arena *arena, const struct words *words, const struct sheet *sheet);

#endif
