/*
 * What is to be stated: the values for want of which rules could not be judged, each once with all the rules that wait for it.
 */
#ifndef LEANRICH_REQUESTS_H
#define LEANRICH_REQUESTS_H

#include "judge/judge.h"

/* One missing value of one item. */
struct request {
	const struct item *item; /* NULL: the unit describes no such item */
	const char *quantity, *reason;
	enum force force; /* the highest of the rules that wait */
	const struct rule *const *rules;
	size_t rule_count;
	const struct finding *const *findings; /* those that are not judged for want of it */
	size_t finding_count;
	const char *turns; /* what it moves, where another value stands in its place; or NULL */
	bool reading;	   /* it is stated, and two readings of it are possible */
};

struct requests {
	const struct request
		*rows; /* those that required rules wait for first, then by quantity, then in the order of flow */
	size_t count;
};

/*
 * Of the findings that are not judged and that some answer would make depart, and of what was assumed and moves a
 * verdict. `ranks`: of every item by its index, in the order of flow.
 */
struct requests requests_collect(struct arena *arena, const struct judgement *judgement,
	const struct finding *const *findings, size_t count, const int *ranks);

/*
 * Is the finding not judged for what this program does not calculate, of a solution that its chemistry does not cover, or where a
 * calculation has no result? No answer of the designer helps, and none is asked for.
 */
bool finding_is_beyond(const struct finding *finding);

const char *request_id(struct arena *arena, const struct request *request); /* "STATE/E-302/area" */

#endif
