/*
 * The action list: one row for each finding that asks for something, matter by matter as the review ranks them, and for
 * each value to be stated. The writers of tables (CSV, workbook) print it, each with its own guard for what a cell may hold.
 */
#ifndef LEANRICH_ACTION_LIST_H
#define LEANRICH_ACTION_LIST_H

#include "record/review.h"

enum action_column {
	COLUMN_ID,
	COLUMN_ACTION,
	COLUMN_RULE,
	COLUMN_ITEM,
	COLUMN_CASE,
	COLUMN_FINDING,
	COLUMN_VALUE,
	COLUMN_LIMIT,
	COLUMN_SOURCE,
	COLUMN_KNOWN,
	COLUMN_CERTAINTY,
	COLUMN_REMEDY,
	COLUMN_PLACE,
	COLUMN_REPLY,	  /* the designer's; blank where none was read back */
	COLUMN_ATTRIBUTE, /* what the reply changes, and to what: for the designer, and as it was read back */
	COLUMN_NEW_VALUE,
	COLUMN_APPLIED, /* what came of that */
	COLUMN_STATUS,	/* open, answered; closed only in the CSV */
	COLUMN_UNIT,	/* its number: by that replies come back to the right one */
	COLUMN_MATTER,	/* what it is settled with: the row of the review that it is part of; blank for a question */
	ACTION_COLUMNS
};

struct action_row {
	enum action action;
	const char *anchor; /* where it is in the HTML review */
	const char *cells[ACTION_COLUMNS];
};

extern const char *const action_heads[ACTION_COLUMNS];

/* Gives the number of rows. */
size_t action_list(struct arena *arena, const struct review *review, const struct action_row **out);

/* Anchors in the HTML review: of a flagged rule, "resolve-CRK-002"; of what is to be stated for an item, "state-17". */
const char *anchor_of_flag(struct arena *arena, enum action action, const struct rule *rule);
const char *anchor_of_question(struct arena *arena, const struct question *question);

#endif
