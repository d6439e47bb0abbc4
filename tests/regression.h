/*
 * The regression behind checker/chemistry/terms.def: pairs, medium and carbamate offsets fitted to the measured partial
 * pressures of tests/data/vle.csv.
 *
 * What is minimised, per amine and gas (each has its own terms), by iterated weighted least squares:
 *   rows: weight times Student's loss with 4 degrees of freedom of (ln(p/p measured) - h)/sigma,
 *   sigma^2 = e^2 + (0.027 s)^2, s = d ln p/d ln loading: an error of 2.7 % in the loading beside e in the pressure;
 *   h: one shift per isotherm (paper, strength, temperature) with its own sigma, none for MEA CO2;
 *   + weak constraints: heat of absorption against calorimetry at 40, 80 and 120 C, for MDEA the independent
 *   correlation of Posey, Tapperson & Rochelle 1996 inside its range, and a wide prior on each coefficient.
 * Fitted are all temperatures and pressures up to 1 MPa. Total pressures and suspect rows are reported only; disputed
 * rows are fitted with less weight and reported separately.
 */
#ifndef LEANRICH_REGRESSION_H
#define LEANRICH_REGRESSION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "chemistry/solution.h"
#include "chemistry/terms.h"

/* FITTED: in the window 5 Pa - 300 kPa, 22-132 C; BEYOND it, fitted too; OUTSIDE: above 1 MPa or a total pressure. */
enum row_use { ROW_FITTED, ROW_BEYOND, ROW_DISPUTED, ROW_SUSPECT, ROW_OUTSIDE, ROW_USES };

struct vle_row {
	char source[100];
	enum amine amine;
	enum gas gas;
	double mass_fraction, temperature, loading;
	double measured; /* Pa */
	double weight;
	enum row_use use;
	/* ln(computed/measured): fitted with all rows, without this row, without its paper (or isotherm, where the
	 * system has one paper only); NaN where there is none */
	double in_sample, row_out, paper_out;
};

enum { VLE_ROWS = 512, FITTED_TERMS = 24, HEAT_TEMPERATURES = 3, HEAT_LOADINGS = 2 };

/* Reads the CSV; returns the number of rows, 0 when it cannot be read or a row is not understood. */
size_t regression_read(const char *path, struct vle_row *rows);

/* ln(computed/measured) of one row with some set of terms, and d ln p/d ln loading; NaN when it does not converge. */
double regression_miss(const struct terms *terms, const struct vle_row *row);
double regression_slope(const struct terms *terms, const struct vle_row *row);

/* A paper's own offset in ln(computed/measured), where papers are a random effect. */
struct paper_effect {
	const char *source;
	double offset;
};
enum { FITTED_PAPERS = 12 };

/* One coefficient as fitted. `name` as in "MEA (AMH,HS) slope". */
struct fitted_term {
	char name[40];
	double value, standard_error;
};

struct fitted {
	struct terms terms;
	struct fitted_term coefficients[FITTED_TERMS];
	size_t count;
	/* FIT_PAPERS: the deviation between papers, NaN of a system of one; and the offsets */
	double between[AMINE_COUNT][GAS_COUNT];
	struct paper_effect papers[AMINE_COUNT][GAS_COUNT][FITTED_PAPERS];
};

/*
 * FIT_LEAVE_OUT: rows get row_out and paper_out. FIT_CORRELATION: the correlation for MDEA takes part. FIT_PAPERS: each paper of a
 * system of several has an offset of its own, normally distributed; its deviation is estimated with the terms (the mean square of
 * the offsets with their own variance, until it stands).
 */
enum fit_how { FIT_LEAVE_OUT = 1, FIT_CORRELATION = 2, FIT_PAPERS = 4 };

/*
 * Fits every system. Rows get in_sample; row_out without the row by one Gauss-Newton step from the whole fit, paper_out
 * without its paper by a fit of its own. `how`: fit_how. False: a fit did not converge.
 */
bool regression_fit(struct vle_row *rows, size_t count, unsigned how, struct fitted *fitted);

/* Of one isotherm: paper, strength and, to 2.5 K, temperature. And do rows leave the fit together: of a paper, or of an isotherm
 * where all `count` rows are of one paper? */
bool regression_isotherm(const struct vle_row *a, const struct vle_row *b);
bool regression_together(
	const struct vle_row *const *rows, size_t count, const struct vle_row *a, const struct vle_row *b);

/* The table as checker/chemistry/terms.def has it. */
void regression_write_terms(const struct terms *terms, FILE *out);

/* Coefficients, errors per paper and system, heats, comparison with the correlation. */
void regression_report(const struct vle_row *rows, size_t count, const struct fitted *fitted,
	const struct terms *without_correlation, FILE *out);

/* 100 (exp|ln ratio| - 1) of some rows, per cent; NaN of no rows. */
struct errors {
	size_t count;
	double median, ninth_decile, worst;
	double rms; /* of ln ratio */
};
enum how_fitted { IN_SAMPLE, ROW_OUT, PAPER_OUT };
struct errors regression_errors(const struct vle_row *rows, size_t count, enum amine amine, enum gas gas,
	enum row_use use, const char *source, enum how_fitted how); /* source NULL: all */

/* Posey, Tapperson & Rochelle 1996, Gas Sep. Purif. 10:181: partial pressure over MDEA, Pa (about 22 %). */
double correlation_pressure(double mass_fraction, double temperature, const double loading[GAS_COUNT], enum gas gas);

/* ln(computed/correlation); NaN when it does not converge. */
double correlation_miss(
	const struct terms *terms, double mass_fraction, double temperature, const double *loading, enum gas gas);

/* Engine over correlation: one gas alone, or one of mixtures. Over 35-50 wt%, 40-120 C, loading 0.01-0.6. */
struct comparison {
	size_t count;
	double mean_ratio, rms;
};
struct comparison correlation_compare(const struct terms *terms, enum gas gas, bool mixture);

/* Calorimetric heat of absorption, J/mol: Kohl & Nielsen 5th ed. 1997 p. 99; DIPA from memory of it. */
double calorimetric_heat(enum amine amine, enum gas gas);

/* What the fit holds heats to at 40, 80 and 120 C (0, 1, 2), J/mol, and the strength it does so at. */
struct heat_target {
	double heat, sigma;
};
struct heat_target regression_heat_target(enum amine amine, enum gas gas, size_t temperature);
double regression_usual_strength(enum amine amine, enum gas gas);

struct solution_input regression_state(enum amine amine, double mass_fraction, double temperature);

#endif
