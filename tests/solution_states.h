/* States of solutions for the tests of the chemistry, and random ones: the same on every machine. */
#ifndef LEANRICH_SOLUTION_STATES_H
#define LEANRICH_SOLUTION_STATES_H

#include <stdbool.h>
#include <stdint.h>

#include "chemistry/solution.h"

struct solution_input state(enum amine amine, double mass_fraction, double celsius, double h2s, double co2);
bool close_to(double a, double b, double relative);

double draw(uint64_t *seed, double low, double high);

/* Strength and temperature between two numbers each; each loading up to `most`, both up to `sum`; some with salts. */
struct solution_input draw_state(
	uint64_t *seed, const double *strength, const double *celsius, double most, double sum);

#endif
