#include "base/problem.h"

#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

static const char *const names[] = {
#define PROBLEM(code, name, meaning) name,
#include "base/problem.def"
#undef PROBLEM
};

void problem_add(struct problems *problems, enum problem_code code, struct place place, const char *format, ...)
{
	va_list arguments;
	va_start(arguments, format);
	int length = vsnprintf(NULL, 0, format, arguments);
	va_end(arguments);
	if (length < 0)
		abort();
	char *message = arena_alloc(problems->arena, (size_t)length + 1);
	va_start(arguments, format);
	vsnprintf(message, (size_t)length + 1, format, arguments);
	va_end(arguments);
	problems->rows = arena_grow(
		problems->arena, problems->rows, problems->count, &problems->capacity, sizeof *problems->rows);
	problems->rows[problems->count++] = (struct problem){.code = code, .place = place, .message = message};
	if (code == PROBLEM_UNREADABLE)
		problems->unreadable = true;
}

static bool stands_before(const struct problem *a, const struct problem *b)
{
	int files = strcmp(a->place.file ? a->place.file : "", b->place.file ? b->place.file : "");
	if (files)
		return files < 0;
	if (a->place.line != b->place.line)
		return a->place.line < b->place.line;
	return a->place.column < b->place.column;
}

/* Stable merge of rows[from, middle) and rows[middle, to) through `spare`. */
static void merge(struct problem *rows, struct problem *spare, size_t from, size_t middle, size_t to)
{
	size_t left = from, right = middle;
	for (size_t i = from; i < to; i++) {
		bool take_right = left == middle || (right < to && stands_before(&rows[right], &rows[left]));
		spare[i] = take_right ? rows[right++] : rows[left++];
	}
	memcpy(rows + from, spare + from, (to - from) * sizeof *rows);
}

void problem_sort(struct problems *problems)
{
	size_t count = problems->count;
	struct problem *spare = arena_alloc(problems->arena, (count + 1) * sizeof *spare);
	for (size_t width = 1; width < count; width *= 2)
		for (size_t from = 0; from + width < count; from += 2 * width) {
			size_t to = from + 2 * width < count ? from + 2 * width : count;
			merge(problems->rows, spare, from, from + width, to);
		}
}

const char *problem_line(const struct problems *problems, const struct problem *problem)
{
	struct arena *arena = problems->arena;
	const struct place *place = &problem->place;
	const char *file = place->file ? place->file : "-", *name = names[problem->code];
	const char *line = place->line == 0
		? arena_format(arena, "%s: %s: %s", file, name, problem->message)
		: arena_format(arena, "%s:%d:%d: %s: %s", file, place->line, place->column, name, problem->message);
	return text_plain(arena, line);
}
