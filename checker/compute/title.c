#include "compute/title.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "compute/computed.h"

static const struct {
	const char *name, *words;
} titles[] = {
#define TITLE(name, words) {name, words},
#define WORD(part, written)
#include "compute/title.def"
#undef TITLE
#undef WORD
};

static const struct {
	const char *part, *written;
} parts[] = {
#define TITLE(name, words)
#define WORD(part, written) {part, written},
#include "compute/title.def"
#undef TITLE
#undef WORD
};

static const char *words_of(const char *name)
{
	for (size_t i = 0; i < COUNT(titles); i++)
		if (text_is(titles[i].name, name))
			return titles[i].words;
	return NULL;
}

static void add_part(struct text *text, const char *part)
{
	for (size_t i = 0; i < COUNT(parts); i++)
		if (text_is(parts[i].part, part))
			part = parts[i].written;
	text_add(text, part);
}

/* Its words one by one. What is no name (it has spaces of its own) keeps its letters. */
static const char *spaced(struct arena *arena, const char *name)
{
	struct text text = text_in(arena);
	text_add(&text, "");
	for (const char *at = name; *at;) {
		size_t length = strcspn(at, "- ");
		add_part(&text, arena_copy_span(arena, at, length));
		at += length;
		if (*at)
			text_add(&text, " ");
		at += *at != '\0';
	}
	return text.data;
}

static const char *without(struct arena *arena, const char *name, const char *tail)
{
	return text_ends(name, tail) ? arena_copy_span(arena, name, strlen(name) - strlen(tail)) : NULL;
}

const char *title_of(struct arena *arena, const char *name)
{
	static const char *const tails[] = {"-judged", "-family"};
	const char *words = words_of(name), *rest = without(arena, name, "-calculated");
	if (words)
		return words;
	if (rest)
		return arena_format(arena, "calculated %s", title_of(arena, rest));
	for (size_t i = 0; i < COUNT(tails); i++)
		if ((rest = without(arena, name, tails[i])) != NULL)
			return title_of(arena, rest);
	return spaced(arena, name);
}

const char *title_of_request(struct arena *arena, const char *quantity)
{
	const char *more = strstr(quantity, " (");
	if (!more)
		return title_of(arena, quantity);
	const char *name = arena_copy_span(arena, quantity, (size_t)(more - quantity));
	return arena_format(arena, "%s%s", title_of(arena, name), more);
}

/* "flow of the stream" of "stream.flow". */
static const char *source_words(struct arena *arena, const char *source)
{
	const char *dot = strchr(source, '.');
	if (!dot)
		return title_of(arena, source);
	return arena_format(arena, "%s of the %s", title_of(arena, dot + 1),
		spaced(arena, arena_copy_span(arena, source, (size_t)(dot - source))));
}

static const char *sources_of(struct arena *arena, const struct computed *row)
{
	struct text text = text_in(arena);
	for (const char *at = row->from; *at;) {
		size_t length = strcspn(at, " ");
		text_addf(&text, "%s%s", text.length ? ", " : "",
			source_words(arena, arena_copy_span(arena, at, length)));
		at += length + (at[length] == ' ');
	}
	return text.length ? text.data : "";
}

/* Every rule that waits for a value asks again: put in words once for each row, for as long as the process lives. */
const char *title_of_sources(const char *kind, const char *name)
{
	static char **kept;
	const struct computed *row = computed_only(kind, name);
	if (!row)
		return NULL;
	kept = kept ? kept : checked_calloc(computed_count() * sizeof *kept);
	char **words = &kept[row - computed_row(0)];
	if (!*words) {
		struct arena scratch = {0};
		*words = checked_strdup(sources_of(&scratch, row));
		arena_release(&scratch);
	}
	return **words ? *words : NULL;
}
