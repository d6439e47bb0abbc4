#include "base/name_index.h"

#include <string.h>

static struct indexed_name *place_of(const struct name_index *index, const char *name, uint32_t hash)
{
	size_t mask = index->capacity - 1, at = hash & mask;
	while (index->rows[at].name && (index->rows[at].hash != hash || strcmp(index->rows[at].name, name) != 0))
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
		if (before[i].name)
			*place_of(index, before[i].name, before[i].hash) = before[i];
}

size_t name_index_of(struct name_index *index, const char *name, uint32_t hash)
{
	make_room(index);
	struct indexed_name *row = place_of(index, name, hash);
	if (!row->name)
		*row = (struct indexed_name){
			.name = arena_copy(index->arena, name), .hash = hash, .number = (uint32_t)index->count++};
	return row->number;
}
