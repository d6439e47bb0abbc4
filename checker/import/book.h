/*
 * A description read back from its workbook (write/write_book.h), as it was written or as people changed it since: rows and
 * columns may be added, moved and taken out. Any attribute of the schema may head a column of a sheet that is named for its
 * kind; columns are found by their headings. A new row needs no number: it comes after those that have one. A row without a
 * single value is none. Sheets of other names are passed over and said.
 *
 * Nothing is guessed: what a heading, a sheet, a place or a cell does not plainly say is a fault, with sheet and cell, and
 * nothing is made. The values are those of the cells; whether they are sound is asked when the description is read.
 */
#ifndef LEANRICH_BOOK_H
#define LEANRICH_BOOK_H

#include "base/problem.h"
#include "import/sheet.h"
#include "read/vocabulary.h"

/* The description as XML, or NULL after faults. Sheets passed over go to `doubts`. */
const char *book_read(struct arena *arena, const struct workbook *workbook, const struct vocabulary *unit,
	struct problems *faults, struct problems *doubts);

#endif
