#include "record/item_list.h"

#include <string.h>

#include "base/text.h"

enum { LONGEST_NAME = 60 };

static const char at_line[] = " (line ";

/* Where the place begins in "monitoring analysis (line 313)"; NULL: it has a tag of its own. */
static const char *line_of(const struct item *item)
{
	const char *place = strstr(item->tag, at_line);
	size_t length = strlen(item->tag);
	return place && item->tag[length - 1] == ')' ? place : NULL;
}

static bool is_alike(const struct item *a, const struct item *b)
{
	const char *here = line_of(a), *there = line_of(b);
	size_t length = here ? (size_t)(here - a->tag) : 0;
	return here && there && (size_t)(there - b->tag) == length && strncmp(a->tag, b->tag, length) == 0;
}

static size_t alike(const struct item *const *items, size_t count, const struct item *item)
{
	size_t found = 0;
	for (size_t i = 0; i < count; i++)
		found += items[i] == item || is_alike(items[i], item);
	return found;
}

/* "analysis" gives "analyses", "internals" stays, "coupon" gives "coupons". */
static const char *plural(struct arena *arena, const char *word)
{
	size_t length = strlen(word);
	if (length > 2 && strcmp(word + length - 2, "is") == 0)
		return arena_format(arena, "%.*ses", (int)(length - 2), word);
	return length && word[length - 1] == 's' ? word : arena_format(arena, "%ss", word);
}

static const char *together(
	struct arena *arena, const struct item *const *items, size_t count, const struct item *first)
{
	struct text text = text_in(arena);
	const char *place = line_of(first);
	text_addf(&text, "%s (lines ", plural(arena, arena_copy_span(arena, first->tag, (size_t)(place - first->tag))));
	for (size_t i = 0, told = 0; i < count; i++)
		if (is_alike(first, items[i])) {
			const char *line = line_of(items[i]) + strlen(at_line);
			text_addf(&text, "%s%.*s", told++ ? "; " : "", (int)(strlen(line) - 1), line);
		}
	text_add(&text, ")");
	char *words = text.data;
	if (!strpbrk(place + strlen(at_line), ","))
		for (char *at = words; *at; at++)
			*at = *at == ';' ? ',' : *at;
	return words;
}

const char *item_list(struct arena *arena, const struct item *const *items, size_t count, size_t most)
{
	struct text text = text_in(arena);
	size_t names = 0, named = 0, told = 0;
	for (size_t i = 0; i < count; i++)
		names += alike(items, i, items[i]) == 0;
	size_t shown = names == most + 1 ? names : most;
	for (size_t i = 0; i < count && named < shown; i++) {
		size_t here = alike(items + i, count - i, items[i]);
		if (alike(items, i, items[i]))
			continue;
		const char *name = here > 1 ? together(arena, items, count, items[i])
					    : text_cut(arena, items[i]->tag, LONGEST_NAME);
		text_addf(&text, "%s%s", named++ ? ", " : "", name);
		told += here;
	}
	if (told < count)
		text_addf(&text, " and %zu more", count - told);
	return text.data ? text.data : "";
}
