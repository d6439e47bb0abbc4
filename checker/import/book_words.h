/* The headings and words of a description's workbook that are no attributes: one list for who writes it and who reads it. */
#ifndef LEANRICH_BOOK_WORDS_H
#define LEANRICH_BOOK_WORDS_H

#include "base/text.h"

#define BOOK_NUMBER "No."
#define BOOK_PART_OF "Part of"
#define BOOK_ROW "Row"
#define BOOK_TEXT "Text"
#define BOOK_COMMENT "Comment"
#define BOOK_COMMENT_ROW "comment"
#define BOOK_ABOUT "About"
#define BOOK_BETWEEN_COMMENTS "\n--\n" /* no comment of XML can hold it */

/* Is it an element that stands on the sheet of the item it is in? */
static inline bool book_is_row_word(const char *name)
{
	return text_has_word("in stated alternative", name);
}

#endif
