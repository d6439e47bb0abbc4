/* What collecting a draft and writing it share. Used by draft.c and draft_write.c alone. */
#ifndef LEANRICH_IMPORT_DRAFT_INSIDE_H
#define LEANRICH_IMPORT_DRAFT_INSIDE_H

#include "import/draft.h"

/* Can another document say the attribute of the item otherwise? */
bool draft_can_be_restated(const struct draft_item *item, const char *attribute);

/* Document, sheet and cells of a value. */
const char *draft_place_of(const struct draft *draft, const struct draft_value *value);

#endif
