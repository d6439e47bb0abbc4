/*
 * How far a calculated partial pressure may be from a measured one: nine times in ten it lies between p/F and p F,
 *
 *   ln F = k hypot(1.645 sqrt(V + (0.018 s)^2), ln of what two forms of the Henry constant of CO2 differ by),
 *   V = least over the evidence of (a_k e)^2 + e_k^2 + (g D_k)^2 + (b_k f s/max(loading, least))^2,
 *
 * s = d ln p/d ln loading of that gas. e: between laboratories, and within one; 0.018 and f: what their loadings
 * are uncertain by, relative and absolute, f no further than to the least loading; g: growth by the distance from
 * what was measured,
 *
 *   D_k^2 = (dT/T0)^2 + (d ln m/0.7)^2 + (d loading/L0)^2 + (loading of the other gas/0.3)^2 + (salts/0.3)^2,
 *
 * from isotherm k of the papers (measured.def), or from the range of an independent correlation; m mol amine per kg
 * water. Papers differ in e and f too, a random effect: where a system has one paper, its own are taken, a_k and
 * b_k times those of all, with e_k for its being one; else a new measurement is one of a new paper, and both are 1.
 * Of the correlation e_k is its own error. k makes the intervals neither wider nor narrower than the rows want. e,
 * f, g, k, a_k and b_k are fitted to the errors of rows left out with their paper, and they and the isotherms are
 * written by the regression (`make regress`). The scales of D, 0.018 and the least loadings are choices, made in
 * view of the same errors.
 */
#ifndef LEANRICH_SPREAD_H
#define LEANRICH_SPREAD_H

#include <stdbool.h>
#include <stddef.h>

#include "chemistry/species.h"

/* Fitted. In ln p, deviations and not half widths: e and g; f, mol/mol; k, by which all of it is multiplied. */
struct spread {
	double error, growth, absolute, factor;
};

/* What was measured, or what a correlation covers: ends of strength (kg/kg), temperature (degC) and loading (mol/mol). */
struct evidence {
	enum amine amine;
	enum gas gas;
	double added;	       /* e_k, in ln p */
	double error_times;    /* a_k */
	double absolute_times; /* b_k */
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

/* ln F by one piece of evidence at a distance; `spread` with the e and f of that evidence, `added` e_k. */
double spread_ln_factor_at(
	const struct spread *spread, double added, double distance, const struct spread_place *place);

/* ln F by the evidence that gives least. `least_error`, in ln p: k e is no less. HUGE_VAL where there is no evidence at all. */
double spread_ln_factor(double least_error, const struct spread_place *place);

#endif
