/*
 * One number varied over a range, the whole computation run anew at each value: how every finding moves, and at which values
 * its verdict turns.
 *
 * The caller says how the description looks at x (struct scan_setup). Every finding of every rule gives a track. Where two
 * neighbouring points of the grid differ in verdict the turn is located by root finding on the margin to the limit, or by
 * halving where there is no such number; each step is again the whole computation. Where a margin has its least distance from
 * the limit inside the grid and may cross it between two points, that place is searched too, so that a quantity that rises
 * and falls gives all its turns. What turns twice between neighbouring points without coming near before is not seen.
 *
 * Which statement the balances of the circuit do not bear out is not followed: what is varied is none (ANALYSES_SULFIDE).
 */
#ifndef LEANRICH_SCAN_H
#define LEANRICH_SCAN_H

#include "judge/catalogue.h"
#include "pipeline/lineage.h"
#include "read/element.h"
#include "record/review.h"

enum point_verdict {
	POINT_CLEAR,   /* met, not applicable, not selected */
	POINT_DEPARTS, /* departed from, be it accepted or not */
	POINT_OPEN     /* not judged, or out of range */
};

struct sample {
	enum point_verdict verdict;
	enum force force;
	bool has_margin;
	double margin;		       /* SI of the kind: positive beyond the governing limit */
	double beyond;		       /* the same from where the verdict turns: half a printed digit further on */
	double limit;		       /* the governing limit itself, SI */
	const struct limit *governing; /* of the catalogue, or NULL */
	bool has_value;
	double value; /* SI */
	enum kind kind;
	const char *operating_case; /* id; NULL: every case alike */
};

struct turn {
	double at;		     /* x, located to the tolerance of the scan */
	enum point_verdict from, to; /* with x rising */
	const char *limit;	     /* the limit that governs where it is departed from, in words; "" */
	const char *operating_case;  /* in which it is departed from; NULL: in every one alike, or in none */
};

struct track {
	const struct rule *rule;
	const char *item, *kind; /* tag and kind of the item */
	const char *limit;	 /* the governing limit in words, as it stood where first seen; "" */
	enum action action;	 /* what a departure asks for */
	struct sample *samples;	 /* one for each point of the grid */
	struct turn *turns;	 /* in the order of x */
	size_t turn_count, turn_capacity;
	bool moves; /* value or verdict is not the same all over the grid */
};

struct scan_setup {
	struct arena *arena; /* of the result */
	const struct catalogue *catalogue;
	const struct element *(*at)(struct arena *arena, double x, void *data); /* the description at x, or NULL */
	void *data;
	const double *grid; /* rising */
	size_t count;
	double tolerance;	 /* of x, relative */
	const char *only_item;	 /* NULL: every item */
	struct lineage *lineage; /* of a scan of the same description before; NULL: none */
	const char *only_judged; /* with only_item: rules that judge this quantity; NULL: every rule */
};

struct scan {
	const struct scan_setup *setup;
	struct lineage *lineage;    /* what depends on what, as far as it was seen */
	struct judged_before first; /* the unit at the first point, judged */
	struct track *tracks;	    /* by rule, then in the order of the description */
	size_t track_count, track_capacity;
	const char **cases;  /* ids of the operating cases */
	const char **faults; /* by point of the grid: why it could not be computed, or NULL */
	size_t evaluations;
};

struct scan scan_run(const struct scan_setup *setup);

/* Is one of two samples of a finding other than the other, in verdict or value? */
bool scan_differs(const struct sample *a, const struct sample *b);

const char *point_verdict_word(enum point_verdict verdict); /* "departs", "clear", "not judged" */

#endif
