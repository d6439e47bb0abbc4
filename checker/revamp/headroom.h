/*
 * Headroom: by what factor circulation, gas rate or the whole throughput can grow before each limit is reached.
 *
 * Every value that the flow drives (drives.def) is multiplied in the description, in every operating case, and the whole
 * computation is run anew at each factor (scan.h); nothing is scaled by proportion afterwards. Circulation drives what
 * carries lean, semi-lean or rich solution; gas what carries gas; throughput both and the duties and steam with them.
 * Loadings, temperatures and compositions stay as stated, whatever the factor.
 *
 * Rules of the family `balance` are listed separately: when the flow alone is multiplied the package stops agreeing with
 * itself, which is no limit of the plant.
 */
#ifndef LEANRICH_HEADROOM_H
#define LEANRICH_HEADROOM_H

#include "revamp/scan.h"
#include "revamp/variant.h"

enum driver { DRIVER_CIRCULATION, DRIVER_GAS, DRIVER_THROUGHPUT };

/* One value that is multiplied. */
struct driven {
	const struct element *element;
	const char *item; /* tag */
	const char *name, *written;
	const char *operating_case; /* or "" */
	double exponent;
};

struct driven_list {
	const struct driven *rows;
	size_t count;
};

/* What would move a limit, and to which factor. */
struct move {
	const char *what;  /* "NPS 10 schedule 40 instead of NPS 8" */
	bool reached;	   /* some rule on the same quantity of the item is departed from within the range */
	double factor;	   /* then: the first at which it is */
	const char *rule;  /* and the rule */
	const char *fault; /* why it could not be computed, or NULL */
};

struct limit_row {
	const struct track *track;
	bool passed;		    /* departed from at factor 1 already */
	bool has_factor;	    /* false: passed at every factor of the range */
	double factor;		    /* the first at which the limit is reached with the factor rising */
	const char *limit;	    /* in words */
	const char *operating_case; /* in which it is reached first; NULL: in every one alike */
	bool asked;		    /* what would move it was asked for */
	const struct move *moves;
	size_t move_count;
};

struct headroom {
	struct scan scan;
	struct driven_list driven;
	struct limit_row *limits; /* reached within the range or passed already; lowest factor first */
	size_t limit_count;
	const struct track *const
		*balances; /* family of balances: the description stops agreeing with itself, no limit */
	size_t balance_count;
	const struct track *const *opposite; /* departed from only as the flow falls */
	size_t opposite_count;
	const struct track *const *free; /* driven by the flow, no turn within the range */
	size_t free_count;
};

enum { HEADROOM_POINTS = 29 };
extern const double HEADROOM_LEAST, HEADROOM_MOST;

struct driven_list headroom_driven(
	struct arena *arena, const struct element *unit, const struct table *table, enum driver driver);

/* The description with every driven value times the factor, over the edits of `more` (NULL: none). */
const struct element *headroom_at(struct arena *arena, const struct element *unit, struct driven_list driven,
	const struct variant *more, double factor);

/* `table` is that of the unit as it is. `moves`: ask what would move each limit as well. */
struct headroom headroom_of(struct arena *arena, const struct element *unit, const struct table *table,
	const struct catalogue *catalogue, enum driver driver, bool moves);

#endif
