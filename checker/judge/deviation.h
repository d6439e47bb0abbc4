/*
 * Recorded deviations: a departure that the owner accepted, for one rule on one item, for a reason, until a day.
 *
 * One that lacks its reason, its approver or its day is no acceptance and sets nothing aside. One in force turns a departure into accepted. One that is over, or that meets no departure, accepts nothing and is itself
 * something to be told: once all else is judged, its state becomes a quantity that a rule can cite.
 */
#ifndef LEANRICH_DEVIATION_H
#define LEANRICH_DEVIATION_H

#include "judge/judge.h"

enum deviation_state { DEVIATION_APPLIES, DEVIATION_LAPSED, DEVIATION_MATCHES_NOTHING, DEVIATION_INCOMPLETE };

const char *deviation_word(enum deviation_state state); /* "applies", "lapsed", "matches nothing", "incomplete" */

/* The names in the table that deviations_in_table gives: of the state, and of what is lacking in words ("nothing"). */
extern const char DEVIATION_STATE[], DEVIATION_LACKS[];

/* What the record lacks: "its approver and the date until when it holds"; "nothing". */
const char *deviation_lacks(struct arena *arena, const struct table *table, const struct item *deviation);

/* Makes a departure accepted where a deviation in force names its rule and item. */
void deviation_accept(const struct table *table, struct finding *finding);

enum deviation_state deviation_state_of(
	const struct table *table, const struct judgement *judgement, const struct item *deviation);

/* A table over `table` in which every deviation carries its state and what it lacks. */
const struct table *deviations_in_table(
	struct arena *arena, const struct table *table, const struct judgement *judgement);

/* Does the rule look at the state of deviations or at what they lack, so that it has to wait for all others? */
bool deviation_is_asked_by(const struct rule *rule);

#endif
