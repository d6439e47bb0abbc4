/*
 * What is said of the past of an item and cannot be so: a repair that is older than what it repairs, and a stress relief hotter
 * than 1000 degC, which no steel is stress relieved at (the furnace chart was misread, or a digit is one too many). It judges no
 * practice: a treatment that is merely wrong is a matter of the rules.
 */
#ifndef LEANRICH_HISTORY_H
#define LEANRICH_HISTORY_H

#include "base/problem.h"
#include "resolve/table.h"

/* Reports every fault at the value that is wrong. After values were handed down. */
void history_check(const struct table *table, struct problems *problems);

/* Is a value of this name one that is checked, or checked against? */
bool history_checks(const char *name);

#endif
