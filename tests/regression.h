/*
 * The regression behind checker/chemistry/terms.def: the pair terms and the carbamate offsets fitted to the measured
 * partial pressures of tests/data/vle.csv.
 *
 * What is minimised, per amine and gas (each has its own terms):
 *   sum over rows of weight loss(ln(p/p measured)/0.2), loss = arctan with a soft limit of 0.5 in ln p, by reweighting;
 *   + weak constraints: heat of absorption against calorimetry at 40, 80 and 120 C, where named the independent
 *   correlation of Posey, Tapperson & Rochelle 1996 for MDEA, and a wide prior on each coefficient.
 * Rows outside the window of the fit (5 Pa - 300 kPa, 22-132 C) and total pressures are not fitted but reported;
 * disputed and suspect rows are fitted with less weight and reported apart. No row is dropped.
 */
#ifndef LEANRICH_REGRESSION_H
#define LEANRICH_REGRESSION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "chemistry/terms.h"

enum row_use { ROW_FITTED, ROW_SUSPECT, ROW_DISPUTED, ROW_OUTSIDE, ROW_USES };

struct vle_row {
	char source[100];
	enum amine amine;
	enum gas gas;
	double mass_fraction, temperature, loading;
	double measured; /* Pa */
	double weight;
	enum row_use use;
	double in_sample, left_out; /* ln(computed/measured); NaN where there is none */
};

enum { VLE_ROWS = 512 };

/* Reads the CSV; returns the number of rows, 0 when it cannot be read or a row is not understood. */
size_t regression_read(const char *path, struct vle_row *rows);

/* ln(computed/measured) of one row with some set of terms; NaN when the state does not converge. */
double regression_miss(const struct terms *terms, const struct vle_row *row);

/* Fits every system. Rows get in_sample, and left_out where `cross_validate`. False: a fit did not converge. */
bool regression_fit(
	struct vle_row *rows, size_t count, bool cross_validate, bool with_correlation, struct terms *terms);

/* The table as checker/chemistry/terms.def has it. */
void regression_write_terms(const struct terms *terms, FILE *out);

/* Median and worst error per paper and system, in sample and left out; constraints; comparison with the correlation. */
void regression_report(const struct vle_row *rows, size_t count, const struct terms *terms,
	const struct terms *without_correlation, FILE *out);

/* One class of rows of one system: how many, and 100 (exp|ln ratio| - 1) of the median and the worst row. */
struct error_summary {
	size_t count;
	double median, worst;		/* per cent */
	double left_median, left_worst; /* per cent; NaN where nothing was left out */
	double rms, left_rms;		/* of ln ratio */
};
struct error_summary regression_summary(const struct vle_row *rows, size_t count, enum amine amine, enum gas gas,
	enum row_use use, const char *source); /* source NULL: all */

/* Posey, Tapperson & Rochelle 1996, Gas Sep. Purif. 10:181: partial pressure over MDEA, Pa (about 22 %). */
double correlation_pressure(double mass_fraction, double temperature, const double loading[GAS_COUNT], enum gas gas);

/* Engine over correlation: H2S alone, or one gas of mixtures. Over 35-50 wt%, 40-120 C, loading 0.01-0.6. */
struct comparison {
	size_t count;
	double mean_ratio, rms;
};
struct comparison correlation_compare(const struct terms *terms, enum gas gas, bool mixture);

/* Calorimetric heat of absorption, J/mol: Kohl & Nielsen 5th ed. 1997 p. 99; DIPA from memory of it. */
double calorimetric_heat(enum amine amine, enum gas gas);

#endif
