/*
 * Items named in a row of text, as a reader would write it: those without a tag of their own, which are told by the line they stand in,
 * are named once with all their lines: "monitoring analyses (lines 313, 320, 331)".
 */
#ifndef LEANRICH_ITEM_LIST_H
#define LEANRICH_ITEM_LIST_H

#include "resolve/table.h"

/* "V-305, C-301 and 3 more": the first `most` names, long ones cut. One name more than that is named too. "": no items. */
const char *item_list(struct arena *arena, const struct item *const *items, size_t count, size_t most);

#endif
