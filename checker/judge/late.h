/*
 * Quantities that judging itself makes, over the computed table: what became of deviations, and what the package's own claims and
 * limits come to. A rule that cites one waits until all others are judged.
 */
#ifndef LEANRICH_LATE_H
#define LEANRICH_LATE_H

#include "judge/catalogue.h"

/* Their names; NULL ends the list. */
extern const char *const late_names[];

/* Does a rule of these inputs cite one? Told once, when the rule is read. */
bool late_asked_for(const struct rule_input *inputs, size_t count);

static inline bool rule_is_late(const struct rule *rule)
{
	return rule->late;
}

#endif
