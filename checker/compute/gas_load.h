/*
 * Gas in pipes and drums: the velocity of a gas line beside what piping practice allows at its density, and the load of a
 * knock-out drum on its demister, as the factor K of Souders and Brown.
 */
#ifndef LEANRICH_GAS_LOAD_H
#define LEANRICH_GAS_LOAD_H

#include "resolve/table.h"

/* m/s, density in kg/m3: NORSOK P-002, from memory, for lines where noise and pressure drop do not decide. */
double gas_load_velocity(double density);

/* m/s: K of an upright drum, over the density of water. */
double gas_load_factor(double velocity, double density);

/* After velocities. */
void gas_load_compute(struct table *table);

#endif
