/*
 * The stages in their order, for commands that run them many times: on two descriptions, on a hundred, or on the variants
 * of one. The review command runs them itself, since it has more to say between them.
 */
#ifndef LEANRICH_STAGES_H
#define LEANRICH_STAGES_H

#include "base/problem.h"
#include "judge/catalogue.h"
#include "read/element.h"
#include "write/review.h"

/* A description judged, without the record. Everything lives in the arena it was made in. */
struct assessed {
	const struct table *table; /* NULL: the description has faults */
	struct judgement judgement;
};

/* Resolve, compute, judge. Faults go to `problems`. */
struct assessed stages_judge(
	struct arena *arena, const struct element *unit, const struct catalogue *catalogue, struct problems *problems);

/*
 * The same with the record; NULL after faults. `path` names the file in it. The record is without the sulfide analysis, of
 * which only the table has what rules cite: it is for findings and counts, not for a review document.
 */
const struct review *stages_review(struct arena *arena, const char *path, const struct element *unit,
	const struct catalogue *catalogue, struct problems *problems);

/* Resolve and compute alone; NULL after faults. `analyses`: with what rules cite of the circuit reconciled
 * and of the sulfide analysis. */
const struct table *stages_table(
	struct arena *arena, const struct element *unit, bool analyses, struct problems *problems);

/* Does the rule cite anything of the sulfide analysis or of the circuit reconciled, so that it cannot be judged without? */
bool stages_reads_analyses(const struct rule *rule);

/* A deviation from a rule that is not in the catalogue would silently accept nothing: it is a fault. */
void stages_check_deviations(const struct table *table, const struct catalogue *catalogue, struct problems *problems);

#endif
