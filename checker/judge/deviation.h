/*
 * Recorded deviations: a departure that the owner accepted, for one rule on one item, for a reason, until a day.
 *
 * One that lacks its reason, its approver or its day is not an acceptance and has no effect. One in force turns a
 * departure into accepted. One that is over, or that meets no departure, accepts nothing and is itself something to be
 * told: once all else is judged, its state becomes a quantity that a rule can cite. One that states up to which value,
 * or for which case, it holds accepts nothing beyond.
 *
 * Of a finding on the unit that lists places ("TK-1, 6-P-2"), one on a place accepts that place; the finding is accepted once every
 * place that it lists has one in force.
 */
#ifndef LEANRICH_DEVIATION_H
#define LEANRICH_DEVIATION_H

#include "judge/judge.h"

enum deviation_state {
	DEVIATION_APPLIES,
	DEVIATION_LAPSED,
	DEVIATION_MATCHES_NOTHING,
	DEVIATION_INCOMPLETE,
	DEVIATION_BEYOND_CAP, /* the value that the rule judges is beyond the figure up to which it holds */
	DEVIATION_CAP_OPEN,   /* that cannot be told */
	DEVIATION_OTHER_CASE, /* the departure is in another case than the one it holds for */
	DEVIATION_IN_PART,    /* of a finding that lists places, others have none in force */
};

const char *deviation_word(enum deviation_state state); /* "applies", "beyond its cap" */

/* The names in the table that deviations_in_table gives: of the state, and of what is lacking in words ("nothing"). */
extern const char DEVIATION_STATE[], DEVIATION_LACKS[];

/* What the record lacks: "its approver and its expiry date"; "nothing". */
const char *deviation_lacks(struct arena *arena, const struct table *table, const struct item *deviation);

/* Does the finding, on the unit, list this item among its places? */
bool finding_lists(const struct table *table, const struct finding *finding, const struct item *item);

/* Makes a departure accepted where a deviation in force names its rule and item, or one each of the places that it lists. */
void deviation_accept(const struct table *table, struct finding *finding);

enum deviation_state deviation_state_of(
	const struct table *table, const struct judgement *judgement, const struct item *deviation);

/* The finding that it sets aside, or would but for its date or its cap; NULL: there is none. */
const struct finding *deviation_finding(
	const struct table *table, const struct judgement *judgement, const struct item *deviation);

/* A table over `table` in which every deviation carries its state and what it lacks. */
struct table *deviations_in_table(struct arena *arena, const struct table *table, const struct judgement *judgement);

#endif
