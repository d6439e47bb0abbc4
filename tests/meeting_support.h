/*
 * A small invented unit of two cases, normal and summer, with 45 wt% MDEA, for tests of statements that meet.
 */
#ifndef LEANRICH_MEETING_SUPPORT_H
#define LEANRICH_MEETING_SUPPORT_H

#include "review_support.h"

extern struct trial meeting;

void meeting_begin(void);
void meeting_end(void);

/* The unit with `body` in it, reviewed; fails where it is refused. */
void meeting_review(const char *body);

size_t meeting_contradictions(void);

/* The word of the item, in no case in particular; "" where there is none. */
const char *meeting_text(const char *item, const char *name);

/* Fails where the rule does not select the item. */
const struct finding *meeting_finding(const char *rule, const char *item);

#endif
