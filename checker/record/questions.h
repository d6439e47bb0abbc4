/*
 * The questions that a review asks: what requests ask of one kind of thing, in one row of words, with whoever can answer it.
 *
 * No row unless some answer changes an action. The order is that of what they decide: the worst action that an answer
 * can lead to, or the next one where three answers or more would have to come together for it, or two and the verdict
 * would not be firm then either; of one action first what can end in a release, last what is only a record; what one
 * answer alone decides before what needs others; what takes away an action that stands before what may add one; then how
 * many rules, and how many verdicts, turn. What can be answered at a later stage of the project only (attribute `stage`
 * of the basis) stands after the others, and is not asked now.
 */
#ifndef LEANRICH_QUESTIONS_H
#define LEANRICH_QUESTIONS_H

#include "record/requests.h"

enum answerer {
	ANSWERER_PROCESS,
	ANSWERER_MATERIALS,
	ANSWERER_RELIEF,
	ANSWERER_LABORATORY,
	ANSWERER_INSPECTION,
	ANSWERER_VENDOR
};
enum stage { STAGE_CONCEPT, STAGE_FRONT_END, STAGE_DETAILED, STAGE_BUILT };

/* What an answer can cost, gravest first (question.def). */
enum stake { STAKE_RELEASE, STAKE_DUTY, STAKE_UPKEEP, STAKE_PAPER };

const char *answerer_word(enum answerer answerer); /* "relief study" */
const char *stage_word(enum stage stage);	   /* "front-end": as the schema says it */

struct question {
	const char *key, *words; /* "hardness", "What weld hardness was measured?" */
	const char *what;	 /* the quantities asked for: "hardness weld, hardness haz" */
	enum answerer who;
	enum stake stake;
	enum stage stage;		       /* at which it can be answered */
	bool later;			       /* than the stage of this project */
	enum force force;		       /* of the worst that an answer can lead to */
	enum force rank;		       /* that, or the next where it waits for many other answers */
	bool alone;			       /* one answer decides a verdict of that force without others */
	bool stands;			       /* an answer may take away or lessen what departs as it is */
	const struct request *const *requests; /* the items behind it, as requests_collect orders them */
	size_t request_count;
	const struct rule *const *rules;
	size_t rule_count;
	size_t verdicts; /* findings that turn with it */
	const char
		*turns; /* what turns the first of the worst: "HLP-001 departs if covers blow by is no; ..."; or "" */
};

struct questions {
	const struct question *rows; /* those asked now first, each part by what they decide */
	size_t count, now;
};

/* The stage of the project: as the basis states it, else detailed where the unit is new and built where it stands. */
enum stage project_stage(const struct table *table);

struct questions questions_collect(struct arena *arena, const struct table *table, struct requests requests);

/* "ASK/hardness" */
const char *question_id(struct arena *arena, const struct question *question);

/* "C-402, E-405, V-402 and 9 more": `most` of the items behind it, each once. */
const char *question_items(struct arena *arena, const struct question *question, size_t most);

#endif
