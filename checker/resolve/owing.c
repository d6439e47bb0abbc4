#include "resolve/owing.h"

#include <stdint.h>

struct row {
	const struct quantity *quantity; /* NULL: free */
	int operating_case;
	const struct quantity *owed; /* or NULL: nothing is */
};

/* What was added, and what was answered since: a working is walked once for each case. */
struct owing {
	struct arena *arena;
	struct row *rows; /* open addressing, a power of two */
	size_t count, capacity;
};

struct owing *owing_new(struct arena *arena)
{
	struct owing *owing = arena_alloc(arena, sizeof *owing);
	*owing = (struct owing){.arena = arena};
	return owing;
}

static struct row *row_at(const struct owing *owing, const struct quantity *quantity, int operating_case)
{
	size_t mask = owing->capacity - 1;
	size_t at = ((uintptr_t)quantity / sizeof(void *) * 2654435761u ^ (size_t)operating_case * 40503u) & mask;
	while (owing->rows[at].quantity &&
		(owing->rows[at].quantity != quantity || owing->rows[at].operating_case != operating_case))
		at = (at + 1) & mask;
	return &owing->rows[at];
}

static void make_room(struct owing *owing)
{
	struct row *before = owing->rows;
	size_t old = owing->capacity;
	if (2 * (owing->count + 1) <= old)
		return;
	owing->capacity = old ? 2 * old : 64;
	owing->rows = arena_alloc(owing->arena, owing->capacity * sizeof *owing->rows);
	for (size_t i = 0; i < old; i++)
		if (before[i].quantity)
			*row_at(owing, before[i].quantity, before[i].operating_case) = before[i];
}

void owing_add(struct owing *owing, const struct quantity *common, int operating_case, const struct quantity *owed)
{
	make_room(owing);
	struct row *row = row_at(owing, common, operating_case);
	owing->count += !row->quantity;
	*row = (struct row){.quantity = common, .operating_case = operating_case, .owed = owed};
}

const struct quantity *owing_in(struct owing *owing, const struct quantity *common, int operating_case)
{
	const struct row *known = owing->capacity ? row_at(owing, common, operating_case) : NULL;
	if (known && known->quantity)
		return known->owed;
	const struct quantity *owed = NULL;
	for (size_t i = 0; !owed && i < common->input_count; i++)
		if (common->inputs[i].quantity)
			owed = owing_in(owing, common->inputs[i].quantity, operating_case);
	owing_add(owing, common, operating_case, owed);
	return owed;
}
