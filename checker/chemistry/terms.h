/*
 * The terms that were fitted to measured partial pressures: pairs and medium of the excess Gibbs energy (activity.h) and
 * an offset of the carbamate constant, per amine.
 *
 *   beta = at_centre + slope u + bend u^2,   B = at_centre + slope u,   u = (T - 353.15)/100
 *   ln Kc gains offset + slope (1000/T - 1000/353.15)
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
	enum species i, j; /* those of the first amine stand for the amine's own, whichever place it has; AMH first */
	double at_centre, slope, bend; /* kg/mol */
	double saturation;	       /* mol/kg; 0: linear in molality, never saturates */
};

struct medium_term {
	double at_centre, slope; /* kg/mol */
	double reach;		 /* m0, mol/kg; 0: linear */
};

struct carbamate_term {
	double offset, slope;
};

struct terms {
	struct pair_term pairs[TERMS_LARGEST];
	size_t count;
	struct medium_term medium[AMINE_COUNT];
	struct carbamate_term carbamate[AMINE_COUNT];
};

extern const struct terms terms_own;

#endif
