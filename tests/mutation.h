/*
 * Designs spoilt on purpose: every element and every attribute of a description taken away, every value replaced by one that
 * is wrong or another, one at a time, and the whole review run on each.
 *
 * What is spoilt must be refused with line and column, or be judged; nothing may crash, hang or give a number that is none.
 * And nothing may pass because it is silent: where some value of an attribute makes a rule depart, the rule may not be met, and
 * may not stop to apply, when the attribute is taken away, unless what it then rests on is known from elsewhere and shown, or
 * the review names what the rule would have to be told.
 */
#ifndef LEANRICH_TESTS_MUTATION_H
#define LEANRICH_TESTS_MUTATION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "judge/catalogue.h"
#include "read/vocabulary.h"

enum mutation {
	MUTATION_ELEMENT_REMOVED,
	MUTATION_REMOVED,
	MUTATION_ZERO,
	MUTATION_NEGATIVE,
	MUTATION_HUGE,
	MUTATION_NAN,
	MUTATION_INFINITE,
	MUTATION_UNKNOWN_UNIT,
	MUTATION_WRONG_KIND,
	MUTATION_EMPTY,
	MUTATION_LONG,
	MUTATION_LONG_NUMBER,
	MUTATION_HALF, /* and twice: sound values, to see what else can be found */
	MUTATION_TWICE,
	MUTATION_OTHER_WORD, /* each other choice, and yes for no */
	MUTATION_NO_WORD,
	MUTATION_OTHER_REFERENCE,
	MUTATION_KINDS
};

enum fate {
	FATE_REFUSED,
	FATE_STATE,	/* some rule is no longer judged */
	FATE_ANEW,	/* some verdict is another, none of them for want of data */
	FATE_UNCHANGED, /* rules read it, and every verdict stays */
	FATE_UNREAD,	/* no rule reads it */
	FATES
};

struct mutation_counts {
	size_t fates[MUTATION_KINDS][FATES];
	size_t faults;	  /* each is printed */
	size_t explained; /* of those that pass without the attribute: by a default or by what is stated elsewhere */
};

/*
 * Spoils every step-th element and attribute of a description, beginning with the offset-th. Faults and what is explained go
 * to `out`, a line each.
 */
void mutate_design(const char *path, size_t step, size_t offset, const struct vocabulary *vocabulary,
	const struct catalogue *catalogue, struct mutation_counts *counts, FILE *out);

void mutation_print(const struct mutation_counts *counts, FILE *out);

#endif
