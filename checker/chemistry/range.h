/*
 * How far a state can be trusted: whether it lies inside the range of the data its terms were fitted to (range.def),
 * and the uncertainty of its partial pressures and pH.
 */
#ifndef LEANRICH_RANGE_H
#define LEANRICH_RANGE_H

struct solution;

/* Fills in_fitted_range, validated, uncertainty and uncertainty_ph of a solved state. */
void range_judge(struct solution *solution);

#endif
