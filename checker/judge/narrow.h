/*
 * What is met by less than the uncertainty of its value, while an answer that nobody gives would settle it: "59.9 degC, below 60 degC", of
 * steel that may or may not be stress relieved. That answer is asked for.
 *
 * Tried is the value as far beyond the limit as it is inside, which is within its uncertainty, with each answer or word that one
 * unknown input of the rule can have. A value on its limit is as the rule has it, and no doubt; nor is any answer asked for that does
 * not make the item depart there by itself. The verdict stays.
 */
#ifndef LEANRICH_NARROW_H
#define LEANRICH_NARROW_H

#include "judge/assumption.h"

/* Adds to the list what would settle such findings, which are as they stand. `table`, `only_case` as in judge(). */
void narrow_weigh(struct assumption_list *list, const struct catalogue *catalogue, const struct table *table,
	const struct finding *findings, size_t count, int only_case);

#endif
