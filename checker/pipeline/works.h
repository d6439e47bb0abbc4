/*
 * What was seen of each piece of work of a run: which values it looked at and which it put. A piece of work is what one pass of a
 * module does with one item, and what a module does before, between and after its passes; judging one rule on one item is one too.
 *
 * A value is known by a pair, its item and its name, as a number; the values of all cases are one pair. A look is twice the pair, and
 * one more where only what the description states is looked at.
 */
#ifndef LEANRICH_WORKS_H
#define LEANRICH_WORKS_H

#include <stdbool.h>
#include <stdint.h>

#include "base/arena.h"
#include "resolve/table.h"

enum { WORKS_NAMES = 2048, WORKS_ITEMS = 1024 }; /* more of either is not followed */

struct put {
	size_t item;
	int operating_case;
	const char *name;
	uint32_t pair;
	const struct quantity *quantity; /* NULL: seen in another run than the first */
};

struct work {
	uint32_t *looks;
	size_t look_count, look_capacity;
	struct put *puts; /* those of the first run, in their order, then those of others */
	size_t put_count, put_capacity, first_count;
	bool whole;  /* it looked at everything, or put something on an item that another module added */
	bool needed; /* for what is asked */
};

/* One visit of the items. */
struct pass {
	uintptr_t visitor;
	size_t turn;	       /* of several passes of one visitor */
	struct work **of_item; /* by index; NULL: it did nothing with the item */
};

/* One module, or judging. */
struct seen {
	struct pass *passes;
	size_t pass_count, pass_capacity;
	size_t pass_next;      /* most passes are asked for in their order: where to begin */
	struct work **between; /* before the first pass, after each */
	size_t between_count, between_capacity;
	struct work **works; /* all of them, in the order of the first run */
	size_t work_count, work_capacity;
	bool adds;   /* items; all its works are done again, since what they add is no value */
	bool beyond; /* it puts something on items that were added, or visits them one by one */
	bool needed;
};

/* A set of pairs or looks. */
typedef uint64_t bits;

static inline bool bits_have(const bits *set, uint32_t at)
{
	return set[at / 64] >> at % 64 & 1;
}

static inline void bits_add(bits *set, uint32_t at)
{
	set[at / 64] |= UINT64_C(1) << at % 64;
}

struct pass *works_pass(struct seen *seen, uintptr_t visitor, size_t turn); /* NULL: there was none */
struct pass *works_add_pass(struct arena *arena, struct seen *seen, uintptr_t visitor, size_t turn, size_t items);
void works_add(struct arena *arena, struct seen *seen, struct work *work);

void works_look(struct arena *arena, struct work *work, uint32_t look);
void works_put(struct arena *arena, struct work *work, struct put put);

bool works_has_put(const struct work *work, uint32_t pair, int operating_case);

/* Does it look at any of these looks; does it put any of these pairs? */
bool works_looks_at(const struct work *work, const bits *looks);
bool works_puts_any(const struct work *work, const bits *pairs);

/* Marks as needed what puts any of the pairs, and what that in turn looks at, from the last module to the first; `pairs` grows. */
void works_choose(struct seen *modules, size_t count, bits *pairs);

#endif
