/*
 * What became of the changes that remedies name when each was tried by itself: which findings asked for something else then. Filled
 * by who tries them (revamp/remedy_tried.h); here they are found again and said in words.
 */
#ifndef LEANRICH_TRIALS_H
#define LEANRICH_TRIALS_H

#include "judge/judge.h"

/* What the designer must do. The order is the order of the document and of --fail-on. */
enum action { ACTION_RESOLVE, ACTION_JUSTIFY, ACTION_CONSIDER, ACTION_STATE, ACTION_NONE };
enum { ACTION_KINDS = 4 };

/* A finding whose action is another in the variant. */
struct verdict_turn {
	const struct rule *rule;
	const char *item;	   /* tag */
	enum action before, after; /* ACTION_NONE: nothing is asked; ACTION_STATE: it cannot be judged */
};

struct remedy_trial {
	const struct rule *rule; /* of the finding whose remedy names the change */
	const char *item;	 /* tag */
	const char *change;	 /* "pwht of 6-P-3107: yes" */
	const char *fault;	 /* why it was not tried, or NULL */
	bool clears_own;	 /* its own finding asks for nothing any more */
	const struct verdict_turn *turns;
	size_t turn_count;
};

struct remedy_trials {
	const struct remedy_trial *rows; /* NULL: not asked for */
	size_t count;
};

/* Does the turn end a departure; is it a new or a graver one; a lesser one; can it not be judged any more? */
bool turn_clears(const struct verdict_turn *turn);
bool turn_breaks(const struct verdict_turn *turn);
bool turn_eases(const struct verdict_turn *turn);
bool turn_opens(const struct verdict_turn *turn);

/*
 * "clears VEL-001 on 6-P-3107; breaks FIT-002 on N3 (Justify)", each sort with its first few findings by name; without `clears` what
 * comes beside that. "": no finding turns.
 */
const char *turns_words(struct arena *arena, const struct verdict_turn *turns, size_t count, bool clears);

/* "pwht of L: yes clears CRK-001 on L"; of one that was not tried, why. */
const char *trial_words(struct arena *arena, const struct remedy_trial *trial);

/* Those of a finding are together: the first from `*at` on, which is moved behind it; NULL: there is none any more. */
const struct remedy_trial *trials_of(const struct remedy_trials *trials, const struct finding *finding, size_t *at);

/* "Tried: pwht of L: yes clears ...; size of L: NPS 6 ...": "" where nothing was. */
const char *trials_words(struct arena *arena, const struct remedy_trials *trials, const struct finding *finding);

#endif
