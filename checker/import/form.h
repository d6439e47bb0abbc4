/*
 * Data sheets: labels with their values beside them, several pairs in a row ("Tag | E-201 | Service | Lean amine cooler").
 * Unfolded they are a list of pairs, one beneath the other, as a table with one record a column; each cell knows where it
 * stood. A label that names the item begins another.
 */
#ifndef LEANRICH_IMPORT_FORM_H
#define LEANRICH_IMPORT_FORM_H

#include "import/sheet.h"
#include "import/words.h"

/* The sheet unfolded, or itself where it is no such form. */
const struct sheet *form_unfold(struct arena *arena, const struct words *words, const struct sheet *sheet);

#endif
