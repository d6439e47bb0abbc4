/*
 * What hangs on each contradiction: the unit is judged again with the other of its two values, and the verdicts are compared.
 *
 * So it is with a value that a balance would have otherwise by the slip it names, and with one that the circuit as a whole does not
 * bear out. The balances that close with what the circuit would have are told beneath the finding on that statement, which is
 * then as grave as the gravest of them: one error is one finding.
 *
 * A contradiction has the force of the worst verdict that differs between its values; where none differs it is a remark. A verdict
 * that differs is unsettled: it takes the graver of the two, says both, and is never firm. At most as many contradictions
 * as UNSETTLED_MOST are judged again; the others keep the force of their rule.
 */
#ifndef LEANRICH_UNSETTLED_H
#define LEANRICH_UNSETTLED_H

#include "judge/judge.h"
#include "read/element.h"
#include "pipeline/lineage.h"

enum { UNSETTLED_MOST = 24 };

/* The judgement with forces, remarks and unsettled findings set. `only_case` as in judge(); `lineage` watched both, or NULL. */
struct judgement unsettled_weigh(struct arena *arena, const struct element *unit, const struct catalogue *catalogue,
	const struct table *table, struct lineage *lineage, struct judgement judgement, int only_case);

/*
 * The finding of the same rule on the item of the same tag in another judgement, which is in the order of rules as `finding`s are that
 * it is asked for one after another: `*from` (0 at first) follows. NULL: there is none.
 */
const struct finding *unsettled_same_finding(
	const struct judgement *judgement, const struct finding *finding, size_t *from);

/* Is the rule about what the circuit says of a statement: no verdict that hangs on a value? */
bool unsettled_of_circuit(const struct rule *rule);

/* Does one of them depart and not the other, neither of them being accepted? */
bool unsettled_differs(const struct finding *a, const struct finding *b);

/*
 * Of a finding and what it is with another value (`with`, in words) the graver is kept, says both, and is not firm. `own` ends
 * "so with the other; " for what it is without: "with the value used it".
 */
void unsettled_keep_graver(
	struct arena *arena, struct finding *finding, const struct finding *other, const char *with, const char *own);

#endif
