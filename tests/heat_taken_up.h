/* The heat of absorption by a way of its own, for tests: from partial pressures alone. */
#ifndef LEANRICH_TESTS_HEAT_TAKEN_UP_H
#define LEANRICH_TESTS_HEAT_TAKEN_UP_H

#include "chemistry/solution.h"

/*
 * Given off while the gases of a solution were taken up at its temperature, H2S first, J per mol of amine:
 * q = R T^2 d ln p/dT (Gibbs and Helmholtz) summed over the loading, closer where it bends most, near nothing.
 */
double heat_taken_up(const struct solution_input *solution);

#endif
