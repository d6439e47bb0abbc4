/*
 * Remedies of one review held against each other: where two findings ask to raise and to lower one quantity of one place, each
 * names the other (opposed.def). Neither is withdrawn: what settles both is for the designer to find. Nothing is judged here.
 */
#ifndef LEANRICH_OPPOSED_H
#define LEANRICH_OPPOSED_H

#include "judge/judge.h"

/* The same, with words added to the remedies of opposed findings; as given where no two are opposed. */
struct judgement opposed_mark(struct arena *arena, struct judgement judgement);

/* The rule of the i-th row of the list, in the order of the letters; NULL ends it. */
const char *opposed_rule(size_t index);

#endif
