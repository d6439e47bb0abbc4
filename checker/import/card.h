/*
 * Cards of a laboratory: a form for each sample or day, with its date, and the point that it was taken at, at its head, and below
 * that a result a line (parameter, value and unit in whatever order), or several solutions beside each other under their names.
 * Cards stand below or beside each other. Unfolded they are a list of results, one a row, each with its day and its point, and each
 * cell knows where it stood.
 *
 * A limit, a method or a result of before that stands beside a result is kept as a remark of it. Where several figures stand in a
 * line and no heading says which is the result, the sheet is left as it is.
 */
#ifndef LEANRICH_IMPORT_CARD_H
#define LEANRICH_IMPORT_CARD_H

#include "import/sheet.h"
#include "import/words.h"

/* The sheet unfolded, or itself where it holds no such cards. */
const struct sheet *card_unfold(struct arena *arena, const struct words *words, const struct sheet *sheet);

#endif
