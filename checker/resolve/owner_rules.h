/*
 * What the owner has of all items of a kind or class (<owner-rule>), handed to each that states nothing else of itself.
 *
 * An item's own statement overrides it, in every case; so does that of what the item is part of, unless the rule names the
 * kind of the part itself (gaskets of graphite in a shell of steel). Parts inherit what was handed to the whole. Of two
 * rules the first that holds is taken. A rule from a temperature on holds where a stated operating temperature of the item,
 * or of its stream, reaches it in a steady case; where none is stated it does not hold, and the value stays unknown.
 * Faults of a rule are told when claims are checked (judge/claims.h); here such a rule hands down nothing.
 */
#ifndef LEANRICH_OWNER_RULES_H
#define LEANRICH_OWNER_RULES_H

#include "read/element.h"
#include "resolve/table.h"

/* After all items of `unit` are in the table. `barometric`: Pa. */
void owner_rules(struct table *table, const struct element *unit, double barometric);

#endif
