/*
 * The items that a rule selects by their kind, in the order of the table: found by the kinds it names, so that a rule costs
 * nothing for the items of others.
 */
#ifndef LEANRICH_SELECTED_H
#define LEANRICH_SELECTED_H

#include "judge/catalogue.h"
#include "resolve/table.h"

/* Room for the items of several kinds, of one table. */
struct selected {
	const struct table *table;
	const struct item **rows;
	bool *marked; /* by index; all false between two rules */
};

struct selected selected_open(struct arena *arena, const struct table *table);

/* Valid until the next rule is asked for. */
struct items selected_items(struct selected *selected, const struct rule *rule);

#endif
