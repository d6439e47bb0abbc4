/*
 * Which ways of damage are credible for each item, which are not, and why; where to look and how.
 *
 * It is drawn from what the description states and says nothing about time or rate. It opens questions and orders them for
 * inspection; it closes none: no answer here changes a verdict, least of all one on stress relief. "Not credible" holds for the
 * conditions described and ends with a repair, a steam-out or another stream.
 */
#ifndef LEANRICH_DAMAGE_H
#define LEANRICH_DAMAGE_H

#include "judge/expression.h"
#include "resolve/table.h"

enum mechanism {
#define MECHANISM(code, name, where, how, source) MECHANISM_##code,
#include "judge/damage.def"
#undef MECHANISM
	MECHANISM_COUNT
};

struct mechanism_row {
	const char *name, *where, *how, *source; /* source: key */
};

extern const struct mechanism_row mechanisms[MECHANISM_COUNT];

/* YES: credible. NO: not, for the reason given. PERHAPS: `why` says what has to be stated. */
struct damage_answer {
	enum truth credible;
	const char *why;
};

struct damage {
	const struct item *item;
	struct damage_answer answers[MECHANISM_COUNT];
};

/* Every item with metal that amine, its gas or its water can reach, in the order of the description. */
const struct damage *damage_make(struct arena *arena, const struct table *table, size_t *count);

#endif
