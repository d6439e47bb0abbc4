/*
 * What goes back to an arena between two marks, and what does not.
 */
#include <criterion/criterion.h>
#include <string.h>

#include "base/arena.h"

static struct arena arena;

static void end(void)
{
	arena_release(&arena);
}

TestSuite(arena, .fini = end);

/* A piece of the size, every byte of it zero before it is written to. */
static unsigned char *piece_of(size_t size)
{
	unsigned char *piece = arena_alloc(&arena, size);
	for (size_t i = 0; i < size; i++)
		cr_assert_eq(piece[i], 0, "byte %zu of %zu", i, size);
	return memset(piece, 0xA5, size);
}

/* So much that the open block is one that the system zeroes, and has room. */
static void fill(void)
{
	for (int i = 0; i < 1000; i++)
		piece_of(100);
}

static void goes_back(void)
{
	const unsigned char *kept = piece_of(24);
	const size_t bytes = arena.bytes;
	const struct arena_mark before = arena_mark(&arena);
	const unsigned char *first = piece_of(40);
	piece_of(3);
	arena_rewind(&arena, before, arena_mark(&arena));
	cr_expect_eq(arena.bytes, bytes);
	cr_expect_eq(piece_of(64), first);
	cr_expect_eq(kept[0], 0xA5);
	cr_expect_eq(kept[23], 0xA5);
}

Test(arena, what_is_between_two_marks_goes_back_and_is_zero_again)
{
	goes_back();
	fill();
	goes_back();
}

Test(arena, nothing_goes_back_where_more_was_handed_out_since)
{
	piece_of(8);
	const struct arena_mark before = arena_mark(&arena);
	const unsigned char *first = piece_of(8);
	const struct arena_mark after = arena_mark(&arena);
	const unsigned char *later = piece_of(8);
	const size_t bytes = arena.bytes;
	arena_rewind(&arena, before, after);
	cr_expect_eq(arena.bytes, bytes);
	cr_expect_neq(piece_of(8), first);
	cr_expect_eq(first[0], 0xA5);
	cr_expect_eq(later[0], 0xA5);
}

Test(arena, nothing_goes_back_from_another_block)
{
	const struct arena_mark empty = arena_mark(&arena);
	const unsigned char *first = piece_of(8);
	arena_rewind(&arena, empty, arena_mark(&arena));
	cr_expect_eq(first[0], 0xA5); /* the mark is of no block */
	const struct arena_mark before = arena_mark(&arena);
	const struct arena_block *block = arena.last;
	while (arena.last == block)
		piece_of(100);
	const size_t bytes = arena.bytes;
	arena_rewind(&arena, before, arena_mark(&arena));
	cr_expect_eq(arena.bytes, bytes);
	cr_expect_eq(first[0], 0xA5);
}

Test(arena, marks_in_the_wrong_order_and_equal_ones_take_nothing_back)
{
	const struct arena_mark before = arena_mark(&arena);
	arena_rewind(&arena, before, before); /* of an empty arena */
	const unsigned char *first = piece_of(16);
	const struct arena_mark middle = arena_mark(&arena);
	piece_of(16);
	const struct arena_mark after = arena_mark(&arena);
	const size_t bytes = arena.bytes;
	arena_rewind(&arena, after, middle);
	arena_rewind(&arena, after, after);
	cr_expect_eq(arena.bytes, bytes);
	cr_expect_eq(first[15], 0xA5);
}

Test(arena, a_large_piece_between_two_marks_stays_and_the_rest_goes_back)
{
	enum { LARGE = 1000 * 1000 };
	piece_of(8);
	const struct arena_mark before = arena_mark(&arena);
	const unsigned char *small = piece_of(8);
	const unsigned char *large = piece_of(LARGE); /* has a block to itself: the open one stays open */
	arena_rewind(&arena, before, arena_mark(&arena));
	cr_expect_eq(piece_of(8), small);
	cr_expect_eq(large[LARGE - 1], 0xA5);
}

Test(arena, the_last_piece_goes_back_and_no_other)
{
	const unsigned char *first = piece_of(20);
	const size_t bytes = arena.bytes;
	const unsigned char *second = piece_of(20);
	arena_undo(&arena, second, 20);
	cr_expect_eq(arena.bytes, bytes);
	cr_expect_eq(piece_of(20), second);
	const size_t both = arena.bytes;
	arena_undo(&arena, first, 20);
	cr_expect_eq(arena.bytes, both);
	cr_expect_eq(first[19], 0xA5);
	fill();
	const unsigned char *last = piece_of(50);
	arena_undo(&arena, last, 50);
	cr_expect_eq(piece_of(50), last);
	struct arena none = {0};
	arena_undo(&none, first, 20);
	cr_expect_null(none.last);
}
