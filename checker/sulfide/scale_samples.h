/*
 * How far the expected scale holds against what is not known exactly: 1,000 samples at every place, each with its own
 * temperature, loadings, film age, partial pressure and rates; the share of samples that ends in each scale.
 *
 * Quasi-random points of Sobol (GSL) with one shift for all, from a fixed seed: the same seed gives the same bytes.
 * Stated half widths are taken as two standard deviations of a normal distribution, the factor of the partial pressure
 * as the 90 % of a log-normal (range.h), the rates with their scatter of half a decade; the film age within a factor two
 * either way, three where it is assumed. The kinetics are sampled, so each sample takes them at a point.
 */
#ifndef LEANRICH_SCALE_SAMPLES_H
#define LEANRICH_SCALE_SAMPLES_H

#include "sulfide/circuit.h"

enum { SCALE_SAMPLES = 1000, SCALE_SEED = 20260 };

struct scale_shares {
	size_t samples; /* that had a state */
	double share[SCALE_COUNT];
};

/* One for each reading of the circuit; of one that is missing all is 0. False: the generator could not be made. */
bool scale_samples(
	struct arena *arena, const struct circuit *circuit, unsigned long seed, const struct scale_shares **shares);

#endif
