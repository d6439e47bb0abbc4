/*
 * The terms that were fitted to measured partial pressures: pair terms of the activity coefficients and an offset of
 * the carbamate constant, per amine.
 *
 *   ln gamma_i gains 2 beta m_j and ln gamma_j gains 2 beta m_i,   beta = (at_centre + slope u)/(1 + I/saturation)
 *   ln Kc gains offset + slope (1000/T - 1000/353.15),             u = (T - 353.15)/100
 *
 * The engine's own set is terms.def, written by the regression of tests/regression.c; any other set can be handed in.
 */
#ifndef LEANRICH_TERMS_H
#define LEANRICH_TERMS_H

#include <stddef.h>

#include "chemistry/species.h"

enum { TERMS_LARGEST = 24 };

struct pair_term {
	enum amine amine;
	enum species i, j;	 /* those of the first amine stand for the amine's own, whichever place it has */
	double at_centre, slope; /* kg/mol */
	double saturation;	 /* mol/kg; 0: linear in molality, never saturates */
};

struct carbamate_term {
	double offset, slope;
};

struct terms {
	struct pair_term pairs[TERMS_LARGEST];
	size_t count;
	struct carbamate_term carbamate[AMINE_COUNT];
};

extern const struct terms terms_own;

#endif
