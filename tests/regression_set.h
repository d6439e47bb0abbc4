/*
 * The rows of one gas as the regression of the spread looks at them: with what each lies away from when its paper
 * is left out, and the isotherms that they make.
 */
#ifndef LEANRICH_REGRESSION_SET_H
#define LEANRICH_REGRESSION_SET_H

#include "chemistry/spread.h"
#include "regression.h"

enum { GROUPS = 64, ISOTHERMS = 160 };

/* The rows of one gas, of all amines. */
struct spread_set {
	enum gas gas;
	const struct vle_row *row[VLE_ROWS];
	struct spread_place place[VLE_ROWS];
	size_t group[VLE_ROWS], paper[VLE_ROWS];
	const char *source[FITTED_PAPERS];
	size_t papers;
	double distance[VLE_ROWS]; /* from what is left without the group */
	double own_deviation;	   /* of the prior of what is a paper's own, in ln e and ln f */
	/* The variance of ln p (ln F/1.645, squared, with k 1): what no unknown moves, and what f^2 is multiplied by */
	double fixed[VLE_ROWS], by_absolute[VLE_ROWS];
	size_t count, groups;
	struct evidence isotherm[ISOTHERMS];
	size_t of_group[ISOTHERMS], of_paper[ISOTHERMS], isotherms;
};

/* Rows that take part in the fit, none that is wrong (of little weight). Slopes are by `terms`, none where NULL. */
void spread_set_open(
	const struct terms *terms, const struct vle_row *rows, size_t count, enum gas gas, struct spread_set *set);

/* Another share of the loading in the place of 0.018, and another prior of what is a paper's own. */
void spread_set_choose(struct spread_set *set, double of_slope, double own_deviation);

/* Where a row is. */
struct spread_place spread_set_place(const struct terms *terms, const struct vle_row *row);

/* The rows of one amine; returns how many. */
size_t spread_set_rows(const struct spread_set *set, enum amine amine, const struct vle_row **out);

#endif
