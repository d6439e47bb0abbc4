/*
 * What hangs on values that nobody stated: the unit is judged again with another value in place of each that was
 * assumed, and with the other reading of a pressure that may be gauge or absolute ("62 bar?") and of a strength that
 * may be of free amine. What moves a verdict is a question (questions.h).
 *
 * Tried are the age of the sulfide film (a month, five years), the test pressure of the weaker side where a broken tube
 * asks for more than codes test at (1.5 of its design pressure), of what else is assumed with an uncertainty of its own
 * both ends of that, and of a word the others that it can be, where they are few. What lies between the values tried is
 * not looked at. At most ASSUMED_MOST values are tried; a verdict that turns with the reading of a pressure or of the
 * strength is unsettled and stands at the graver.
 */
#ifndef LEANRICH_ASSUMED_H
#define LEANRICH_ASSUMED_H

#include "judge/judge.h"
#include "read/element.h"

struct lineage;

enum { ASSUMED_MOST = 6 };

/*
 * The judgement with its assumptions. `table`: what was judged; `only_case` as in judge(); `lineage` watched both, or
 * NULL.
 */
struct judgement assumed_weigh(struct arena *arena, const struct element *unit, const struct catalogue *catalogue,
	const struct table *table, struct lineage *lineage, struct judgement judgement, int only_case);

#endif
