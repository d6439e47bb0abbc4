/*
 * The finished record of one review: what every writer prints, in the order a reader needs it.
 *
 * Nothing is computed after this: a writer that shows a number shows one of the record or of the table in it.
 */
#ifndef LEANRICH_REVIEW_H
#define LEANRICH_REVIEW_H

#include "judge/damage.h"
#include "judge/deviation.h"
#include "judge/judge.h"
#include "record/accounts.h"
#include "record/matter.h"
#include "record/questions.h"
#include "record/statements.h"
#include "record/trials.h"
#include "record/workings.h"

struct lean_side;
struct reconciliations;

/* One row of the review: one rule departed from, by one or several items. */
struct flag {
	enum action action;
	const struct rule *rule;
	const struct finding *const *findings; /* in the order of flow */
	size_t count;
};

struct deviation {
	const struct item *item; /* of kind "deviation" */
	enum deviation_state state;
};

struct review {
	const char *file;
	const char *number, *name, *revision, *date, *document_number; /* of the unit; "" where not stated */
	const struct table *table;
	const struct catalogue *catalogue;
	struct judgement judgement;
	const struct lean_side *lean_side;	  /* the sulfide analysis */
	const struct reconciliations *reconciled; /* the circuit of each steady case; NULL: not asked for */
	const struct round *round;	/* replies to the last round held against this one (round.h), or NULL */
	struct remedy_trials trials;	/* remedies tried, where that was asked for */
	const struct text *description; /* the bytes reviewed, for whoever attaches them, or NULL */

	const struct flag *flags; /* Resolve, Justify, Consider; each in the order of flow */
	size_t flag_count;
	struct open_matters matters;	/* the same findings by what has to be settled, gravest first */
	struct questions questions;	/* State: those asked now */
	const struct request *requests; /* behind them */
	size_t request_count;
	const struct nearest
		*nearest; /* published failures beside findings that ask for something; see review_nearest() */
	size_t nearest_count;
	const struct finding *const *near; /* met, but within the uncertainty of the limit */
	size_t near_count;
	const struct finding *const *accepted;
	size_t accepted_count;
	const struct deviation *deviations;
	size_t deviation_count;
	const struct damage *damage; /* per place, by urgency, then in the order of flow */
	size_t damage_count;
	const struct working *workings;
	size_t working_count;
	struct statements statements;	     /* what became of what is stated */
	const struct source *const *sources; /* cited by what was judged, sorted by key */
	size_t source_count;

	size_t counts[ACTION_KINDS]; /* findings for Resolve, Justify, Consider; questions asked now for State */
	size_t item_count;	     /* things of the unit that carry a tag of their own or are in one that does */
};

/* `table`: everything computed; `lean_side` and `reconciled`: NULL where the record is not for a document. */
const struct review *review_make(struct arena *arena, const char *file, const struct table *table,
	const struct lean_side *lean_side, const struct reconciliations *reconciled, const struct catalogue *catalogue,
	struct judgement judgement);

const char *action_word(enum action action);		      /* "Resolve" */
bool action_from_word(const char *word, enum action *action); /* in any case of letters; false: none of the four */
const char *action_shape(enum action action);		      /* a mark that differs by shape: "■" */
enum action finding_action(const struct finding *finding);

/* The published failures nearest to a finding; NULL: there is none. */
const struct nearest *review_nearest(const struct review *review, const struct finding *finding);

/* "summer", "every case" */
const char *finding_case(const struct review *review, const struct finding *finding);

/*
 * A finding's name over revisions: "rule/item/cause", where the cause is the quantity that is judged or, without one, the
 * mechanism or the family. Stable while rule and item keep their names.
 */
const char *finding_id(struct arena *arena, const struct finding *finding);

/* Where an item or one it is nested in is in the order of flow: smaller is earlier. */
int flow_rank(const struct table *table, const struct item *item);

/* The cautions that every review prints, one sentence each; NULL ends the list. */
extern const char *const review_cautions[];

#endif
