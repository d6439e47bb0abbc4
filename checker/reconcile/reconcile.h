/*
 * The whole circuit reconciled, for each steady operating case: what every statement should say so that all balances close,
 * which statement is the least likely, and what nothing in the package tests.
 *
 * Flows, strength, loadings, gas compositions, temperatures, pressures and duties of all documents at once (stated.def), against
 * amine, acid gas, inert gas and heat round absorbers, treaters, drums, exchangers, coolers, regenerators with condenser and
 * reboilers, mixes and splits (plant.h). A case other than the first is reconciled by what it states itself.
 *
 * A suspect is no verdict: documents may state a rated value, another basis or another case.
 */
#ifndef LEANRICH_RECONCILE_H
#define LEANRICH_RECONCILE_H

#include "reconcile/estimates.h"
#include "resolve/table.h"

/* One statement and what the others make of it. Values in SI. */
struct reconciled {
	const struct statement *statement;
	double stated, value; /* as stated; reconciled, with every statement in */
	double score;	      /* correction over its own uncertainty, scaled by the scatter of the package */
	double redundancy;    /* 0: nothing else says it; 1: the rest says it as well */
	double smallest; /* error that would be seen four times in five: K, mass fraction, or a share of the value */
	bool linear;	 /* `smallest` is in the unit of the value, not a share */
	bool testable, weak;
};

/* A statement that could be the wrong one. */
struct accused {
	const struct statement *statement;
	double stated, closing; /* SI; what it would say without itself */
	const char *slip;	/* words of the slip that leads from one to the other, or NULL */
};

struct accusation {
	struct accused *accused; /* the likeliest first; several: one of these */
	size_t count;
	bool common;   /* all statements of one quantity are wrong alike: copied, or wrong at the source */
	bool conflict; /* beyond chance, not only beyond the scatter of the package */
	double score;
};

struct reconciliation {
	int operating_case;
	const char *why_not; /* nothing was reconciled; NULL: it was */
	bool converged;
	int iterations;
	double objective, scatter; /* J; kappa */
	size_t balances, unknowns;
	const struct reconciled *rows;
	size_t count;
	size_t testable;
	const struct accusation *accusations;
	size_t accusation_count;
	const char *const *notes; /* what could not be connected, what was left out */
	size_t note_count;
	const char *const *undetermined; /* quantities that neither statements nor balances determine */
	size_t undetermined_count;
	struct estimates estimates; /* what is determined, stated or not; without the suspects */
};

struct reconciliations {
	const struct reconciliation *cases; /* steady cases, in their order */
	size_t count;
};

struct reconciliation reconcile_case(struct arena *arena, struct table *table, int operating_case);
struct reconciliations reconcile_all(struct arena *arena, struct table *table);

#endif
