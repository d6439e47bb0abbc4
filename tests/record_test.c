/* JSON as it is written: numbers against the C library's own digits, text, and what may not stand in a record. */
#include <criterion/criterion.h>
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "write/record.h"

enum { RANDOM = 300000, DIGITS = 9 };

/* %.9g as JSON has it: ".0" where there is neither point nor exponent; no "+" and no leading nought in an exponent. */
static void expected(double value, char *out)
{
	char raw[36];
	snprintf(raw, sizeof raw, "%.*g", DIGITS, value);
	char *e = strchr(raw, 'e');
	if (e)
		sprintf(out, "%.*se%ld", (int)(e - raw), raw, strtol(e + 1, NULL, 10));
	else
		sprintf(out, "%s%s", raw, strchr(raw, '.') ? "" : ".0");
}

static void check(double value)
{
	char got[40] = "", wanted[40];
	got[record_digits(value, got)] = '\0';
	expected(value, wanted);
	cr_assert_str_eq(got, wanted, "%.17g: %s, not %s", value, got, wanted);
}

Test(record, digits_are_those_of_printf)
{
	static const double edges[] = {0, -0.0, 1, -1, 0.1, 0.5, 9.99999999e8, 999999999.5, 999999999.4999, 1e9, 1e-4,
		9.9999999949e-5, 0.000123456789500001, 1234567895e-10, 100000000.5, 2.5, 1e22, 1e-300, 5e-324, 1.7e308};
	uint64_t seed = 7;
	for (size_t i = 0; i < sizeof edges / sizeof *edges; i++)
		check(edges[i]);
	for (int i = 0; i < RANDOM; i++) {
		seed = seed * 6364136223846793005u + 1442695040888963407u;
		double share = (double)(seed >> 11) / 9007199254740992.0;
		check((i % 2 ? -1 : 1) * share * pow(10, i % 24 - 12));
		check(round(share * 1e10) / pow(10, i % 12)); /* ties of decimals, as near as a double comes */
	}
}

static char *written(void (*write)(struct record *), bool *whole)
{
	static char bytes[4096];
	memset(bytes, 0, sizeof bytes);
	FILE *out = fmemopen(bytes, sizeof bytes - 1, "w");
	struct record record;
	record_begin(&record, out);
	write(&record);
	*whole = record_end(&record);
	fclose(out);
	return bytes;
}

static void write_shapes(struct record *record)
{
	record_object(record, NULL);
	record_text(record, "text", "a \"b\" \\ \n \x01 / \xC2\xB5 \xE2\x82\xAC");
	record_array(record, "none");
	record_close(record);
	record_array(record, "rows");
	record_real(record, NULL, 2.5);
	record_real(record, NULL, (double)INFINITY);
	record_integer(record, NULL, -7);
	record_flag(record, NULL, true);
	record_object(record, NULL);
	record_close(record);
	record_close(record);
	record_text_or_null(record, "nothing", "");
	record_close(record);
}

Test(record, shapes_and_text)
{
	bool whole;
	cr_assert_str_eq(written(write_shapes, &whole),
		"{\n \"text\": \"a \\\"b\\\" \\\\ \\n \\u0001 / \xC2\xB5 \xE2\x82\xAC\",\n \"none\": [],\n \"rows\": "
		"[\n  2.5,\n"
		"  null,\n  -7,\n  true,\n  {}\n ],\n \"nothing\": null\n}\n");
	cr_assert(whole);
}

static void write_no_text(struct record *record)
{
	record_text(record, NULL, NULL);
}

static void write_no_utf8(struct record *record)
{
	record_text(record, NULL, "a\xC3(");
}

static void write_surrogate(struct record *record)
{
	record_text(record, NULL, "\xED\xA0\x80");
}

Test(record, what_is_no_text_fails)
{
	bool whole;
	written(write_no_text, &whole);
	cr_expect(!whole);
	written(write_no_utf8, &whole);
	cr_expect(!whole);
	written(write_surrogate, &whole);
	cr_expect(!whole);
}
