/*
 * The column of a regenerator solved with what is known of its heat: by the duty, or, where no duty and no steam is stated, by the
 * duty that gives the reflux ratio or the flow of reflux that is. The amine of a lean without a stated loading is found
 * with it; heat lost to the air is then taken for the amine of a lean without gas where the duty is the one looked for.
 */
#ifndef LEANRICH_REGENERATOR_SOLVE_H
#define LEANRICH_REGENERATOR_SOLVE_H

#include "compute/regenerator_inputs.h"

/* False: column->fault says why, and every number is NaN. */
bool regenerator_solve(
	const struct regenerator_inputs *inputs, const struct solution_input *feed, struct column *column);

/* mol/s of amine through a column that is solved. */
double regenerator_amine(
	const struct regenerator_inputs *inputs, const struct solution_input *feed, const struct column *column);

#endif
