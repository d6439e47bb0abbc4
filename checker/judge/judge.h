/*
 * Judging: every rule over every item in every operating case, seeing only the resolved table.
 *
 * Logic has three values. A rule whose inputs are not known is "not judged" and names what is missing; it is never
 * passed by accident. A finding is one rule on one item: its case is the one in which it is worst.
 */
#ifndef LEANRICH_JUDGE_H
#define LEANRICH_JUDGE_H

#include "judge/catalogue.h"
#include "resolve/table.h"

struct answer;

struct limit_result {
	const struct limit *limit;
	enum truth met;
	bool applied; /* the limit is for this item and comparable with the value */
	bool governs;
	bool borderline;   /* within the value's uncertainty of the limit, or on it */
	double at;	   /* SI: where the limit is at this site; a gauge limit moves with the barometric pressure */
	double margin;	   /* SI of the kind: positive beyond the limit, negative inside; 0 when not comparable */
	const char *aside; /* why it is not applied, or "" */
};

/* What became of a rule on an item in one case (outcomes.h). */
struct outcome {
	int operating_case;
	enum verdict verdict;
	const struct quantity *value; /* what was compared, or NULL */
	const char *cause;	      /* of a departure, where it is another than that of the worst case; else "" */
};

/* What a rule saw for one of its inputs. */
struct seen_input {
	const struct item *item; /* whose it is; NULL: a constant, or no such item */
	const struct quantity *quantity;
};

struct finding {
	const struct rule *rule;
	const struct item *item;
	int operating_case; /* EVERY_CASE: the same in all */
	enum verdict verdict;
	enum force force;
	enum certainty certainty;
	const char *why_force;
	const char *
		assumed; /* why it is screening at most: what its case takes from the normal one, data that nobody read,
				two correlations of which it departs by one only; or NULL */
	const struct quantity *value;	      /* what was compared, or NULL */
	const struct limit_result *limits;    /* none where the rule does not apply */
	const struct limit_result *governing; /* or NULL */
	const struct missing *missing;	      /* for want of which it is not judged, or does not apply */
	const struct seen_input *inputs;      /* as they were, in the order of the rule: those in `seen` */
	const struct outcome *cases;	      /* the first and every one that departs, where they differ */
	const char *message, *remedy;
	const struct finding *beneath; /* of a balance: that of the one statement that explains it; or NULL */
	const char *unsettled; /* what it would be with the other value of a contradiction, or NULL: it rests on none */
	const struct item *rests_on; /* what the finding on that contradiction is about; NULL: there is none */
	const char *turns;    /* not judged: what turns it, "departs if pwht is no; meets if pwht is yes"; or NULL */
	const char *whatever; /* judged although not all is known: "whatever pwht is"; or NULL */
	const struct item *deviation; /* the recorded deviation that accepts it, or NULL */
	uint32_t limit_count, missing_count, input_count, outcome_count;
	uint32_t seen; /* a bit for each input of the rule: all; where it does not apply, what says anything */
	bool remark;   /* not asked for: a contradiction that turns no verdict, or told beneath another finding */
	bool idle;     /* not judged, and no value of what is missing would make it depart: nothing is asked for */
};

/* The k-th of the inputs as the input of a calculation, called as the rule calls it. */
struct input finding_input(const struct finding *finding, size_t k);

/*
 * A value that stands for want of one (ASSUMED), or of which two readings are possible, and that moves verdicts: the unit was
 * judged again with another (pipeline/assumed.h).
 */
struct assumption {
	const struct item *item;
	const char *quantity;		       /* "film-age" */
	const char *reason;		       /* "film-age of basis is not stated: 8000 h is assumed" */
	const char *turns;		       /* "with 720 h SUL-001 on E-402 departs" */
	const struct finding *const *findings; /* as they are here, each moved by some value tried */
	size_t count;
	bool reading;	  /* it is stated, and two readings of it are possible */
	enum force force; /* of the worst that departs on either side */
};

struct judgement {
	const struct finding *findings; /* every rule that selects an item, whatever the verdict; by rule, then item */
	size_t count;
	const struct finding **as_judged; /* of each that judgement_change gave: as it was before; else NULL */
	struct finding *own;		  /* `findings`, for judgement_change */
	size_t considered;		  /* rules looked at */
	const struct rule **idle;	  /* rules that select nothing in this unit */
	size_t idle_count;
	const struct assumption *assumptions;
	size_t assumption_count;
	const struct table *told;     /* what late rules (late.h) were judged on */
	const struct answer *answers; /* to claims, limits and deviations of the package (answers.h) */
	size_t answer_count;
};

/* `only_case`: one operating case, or EVERY_CASE for all of them. */
struct judgement judge(
	struct arena *arena, const struct catalogue *catalogue, const struct table *table, int only_case);

/* A unit that was judged, in every case or in the one that is asked for again. */
struct judged_before {
	const struct table *table; /* NULL: none */
	const struct finding *findings;
	const struct finding *const *as_judged; /* in the place of those that were weighed since */
	size_t count;
};

/* A judgement on this table as it was before anything was weighed with other values; and one finding of it. */
struct judged_before judgement_before(const struct table *table, const struct judgement *judgement);
const struct finding *judged_finding(const struct judged_before *before, size_t i);

/*
 * The same without message and remedy of the findings, for who compares verdicts; and one of those findings with them. Not of one
 * that a deviation accepts, whose words are those of the departure. `arena`: of the words. Where the unit was judged with other
 * values `before` (or NULL), by all of these rules, and the watcher of the table leaves an item out for a rule (table_visits), what
 * was found is taken over.
 */
struct judgement judge_verdicts(struct arena *arena, const struct catalogue *catalogue, const struct table *table,
	int only_case, const struct judged_before *before);
struct finding judge_said(struct arena *arena, const struct judgement *judgement, const struct table *table,
	const struct finding *finding);

/*
 * One rule on one item of a unit, over all its cases, without a look at deviations: for tests of what a verdict rests on. False: the
 * rule does not select the item.
 */
bool judge_one(struct arena *arena, const struct catalogue *catalogue, const struct table *table,
	const struct rule *rule, const struct item *item, struct finding *finding);

/* The same without message and remedy, and with deviations. The item is one of the description, the rule none that is late (late.h). */
bool judge_verdict(struct arena *arena, const struct catalogue *catalogue, const struct table *table,
	const struct rule *rule, const struct item *item, struct finding *finding);

/* One rule on given inputs, without a unit: for the examples of a rule. The table holds one item, `item`. */
struct finding judge_example(struct arena *arena, const struct rule *rule, const struct catalogue *catalogue,
	const struct example *example, struct problems *problems);

/* A finding of the judgement that is about to be changed. As it was judged it is kept in `arena`. */
struct finding *judgement_change(struct arena *arena, const struct judgement *judgement, size_t i);

#endif
