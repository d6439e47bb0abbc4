/* A record that is written while it is made is what the library would write of its tree: json_dumps() is the check value. */
#include <criterion/criterion.h>

#include <jansson.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/json_out.h"

enum { DIGITS = 9 };

static struct json_out out;
static char *written;
static size_t size;
static FILE *file;

static void open_record(void)
{
	file = open_memstream(&written, &size);
	cr_assert_not_null(file);
	json_out_open(&out, file, DIGITS);
}

static void release(void)
{
	free(written);
}

static bool close_record(void)
{
	bool whole = json_out_close(&out);
	fclose(file);
	return whole;
}

TestSuite(json_out, .init = open_record, .fini = release);

Test(json_out, a_line_for_each_member_and_row)
{
	json_out_words(&out, "record", "of a test");
	json_out_rows(&out, "rows");
	for (int i = 0; i < 2; i++) {
		json_out_object(&out, NULL);
		json_out_whole(&out, "number", i);
		json_out_array(&out, "each");
		json_out_yes(&out, NULL, i == 0);
		json_out_null(&out, NULL);
		json_out_end(&out);
		json_out_end(&out);
	}
	json_out_end(&out);
	json_out_rows(&out, "none");
	json_out_end(&out);
	json_out_object(&out, "empty");
	json_out_end(&out);
	cr_expect(close_record());
	cr_expect_str_eq(written,
		"{\n\"record\": \"of a test\",\n\"rows\": [\n{\"number\": 0, \"each\": [true, null]},\n"
		"{\"number\": 1, \"each\": [false, null]}\n],\n\"none\": [],\n\"empty\": {}\n}\n");
}

Test(json_out, nothing_in_it)
{
	cr_expect(close_record());
	cr_expect_str_eq(written, "{}\n");
}

/* Longer than what is held before it is passed on. */
Test(json_out, as_the_library_writes_it)
{
	json_t *rows = json_array();
	json_out_array(&out, "rows");
	for (int i = 0; i < 3000; i++) {
		json_array_append_new(rows,
			json_pack("{s:i, s:f, s:s}", "number", i, "third", i / 3.0, "words", "that fill \"the\" room"));
		json_out_object(&out, NULL);
		json_out_whole(&out, "number", i);
		json_out_number(&out, "third", i / 3.0);
		json_out_words(&out, "words", "that fill \"the\" room");
		json_out_end(&out);
	}
	json_out_end(&out);
	cr_expect(close_record());
	cr_expect_gt(size, sizeof out.held);
	char *library = json_dumps(rows, JSON_REAL_PRECISION(DIGITS));
	const char *begin = "{\n\"rows\": ";
	cr_assert_eq(size, strlen(begin) + strlen(library) + strlen("\n}\n"));
	cr_expect(memcmp(written + strlen(begin), library, strlen(library)) == 0);
	free(library);
	json_decref(rows);
}

/* ---- numbers ---- */

static void expect_as_library(double value)
{
	char ours[64];
	json_t *number = json_real(value);
	char *library = json_dumps(number, JSON_REAL_PRECISION(DIGITS) | JSON_ENCODE_ANY);
	out.used = 0;
	json_out_real(&out, value);
	snprintf(ours, sizeof ours, "%.*s", (int)out.used, out.held);
	cr_expect_str_eq(ours, library, "%s, not %s", ours, library);
	out.used = 0;
	free(library);
	json_decref(number);
}

/* Digits by C alone stand or fall with those near the middle of two, near a power of ten, and at the ends of what has no exponent. */
Test(json_out, numbers_where_digits_turn)
{
	static const double halves[] = {1.000000005, 2.000000015, 9.999999995, 99999999.95, 123456789.5, 999999999.5,
		0.00012345678950000001, 0.0001, 0.00009999999995, 0.99999999949999999, 0.1, 0.2, 0.3, 1e8, 1e9, 350};
	for (size_t i = 0; i < COUNT(halves); i++) {
		expect_as_library(halves[i]);
		expect_as_library(-halves[i]);
		expect_as_library(nextafter(halves[i], 0));
		expect_as_library(nextafter(halves[i], 1e12));
	}
	for (int e = -6; e <= 11; e++)
		for (int k = 1; k < 10; k++) {
			double power = k * pow(10, e);
			expect_as_library(power);
			expect_as_library(nextafter(power, 0));
			expect_as_library(power + power * 5e-9);
			expect_as_library(power - power * 5e-10);
		}
}

Test(json_out, numbers_without_plan)
{
	unsigned long long state = 88172645463325252ULL; /* xorshift, always the same */
	for (int i = 0; i < 5000; i++) {
		state ^= state << 13, state ^= state >> 7, state ^= state << 17;
		double mantissa = (double)(state >> 11) / (double)(1ULL << 53) * 2 - 1;
		expect_as_library(mantissa * pow(10, (int)(state % 19) - 7));
		expect_as_library((double)(long long)(mantissa * 1e6) / 1000);
	}
}

Test(json_out, whole_numbers_and_none)
{
	json_out_array(&out, "numbers");
	json_out_whole(&out, NULL, 0);
	json_out_whole(&out, NULL, -1234567890123456789);
	json_out_whole(&out, NULL, (-9223372036854775807LL) - 1);
	json_out_number(&out, NULL, (double)NAN);
	json_out_number(&out, NULL, (double)INFINITY);
	json_out_end(&out);
	cr_expect(close_record());
	cr_expect_str_eq(written, "{\n\"numbers\": [0, -1234567890123456789, -9223372036854775808, null, null]\n}\n");
}

/* ---- words ---- */

Test(json_out, words_that_are_none)
{
	json_out_array(&out, "words");
	json_out_words_or_null(&out, NULL, NULL);
	json_out_words_or_null(&out, NULL, "");
	json_out_given(&out, NULL, NULL);
	json_out_given(&out, NULL, "");
	json_out_words(&out, NULL, "");
	json_out_end(&out);
	cr_expect(close_record());
	cr_expect_str_eq(written, "{\n\"words\": [null, null, null, \"\", \"\"]\n}\n");
}

Test(json_out, no_words_where_some_are_due)
{
	json_out_words(&out, "words", NULL);
	cr_expect_not(close_record());
}

/* What the library lets in as a string is written, and what it refuses is not: every sequence of up to two bytes, and longer ones. */
static bool is_taken(const char *bytes, size_t length)
{
	out.failed = false;
	out.used = 0;
	json_out_string(&out, bytes, length);
	out.used = 0;
	bool taken = !out.failed;
	out.failed = false;
	return taken;
}

static void expect_taken_alike(const char *bytes, size_t length)
{
	json_t *string = json_stringn(bytes, length);
	cr_expect_eq(is_taken(bytes, length), string != NULL, "%02x %02x, %zu bytes", (unsigned char)bytes[0],
		(unsigned char)bytes[1], length);
	json_decref(string);
}

Test(json_out, only_utf8)
{
	static const char *const longer[] = {"\xe2\x82\xac", "\xe2\x82", "\xed\xa0\x80", "\xe0\x9f\xbf", "\xe0\xa0\x80",
		"\xef\xbf\xbf", "\xf0\x90\x80\x80", "\xf0\x8f\xbf\xbf", "\xf4\x8f\xbf\xbf", "\xf4\x90\x80\x80",
		"\xf5\x80\x80\x80", "\xf0\x9f\x94", "\xf0\x9f\x94\x41", "plain words and \xff",
		"plain words \xc2\xb5 m"};
	for (unsigned two = 0; two < 0x10000; two++) {
		char bytes[] = {(char)(two >> 8), (char)(two & 0xFF)};
		if (two >> 8 >= 0x80)
			expect_taken_alike(bytes, sizeof bytes);
	}
	for (size_t i = 0; i < COUNT(longer); i++)
		expect_taken_alike(longer[i], strlen(longer[i]));
	cr_expect(close_record());
}

Test(json_out, a_full_disk)
{
	fclose(file);
	file = fopen("/dev/full", "w");
	cr_assert_not_null(file);
	setvbuf(file, NULL, _IONBF, 0);
	json_out_open(&out, file, DIGITS);
	json_out_words(&out, "words", "that find no room");
	cr_expect_not(close_record());
}
