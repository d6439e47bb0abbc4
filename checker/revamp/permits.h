/*
 * What the package still permits: for each verdict that is open because something is not stated, what it can come to when the unknowns
 * are filled in so that the package stays consistent, and which such completion is the worst.
 *
 * Each completion is a variant of the description (variant.h), computed and judged like any other. It is consistent where it has no
 * fault, brings no new contradiction, and no balance departs that did not before: a balance has its own uncertainty. The worst one that
 * is shown was computed once more with the whole circuit reconciled, and brings no suspect statement either.
 *
 * Words are tried as the schema lets them be, a metal once for each family; numbers within what the reconciled circuit leaves them, else
 * what schedules and physics do (possible.h), else permits_range.def, beside the figures that the rule compares them with. First
 * corners and points between, then a search from the best of them along each number. At most PERMITS_TRIES completions for a verdict
 * (and ten where the reconciled circuit does not bear one out), always the same ones: what is not found may yet exist, and `whole` says where it cannot.
 *
 * Open verdicts of the balances are no rows: they are what a completion has to keep.
 */
#ifndef LEANRICH_PERMITS_H
#define LEANRICH_PERMITS_H

#include "reconcile/reconcile.h"
#include "record/review.h"

enum { PERMITS_TRIES = 96, PERMITS_UNKNOWNS = 6 };

/* One value that nobody states, and what is tried of it. */
struct permit_unknown {
	const struct item *item;
	const char *name; /* of the attribute */
	enum kind kind;
	bool number;
	double least, largest; /* SI, of a number */
	const char *within;    /* "by the balances": what bounds it; "" where only what is usual does */
	const double *numbers; /* rising */
	const char *const *words;
	size_t count;
};

/* The unknowns with one value each. */
struct completion {
	const char *const *shown; /* of each unknown: "1.2 bara", "no" */
	enum verdict verdict;
	enum force force;
	bool has_value, has_margin;
	double value, margin; /* SI of the judged quantity; positive beyond the governing limit */
	enum kind kind;
	const char *message; /* of the finding with it */
};

struct permit {
	const struct finding *finding; /* as it is */
	const struct permit_unknown *unknowns;
	size_t unknown_count;
	const char *why_not; /* nothing was tried; NULL: it was */
	size_t tries, consistent;
	const struct completion *worst; /* departs and is consistent; NULL: none was found */
	const struct completion *best;	/* meets or does not apply, and is consistent; NULL: none was found */
	bool bounded; /* by the package: `worst` is the farthest beyond the limit; else the nearest, since nothing says how far */
	bool whole; /* every value there is was tried, as far as the rule can tell them apart */
	bool has_range;
	double least, largest; /* of the judged value over the consistent completions, SI */
	enum kind kind;
};

/* A question beside what its answer could turn at worst. */
struct permit_question {
	const struct question *question;
	size_t now;		    /* its place among the questions of the review, from 0 */
	const struct permit *worst; /* NULL: no consistent completion that departs was found */
	size_t turned;		    /* verdicts of it with such a completion */
};

struct permits {
	const struct permit
		*rows; /* those that can depart first, gravest first; then those not found to; then those not tried */
	size_t count, departing, tried;
	const struct permit_question *questions;
	size_t question_count;
};

struct permits_asked {
	const char *rule, *item; /* NULL: all */
	size_t tries;		 /* for one verdict */
};

/* `unit`: as it was read; `review`: of it, with the circuit reconciled. */
struct permits permits_of(struct arena *arena, const struct element *unit, const struct review *review,
	const struct permits_asked *asked);

#endif
