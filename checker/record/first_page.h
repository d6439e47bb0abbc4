/*
 * What the first page of a review says, on paper, on screen and on a terminal: the verdict in a sentence or two, how far the
 * description goes, and what was not looked at. The matters and the questions on it are those of the review.
 *
 * "Sound as described" is said only where nothing is to be resolved or justified and no answer that is missing, now or at a
 * later stage of the design, can lead to either; else the sentence says how far it holds. What only the finished unit can show
 * (hardness measured, what inspections found) is no gap in a design, and is named.
 */
#ifndef LEANRICH_FIRST_PAGE_H
#define LEANRICH_FIRST_PAGE_H

#include "record/review.h"

enum soundness { SOUND, SOUND_AS_FAR, SOUND_BUT_FOR, NOT_READY };
enum { FIRST_MATTERS = 5, FIRST_QUESTIONS = 3 };

enum soundness review_soundness(const struct review *review);

/* "Not ready: 12 matters are to be resolved, and 10 of them can end in loss of containment." */
const char *verdict_sentence(struct arena *arena, const struct review *review);

/* Matters with this action. */
size_t matter_count(const struct review *review, enum action action);

/* "Stress relief (C-302, E-302 and 4 more)": of the i-th matter. */
const char *matter_title(struct arena *arena, const struct review *review, size_t index, size_t places);

/* Titles of what else is to be resolved, to be named beneath the first; "": nothing. */
const char *also_to_resolve(struct arena *arena, const struct review *review, size_t places);

/* "9 more to justify, 12 to consider": what the first page does not name; "": nothing. */
const char *fewer_matters(struct arena *arena, const struct review *review);

/* What could be judged of what applies, and how many parts with a metal have it stated. */
const char *described_sentence(struct arena *arena, const struct review *review);

/* What no review looks at, and what of this description nothing read. */
const char *not_looked_at(struct arena *arena, const struct review *review);

/* ", Hot weather": the case in which a finding is worst; "" where it is the same in all, or there is only one. */
const char *matter_case(struct arena *arena, const struct review *review, const struct finding *finding);

/* What the remedy offers first, cut at a word after so many columns. */
const char *first_advice(struct arena *arena, const char *remedy, size_t columns);

#endif
