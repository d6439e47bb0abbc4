/*
 * Parts of the JSON record that are in files of their own; write_json.c writes all else. Each puts one member into the object that
 * is open: the record, or the row of a finding. Numbers of the sulfide analysis are in the unit that their name ends in; one that is
 * infinite or not known is null.
 */
#ifndef LEANRICH_WRITE_JSON_H
#define LEANRICH_WRITE_JSON_H

#include "base/json_out.h"
#include "record/review.h"

const char *json_truth(enum truth met); /* "yes", "no" or "unknown" */

/* write_json_sulfide.c; write_json_reconciliation.c, where it was asked for. */
void json_sulfide(struct json_out *out, const struct review *review);
void json_reconciliation(struct json_out *out, const struct review *review);

/* write_json_damage.c: which mechanisms act where. write_json_round.c: what became of the replies to the last round. */
void json_damage(struct json_out *out, const struct review *review);
void json_round(struct json_out *out, const struct round *round);

/* write_json_columns.c: the columns of the regenerators, case by case. */
void json_columns(struct json_out *out, const struct review *review);

/* write_json_statements.c: what the description states, owes, and nothing read; the notes on an item, or all (NULL). */
void json_owed(struct json_out *out, const struct review *review);
void json_not_recorded(struct json_out *out, const struct review *review);
void json_unread(struct json_out *out, const struct review *review);
void json_notes(struct json_out *out, const struct review *review, const struct item *item);

/* write_json_matters.c: what the findings come to, gravest first. */
void json_matters(struct json_out *out, const struct review *review);

/* The same: the published failures nearest to a finding, and the changes that its remedy names, as they were tried. */
void json_nearest(struct json_out *out, const struct review *review, const struct finding *finding);
void json_trials(struct json_out *out, const struct review *review, const struct finding *finding);

/* write_json_claims.c: every claim, operating limit and deviation with its answer. */
void json_claims(struct json_out *out, const struct review *review);

#endif
