/*
 * Rows of one operating case that repeat another's to the last digit, though what drives them differs: a table filled by copying.
 *
 * Of absorbers and treaters (what leaves, by what enters), lean/rich exchangers and regenerators. Only what a case states itself is
 * looked at; what it leaves to the normal case is assumed, and told as such elsewhere.
 */
#ifndef LEANRICH_COPIED_H
#define LEANRICH_COPIED_H

#include "resolve/table.h"

void copied_compute(struct table *table);

#endif
