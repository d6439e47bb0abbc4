/*
 * Judging where something is not known: the rule is judged again with every value that the unknown inputs can have (domain.h),
 * jointly. Where all of them depart it departs, whatever they are; where all meet it meets. Else it stays not judged,
 * and says what turns it: "departs if velocity is above 1.8 m/s; meets up to 1.8 m/s". An input that turns nothing is not
 * asked for. Chemistry is not calculated again: what is varied is what the rule itself sees.
 *
 * A calculated value within its uncertainty of the figure by which a condition of the rule asks whether it applies is taken on
 * both sides of it: such a value switches no rule off. What departs on one side only is unsettled.
 *
 * Nothing departs by silence alone: where a rule has a default for what nobody states, "departs whatever it is" holds for what could
 * be stated instead, too.
 *
 * Unknown never passes by a gap of a sample: "whatever it is" is said of whole domains only.
 */
#ifndef LEANRICH_BOTH_WAYS_H
#define LEANRICH_BOTH_WAYS_H

#include "judge/evaluation.h"

/*
 * `own`: what was found with what is known. Gives it back, or what stands in its place, or the same with what turns it. `evaluation`
 * is the one that was judged; what nobody states gets its words.
 */
struct finding both_ways(struct evaluation *evaluation, struct finding own);

#endif
