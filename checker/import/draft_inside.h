/* What collecting a draft, resolving its references and writing it share. Used by the modules named draft_ alone. */
#ifndef LEANRICH_IMPORT_DRAFT_INSIDE_H
#define LEANRICH_IMPORT_DRAFT_INSIDE_H

#include "import/draft.h"

/* Can another document say the attribute of the item otherwise? */
bool draft_can_be_restated(const struct draft_item *item, const char *attribute);

/* Document, sheet and cells of a value. */
const char *draft_place_of(const struct draft *draft, const struct draft_value *value);

/* Tags without regard to blanks and the size of letters; their hash, and "P-101" of "P-101 A/B". */
bool draft_same_tag(const char *a, const char *b);
uint32_t draft_hash_of(const char *tag);
const char *draft_without_letters(struct arena *arena, const char *tag);

#endif
