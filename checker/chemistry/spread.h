/*
 * How far a calculated partial pressure may be from a measured one: nine times in ten it lies between p/F and p F,
 *
 *   ln F = 1.645 sqrt( e^2 + (0.024 s)^2 + (f s/max(loading, 0.02))^2 + least of (e_k^2 + (g D_k)^2) ),
 *
 * s = d ln p/d ln loading of that gas. e: between laboratories, and within one; 0.024 and f: what their loadings are uncertain by,
 * relative and absolute; g: growth by the distance from what was measured,
 *
 *   D_k^2 = (dT/T0)^2 + (d ln m/0.7)^2 + (d loading/L0)^2 + (loading of the other gas/0.3)^2 + (salts/0.3)^2,
 *
 * from isotherm k of the papers (measured.def), or from the range of an independent correlation; m mol amine per kg water; e_k is what is
 * uncertain of that evidence by itself: of a system of one paper, that it is one. e and g are fitted to the errors of rows
 * left out with their paper; they and the isotherms are written by the regression (`make regress`). The scales of D, 0.024 and f
 * are choices, made in view of the same errors.
 */
#ifndef LEANRICH_SPREAD_H
#define LEANRICH_SPREAD_H

#include <stdbool.h>
#include <stddef.h>

#include "chemistry/species.h"

/* Fitted, in ln p: deviations, not half widths. */
struct spread {
	double error, growth;
};

/* What was measured, or what a correlation covers: ends of strength (kg/kg), temperature (degC) and loading (mol/mol). */
struct evidence {
	enum amine amine;
	enum gas gas;
	double error; /* in ln p */
	double strength[2], celsius[2], loading[2];
	bool mixtures; /* of both gases too */
};

/* Where a partial pressure is asked for. */
struct spread_place {
	enum amine amine; /* whose terms it takes */
	enum gas gas;
	double molality;       /* mol amine per kg water */
	double temperature;    /* K */
	double loading, other; /* mol/mol, of the gas and of the other one */
	double salts;	       /* mol/mol of anions, and of sodium and potassium */
	double slope;	       /* d ln p/d ln loading; NaN is taken as none */
};

extern const struct spread spread_own[GAS_COUNT];
extern const struct evidence evidence_own[];
extern const size_t evidence_count;

/* D of one row of the evidence; HUGE_VAL where it is of another amine or gas. */
double spread_distance(const struct evidence *row, const struct spread_place *place);

double spread_nearest(const struct spread_place *place); /* D of the row that is nearest */

/* Least over all evidence of sqrt(e_k^2 + (g D_k)^2). */
double spread_growth(const struct spread_place *place);

/* ln F, from what spread_growth() gives. `error`, in ln p, in the place of e. */
double spread_ln_factor(double error, double growth, const struct spread_place *place);

#endif
