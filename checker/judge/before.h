/*
 * What was found of a unit with other values, for who judges it again: by rule and then by item.
 */
#ifndef LEANRICH_BEFORE_H
#define LEANRICH_BEFORE_H

#include "judge/evaluation.h"

/* Index of the first finding of a rule on an item, or where it would be; NULL item: of the rule. */
size_t before_first(const struct judged_before *before, const struct rule *rule, const struct item *item);

/* Is the finding at the index of the rule, and on the item (NULL: any)? */
bool before_is_of(const struct judged_before *before, size_t at, const struct rule *rule, const struct item *item);

/* It with the items of the table that is judged. */
struct finding before_renewed(const struct judge_context *context, size_t at);

#endif
