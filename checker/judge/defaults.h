/*
 * What a rule takes where nobody states anything (`absent` of an input), or what a calculation reads silence as
 * (cladding that is nowhere spoken of), tried otherwise: a default whose other values change what is to be done about an
 * item is a question, as any other value that is assumed.
 *
 * Tried are answers and words: yes and no, the choices of the schema, the words that the rule names. Chemistry is not
 * calculated again: what is varied is what the rule itself sees. Where nothing departs with a default that the rule
 * gives a reason for (`absent-why`), silence is well understood and nobody is asked; nor is anybody for what cannot be
 * stated.
 */
#ifndef LEANRICH_DEFAULTS_H
#define LEANRICH_DEFAULTS_H

#include "judge/assumption.h"

/* Adds to the list what hangs on the defaults of the findings, which are as they stand. `table`, `only_case` as in judge(). */
void defaults_weigh(struct assumption_list *list, const struct catalogue *catalogue, const struct table *table,
	const struct finding *findings, size_t count, int only_case);

#endif
