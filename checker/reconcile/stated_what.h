/*
 * What an attribute states of the unknowns of a circuit (stated.def): a function for each, which fills form, index and group of
 * a statement and is false where it states nothing of this circuit.
 */
#ifndef LEANRICH_STATED_WHAT_H
#define LEANRICH_STATED_WHAT_H

#include "reconcile/stated.h"

struct stated_attribute {
	const char *kind, *attribute;
	size_t class; /* a row of stated.def */
	bool (*of)(const struct plant *plant, struct stated *stated);
};

/* NULL: the attribute states nothing that is reconciled. */
const struct stated_attribute *stated_attribute(const struct item *item, const char *name);

/* How well such values agree within one design: relative, K or mass fraction. */
double stated_uncertainty(const struct stated_attribute *attribute);

#endif
