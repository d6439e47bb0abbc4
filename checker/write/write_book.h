/*
 * A description as a workbook, for people who will not edit XML: a sheet for each kind of item, a row for each item, a column
 * for each attribute that one of them has, in the order in which the elements have them, values as written. import/book.h
 * reads it back to the same description.
 *
 * Three columns stand before the attributes. "No." numbers the elements in the order of the file. "Part of" names what the row
 * is in, by tag or id, or as #12 by its number; nothing: the unit. "Row" is empty for an item; "in", "stated" and "alternative"
 * are rows of the item named beside them, on its sheet: its values in one operating case, by another document, of another
 * choice; "comment" is a comment of the file that no element follows. Texts of notes and codes are in "Text", the comments
 * before an element in "Comment". Cells hold text only, so that nothing is ever a formula or turned into a date.
 */
#ifndef LEANRICH_WRITE_BOOK_H
#define LEANRICH_WRITE_BOOK_H

#include "base/problem.h"
#include "read/document.h"

/* The description follows the vocabulary (document_check). False when it could not be written whole: the caller removes it. */
bool write_book(const struct document *document, const char *path);
bool write_book_in_child(const struct document *document, const char *path);

/* Reports every value that is longer than a cell can hold. */
bool write_book_fits(const struct document *document, struct problems *problems);

#endif
