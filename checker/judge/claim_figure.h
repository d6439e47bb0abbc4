/*
 * The figures of a claim, an operating limit or the cap of a deviation (at-least, at-most, is) beside a value.
 *
 * A stated value is taken as it is written. One that is calculated to no better than its distance from the figure, or a bound
 * on the side on which the figure does not lie, decides nothing.
 */
#ifndef LEANRICH_CLAIM_FIGURE_H
#define LEANRICH_CLAIM_FIGURE_H

#include "resolve/table.h"

struct held {
	enum truth holds;
	double beyond; /* SI of the value: how far beyond the figure, negative inside; NaN: no figure, a word */
};

/* Figures of `by`, as the kind of value they are for; NaN: none, or not to be read as one. */
struct figures {
	double least, most; /* SI of the kind */
	const char *is;	    /* words separated by |, or NULL */
};
struct figures claim_figures(const struct table *table, const struct item *by, enum kind kind);

/* Is any stated? */
bool figures_any(const struct figures *figures);

/* `value` known. PERHAPS where no figure is for a value of its kind. */
struct held figures_hold(const struct figures *figures, const struct quantity *value);

#endif
