/* The comparison as a document, as a record, and as a summary; each prints what compare.h holds. */
#ifndef LEANRICH_WRITE_COMPARE_H
#define LEANRICH_WRITE_COMPARE_H

#include <stdio.h>

#include "revamp/compare.h"

bool write_compare_html(const void *comparison, FILE *out); /* of a struct comparison */
bool write_compare_json(const void *comparison, FILE *out);
bool write_compare_text(const struct comparison *comparison, FILE *out);

/* Words that the three share, in the arena: what the value did, an input that differs, what a group does when put back. */
const char *compare_values(struct arena *arena, const struct change_row *row);
const char *compare_input(struct arena *arena, const struct difference *difference);
const char *compare_part(struct arena *arena, const struct change_row *row, enum input_group group);
const char *compare_remainder(
	struct arena *arena, const struct change_row *row);			/* "" when there is nothing left over */
const char *compare_instead(struct arena *arena, const struct change_row *row); /* "" when no other rule took over */
/* Why one finding is no more; how many of those resolved are so for which reason. */
const char *compare_resolved(const struct comparison *comparison, const struct change_row *row);
const char *compare_resolution(struct arena *arena, const struct comparison *comparison);
const char *compare_condition(struct arena *arena, const struct condition_change *change);

#endif
