/*
 * The over-stripping question in plain sentences: of one place, of the unit, of a claim. What they say was computed by
 * overstripping.c, which alone calls them.
 */
#ifndef LEANRICH_OVERSTRIPPING_WORDS_H
#define LEANRICH_OVERSTRIPPING_WORDS_H

#include "sulfide/overstripping.h"

void overstripping_say_window(struct arena *arena, struct window *window);
void overstripping_say_answers(struct arena *arena, const struct circuit *circuit, struct overstripping *out);

/* Also sets the answer: no where a cold side says no. */
void overstripping_say_claim(struct arena *arena, const struct overstripping *out, struct film_claim *claim);

#endif
