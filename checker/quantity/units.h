/*
 * The table of unit spellings (units.def) and how forgivingly a spelling is matched against it.
 * quantity.h is the interface for the rest of the program; this one is shared by quantity_parse.c and
 * quantity_show.c.
 *
 * A spelling is tried as it is, then without spaces, carets, dots, superscripts and without regard to upper and
 * lower case. The last is given up where it could turn milli into mega: where the spelling mixes upper and lower
 * case and differs from the row in a leading m, and where it is a single letter. No two rows of a kind that differ in
 * their unit are alike then.
 */
#ifndef LEANRICH_UNITS_H
#define LEANRICH_UNITS_H

#include <stdbool.h>
#include <stddef.h>

#include "quantity/quantity.h"

/* SI = written * factor + offset; `gauge`: the site's barometric pressure is added as well. */
struct measure {
	enum kind kind;
	const char *spelling;
	double factor, offset;
	bool gauge;
};

const struct measure *unit_row(size_t i); /* i < unit_count() */

/*
 * The row `spelling` means among the accepted kinds, or NULL. A better match of a later kind goes before a looser
 * match of an earlier one. The empty spelling is looked for in the first kind only.
 */
const struct measure *unit_match(const struct accepted *accepted, const char *spelling);

/* Why the trade's own spelling is refused for one of the accepted kinds and what to write instead, or NULL. */
const char *unit_refusal(const struct accepted *accepted, const char *spelling);

/* For a unit or kind the program itself got wrong: says so on standard error and aborts. */
_Noreturn void unit_bug(const char *file, int line, const char *what);

#endif
