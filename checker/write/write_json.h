/*
 * Parts of the JSON record that are in files of their own; write_json.c writes all else. Each is NULL when memory ran out.
 * Numbers of the sulfide analysis are in the unit that their name ends in; one that is infinite or not known is null.
 */
#ifndef LEANRICH_WRITE_JSON_H
#define LEANRICH_WRITE_JSON_H

#include <jansson.h>

#include "record/review.h"

json_t *json_sulfide(const struct review *review);	  /* write_json_sulfide.c */
json_t *json_reconciliation(const struct review *review); /* write_json_reconciliation.c; where it was asked for */

/* write_json_columns.c: the columns of the regenerators, case by case. */
json_t *json_columns(const struct review *review);

/* write_json_statements.c: what the description states, owes, and nothing read; the notes on an item, or all (NULL). */
json_t *json_owed(const struct review *review);
json_t *json_not_recorded(const struct review *review);
json_t *json_unread(const struct review *review);
json_t *json_notes(const struct review *review, const struct item *item);

/* write_json_matters.c: what the findings come to, gravest first. */
json_t *json_matters(const struct review *review);

/* The same: the published failures nearest to a finding, an array. */
json_t *json_nearest(const struct review *review, const struct finding *finding);

/* The same: the changes that its remedy names, as they were tried, an array. */
json_t *json_trials(const struct review *review, const struct finding *finding);

/* write_json_claims.c: every claim, operating limit and deviation with its answer. */
json_t *json_claims(const struct review *review);

#endif
