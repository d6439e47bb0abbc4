/*
 * What rules cite of a reconciliation, put at the item of each suspect that is beyond chance; at the contradiction, where two
 * statements of it are contradictory already and the circuit speaks for the other one.
 */
#ifndef LEANRICH_FINDING_H
#define LEANRICH_FINDING_H

#include "reconcile/reconcile.h"

/* The names of what is put, in the order of the letters; NULL ends the list. */
extern const char *const reconcile_names[];

void reconcile_put(struct table *table, const struct reconciliations *all);

/* "flow of lean-cold, 97.3 m3/h": a statement as it is spoken of. */
const char *reconcile_statement_words(struct arena *arena, const struct statement *statement);

/* What an accusation says, as one sentence without its full stop. */
const char *reconcile_words(struct arena *arena, const struct accusation *accusation);

#endif
