/*
 * How far partial pressures may be off: what checker/chemistry/measured.def is written from, and how its intervals
 * hold.
 *
 * Looked at are the rows that take part in the fit, by their errors without their paper (regression.h). Of each gas
 * e, g and f of spread.h are fitted for all amines together, by the likelihood of these errors as normal ones, and
 * with them what each paper's own e and f are times those: random effects, lognormal (empirical Bayes: a paper of
 * few rows keeps near those of all, one that is not known has them). Each paper (or isotherm, where the system has
 * one paper only) counts as one; e, g and f have a wide prior. Then k: what makes the mean interval score of the
 * same errors least, drawn towards 1. Held to them are rows of a paper that took part in neither fit: the terms,
 * nor these.
 */
#ifndef LEANRICH_REGRESSION_SPREAD_H
#define LEANRICH_REGRESSION_SPREAD_H

#include "chemistry/spread.h"
#include "regression.h"

/* What is fitted of one gas. A paper's own: ln of what its e and f are times those of all; zero of one that took no part. */
struct paper_spread {
	const char *source;
	double ln_error, ln_absolute;
};
struct spread_fit {
	struct spread all;
	struct paper_spread papers[FITTED_PAPERS];
	size_t count;
};

/* From rows with paper_out. False: nothing was found. */
bool regression_spread_fit(
	const struct terms *terms, const struct vle_row *rows, size_t count, struct spread_fit fits[GAS_COUNT]);

/* Without one group of the set; with all, if it is none. And the spread of one paper. */
struct spread_set;
bool regression_spread_without(const struct spread_set *set, size_t left_out, struct spread_fit *out);
struct spread regression_spread_of(const struct spread_fit *fit, size_t paper);
bool regression_spread_without_two(
	const struct spread_set *set, size_t left_out, size_t another, struct spread_fit *out);

/* Half the width of the interval of a row of the set, in ln p, at its distance from what is left without its group. */
double regression_spread_half(const struct spread_set *set, const struct spread_fit *fit, size_t row);

/* The interval score of Winkler on ln p for 90 %: width, and 20 times what it lies outside by; less is better. */
#define INSIDE 0.9
double regression_interval_score(double miss, double half);

/* One row held against its interval. */
struct held {
	const struct vle_row *row;
	size_t group; /* its paper, or its isotherm where the system has one paper */
	bool inside;
	double score;
};

/*
 * The rows of a system. PAPER_OUT: the errors without the paper, and the spread fitted without it; else with all.
 * `constant`: by one factor for the system instead, the ninth decile of what its other papers miss by. Returns how
 * many.
 */
size_t regression_hold(const struct terms *terms, const struct vle_row *rows, size_t count, enum amine amine,
	enum gas gas, enum how_fitted how, bool constant, struct held held[VLE_ROWS]);

/* Shares and means; `low` and `high`: of the share inside where papers are drawn anew, as many as there are, 2.5 % lie beyond either. */
struct coverage {
	size_t rows, groups;
	double inside, score;
	double low, high;
};
struct coverage regression_cover(const struct held *held, size_t count);

/* checker/chemistry/measured.def; `between`: what is added for a system of one paper. */
void regression_write_measured(
	const struct vle_row *rows, size_t count, const struct spread_fit fits[GAS_COUNT], double between, FILE *out);

/* States of the correlation for MDEA that the regression looks at: how many at most. */
enum { CORRELATION_STATES = 256 };

/* The same of the correlation, by terms that were fitted without it, from what was measured alone. */
size_t regression_hold_correlation(const struct vle_row *rows, size_t count, const struct terms *without, enum gas gas,
	bool mixture, struct held held[CORRELATION_STATES]);

/* Coverage and score by system and paper; and of the correlation where neither terms nor intervals know of it. */
void regression_spread_report(const struct vle_row *rows, size_t count, const struct terms *terms,
	const struct terms *without_correlation, FILE *out);

/*
 * Which share of the loading, and whether a paper has a spread of its own, chosen for each group without that
 * group: of what remains each group is left out in turn, and the choice with the least score taken. How the rows
 * then hold.
 */
void regression_nested_report(const struct terms *terms, const struct vle_row *rows, size_t count, FILE *out);

/* Papers as a random effect beside the fit without (two sets of rows with paper_out). */
void regression_papers_report(const struct vle_row *rows, const struct vle_row *with_papers, size_t count,
	const struct fitted *fitted, const struct fitted *papers, FILE *out);

#endif
