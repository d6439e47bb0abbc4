/*
 * A map for sheets that have none: what each lists and which heading is which field, from the headings and the values below them.
 *
 * Every guess is in the map with its confidence, and is reported beside the cell it was made from: high where the heading says
 * it in full and the values bear it out, medium where most of them do or a unit was taken from elsewhere, low otherwise. What no
 * heading tells is not in the map; reading then reports its cells.
 */
#ifndef LEANRICH_IMPORT_PROPOSE_H
#define LEANRICH_IMPORT_PROPOSE_H

#include "import/sheet.h"
#include "read/vocabulary.h"

/* The text of a map, or NULL when no sheet has headings that are known. One guess a row of `guesses`. */
const char *propose_map(struct arena *arena, const struct vocabulary *unit, const struct workbook *workbooks,
	size_t count, struct problems *guesses);

#endif
