/*
 * What the circuit says of quantities whether or not anything states them: each unknown that statements and balances determine, as the
 * attribute that a description would state it by, with how far it may be off.
 *
 * What nothing determines but the weak prior is no estimate and is left out, and so is what has no item.
 */
#ifndef LEANRICH_ESTIMATES_H
#define LEANRICH_ESTIMATES_H

#include "resolve/table.h"

struct plant; /* reconcile/plant.h */

struct estimate {
	const struct item *item;
	const char *name; /* of the attribute: "flow" (kg/s of a liquid, mol/s of a gas), "h2s", "duty" */
	enum kind kind;
	double si, deviation; /* SI; one standard deviation by the uncertainties of all statements and balances */
};

struct estimates {
	const struct estimate *rows;
	size_t count;
};

/* Of a plant at its last solution. `determined`: of each unknown (fit_null_space). */
struct estimates estimates_of(const struct plant *plant, const bool *determined);

/* The estimate of the attribute of the item, or NULL. */
const struct estimate *estimates_find(const struct estimates *estimates, const struct item *item, const char *name);

#endif
