/*
 * The two ends of an absorber.
 *
 * Top: how much warmer the lean amine enters than the gas leaves hydrocarbon to condense; and what H2S and CO2 are over
 * the lean solution in equilibrium, as a share of what the specification allows: above 1 it cannot be met whatever the tower
 * is like. In tertiary amines CO2 is held back by its rate: equilibrium bounds it and does not decide it.
 * Bottom: the loading in equilibrium with the feed gas, how near to it the rich solution is, and the temperature at
 * which the heat of absorption lets it leave.
 *
 * Heat balance of the bottom: gas leaves at the temperature of the treated gas, else of the lean; heat capacity of the gas that
 * is not absorbed from its composition, where that is known (chemistry/gas), else 40 +/- 12 J/mol/K; water of saturation
 * counted.
 */
#ifndef LEANRICH_ABSORBER_H
#define LEANRICH_ABSORBER_H

#include "compute/scene.h"

void absorber_compute(struct table *table);

/* The stream or gas an absorber names by a reference, or NULL. */
const struct item *absorber_names(const struct scene *scene, const char *reference);

/*
 * mol/s of a gas, stated by moles or standard volume, else from mass or actual volume and its composition. Fills
 * `input`; NaN when not known.
 */
double absorber_gas_flow(const struct scene *scene, const struct item *gas, struct input *input);

#endif
