/*
 * What the glossary understands of a remark, stated of the item; the remark itself is kept as a note by who calls. One report
 * for each remark of which anything was understood: what was read from which words, what was in doubt and why, what was not
 * read. Nothing doubtful is stated. A value that another cell states too becomes a second statement (draft.h).
 */
#ifndef LEANRICH_REMARKS_H
#define LEANRICH_REMARKS_H

#include "import/package.h"

void remark_read(struct record *record, const struct field_column *column, struct draft_item *item);

#endif
