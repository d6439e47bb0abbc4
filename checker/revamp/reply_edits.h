/*
 * What a row of a round is about, and the edits that its reply comes to. Shared by who tries replies (reply_tried.c) and who writes them
 * into the file (reply_patch.c); nobody else needs it.
 */
#ifndef LEANRICH_REPLY_EDITS_H
#define LEANRICH_REPLY_EDITS_H

#include "record/round.h"
#include "revamp/restate.h"

/* The findings that a row is about: its own, or those that wait for the answer. */
struct reply_subject {
	const struct item *item;
	const struct rule *rule;
	const char *wanted; /* of a question: the attribute asked for first */
	int operating_case;
	const struct finding *own;	       /* or NULL */
	const struct request *const *requests; /* of a question */
	size_t request_count;
};

struct reply_subject reply_subject_of(const struct round_row *row);

/* The edits of a row whose reply was tried. */
struct restated_list reply_edits(
	struct arena *arena, const struct element *unit, const struct table *table, const struct round_row *row);

/* The same of changes that are not in a row yet. */
struct restated_list reply_edits_of(struct arena *arena, const struct element *unit, const struct table *table,
	const struct reply_subject *subject, const struct reply_changes *changes);

#endif
