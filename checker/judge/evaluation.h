/*
 * One rule before one item in one operating case: what the rule sees of the resolved table, and what is missing.
 *
 * Shared by the judge (judge.c) and the weighing of limits (weigh.c); nobody else needs it.
 */
#ifndef LEANRICH_EVALUATION_H
#define LEANRICH_EVALUATION_H

#include "judge/judge.h"
#include "judge/unstated.h"

/* A value that stands where a rule would take its default, since nobody states any (defaults.h). */
struct instead_of_default {
	const struct item *holder; /* NULL: none */
	const char *quantity;
	const struct quantity *value;
};

/* What all evaluations of one judging share. */
struct judge_context {
	struct arena *arena;
	const struct catalogue *catalogue;
	const struct table *table;
	struct evaluator *evaluator;
	struct finding *by_case;	    /* room for one rule on one item in every case */
	int only_case;			    /* EVERY_CASE: all */
	const struct judged_before *before; /* the same unit with other values; NULL: none */
	bool wordless;			    /* findings stay without message and remedy (judge_said) */
	struct instead_of_default instead;
	struct unstated *unstated; /* what was said to be missing; NULL: it is said anew each time */
	const char *no_data;	   /* why the solvent's chemistry rests on no measurement; NULL: it does (no_data.h) */
};

/* One rule before one item in one case. */
struct evaluation {
	const struct judge_context *context;
	const struct rule *rule;
	const struct item *item;
	int operating_case;
	const struct quantity *values[EXPRESSION_VARIABLES];
	const struct item *holders[EXPRESSION_VARIABLES]; /* whose value it is; NULL: no such item */
	struct binding binding;
	const struct condition *supposed; /* words that are not known and tried (both_ways.h) */
	size_t supposed_count;
	uint32_t asked_instead; /* inputs that are not known and for which the rule says what to ask */
	uint32_t unknown;	/* inputs whose being unknown matters */
	struct missing *missing;
	size_t missing_count, missing_capacity;
	struct limit_result *limits; /* one for each of the rule, once it is known to apply */
	size_t limit_count;
	const struct limit_result *governing;
	enum truth result; /* does the item do what the rule asks */
	bool on_silence;   /* it is met by nothing but what silence is declared to mean */
};

/* Binds every input: the item's value, another item's, a constant, the rule's default, or unknown with the reason. */
void evaluation_bind(struct evaluation *evaluation);

/*
 * The same in two steps: what nobody states is unknown without a reason until the second, of these inputs, which costs time and memory
 * for every value that is wanting. Between them it may be asked whether the rule applies, not what is missing.
 */
void evaluation_bind_wordless(struct evaluation *evaluation);
void evaluation_put_lacking(struct evaluation *evaluation, uint32_t inputs);

/*
 * Does the rule see the same in both cases (of one rule and item)? Every input is the same value, or unknown in both, and the
 * words by which it selects and narrows, and the barometric pressure a gauge limit refers to, differ by no case.
 */
bool evaluation_has_same_inputs(const struct evaluation *a, const struct evaluation *b);

/* The inputs that an expression of the rule cites or a limit judges; those, and those that narrow a limit. */
uint32_t rule_cites(const struct rule *rule);
uint32_t rule_decides(const struct rule *rule);

/* The inputs that are the same quantity of the same item as input `i`: what is tried of one holds for all of them. */
uint32_t evaluation_same_quantity(const struct evaluation *evaluation, size_t i);

/* Marks as read what was bound: the rule concerns the item. A default of the rule carries no mark. */
void evaluation_read(const struct evaluation *evaluation);

/* Names the variables of the binding; `variables` has room for EXPRESSION_VARIABLES and outlives the evaluation. */
void evaluation_name_variables(struct evaluation *evaluation, struct variable *variables);

/* Does any selection of the rule take the item? PERHAPS names what is not stated among the missing. */
enum truth evaluation_selected(struct evaluation *evaluation);
bool rule_selects_kind(const struct rule *rule, const char *kind);

/* Do all words hold? With `note`, what cannot be known is added to the missing. */
enum truth evaluation_conditions(struct evaluation *evaluation, struct conditions conditions, bool note);

/* Is a word by which the rule selects or narrows not known, and no input of the rule? And adds what it lacks to the missing. */
bool evaluation_lacks_word(const struct evaluation *evaluation, const char *name);
void evaluation_note_word(struct evaluation *evaluation, const char *name);

void evaluation_note_missing(
	struct evaluation *evaluation, const struct item *item, const char *quantity, const char *reason);

/* Adds what lies at the root of every input marked in `unknown` to the missing. */
void evaluation_note_unknown(struct evaluation *evaluation);

/* Adds what would take the place of the default of input `i` to the missing; nothing where nobody can state it. */
void evaluation_note_default(struct evaluation *evaluation, size_t i);

/* Adds every input marked in `inputs` that stands for silence without a reason to the missing. */
void evaluation_note_silent(struct evaluation *evaluation, uint32_t inputs);

/* The verdict of a rule that selects the item as far as `applies` says, and the finding that it makes (judge.c). */
enum verdict judge_evaluation(struct evaluation *evaluation, enum truth applies);
struct finding judge_finding_of(const struct evaluation *evaluation, enum verdict verdict);

/*
 * What judges a unit in `only_case` (EVERY_CASE: all) with words; its evaluator is its owner's to release. There is no room
 * for cases yet: `by_case` is allocated by whoever knows how long it is to last.
 */
struct judge_context judge_context_open(
	struct arena *arena, const struct catalogue *catalogue, const struct table *table, int only_case);

/* One rule on one item over all cases, as the context says. False: the rule does not select the item in any. */
bool judge_item(
	const struct judge_context *context, const struct rule *rule, const struct item *item, struct finding *worst);

/* What the finding is to show as seen: every input where it applies, else those that say anything. */
void judge_show_inputs(const struct evaluation *evaluation, struct finding *finding);

/* Message and remedy of a finding (judge_words.c). */
void judge_put_in_words(const struct judge_context *context, struct finding *finding);

#endif
