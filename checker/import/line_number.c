#include "import/line_number.h"

#include <string.h>

#include "base/problem.h"
#include "resolve/pipe.h"

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static bool is_capital(char c)
{
	return c >= 'A' && c <= 'Z';
}

/* How many characters from `at` on are of that sort. */
static size_t run(const char *at, bool (*is)(char))
{
	size_t length = 0;
	while (is(at[length]))
		length++;
	return length;
}

/* "1021", "37006B": the number that counts the line. */
static bool is_sequence(const char *part)
{
	enum { SHORTEST = 3 };
	size_t digits = run(part, is_digit), letters = run(part + digits, is_capital);
	return digits >= SHORTEST && letters <= 1 && !part[digits + letters];
}

/* "A1B", "P64A", "1CS2": letters on both sides of figures, or figures on both sides of letters; "H50" may be insulation. */
static bool is_class(const char *part)
{
	enum { LONGEST = 6, FIGURES = 3 };
	bool lettered = is_capital(*part);
	size_t first = run(part, lettered ? is_capital : is_digit),
	       second = run(part + first, lettered ? is_digit : is_capital),
	       third = run(part + first + second, lettered ? is_capital : is_digit), length = first + second + third;
	if (!first || !second || !third || length > LONGEST || (lettered ? second : first) > FIGURES)
		return false;
	return !part[length] || (is_capital(part[length]) && !part[length + 1]);
}

static const char *size_of(struct arena *arena, const char *part)
{
	struct problems ignored = {.arena = arena};
	bool marked = strchr(part, '"') || strstr(part, "\u2033") || strstr(part, "\u201d");
	size_t length = strspn(part, "0123456789/ ");
	if (!marked || !length)
		return NULL;
	const char *written = arena_join(arena, "NPS ", arena_copy_span(arena, part, length), "", "");
	return pipe_size_parse(written, (struct place){.file = ""}, &ignored);
}

struct line_number line_number_read(struct arena *arena, const char *tag)
{
	struct line_number out = {.size = NULL};
	bool counted = false, several = false;
	const char *mark = strpbrk(tag, "\"");
	if (mark && mark > tag) { /* "1-1/2"-AM-..." has a hyphen in its size */
		const char *whole = arena_copy_span(arena, tag, (size_t)(mark - tag) + 1);
		size_t begin = strspn(whole, "0123456789-/ ") == strlen(whole) - 1 ? 0 : strlen(whole);
		struct problems ignored = {.arena = arena};
		const char *written =
			arena_join(arena, "NPS ", arena_copy_span(arena, tag, (size_t)(mark - tag)), "", "");
		out.size = begin ? NULL : pipe_size_parse(written, (struct place){.file = ""}, &ignored);
	}
	for (const char *at = tag; *at;) {
		size_t length = strcspn(at, "-");
		const char *part = arena_copy_span(arena, at, length);
		if (counted && is_class(part)) {
			several = several || out.piping_class;
			out.piping_class = part;
		}
		counted = counted || is_sequence(part);
		if (!out.size)
			out.size = size_of(arena, part);
		at += length + (at[length] == '-');
	}
	if (several)
		out.piping_class = NULL;
	return out;
}
