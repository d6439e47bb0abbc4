/*
 * What an unknown input of a rule can be, as far as the rule can tell its values apart.
 *
 * Yes and no; of a word those that the rule names and the schema knows, and one that the rule does not
 * name where the schema has more; of a number the figures that it is compared with,
 * one between each two of them, and one at either end of what physics, or the bound that is stated, allows. Where the rule does
 * nothing with the input but compare it with what is known, these stand for all values there are: the domain is whole, and
 * what holds for each of its values holds whatever the value is. Else they are a sample, from which nothing follows but
 * what became of it.
 */
#ifndef LEANRICH_DOMAIN_H
#define LEANRICH_DOMAIN_H

#include "judge/evaluation.h"

struct domain {
	const struct quantity **rows; /* numbers rise within a kind; `reached` marks those that are borders */
	size_t count;
	bool whole;
};

/*
 * Of the inputs marked in `inputs`, which are one quantity of one item, before an evaluation that is bound. `others`: all
 * inputs that are not known, these included. `least`, `largest`: SI, within what physics allows; -HUGE_VAL and HUGE_VAL: just that.
 */
struct domain domain_of(struct arena *arena, const struct evaluation *evaluation, uint32_t inputs, uint32_t others,
	double least, double largest);

/* Of a word by which the rule selects or narrows and which is no input of it. */
struct domain domain_of_word(struct arena *arena, const struct evaluation *evaluation, const char *name);

/* Stands for every word that the rule does not name. No description holds a control character. */
bool domain_is_other(const struct quantity *quantity);

#endif
