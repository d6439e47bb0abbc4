#include "base/format.h"

#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* Nothing but %s, %d, %zu and %%? */
static bool is_simple(const char *format)
{
	for (const char *at = strchr(format, '%'); at; at = strchr(at, '%')) {
		bool size = at[1] == 'z' && at[2] == 'u';
		if (!size && at[1] != 's' && at[1] != 'd' && at[1] != '%')
			return false;
		at += size ? 3 : 2;
	}
	return true;
}

struct writing {
	char *out;
	size_t room, length;
};

static void add(struct writing *writing, const char *bytes, size_t length)
{
	size_t left = writing->length + 1 < writing->room ? writing->room - 1 - writing->length : 0;
	if (left)
		memcpy(writing->out + writing->length, bytes, left < length ? left : length);
	writing->length += length;
}

static void add_whole(struct writing *writing, bool negative, unsigned long long number)
{
	enum { LONGEST = 24 };
	char digits[LONGEST], *from = digits + LONGEST;
	do
		*--from = (char)('0' + number % 10);
	while (number /= 10);
	if (negative)
		*--from = '-';
	add(writing, from, (size_t)(digits + LONGEST - from));
}

static void add_simple(struct writing *writing, const char *format, va_list arguments)
{
	const char *at = format, *next;
	for (; (next = strchr(at, '%')) != NULL; at = next + (next[1] == 'z' ? 3 : 2)) {
		add(writing, at, (size_t)(next - at));
		if (next[1] == 's') {
			const char *text = va_arg(arguments, const char *);
			text = text ? text : "(null)"; /* as the library has it */
			add(writing, text, strlen(text));
		} else if (next[1] == 'd') {
			long long number = va_arg(arguments, int);
			add_whole(writing, number < 0, (unsigned long long)(number < 0 ? -number : number));
		} else if (next[1] == 'z') {
			add_whole(writing, false, va_arg(arguments, size_t));
		} else {
			add(writing, "%", 1);
		}
	}
	add(writing, at, strlen(at));
}

size_t format_text(char *out, size_t room, const char *format, va_list arguments)
{
	if (!is_simple(format)) {
		int length = vsnprintf(out, room, format, arguments);
		if (length < 0)
			abort();
		return (size_t)length;
	}
	struct writing writing = {out, room, 0};
	add_simple(&writing, format, arguments);
	if (room)
		out[writing.length < room ? writing.length : room - 1] = '\0';
	return writing.length;
}
