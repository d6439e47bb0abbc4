/* Texts from formats: the same as the library has them, whatever room there is. */
#include <criterion/criterion.h>
#include <limits.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/format.h"
#include "base/name.h"

static void expect_same(const char *format, ...) __attribute__((format(printf, 1, 2)));

static void expect_same(const char *format, ...)
{
	for (size_t room = 0; room <= 64; room++) {
		char ours[72], theirs[72];
		memset(ours, '#', sizeof ours);
		memset(theirs, '#', sizeof theirs);
		va_list arguments;
		va_start(arguments, format);
		size_t length = format_text(ours, room, format, arguments);
		va_end(arguments);
		va_start(arguments, format);
		int expected = vsnprintf(theirs, room, format, arguments);
		va_end(arguments);
		cr_assert_eq(length, (size_t)expected, "%s in %zu: %zu for %d", format, room, length, expected);
		cr_assert_arr_eq(ours, theirs, sizeof ours, "%s in %zu", format, room);
	}
}

Test(format, texts_and_whole_numbers_are_as_the_library_has_them)
{
	expect_same("plain, and nothing to fill in");
	expect_same("%s", "");
	expect_same("%s of %s", "temperature", "E-9301");
	expect_same("%d at %d and %d", 0, INT_MAX, INT_MIN);
	expect_same("%zu rows, %zu", (size_t)0, (size_t)-1);
	expect_same("100 %% of %s%%", "it");
	expect_same("%s%s%s%s%s", "a text that is longer than ", "there is room for", ", ", "by far", "");
}

Test(format, other_formats_are_left_to_the_library)
{
	expect_same("%.3e and %5d|%-6s|%c|%x", 0.00123456, 42, "ab", 'z', 255U);
	expect_same("%s %.4g", "of", 273.15);
	expect_same("%ld and %s", -5L, "more");
}

Test(name, one_text_is_one_name_wherever_it_stands)
{
	char place[] = "temperature";
	const struct name *first = name_find(place);
	cr_assert_eq(name_find("temperature"), first);
	place[0] = 'T'; /* another text at the same place */
	const struct name *other = name_find(place);
	cr_assert_neq(other, first);
	cr_assert_str_eq(other->text, "Temperature");
	cr_assert_neq(other->number, first->number);
	cr_assert_str_eq(first->text, "temperature");
	place[0] = 't';
	cr_assert_eq(name_find(place), first);
}

Test(name, many_names_keep_their_numbers)
{
	enum { MANY = 5000 };
	static const struct name *names[MANY];
	for (int i = 0; i < MANY; i++) {
		char text[32];
		snprintf(text, sizeof text, "made-up-%d", i);
		names[i] = name_find(text);
	}
	for (int i = 0; i < MANY; i++) {
		char text[32];
		snprintf(text, sizeof text, "made-up-%d", i);
		cr_assert_eq(name_find(text), names[i]);
		cr_assert_str_eq(names[i]->text, text);
		cr_assert(i == 0 || names[i]->number > names[i - 1]->number);
	}
}
