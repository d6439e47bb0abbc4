/*
 * The fewest choices that cover all goals, against trying every set. Problems are drawn at random, the same every time.
 */
#include <criterion/criterion.h>
#include <stdlib.h>

#include "base/count.h"
#include "drawn.h"
#include "revamp/plan_cover.h"

static size_t covered(const struct cover_problem *problem, size_t set)
{
	size_t count = 0;
	for (size_t g = 0; g < problem->goals; g++) {
		bool any = false;
		for (size_t c = 0; c < problem->choices; c++)
			any = any || (set >> c & 1 && problem->covers[c * problem->goals + g]);
		count += any;
	}
	return count;
}

static size_t ones(size_t set)
{
	size_t count = 0;
	for (; set; set &= set - 1)
		count++;
	return count;
}

/* How many sets of the least size cover all goals, by trying every set; the size in `least`. */
static size_t by_trying(const struct cover_problem *problem, size_t *least)
{
	size_t found = 0;
	*least = SIZE_MAX;
	for (size_t set = 0; set < (size_t)1 << problem->choices; set++) {
		size_t size = ones(set);
		if (covered(problem, set) < problem->goals || size > *least)
			continue;
		found = size < *least ? 1 : found + 1;
		*least = size;
	}
	return found;
}

Test(plan_cover, covers_are_those_that_trying_every_set_finds)
{
	enum { CHOICES = 9, GOALS = 7, PROBLEMS = 60 };
	unsigned seed = 7;
	struct arena arena = {0};
	for (int p = 0; p < PROBLEMS; p++) {
		bool covers[CHOICES * GOALS];
		for (size_t i = 0; i < COUNT(covers); i++)
			covers[i] = drawn(&seed) % 4 == 0;
		for (size_t g = 0; g < GOALS; g++)
			covers[(size_t)(drawn(&seed) % CHOICES) * GOALS + g] = true;
		struct cover_problem problem = {.choices = CHOICES, .goals = GOALS, .covers = covers};
		size_t least, count = by_trying(&problem, &least);
		struct covers found = covers_least(&arena, &problem, 1000);
		cr_expect_eq(found.count, count, "problem %d: %zu, not %zu", p, found.count, count);
		for (size_t i = 0; i < found.count; i++)
			cr_expect_eq(found.rows[i].count, least);
		cr_expect(!found.given_up);
		cr_expect_geq(covers_greedy(&arena, &problem).rows[0].count, least);
	}
	arena_release(&arena);
}
