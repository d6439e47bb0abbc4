/*
 * The value that a part of a change gives where a finding departs: what a description would say instead.
 *
 * A number is rounded to three digits, away from what it replaces, in the unit in which the description states the attribute, else in
 * the one its kind shows first. Where the governing limit excludes its own figure it comes to lie one digit inside.
 */
#ifndef LEANRICH_CHANGE_VALUE_H
#define LEANRICH_CHANGE_VALUE_H

#include "judge/judge.h"

/* Where a new number lies of those it may replace. */
enum toward { TOWARD_ANY, TOWARD_LOWER, TOWARD_HIGHER };

/* What is looked at. `finding`: judged on `table`, with its inputs. */
struct change_context {
	struct arena *arena;
	const struct table *table;
	const struct finding *finding;
	struct evaluator *evaluator;
};

struct changed_value {
	const char *written; /* as a description says it; NULL: it is what stands there times `factor` */
	double factor;
	bool number; /* `si` is there, SI of the kind in which it is written */
	double si;
	enum toward toward;
	const char *why; /* why there is none, where there is none; else NULL */
};

/* Of a SET or a VARY on `item` (the one that the part is about). */
struct changed_value change_value(
	const struct change_context *context, const struct change_part *part, const struct item *item);

/* The words of a part with their places filled: a literal, an attribute of what is added. */
const char *change_words(const struct change_context *context, const char *words);

#endif
