/*
 * Force follows evidence: what a demand rests on, and what a departure from it leads to, decide what is asked of the designer.
 *
 * The evidence of several limits is that of the best founded; two published sources of different authors count for more than one. A
 * rule that names no force has the one of this table; one that names it is held above it (safety list) or below it, and says why.
 * How a figure was read (enum reading) is another matter: it decides certainty.
 */
#ifndef LEANRICH_EVIDENCE_H
#define LEANRICH_EVIDENCE_H

#include "judge/catalogue.h"

/* Of the sources counted so far. Begin with {0}. */
struct evidence_sum {
	bool any;
	enum evidence best;
	const char *author; /* of a published one, or NULL */
};

/* Counts a limit in; one without a source, or shown for context, counts for nothing. */
void evidence_add(struct evidence_sum *sum, const struct limit *limit);

/* What they rest on together; practice where none was counted. */
enum evidence evidence_of(const struct evidence_sum *sum);

/* Of all limits of a rule that can govern. */
enum evidence evidence_of_limits(const struct limit *limits, size_t count);

enum force evidence_force(enum evidence evidence, enum consequence consequence);

/* Founded: more than one company's figure or practice stands behind it. */
bool evidence_is_founded(enum evidence evidence);

#endif
