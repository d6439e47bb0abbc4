/*
 * The values that a reply names, as changes of the description.
 *
 * The columns Attribute and New value say it outright: "size" and "NPS 8", several separated by semicolons, of another item as
 * "E-302.area". Where they are blank the words of the reply are read: by the glossary of remarks, and piece by piece as the words of an
 * attribute and a value of its type ("design temperature 150 degC", "steam 12 t/h", "now NPS 8"). What was read from words is marked as
 * interpreted. What is asked, conditional, denied or of two meanings is not taken: no value is better than a wrong one.
 */
#ifndef LEANRICH_REPLY_CHANGE_H
#define LEANRICH_REPLY_CHANGE_H

#include "judge/judge.h"

struct reply_change {
	const struct item *item; /* NULL: of every item that the question asks of */
	const char *name, *written;
	bool interpreted;
};

struct reply_changes {
	struct reply_change *rows;
	size_t count, capacity;
	const char *fault; /* why the columns could not be taken; NULL: they could, or are blank */
	bool asked;	   /* the reply says that a value is changed or stated, in the columns or by its answer */
};

/* What of a reply is read. The cells as they are in the sheet, "" where they are blank. */
struct reply_cells {
	const char *attribute, *value, *answer, *words;
};

/*
 * `item`: of the finding, or of the first thing that a question asks of. `rule`: of the finding, whose inputs say what a bare value is of;
 * NULL for a question. Of a question `wanted` is the attribute asked for, and what names no item is of all that it asks of.
 */
struct reply_changes reply_changes_read(struct arena *arena, const struct table *table, const struct item *item,
	const struct rule *rule, const char *wanted, const struct reply_cells *read);

/* Is the value what the description states of the item already, in the case? */
bool reply_change_is_stated(struct arena *arena, const struct table *table, const struct item *item,
	const struct reply_change *change, int operating_case);

/* "size NPS 8 and pwht yes (interpreted)" */
const char *reply_changes_words(struct arena *arena, const struct reply_changes *changes);

#endif
