/*
 * Matters: what the findings of a review come to, one row for each thing that somebody has to settle, the gravest first.
 *
 * Findings with one cause are one matter (causes.def): all rules on it, at all places that it reaches. Where damage was found, or
 * a repair made, that must be resolved, everything about the state of that piece of equipment is one matter. A verdict that only
 * one of two contradicting values gives is told beneath that contradiction, which leads. So is a claim of the package beneath
 * the finding that contradicts it, and what only sees the pressure of a relief that is set too high beneath that. The record
 * keeps every finding; nothing is judged here.
 *
 * Order: by action, where what is only borderline stands with what weighs one less; by what it leads to
 * (judge/consequence.def); by certainty with borderline last; what is clearly beyond its limit before what is close to
 * it; then what the package denies; then what is better founded; then the one with more places. A matter is as grave as the gravest of its findings,
 * which leads it, but for what is told beneath a contradiction.
 */
#ifndef LEANRICH_MATTER_H
#define LEANRICH_MATTER_H

#include "judge/judge.h"

struct open_matter {
	const char *cause;		       /* "Stress relief", "State of V-305" */
	const struct finding *lead;	       /* the gravest; a contradiction before what rests on it */
	enum consequence consequence;	       /* the gravest that a finding of the force of the lead can have */
	const struct finding *const *findings; /* gravest first, what rests on another last */
	bool denied;			       /* a claim or limit of the package says otherwise */
	size_t count;
	const struct item *const *places; /* each once; without parts where what they are in has the same */
	size_t place_count;
};

struct open_matters {
	const struct open_matter *rows;
	size_t count;
};

/*
 * `judgement`: of which they are. `findings`: those that ask for something, in the order of flow, `count` of them, each with a verdict "departs" and no remark.
 */
struct open_matters matters_collect(struct arena *arena, const struct table *table, const struct judgement *judgement,
	const struct finding *const *findings, size_t count);

/* "V-305, C-301 and 3 more": the first `most` places (item_list.h). */
const char *matter_places(struct arena *arena, const struct open_matter *matter, size_t most);

/* Is any finding of `rule` on `item` in it? */
bool matter_has(const struct open_matter *matter, const struct finding *finding);

/* The cause of a rule's findings, in words of the reader. */
const char *cause_of_rule(const struct rule *rule);

#endif
