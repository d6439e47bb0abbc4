/*
 * Claims and operating limits of a package against what there is: the quantity they speak of, and figures of its kind.
 *
 * A claim on a quantity that nobody knows, or of "at least banana", would be in the review unanswered and look met.
 * Known are the attributes of the kind of item that it is about and the names that are calculated for that kind
 * (computed.def); without `about`, those of any kind. A claim that names no quantity, or owes it, is let pass: rules
 * ask for it. Kinds of item, the operating case, figures that cross, and the cap of a deviation are checked as well.
 */
#ifndef LEANRICH_CLAIMS_H
#define LEANRICH_CLAIMS_H

#include "judge/catalogue.h"
#include "resolve/table.h"

/* `table`: of the same unit; NULL when it has faults. */
void claims_check(const struct element *unit, const struct table *table, const struct catalogue *catalogue,
	struct problems *problems);

#endif
