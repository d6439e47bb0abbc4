/*
 * Activity coefficients on the molality scale:
 *
 *   ln gamma_i = z_i^2 f(I) + 2 sum_j beta_ij m_j
 *   f = -A_phi [ sqrt I/(1 + b sqrt I) + (2/b) ln(1 + b sqrt I) ],   ln a_w = -M_w sum m
 *
 * with Pitzer's slope A_phi(T), b = 1.2, and the pair terms of terms.h. Without them partial pressures come out two to
 * four times too high.
 */
#ifndef LEANRICH_ACTIVITY_H
#define LEANRICH_ACTIVITY_H

#include "chemistry/species.h"
#include "chemistry/terms.h"

struct pair {
	enum species i, j;
	double beta;	   /* kg/mol, at the temperature */
	double saturation; /* mol/kg or 0 */
};

/* What the coefficients need at one temperature and solvent. */
struct activity {
	double slope; /* A_phi */
	struct pair pairs[TERMS_LARGEST];
	size_t count;
};

/* Coefficients at one composition, and what their derivatives need. */
struct coefficients {
	double ionic_strength;
	double ln_gamma[SPECIES_COUNT];
	double ln_water;
	double debye_slope;		  /* df/dI */
	double pair[TERMS_LARGEST];	  /* 2 beta/(1 + I/saturation) */
	double pair_slope[TERMS_LARGEST]; /* its derivative by I */
};

/* `amines` in the order of their places in the species; one or two. */
struct activity activity_at(
	const struct terms *terms, const enum amine *amines, size_t amine_count, double temperature);

/* `share` 0 to 1 scales the pair terms: 1 is the model, less is a way towards it. */
void activity_coefficients(
	const struct activity *activity, const double *molality, double share, struct coefficients *out);

#endif
