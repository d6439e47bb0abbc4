/*
 * What is checked of an expression before XPath sees it: that it looks at nothing but values it names, and that no
 * conversion of XPath's can make it pass in silence (expression.h).
 */
#ifndef LEANRICH_EXPRESSION_CHECK_H
#define LEANRICH_EXPRESSION_CHECK_H

#include "judge/expression.h"

/* NULL when all is well, else what is not; `out` gets what the expression cites and what it divides by. */
const char *expression_fault(struct arena *arena, const char *written, const struct variable *variables, size_t count,
	struct expression *out);

/* The index of a variable by name, or -1. */
int variable_index(const struct variable *variables, size_t count, const char *name);

#endif
