/*
 * A base and a revamp of it, both reviewed: which findings are new, worse, better or resolved, and which inputs moved each.
 *
 * Two things are said of a cause. Traced: the inputs that differ and that the finding's own working rests on, in either review.
 * Put back: the revamp is computed anew with one group of inputs as the base has them, so that a group's part is what the value
 * moves by when that group alone returns; what is left of the whole change is what only several groups together explain.
 */
#ifndef LEANRICH_COMPARE_H
#define LEANRICH_COMPARE_H

#include "record/review.h"
#include "revamp/difference.h"

enum change { CHANGE_NEW, CHANGE_WORSE, CHANGE_BETTER, CHANGE_RESOLVED, CHANGE_UNJUDGED, CHANGE_NONE, CHANGES };

/* Why a finding is no more. */
enum resolution {
	RESOLUTION_MET,
	RESOLUTION_NOT_APPLICABLE, /* the rule is not for this item any more: another solvent, another metal */
	RESOLUTION_REMOVED,	   /* the item is not there */
	RESOLUTIONS
};

/* What becomes of one finding when one group is put back. */
struct part {
	bool tried, failed; /* failed: the description cannot be computed with this group alone put back */
	bool found;	    /* the rule still selects the item */
	enum verdict verdict;
	bool has_value;
	double value; /* SI: the value then */
	double moved; /* SI: value of the revamp less that */
	bool turns;   /* the departure goes or comes with this group alone */
};

struct change_row {
	enum change change;
	const struct rule *rule;
	const char *item, *item_before;	      /* tags; item_before differs where it was renamed */
	const struct finding *before, *after; /* NULL: the rule does not select the item there */
	const struct difference **inputs;     /* traced; of the groups that did most first */
	size_t input_count;
	struct part parts[INPUT_GROUPS];
	bool has_total;
	enum kind kind;
	double total, remainder; /* SI of the kind */
	bool together;		 /* it turned, and no group alone turns it back */
	const struct finding
		*instead; /* of another rule, which judges the same value where this one does not; or NULL */
};

/* An item whose metal is the same and that is under other conditions than before. */
struct condition_change {
	const char *name; /* "metal-temperature" */
	enum kind kind;
	double before, after; /* SI, the highest over the cases */
};

struct kept_row {
	const struct item *item; /* of the revamp */
	const char *material;
	const struct condition_change *changes;
	size_t change_count;
	size_t findings; /* new or worse ones on it or in it */
	const char *
		crossed; /* thresholds that it passes now, and what was done to it that the base does not have; "": none */
};

struct comparison {
	const struct review *base, *revamp;
	const struct differences *differences;
	const struct change_row *rows; /* all but the unchanged; new first, then by action, rule and item */
	size_t count;
	size_t counts[CHANGES];		  /* CHANGE_NONE: departed from before and after alike */
	size_t resolutions[RESOLUTIONS];  /* of those resolved */
	const char *faults[INPUT_GROUPS]; /* why a group cannot be put back by itself, or NULL */
	const struct kept_row *kept;
	size_t kept_count;
};

struct comparison compare_reviews(struct arena *arena, const struct review *base, const struct review *revamp,
	const struct differences *differences);

const char *change_word(enum change change);
enum resolution change_resolution(const struct comparison *out, const struct change_row *row);
/* Resolve, Justify, Consider of the revamp, or of the base where the revamp has none. */
enum action change_action(const struct change_row *row);

#endif
