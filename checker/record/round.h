/*
 * A round of review: the designer's replies to the last one, read back and held against what is found now.
 *
 * Rows of the sheet (reply_sheet.h) are known by their id. What is now met closes itself, whatever the reply; what was closed and is
 * departed from all the same opens again; what is not judged for want of data can be confirmed neither way. Work and memory grow with
 * the rows of the sheet and with the findings, not with their product.
 */
#ifndef LEANRICH_ROUND_H
#define LEANRICH_ROUND_H

#include "base/problem.h"
#include "record/reply_change.h"
#include "record/review.h"

enum round_state {
	ROUND_NEW,	 /* not in the sheet, open now */
	ROUND_REOPENED,	 /* closed in the sheet, open now */
	ROUND_ANSWERED,	 /* replied to, open still */
	ROUND_OPEN,	 /* no reply, open still */
	ROUND_UNCERTAIN, /* was a finding; now it lacks what it needs */
	ROUND_CLOSED,	 /* open in the sheet, met or stated now */
	ROUND_STAYS,	 /* closed in the sheet, met now */
	ROUND_UNKNOWN,	 /* the sheet speaks of a finding that this unit cannot have */
	ROUND_STATES
};

/* What comes of a reply that names values, when the description says so (revamp/reply_tried.h). */
enum reply_outcome {
	REPLY_NOT_UNDERSTOOD, /* it says that something changes, and not what */
	REPLY_STATED,	      /* the description says it by now */
	REPLY_CLEARS,
	REPLY_BREAKS,  /* it clears the finding, and something departs that did not */
	REPLY_DEPARTS, /* still */
	REPLY_OPEN,    /* with it the finding cannot be judged */
	REPLY_OUTCOMES
};

struct reply_applied {
	enum reply_outcome outcome;
	struct reply_changes changes;
	const char *words; /* "size of 6-P-1 NPS 8: closes; the description says NPS 6" */
};

struct round_row {
	enum round_state state;
	const char *id, *reply;		     /* reply: the answer chosen and the words, "" when there is none */
	const char *why;		     /* what decided the state, in words */
	const struct finding *finding;	     /* of now, or NULL */
	const struct question *question;     /* of now, or NULL */
	const struct request *request;	     /* of now, which a sheet of before there were questions names; or NULL */
	struct reply_cells cells;	     /* of the reply as it is in the sheet; NULL members: not in it */
	const struct reply_applied *applied; /* NULL: it names no value */
	int line;			     /* row of the sheet, as a spreadsheet counts; 0: not in it */
};

struct round {
	const char *file;
	const struct round_row
		*rows; /* those of now in the order of the action list, then what is closed, then the unknown */
	size_t count;
	size_t counts[ROUND_STATES];
	size_t outcomes[REPLY_OUTCOMES]; /* of replies that name values */
	const struct round_row **of_finding,
		**of_question; /* by place in judgement and questions; NULL: not open now */
};

/*
 * NULL when the text is no sheet of replies, or when some of it could be read wrongly: a status that is none, a reply without an
 * id, cells beyond the last column, a quotation mark left open, a column twice or missing, replies of another unit; each is told by
 * row and column. Rows that speak of unknown findings, and ids that occur twice, are in `problems`
 * too, for the reader; they do not keep the round from being made.
 */
const struct round *round_make(struct arena *arena, const struct review *review, const char *file, const char *bytes,
	struct problems *problems);

/* The row of something open now; NULL: no round, or it is not open. */
const struct round_row *round_of_finding(const struct review *review, const struct finding *finding);
const struct round_row *round_of_question(const struct review *review, const struct question *question);

const char *reply_outcome_word(enum reply_outcome outcome); /* "still departs" */
const char *round_word(enum round_state state);		    /* "reopened" */
const char *round_status(enum round_state state);	    /* what the next sheet says: open, answered, closed */

#endif
