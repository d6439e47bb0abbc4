/* Lists of alarms and trips: instruments by their tags, with what they alarm and trip at in columns. */
#ifndef LEANRICH_IMPORT_TRIP_LIST_H
#define LEANRICH_IMPORT_TRIP_LIST_H

#include <stdbool.h>

#include "base/arena.h"
#include "import/sheet.h"

/* Does the sheet list instruments under headings of alarms or trips, "LL | L | H | HH", "Low trip | High trip"? They are no items. */
bool trip_list_is(struct arena *arena, const struct sheet *sheet);

/* The row of those headings; as many as the sheet has rows: it is no such list. */
size_t trip_list_head(struct arena *arena, const struct sheet *sheet);

#endif
