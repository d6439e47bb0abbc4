/*
 * Compute: everything that follows from the description and that rules may cite, with its trace.
 *
 * Lies as a second table over the resolved one; the names it adds are listed in compute/computed.def. Each computing module
 * visits the items it knows in the order of the list in compute_unit.c: streams first, since the others take from them.
 */
#ifndef LEANRICH_COMPUTE_UNIT_H
#define LEANRICH_COMPUTE_UNIT_H

#include <stdbool.h>

#include "resolve/table.h"

struct lean_side;
struct lineage;
struct reconciliations;

struct computed_unit {
	const struct table *table;
	const struct lean_side *lean_side;	  /* the sulfide analysis: more than a table holds (lean_side.h) */
	const struct reconciliations *reconciled; /* the circuit of each steady case (reconcile.h) */
};

/* What the command line asks for beside the description; all zero: nothing. */
struct compute_options {
	const struct quantity *film_age; /* the exposure to reckon with instead of the one stated, or NULL */
	bool no_samples;		 /* leaves out how far the scales hold, which costs more than the rest */
	struct lineage *lineage;	 /* that watches (lineage.h), up to the judging that follows; or NULL */
};

struct computed_unit compute_unit(struct arena *arena, const struct table *resolved, struct compute_options asked);

/*
 * The analyses come last, so that without them every other name is as it would be. ANALYSES_SULFIDE: what lean_side_names lists. So is
 * the unit computed with another value in the place of one that is stated: which statement is wrong (reconcile_names) is then no
 * verdict of its own. ANALYSES_ALL: both.
 */
enum analyses { ANALYSES_NONE, ANALYSES_SULFIDE, ANALYSES_ALL };

/* The same table without the record of the analyses, for who computes a unit many times. */
const struct table *compute_table(struct arena *arena, const struct table *resolved, enum analyses analyses);

/*
 * The steps of compute_table with the sulfide analysis, for who runs them one by one: the table that computing begins with, then each
 * module in its order.
 */
struct table *compute_begin(struct arena *arena, const struct table *resolved);
size_t compute_module_count(void);
void compute_module(struct table *table, size_t module);

#endif
