/*
 * The blocks of a sheet: lists of different kinds that stand beneath or beside each other.
 *
 * A cut is made where blank rows or columns, or a row of headings, stand before cells that are a list by themselves: with
 * headings of their own, one of which names the records. What is none goes with the block before it: notes, totals, the rest
 * of a list with blank rows in it. Headings that come again after a break of pages make no other block.
 */
#ifndef LEANRICH_IMPORT_BLOCKS_H
#define LEANRICH_IMPORT_BLOCKS_H

#include "import/sheet.h"
#include "import/words.h"

/* In the order of the rows; one, the sheet as it is, where nothing is to be cut. */
size_t blocks_find(
	struct arena *arena, const struct words *words, const struct sheet *sheet, const struct sheet ***blocks);

#endif
