/*
 * Changes of rules against the schema of descriptions: an attribute that no item of the selected kinds can carry, a value
 * outside its type, a step of the table of pipes of what is no size, and an element that cannot be added there would be
 * found out only when somebody's unit departs.
 *
 * An item reached by a reference attribute may be of any kind, so that only the name of the attribute is checked there.
 */
#ifndef LEANRICH_CHANGE_CHECK_H
#define LEANRICH_CHANGE_CHECK_H

#include "judge/catalogue.h"

void changes_check(const struct catalogue *catalogue, const struct vocabulary *units, struct problems *problems);

#endif
