/*
 * The expressions of rules: XPath 1.0 over the variables of one rule, evaluated with three truth values.
 *
 * An expression has no node to look at: paths, axes, attributes and unknown functions are refused when it is compiled, so
 * it cannot loop and cannot read anything. Numbers are in SI, yes and no are booleans, words are strings.
 * XPath itself answers comparisons with something missing in surprising ways (NaN < 3 is false, not(NaN > 3) is true);
 * therefore nothing unknown ever reaches it: an expression over an unknown input is PERHAPS, except where the
 * input is a yes or no and both answers give the same result, or one is a word and every word it could be does (which can
 * be told where words are only compared). Nor can an expression make a NaN of its own: a number is
 * compared with a number only, a word with a word, a yes or no with a yes or no, and a divisor that is zero makes PERHAPS.
 */
#ifndef LEANRICH_EXPRESSION_H
#define LEANRICH_EXPRESSION_H

#include <stdint.h>

#include "base/arena.h"
#include "base/problem.h"
#include "base/truth.h"
#include "quantity/quantity.h"

enum { EXPRESSION_VARIABLES = 32 }; /* the most variables one rule may have */

struct expression {
	const char *written;
	void **compiled;    /* where what is made of it is kept once it is needed; expression_release frees that */
	uint32_t cites;	    /* bit i: the value of variable i is needed */
	uint32_t divides;   /* bit i: variable i is divided by */
	bool reads_letters; /* words are not only compared: a function looks into them */
	uint32_t
		asks_for; /* bit i: variable i has to be known; 0 where an expression asks for one to be unknown as well */
	bool first;	  /* of a condition: while it cannot be answered, the rule is not met */
	struct place place;
};

struct variable {
	const char *name;
	enum kind kind; /* of its first accepted kind: YES_NO variables may be tried both ways */
};

/* What a variable stands for in one evaluation: NULL or an UNKNOWN quantity is unknown, and so is a bound. */
struct binding {
	const struct variable *variables;
	const struct quantity *const *values;
	size_t count;
};

/* False after reporting a fault: syntax, a path, an unknown function or variable. */
bool expression_compile(struct arena *arena, const char *written, struct place place, const struct variable *variables,
	size_t count, struct problems *problems, struct expression *out);
void expression_release(const struct expression *expression);

/* An evaluator holds libxml2's context; one serves any number of evaluations. */
struct evaluator *evaluator_new(void); /* not in an arena: release it */
void evaluator_release(struct evaluator *evaluator);

/* `unknown` (may be NULL) gets the bits of the cited variables that were not known, when the answer is PERHAPS. */
enum truth expression_evaluate(struct evaluator *evaluator, const struct expression *expression,
	const struct binding *binding, uint32_t *unknown);

/*
 * The value of an expression that is no condition: a number (KIND_RATIO, SI of whatever it is) in `si`, or a word (KIND_TEXT), which is
 * in the arena. False: an input is not known, a divisor is zero, or the number is not finite; `unknown` as above.
 */
struct expressed {
	enum kind kind;
	double si;
	const char *word;
};
bool expression_value(struct arena *arena, struct evaluator *evaluator, const struct expression *expression,
	const struct binding *binding, uint32_t *unknown, struct expressed *out);

#endif
