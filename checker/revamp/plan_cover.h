/*
 * The smallest covers: of several choices, each of which covers some goals, the fewest that cover all of them together.
 *
 * Exact, by branching on the goal that the fewest choices cover, with the number of goals that share no choice as the least that is still
 * needed; given up after a number of steps that no unit of ordinary size needs. What one choice does is taken to be the same
 * beside any other: whoever asks holds each cover against what it really does.
 */
#ifndef LEANRICH_PLAN_COVER_H
#define LEANRICH_PLAN_COVER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"

struct cover_problem {
	size_t choices, goals;
	const bool *covers; /* choices x goals */
};

struct cover {
	size_t *choices; /* in the order of the problem */
	size_t count;
};

struct covers {
	struct cover *rows;
	size_t count, capacity;
	bool given_up;
};

/*
 * Covers of exactly `size` choices, none of which could be left out, in the order of the choices; at most `most`. Goals that nothing
 * covers are left out of the problem by whoever asks.
 */
struct covers covers_of_size(struct arena *arena, const struct cover_problem *problem, size_t size, size_t most);

/* Those of the least size of which there are any, at most `most`. Given up: one that is small, by taking the widest choice again and again. */
struct covers covers_least(struct arena *arena, const struct cover_problem *problem, size_t most);
struct covers covers_greedy(struct arena *arena, const struct cover_problem *problem);

#endif
