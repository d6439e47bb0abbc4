#include "revamp/plan_cover.h"

#include <stdlib.h>
#include <string.h>

enum { STEPS_MOST = 50000 };

struct search {
	struct arena *arena;
	const struct cover_problem *problem;
	size_t *times;	/* how often each goal is covered */
	size_t *ways;	/* by how many choices each goal could be */
	bool *together; /* goals x goals: does any choice cover both? */
	size_t *apart;	/* room for goals that share no choice */
	size_t *chosen; /* in the order in which they were chosen */
	size_t chosen_count, size, most, steps;
	struct covers found;
};

static bool covers(const struct search *search, size_t choice, size_t goal)
{
	return search->problem->covers[choice * search->problem->goals + goal];
}

/* Open goals no two of which one choice covers: each needs one of its own. */
static size_t least_needed(const struct search *search)
{
	size_t goals = search->problem->goals, count = 0;
	for (size_t g = 0; g < goals; g++) {
		bool alone = !search->times[g];
		for (size_t i = 0; alone && i < count; i++)
			alone = !search->together[g * goals + search->apart[i]];
		if (alone)
			search->apart[count++] = g;
	}
	return count;
}

/* The open goal that the fewest choices cover; the number of goals where none is open. */
static size_t hardest(const struct search *search)
{
	size_t goals = search->problem->goals, best = goals;
	for (size_t g = 0; g < goals; g++)
		if (!search->times[g] && (best == goals || search->ways[g] < search->ways[best]))
			best = g;
	return best;
}

static void choose(struct search *search, size_t choice, bool taken)
{
	for (size_t g = 0; g < search->problem->goals; g++)
		if (covers(search, choice, g))
			search->times[g] += taken ? 1 : (size_t)-1;
	if (taken)
		search->chosen[search->chosen_count++] = choice;
	else
		search->chosen_count--;
}

/* Does each of the chosen cover something that no other does? */
static bool is_irredundant(const struct search *search)
{
	for (size_t i = 0; i < search->chosen_count; i++) {
		bool needed = false;
		for (size_t g = 0; g < search->problem->goals; g++)
			needed = needed || (search->times[g] == 1 && covers(search, search->chosen[i], g));
		if (!needed)
			return false;
	}
	return true;
}

static int by_number(const void *left, const void *right)
{
	size_t a = *(const size_t *)left, b = *(const size_t *)right;
	return a < b ? -1 : a > b;
}

static bool is_known(const struct search *search, const size_t *choices)
{
	for (size_t i = 0; i < search->found.count; i++)
		if (memcmp(search->found.rows[i].choices, choices, search->chosen_count * sizeof *choices) == 0)
			return true;
	return false;
}

static void keep(struct search *search)
{
	struct covers *found = &search->found;
	size_t bytes = search->chosen_count * sizeof(size_t);
	size_t *choices = arena_alloc(search->arena, bytes + 1);
	if (search->chosen_count < search->size || !is_irredundant(search))
		return;
	memcpy(choices, search->chosen, bytes);
	qsort(choices, search->chosen_count, sizeof *choices, by_number);
	if (is_known(search, choices))
		return;
	found->rows = arena_grow(search->arena, found->rows, found->count, &found->capacity, sizeof *found->rows);
	found->rows[found->count++] = (struct cover){.choices = choices, .count = search->chosen_count};
}

static void extend(struct search *search)
{
	size_t goal = hardest(search);
	if (++search->steps > STEPS_MOST)
		search->found.given_up = true;
	if (search->found.given_up || search->found.count == search->most)
		return;
	if (goal == search->problem->goals) {
		keep(search);
		return;
	}
	if (search->chosen_count + least_needed(search) > search->size)
		return;
	for (size_t c = 0; c < search->problem->choices; c++)
		if (covers(search, c, goal)) {
			choose(search, c, true);
			extend(search);
			choose(search, c, false);
		}
}

static struct search begin(struct arena *arena, const struct cover_problem *problem)
{
	size_t goals = problem->goals;
	struct search search = {.arena = arena,
		.problem = problem,
		.times = arena_alloc(arena, (goals + 1) * sizeof *search.times),
		.ways = arena_alloc(arena, (goals + 1) * sizeof *search.ways),
		.together = arena_alloc(arena, (goals * goals + 1) * sizeof *search.together),
		.apart = arena_alloc(arena, (goals + 1) * sizeof *search.apart),
		.chosen = arena_alloc(arena, (problem->choices + 1) * sizeof *search.chosen)};
	for (size_t c = 0; c < problem->choices; c++)
		for (size_t g = 0; g < goals; g++) {
			search.ways[g] += covers(&search, c, g);
			for (size_t h = 0; covers(&search, c, g) && h < goals; h++)
				search.together[g * goals + h] =
					search.together[g * goals + h] || covers(&search, c, h);
		}
	return search;
}

struct covers covers_of_size(struct arena *arena, const struct cover_problem *problem, size_t size, size_t most)
{
	struct search search = begin(arena, problem);
	search.size = size;
	search.most = most;
	extend(&search);
	return search.found;
}

/* The choice that covers the most open goals, the first of several; the number of choices where none covers any. */
static size_t widest(const struct search *search)
{
	size_t best = search->problem->choices, most = 0;
	for (size_t c = 0; c < search->problem->choices; c++) {
		size_t count = 0;
		for (size_t g = 0; g < search->problem->goals; g++)
			count += !search->times[g] && covers(search, c, g);
		if (count > most) {
			most = count;
			best = c;
		}
	}
	return best;
}

struct covers covers_greedy(struct arena *arena, const struct cover_problem *problem)
{
	struct search search = begin(arena, problem);
	for (size_t c = widest(&search); c < problem->choices; c = widest(&search))
		choose(&search, c, true);
	for (size_t i = 0; i < search.chosen_count;) { /* what later ones have made needless */
		size_t choice = search.chosen[i];
		bool needed = false;
		for (size_t g = 0; g < problem->goals; g++)
			needed = needed || (search.times[g] == 1 && covers(&search, choice, g));
		if (needed) {
			i++;
			continue;
		}
		size_t last = search.chosen[search.chosen_count - 1];
		choose(&search, choice, false);
		search.chosen[i] = last;
	}
	search.size = search.chosen_count;
	keep(&search);
	search.found.given_up = true;
	return search.found;
}

struct covers covers_least(struct arena *arena, const struct cover_problem *problem, size_t most)
{
	struct covers found = {.given_up = false};
	for (size_t size = 0; size <= problem->goals && !found.count && !found.given_up; size++)
		found = covers_of_size(arena, problem, size, most);
	return found.given_up && !found.count ? covers_greedy(arena, problem) : found;
}
