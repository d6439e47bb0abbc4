/*
 * Which ways of damage are credible for each place, which are not, and why; in what condition it is, where to look, how and when.
 *
 * A place is an item with metal, and every repair, hot tap, nozzle and weld whose condition differs from that of what it is in:
 * its stress relief, the metal that is touched, a hardness of its own, or something found. The condition is read from the
 * quantities of condition.h, contact.h and sour.h, which the rules read too. In a unit without H2S the mechanisms that need it are
 * not spoken of (damage_concerns).
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

/* When to look, told in words and never as a date: what could fail first, and how badly, goes first. */
enum urgency {
	URGENCY_BEFORE_RESTART, /* found already, thinner than it must be, or work that was left untreated where steel cracks */
	URGENCY_NEXT_STOP, /* may crack, and breaks without a leak before it */
	URGENCY_NORMAL,	   /* loses metal, or cracks slowly: seen in time at the interval of the code */
	URGENCY_NONE,	   /* nothing is credible as described */
};

struct damage {
	const struct item *item;
	struct damage_answer answers[MECHANISM_COUNT];
	enum urgency urgency;
	const char *condition; /* "carbon steel; as welded; 262 HV in the heat-affected zone; up to 115 degC" */
	const char *open;      /* what is not known of it, as attributes: "hic-tested, pwht (no record)"; "": nothing */
};

const char *urgency_word(enum urgency urgency);

/* Is the mechanism spoken of in this unit at all? */
bool damage_concerns(const struct table *table, enum mechanism mechanism);

/* Every place with metal that amine, its gas or its water can reach, by urgency, then in the order of the description. */
const struct damage *damage_make(struct arena *arena, const struct table *table, size_t *count);

#endif
