/*
 * What the end of a line or a stream names. Lists write more than a tag there: "C-2 overhead", "E-1 cold side inlet", "V-3 N2",
 * "tie-in to 8-P-101", the name of an item alone, or a control valve that no sheet lists.
 *
 * Two tags in one text, or words that may speak of another place ("bypass of E-1", "upstream of V-2"), name none.
 */
#ifndef LEANRICH_IMPORT_DRAFT_ENDS_H
#define LEANRICH_IMPORT_DRAFT_ENDS_H

#include "import/draft.h"

/* The item whose tag stands in the text among words for one of its ends, or that the text calls by its name; NULL: none. */
const struct draft_item *draft_end_named(const struct draft *draft, const char *text);

/* The same by a tag only. */
const struct draft_item *draft_end_tagged(const struct draft *draft, const char *text);

/* Does the tag of any item stand among the words? */
bool draft_end_mentions(const struct draft *draft, const char *text);

/*
 * Control and shut-off valves that lines name as their ends and nothing describes: each becomes a valve of the line that goes to
 * it, else of one that comes from it. By the letters of its tag (ISA 5.1, from memory); none where other items have these letters.
 */
void draft_add_valves(struct draft *draft, struct problems *doubts);

#endif
