/*
 * The reflux ratio of a regenerator, mol of water returned for each mol of acid gas stripped, from whatever the description
 * says of it, the first that is known: the flow of the reflux by mass, by volume or by moles; water in the composition of
 * the overhead; temperature and pressure of the overhead, which is saturated with water.
 */
#ifndef LEANRICH_REFLUX_H
#define LEANRICH_REFLUX_H

#include "compute/still.h"

/*
 * Puts reflux-ratio unless it is stated. `stripped`: acid gas, mol/s. True: it follows from the temperature of the overhead,
 * which then cannot be held against it.
 */
bool reflux_ratio_put(const struct scene *scene, const struct still *still, const struct quantity *stripped);

#endif
