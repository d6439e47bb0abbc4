/*
 * Does the package agree with itself: acid gas out of the gas against what the amine takes up, amine in against amine
 * out, circulation by the exact form and by the data book's, salts in total against their anions.
 *
 * Of an absorber. The gas that is not absorbed ties feed and treated gas together, so that the flow of the treated gas need
 * not be stated. Two figures apart by more than 5 % carry the one slip of unit or basis that would explain it (apart.h).
 */
#ifndef LEANRICH_BALANCE_H
#define LEANRICH_BALANCE_H

#include <stddef.h>

#include "chemistry/species.h"
#include "table.h"

/* mol/s of each gas taken out of a flow of mol/s, from mole fractions before and behind. */
void balance_removed(
	double flow, const double before[GAS_COUNT], const double behind[GAS_COUNT], double removed[GAS_COUNT]);

void balance_compute(struct table *table);

#endif
