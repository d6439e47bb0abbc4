/*
 * What each claim, operating limit and deviation of the package comes to: borne out, contradicted, or not checkable here.
 *
 * A figure is held against the value in every case it speaks of, on every item it speaks of, and against what another
 * document states of the same value; a limit of operation against every dated reading as well. Words of the closed list
 * are answered by the findings of the rules of matters.def. Operating limits are held against the limits of the
 * catalogue as well. All this after every other rule is judged; the answers become quantities that late rules cite
 * (late.h). What is not known is never borne out.
 */
#ifndef LEANRICH_ANSWERS_H
#define LEANRICH_ANSWERS_H

#include "judge/judge.h"

enum answer_state { ANSWER_BORNE_OUT, ANSWER_CONTRADICTED, ANSWER_NOT_CHECKABLE };

struct answer {
	const struct item *claim; /* of kind claim, operating-limit or deviation */
	enum answer_state state;
	const char *words;	      /* what is claimed */
	const char *found;	      /* what bears it out or contradicts it, or why it cannot be checked here */
	const struct item *on;	      /* whose value decides, or NULL */
	int operating_case;	      /* of the value; EVERY_CASE: the same in all */
	const struct quantity *value; /* that decides, or NULL */
	double beyond;		      /* SI of the value: how far beyond the figure, negative inside; NaN: no figure */
	const struct rule *rule;      /* whose finding bears on it, or NULL; and on what */
	const struct item *rule_on;
	enum force force;	 /* of a contradiction */
	struct missing missing;	 /* where it cannot be checked */
	const char *against;	 /* the claim that it contradicts: "line 12 (...)"; "none" */
	const char *beside;	 /* of an operating limit: "looser", "not looser", "not compared" */
	const char *looser_than; /* the limit of the catalogue, or "" */
	enum force looser_force;
};

struct answers {
	struct answer *rows;
	size_t count;
};

const char *answer_word(enum answer_state state); /* "borne out" */

/* One for each, in the order of the description. `judgement`: of all rules that are not late. */
struct answers answers_make(const struct table *table, const struct judgement *judgement);

/* Puts them into `told`, a table over the one they were made from. */
void answers_put(struct table *told, const struct answers *answers);

/* Raises the force of what a late rule says of a claim to that of what it contradicts, or is looser than. */
void answers_raise(const struct answers *answers, struct finding *finding);

/* The parts: claims in words (claim_matter.c); beside the catalogue and other claims (claim_beside.c). */
void answer_in_words(const struct table *table, const struct judgement *judgement, struct answer *answer);
void answers_beside(const struct table *table, const struct judgement *judgement, struct answers *answers);

/* The departure of this rule's kind that weighs most on a quantity of an item, or NULL. */
const struct finding *departure_on(const struct judgement *judgement, const struct item *item, const char *quantity);

/* Do the rule's limits compare this quantity, under its name or as "NAME-judged", "liquid-NAME"? */
bool rule_judges(const struct rule *rule, const char *quantity);

#endif
