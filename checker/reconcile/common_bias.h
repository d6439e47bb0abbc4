/*
 * What is stated several times: the bias common to all statements of a quantity (wrong at its source, copied), and what it explains,
 * T_g of suspects.h.
 */
#ifndef LEANRICH_COMMON_BIAS_H
#define LEANRICH_COMMON_BIAS_H

#include "reconcile/fit.h"

struct common {
	size_t count;		/* statements of the quantity that are in */
	double statistic, bias; /* T_g, and the bias common to them */
	double weight;		/* 1 / variance of that bias */
};

struct statement {
	size_t group, row;
};

/* The statements that are in at one solution, those of a quantity side by side. */
struct quantities {
	const struct fit *fit;
	struct statement *all;
	size_t *first;		      /* by row that is in: index of the first of its quantity */
	const struct common **common; /* by row that is in: of its quantity */
};

/* Not removed, and no balance. */
bool statement_is_in(const struct fit_row *row);

struct quantities quantities_of(struct arena *arena, const struct fit *fit);

#endif
