/*
 * The changes that the remedy of a rule names, from their elements: what each part sets, and its expressions compiled.
 *
 * An expression of a change sees the inputs and constants of its rule and two numbers beside them: `limit`, where the
 * governing limit is, and `now`, the attribute as it is before the change. It gives a number in SI, or a word. That its
 * attribute exists and takes the value is checked against the schema of descriptions (change_check.h).
 */
#ifndef LEANRICH_CHANGE_READ_H
#define LEANRICH_CHANGE_READ_H

#include "judge/rule_read.h"

/* Fills the changes of the rule, and why its remedy is words only; the inputs of the rule must be there. */
void change_read(struct catalogue_builder *builder, const struct element *element, struct rule *rule);

/* The variables of the rule's changes, in the order of its inputs, then `limit` and `now`; fewer where there is no room. */
size_t change_variables(const struct rule *rule, struct variable variables[EXPRESSION_VARIABLES]);

#endif
