/*
 * Work on many things at once comes to the same as one after another, and memory goes from one arena to another whole.
 */
#include <criterion/criterion.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/memo.h"
#include "base/parallel.h"

enum { MANY = 200 };

struct table_of_sums {
	size_t times[MANY];
	double sum[MANY];
	bool remembered[MANY];
};

static struct memo solved = {.numbers = 1, .value = sizeof(double), .places = 16};

static void add_up(size_t index, void *data)
{
	struct table_of_sums *sums = data;
	const double key = 1;
	for (size_t i = 1; i <= 1000 + index; i++)
		sums->sum[index] += 1 / (double)i;
	sums->times[index]++;
	sums->remembered[index] = memo_find(&solved, &key) != NULL;
}

Test(parallel, each_is_done_once_and_alike)
{
	static struct table_of_sums many, one;
	const double key = 1, answer = 2;
	memo_keep(&solved, &key, &answer);
	parallel_limit(4);
	parallel_each(MANY, add_up, &many);
	parallel_limit(1);
	parallel_each(MANY, add_up, &one);
	parallel_limit(0);
	parallel_each(0, add_up, &one);
	for (size_t i = 0; i < MANY; i++)
		cr_expect(many.times[i] == 1 && one.times[i] == 1 && !many.remembered[i] && !one.remembered[i],
			"%zu is done %zu and %zu times", i, many.times[i], one.times[i]);
	for (size_t i = 0; i < MANY; i++)
		cr_expect_eq(many.sum[i], one.sum[i], "%zu", i); /* to the last bit */
	cr_expect_not_null(memo_find(&solved, &key), "what was known before is known after");
	free(solved.memory);
	solved.memory = NULL;
}

Test(parallel, an_arena_takes_another_over)
{
	struct arena arena = {0}, other = {0}, empty = {0};
	char *first = arena_copy(&other, "first");
	for (int i = 0; i < 1000; i++)
		arena_alloc(&other, 500);
	size_t bytes = other.bytes;
	arena_adopt(&arena, &other);
	arena_adopt(&arena, &empty);
	cr_expect_str_eq(first, "first");
	cr_expect(arena.bytes == bytes && other.bytes == 0 && !other.last);
	const char *own = arena_copy(&arena, "own");
	other = (struct arena){0};
	const char *second = arena_copy(&other, "second");
	arena_adopt(&arena, &other);
	cr_expect_str_eq(own, "own");
	cr_expect_str_eq(second, "second");
	arena_release(&arena);
}

/* A piece that changes its size keeps what it held, whatever is beside it; small pieces go on being handed out from the open block. */
Test(parallel, a_piece_changes_its_size)
{
	enum { STEPS = 12 };
	struct arena arena = {0};
	const char *before = arena_copy(&arena, "before");
	unsigned char *first = NULL, *second = NULL;
	size_t size = 10;
	for (unsigned char step = 0; step < STEPS; step++, size *= 3) {
		first = arena_resize(&arena, first, 3 * size);
		memset(first + (step ? size : 0), step, step ? 2 * size : 3 * size);
		cr_expect_str_eq(arena_copy(&arena, "beside"), "beside");
		if (step % 2) {
			second = arena_resize(&arena, second, size);
			memset(second, 0xFF, size);
		}
	}
	size_t bytes = arena.bytes, at = 0;
	first = arena_resize(&arena, first, size / 3);
	cr_expect_lt(arena.bytes, bytes);
	size = 10;
	for (unsigned char step = 0; step < STEPS - 1; step++, size *= 3)
		for (; at < 3 * size; at++)
			cr_assert_eq(first[at], step, "%zu", at);
	cr_expect_str_eq(before, "before");
	arena_release(&arena);
	second = arena_resize(&arena, NULL, 1); /* in an arena that is empty */
	*second = 1;
	cr_expect_str_eq(arena_copy(&arena, "more"), "more");
	arena_release(&arena);
}

/* What grows in place keeps what it holds, and so does what has to move; only a piece with a block to itself goes back. */
Test(parallel, arrays_grow_and_large_pieces_go_back)
{
	enum { COUNT_OF = 5000, LARGE = 1 << 20 };
	struct arena arena = {0};
	size_t *in_place = NULL, *moved = NULL, in_place_capacity = 0, moved_capacity = 0;
	for (size_t i = 0; i < COUNT_OF; i++) {
		in_place = arena_grow(&arena, in_place, i, &in_place_capacity, sizeof *in_place);
		in_place[i] = i;
	}
	for (size_t i = 0; i < COUNT_OF; i++) {
		moved = arena_grow(&arena, moved, i, &moved_capacity, sizeof *moved);
		moved[i] = i;
		memset(arena_alloc(&arena, 24), 0xFF, 24);
	}
	for (size_t i = 0; i < COUNT_OF; i++)
		cr_assert(in_place[i] == i && moved[i] == i);
	const char *small = arena_copy(&arena, "small"), *large = memset(arena_alloc(&arena, LARGE), 1, LARGE);
	arena_give_back(&arena, small, strlen(small) + 1);
	arena_give_back(&arena, large, LARGE);
	arena_give_back(&arena, NULL, 0);
	cr_expect_str_eq(small, "small");
	for (const char *at = arena_alloc(&arena, 4096), *end = at + 4096; at < end; at++)
		cr_assert(!*at, "what is handed out is zero");
	arena_release(&arena);
}
