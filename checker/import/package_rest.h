/*
 * What no table of a sheet reads: sentences around the tables, rows outside of them, sheets without a list. Nothing of it is
 * lost: it becomes a note, of the item that its row names by a tag or of the unit, or is reported as left.
 */
#ifndef LEANRICH_IMPORT_PACKAGE_REST_H
#define LEANRICH_IMPORT_PACKAGE_REST_H

#include "import/package.h"

/* Words that are a sentence, not a tag. */
bool rest_is_sentence(const char *text);

/* What is left of a sheet once its tables are read. */
void rest_read(struct reading_sheet *sheet, const struct table *tables, size_t count);

/* A sheet of which nothing is read; `mapped`: because the map says so. */
void rest_pass(struct package *package, const struct sheet *sheet, bool mapped);

#endif
