#include "base/names.h"

#include <stdlib.h>
#include <string.h>

void names_add(struct arena *arena, struct names *names, const char *name, size_t at)
{
	names->rows = arena_grow(arena, names->rows, names->count, &names->capacity, sizeof *names->rows);
	names->rows[names->count++] = (struct named){.name = name, .at = at};
}

static int by_name_and_place(const void *left, const void *right)
{
	const struct named *a = left, *b = right;
	int names = strcmp(a->name, b->name);
	return names ? names : (a->at > b->at) - (a->at < b->at);
}

void names_sort(struct names *names)
{
	if (names->count)
		qsort(names->rows, names->count, sizeof *names->rows, by_name_and_place);
}

/* How a name compares with the first `length` bytes of another: before it, the same, after it. */
static int beside(const char *name, const char *other, size_t length)
{
	int order = strncmp(name, other, length);
	return order ? order : name[length] != '\0';
}

size_t names_first(const struct names *names, const char *name, size_t length)
{
	size_t low = 0, high = names->count;
	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (beside(names->rows[middle].name, name, length) < 0)
			low = middle + 1;
		else
			high = middle;
	}
	return low < names->count && beside(names->rows[low].name, name, length) == 0 ? low : names->count;
}

size_t names_next(const struct names *names, size_t first)
{
	size_t next = first;
	while (next < names->count && strcmp(names->rows[next].name, names->rows[first].name) == 0)
		next++;
	return next;
}
