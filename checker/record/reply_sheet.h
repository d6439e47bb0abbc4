/*
 * The sheet of replies as it comes back: the action list as written (CSV), or the workbook saved as CSV. Its columns Id, Reply,
 * Status, Answer, Value, Unit, Attribute and New value are read, in whatever order and separated by commas, semicolons or tabs.
 */
#ifndef LEANRICH_REPLY_SHEET_H
#define LEANRICH_REPLY_SHEET_H

#include "base/names.h"
#include "base/problem.h"
#include "record/review.h"

enum reply_column {
	REPLY_ID,
	REPLY_WORDS,
	REPLY_STATUS,
	REPLY_ANSWER,
	REPLY_VALUE,
	REPLY_UNIT,
	REPLY_ATTRIBUTE, /* what the reply changes, and to what (reply_change.h) */
	REPLY_NEW_VALUE,
	REPLY_COLUMNS
};

struct reply_row {
	const char *cells[REPLY_COLUMNS]; /* "" where the sheet has no such column */
	int line;			  /* as a spreadsheet counts; the first is 1 */
	bool used;
};

struct reply_sheet {
	const char *file;
	struct reply_row *rows; /* those with an id; an item that was renamed since is in it by its name of now */
	size_t count;
	struct names by_id;
	bool has_values; /* it has the column Value */
};

/* What a cell of the column Status may hold, beside nothing: the workbook offers these. NULL ends the list. */
extern const char *const reply_statuses[];

/*
 * False when the text is no sheet of replies, when it is of another unit, or when some of it could be read wrongly: every such
 * cell is told by row and column. It is of another unit where its column Unit says so, or where, without that column, not one
 * item that it names is in this unit.
 */
bool reply_sheet_read(struct arena *arena, const struct review *review, const char *file, const char *bytes,
	struct problems *problems, struct reply_sheet *sheet);

/* The last row of this id, marked as used, or NULL; those before it are told to be passed over. */
struct reply_row *reply_sheet_take(struct reply_sheet *sheet, const char *id, struct problems *problems);

/* The middle of an id: "rule/item/cause", where the item may hold slashes and the two others do not. */
const char *reply_item(struct arena *arena, const char *id);

#endif
