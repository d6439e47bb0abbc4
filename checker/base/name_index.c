#include "base/name_index.h"

static struct indexed_name *place_of(const struct name_index *index, uint32_t hash)
{
	size_t mask = index->capacity - 1, at = hash & mask;
	while (index->rows[at].number && index->rows[at].hash != hash)
		at = (at + 1) & mask;
	return &index->rows[at];
}

static void make_room(struct name_index *index)
{
	struct indexed_name *before = index->rows;
	size_t old = index->capacity;
	if (2 * (index->count + 1) <= old)
		return;
	index->capacity = old ? 2 * old : 256;
	index->rows = arena_alloc(index->arena, index->capacity * sizeof *index->rows);
	for (size_t i = 0; i < old; i++)
		if (before[i].number)
			*place_of(index, before[i].hash) = before[i];
}

const struct indexed_name *name_index_add(struct name_index *index, uint32_t hash)
{
	make_room(index);
	struct indexed_name *row = place_of(index, hash);
	if (!row->number)
		*row = (struct indexed_name){.hash = hash, .number = (uint32_t)++index->count};
	return row;
}
