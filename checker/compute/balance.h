/*
 * Does the package agree with itself: acid gas out of the gas against what the amine takes up, amine in against amine
 * out, circulation by the exact form and by the data book's, salts in total against their anions.
 *
 * Of an absorber. The gas that is not absorbed ties feed and treated gas together, so that the flow of the treated gas need
 * not be stated. Two figures apart by more than 5 % carry the one slip of unit or basis that would explain it (discrepancy.h).
 */
#ifndef LEANRICH_BALANCE_H
#define LEANRICH_BALANCE_H

#include <stddef.h>

#include "chemistry/species.h"
#include "compute/discrepancy.h"
#include "resolve/table.h"

/* Both sides of the acid gas balance of one absorber. Flows mol/s, contents mol/mol, loadings mol/mol. */
struct balance_sides {
	double gas, before[GAS_COUNT], after[GAS_COUNT]; /* flow and contents of feed gas, contents of treated gas */
	double amine, rich[GAS_COUNT], lean[GAS_COUNT];
};

/* mol/s of each gas taken out of the gas, and taken up by the amine. */
void balance_removed(const struct balance_sides *sides, double removed[GAS_COUNT]);
void balance_picked_up(const struct balance_sides *sides, double picked_up[GAS_COUNT]);

/*
 * The one figure and the one slip that would close a balance more than 5 % apart: *figure is what it befell, as "CO2 of
 * the feed gas". NULL: it closes, or no single slip closes it. Of several the one that closes it best.
 */
const struct slip *balance_slip(const struct balance_sides *sides, const char **figure);

void balance_compute(struct table *table);

/* What leaves as acid gas beside what the amine sets free: after the regenerators. */
void balance_of_regenerators(struct table *table);

#endif
