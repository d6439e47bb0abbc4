/* Records are written with the bytes that the library itself would give: json_dumps() is the check value of every case here. */
#include <criterion/criterion.h>

#include <float.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/json_text.h"

static const size_t flags[] = {0, JSON_COMPACT, JSON_INDENT(1), JSON_INDENT(2), JSON_REAL_PRECISION(9),
	JSON_COMPACT | JSON_REAL_PRECISION(3), JSON_INDENT(2) | JSON_REAL_PRECISION(9), JSON_INDENT(1) | JSON_COMPACT};

static struct arena arena;

static void release(void)
{
	arena_release(&arena);
}

TestSuite(json_text, .fini = release);

/* Takes the value. */
static void expect_as_library(json_t *value)
{
	cr_assert_not_null(value);
	for (size_t i = 0; i < COUNT(flags); i++) {
		struct text text = text_in(&arena);
		char *library = json_dumps(value, flags[i] | JSON_ENCODE_ANY);
		cr_expect(json_text(&text, value, flags[i]));
		cr_expect(strcmp(text.data, library) == 0, "flags %zx: %s, not %s", flags[i], text.data, library);
		free(library);
	}
	json_decref(value);
}

Test(json_text, numbers)
{
	static const double reals[] = {0, -0.0, 1, -1, 0.5, 100, 123456789, 1234567890, 12345678901.0, 1e5, 1e9, 1e10,
		1e21, 1e100, -1e-5, 1e-4, 1e-7, 1e-100, 1.5e-10, 6.02214076e23, 0.1, 1.0 / 3, 2.0 / 3e10, DBL_MAX,
		DBL_MIN, 4.9e-324, 999999999.5, 9999999995.0};
	for (size_t i = 0; i < COUNT(reals); i++)
		expect_as_library(json_real(reals[i]));
	static const json_int_t wholes[] = {0, 1, -1, 1234567890123456789, -9007199254740993};
	for (size_t i = 0; i < COUNT(wholes); i++)
		expect_as_library(json_integer(wholes[i]));
}

Test(json_text, strings)
{
	static const char *const strings[] = {"", "plain", "\"quoted\" \\ and / slash", "\b\f\n\r\t", "\x01\x1f\x7f",
		"\"", "\\\\", "a\nb", "5 µm, 40 °C → 50 °C", "\xf0\x9f\x94\xa5 fire", "\xc2\x80 \xe2\x80\xae",
		"<b>&amp;</b>", " \t leading"};
	for (size_t i = 0; i < COUNT(strings); i++)
		expect_as_library(json_string(strings[i]));
	static const char special[] = {'"', '\\', '\n', '\x1f', '\x7f', ' ', '!', '#', '[', ']'};
	static const char letters[] = "abcdefghijklmnopq";
	for (size_t at = 0; at < sizeof letters - 1;
		at++) /* wherever it stands among eight that are looked at together */
		for (size_t c = 0; c < sizeof special; c++) {
			char string[sizeof letters];
			memcpy(string, letters, sizeof letters);
			string[at] = special[c];
			expect_as_library(json_string(string));
		}
	char every[128];
	for (int c = 0; c < 127; c++)
		every[c] = (char)(c + 1);
	every[127] = '\0';
	expect_as_library(json_string(every));
	expect_as_library(json_stringn("before\0after", 12));
}

Test(json_text, what_holds_others)
{
	expect_as_library(json_object());
	expect_as_library(json_array());
	expect_as_library(json_null());
	expect_as_library(json_pack("[b, b, n]", 1, 0));
	expect_as_library(json_pack("{s:[], s:{}, s:[[[]], {s:n}], s:i}", "a\"b", "", "c", "d", "e", 4));
	expect_as_library(json_pack("{s:{s:{s:[i, f, s, {s:s}]}}}", "x", "y", "z", 1, 2.5, "three", "four", "\n"));
}

/* Values without plan, always the same ones. */
static unsigned next(unsigned *state)
{
	*state = *state * 1664525 + 1013904223;
	return *state >> 8;
}

static json_t *any_value(unsigned *state, int depth)
{
	json_t *value;
	char name[16], text[] = {(char)(next(state) % 127 + 1), (char)(next(state) % 127 + 1), '\0'};
	switch (next(state) % (depth ? 6 : 4)) {
	case 0:
		return json_real(
			((double)next(state) - 8e6) / ((double)next(state) + 1) * (next(state) % 3 ? 1 : 1e-9));
	case 1:
		return json_integer((json_int_t)next(state) - 8000000);
	case 2:
		return json_string(text);
	case 3:
		return json_boolean(next(state) % 2);
	case 4:
		value = json_array();
		for (unsigned i = next(state) % 4; i > 0; i--)
			json_array_append_new(value, any_value(state, depth - 1));
		return value;
	default:
		value = json_object();
		for (unsigned i = next(state) % 4; i > 0; i--) {
			snprintf(name, sizeof name, "%s%u", text, i);
			json_object_set_new(value, name, any_value(state, depth - 1));
		}
		return value;
	}
}

Test(json_text, anything)
{
	unsigned state = 7;
	for (int i = 0; i < 2000; i++)
		expect_as_library(any_value(&state, 4));
}

Test(json_text, nothing_is_a_failure)
{
	struct text text = text_in(&arena);
	cr_expect_not(json_text(&text, NULL, 0));
	FILE *full = fopen("/dev/full", "w");
	json_t *value = json_pack("{s:s}", "a", "b");
	cr_assert(full && value);
	setvbuf(full, NULL, _IONBF, 0);
	cr_expect_not(json_write(full, value, 0));
	fclose(full);
	json_decref(value);
}
