/*
 * Recorded deviations: a departure that the owner accepted, for one rule on one item, until a day.
 *
 * One in force turns a departure into accepted. One that is over, or that meets no departure, accepts nothing and is itself
 * something to be told: once all else is judged, its state becomes a quantity that a rule can cite.
 */
#ifndef LEANRICH_DEVIATION_H
#define LEANRICH_DEVIATION_H

#include "judge/judge.h"

enum deviation_state { DEVIATION_APPLIES, DEVIATION_LAPSED, DEVIATION_MATCHES_NOTHING };

const char *deviation_word(enum deviation_state state); /* "applies", "lapsed", "matches nothing" */

/* The name of the state in the table that deviations_told gives. */
extern const char DEVIATION_STATE[];

/* Makes a departure accepted where a deviation in force names its rule and item. */
void deviation_accept(const struct table *table, struct finding *finding);

enum deviation_state deviation_state_of(
	const struct table *table, const struct judgement *judgement, const struct item *deviation);

/* A table over `table` in which every deviation carries its state. */
const struct table *deviations_told(struct arena *arena, const struct table *table, const struct judgement *judgement);

/* Does the rule look at the state of deviations, so that it has to wait for all others? */
bool deviation_is_asked_by(const struct rule *rule);

#endif
