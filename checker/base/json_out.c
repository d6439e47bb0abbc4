#include "base/json_out.h"

#include <math.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"

/* ---- bytes ---- */

void json_out_flush(struct json_out *out)
{
	if (out->text)
		text_add_span(out->text, out->held, out->used);
	else if (fwrite(out->held, 1, out->used, out->file) != out->used)
		out->failed = true;
	out->used = 0;
}

void json_out_span(struct json_out *out, const char *bytes, size_t length)
{
	while (length > sizeof out->held - out->used) {
		size_t fits = sizeof out->held - out->used;
		memcpy(out->held + out->used, bytes, fits);
		out->used += fits;
		json_out_flush(out);
		bytes += fits;
		length -= fits;
	}
	memcpy(out->held + out->used, bytes, length);
	out->used += length;
}

void json_out_token(struct json_out *out, const char *token)
{
	json_out_span(out, token, strlen(token));
}

static void put_char(struct json_out *out, char c)
{
	if (out->used == sizeof out->held)
		json_out_flush(out);
	out->held[out->used++] = c;
}

/* ---- strings ---- */

static void put_escape(struct json_out *out, unsigned char c)
{
	static const char letters[] = "\"\\\b\f\n\r\t", short_forms[] = "\"\\bfnrt";
	const char *letter = c ? strchr(letters, c) : NULL;
	char escape[8];
	if (letter)
		snprintf(escape, sizeof escape, "\\%c", short_forms[letter - letters]);
	else
		snprintf(escape, sizeof escape, "\\u%04X", (unsigned)c);
	json_out_token(out, escape);
}

/*
 * Is no byte of eight in a row a control character, a quote, a backslash or of a character beyond ASCII? Each test sets the high
 * bit of such a byte.
 */
static bool is_plain(const char *eight)
{
	const uint64_t ones = UINT64_C(0x0101010101010101), high = 0x80 * ones;
	uint64_t word;
	memcpy(&word, eight, sizeof word);
	uint64_t quote = word ^ '"' * ones, backslash = word ^ '\\' * ones;
	uint64_t found = (word - ' ' * ones) | (quote - ones) | (backslash - ones) | word;
	return !(found & high);
}

/* The bytes of the character at `at`, which begins beyond ASCII; 0: it is none (Unicode 15, table 3-7). */
static size_t character_length(const unsigned char *at, size_t left)
{
	static const struct {
		unsigned char first, last, second_least, second_most;
		size_t length;
	} rows[] = {{0xC2, 0xDF, 0x80, 0xBF, 2}, {0xE0, 0xE0, 0xA0, 0xBF, 3}, {0xE1, 0xEC, 0x80, 0xBF, 3},
		{0xED, 0xED, 0x80, 0x9F, 3}, {0xEE, 0xEF, 0x80, 0xBF, 3}, {0xF0, 0xF0, 0x90, 0xBF, 4},
		{0xF1, 0xF3, 0x80, 0xBF, 4}, {0xF4, 0xF4, 0x80, 0x8F, 4}};
	size_t row = 0;
	while (row < COUNT(rows) && (at[0] < rows[row].first || at[0] > rows[row].last))
		row++;
	if (row == COUNT(rows) || left < rows[row].length || at[1] < rows[row].second_least ||
		at[1] > rows[row].second_most)
		return 0;
	for (size_t i = 2; i < rows[row].length; i++)
		if (text_begins_character((char)at[i]))
			return 0;
	return rows[row].length;
}

/* How many bytes from `at` on can be put as they are; a byte that begins no character ends them too, and fails. */
static size_t plain_length(struct json_out *out, const char *at, const char *end)
{
	const char *from = at;
	while (at < end) {
		while ((size_t)(end - at) >= sizeof(uint64_t) && is_plain(at))
			at += sizeof(uint64_t);
		unsigned char c = at < end ? (unsigned char)*at : '"';
		if (c < ' ' || c == '"' || c == '\\')
			break;
		size_t length = c < 0x80 ? 1 : character_length((const unsigned char *)at, (size_t)(end - at));
		out->failed = out->failed || !length;
		at += length ? length : 1;
	}
	return (size_t)(at - from);
}

void json_out_string(struct json_out *out, const char *utf8, size_t length)
{
	const char *at = utf8, *end = utf8 + length;
	put_char(out, '"');
	while (at < end) {
		size_t plain = plain_length(out, at, end);
		json_out_span(out, at, plain);
		at += plain;
		if (at < end)
			put_escape(out, (unsigned char)*at++);
	}
	put_char(out, '"');
}

/* ---- numbers ---- */

/* A number is told from a whole one by a point or an exponent, which is written without sign and zeros that say nothing. */
static void put_printed(struct json_out *out, double value)
{
	enum { LONGEST = 40 };
	char number[LONGEST];
	snprintf(number, sizeof number - 2, "%.*g", out->digits, value);
	char *exponent = strchr(number, 'e');
	if (exponent) {
		char *digits = exponent + 1 + (exponent[1] == '-' || exponent[1] == '+');
		digits += strspn(digits, "0");
		char *to = exponent + 1 + (exponent[1] == '-');
		memmove(to, digits, strlen(digits) + 1);
	} else if (!strchr(number, '.')) {
		memcpy(number + strlen(number), ".0", sizeof ".0");
	}
	json_out_token(out, number);
}

enum { DIGITS_MOST = 9, POINT_LEAST = -4 };

static const double tens[] = {1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12};

/* Of the first digit, as in 3.5e4; of what lies outside -4 to 8 one more. */
static int exponent_of(double size)
{
	int exponent = 0;
	while (exponent < DIGITS_MOST && size >= tens[exponent + 1])
		exponent++;
	while (exponent > POINT_LEAST - 1 && size * tens[-exponent > 0 ? -exponent : 0] < 1)
		exponent--;
	return exponent;
}

/*
 * The digits of a number that is written with a point and no exponent, as a whole number of `out->digits` digits; 0: it is not so
 * written, or too near the middle of two such numbers to say which. A power of ten to 1e22 is exact, so that one product or quotient
 * is off by half its last bit at most: far less than `doubt`, at nine digits.
 */
static uint32_t digits_of(const struct json_out *out, double size, int *exponent)
{
	const double doubt = 1e-6;
	*exponent = exponent_of(size);
	if (out->digits != DIGITS_MOST || *exponent < POINT_LEAST || *exponent >= DIGITS_MOST)
		return 0;
	double scaled = size * tens[DIGITS_MOST - 1 - *exponent], whole = floor(scaled), rest = scaled - whole;
	if (fabs(rest - 0.5) < doubt || scaled < tens[DIGITS_MOST - 1] || whole >= tens[DIGITS_MOST] - 1)
		return 0;
	return (uint32_t)whole + (rest > 0.5);
}

/* Nine digits, of which the first stands for so many tens, without the zeros at the end; a point and one digit after it at least. */
static void put_digits(struct json_out *out, uint32_t digits, int exponent)
{
	char number[DIGITS_MOST + 8] = "0.000", *to = number + (exponent < 0 ? 1 - exponent : 0), each[DIGITS_MOST];
	for (int i = DIGITS_MOST; i-- > 0; digits /= 10)
		each[i] = (char)('0' + digits % 10);
	int last = DIGITS_MOST - 1, least = exponent < 0 ? 0 : exponent + 1;
	while (last > least && each[last] == '0')
		last--;
	for (int i = 0; i <= last; i++) {
		*to++ = each[i];
		if (i == exponent && i < DIGITS_MOST - 1)
			*to++ = '.';
	}
	if (exponent == DIGITS_MOST - 1) {
		*to++ = '.';
		*to++ = '0';
	}
	json_out_span(out, number, (size_t)(to - number));
}

void json_out_real(struct json_out *out, double value)
{
	int exponent;
	uint32_t digits = digits_of(out, fabs(value), &exponent);
	if (!digits) {
		put_printed(out, value);
		return;
	}
	if (value < 0)
		put_char(out, '-');
	put_digits(out, digits, exponent);
}

void json_out_integer(struct json_out *out, long long value)
{
	enum { LONGEST = 24 };
	char number[LONGEST], *from = number + LONGEST;
	unsigned long long left = value < 0 ? 0ULL - (unsigned long long)value : (unsigned long long)value;
	do
		*--from = (char)('0' + left % 10);
	while (left /= 10);
	if (value < 0)
		*--from = '-';
	json_out_span(out, from, (size_t)(number + LONGEST - from));
}

/* ---- structure ---- */

/* What comes before a value. */
static void begin(struct json_out *out, const char *name)
{
	enum { SIGNS = 8 }; /* of them with a name: comma, end of the line or blank, quotes, colon, blank */
	size_t depth = out->depth - 1, length = name ? strlen(name) : 0;
	bool lines = out->levels[depth].lines;
	if (sizeof out->held - out->used < length + SIGNS)
		json_out_flush(out);
	if (sizeof out->held < length + SIGNS)
		abort(); /* a member is called by a word */
	char *to = out->held + out->used;
	if (out->levels[depth].count++)
		*to++ = ',';
	if (lines || out->levels[depth].count > 1)
		*to++ = lines ? '\n' : ' ';
	if (name) {
		*to++ = '"';
		to = stpcpy(stpcpy(to, name), "\": ");
	}
	out->used = (size_t)(to - out->held);
}

static void push(struct json_out *out, char first, char end, bool lines)
{
	if (out->depth == JSON_OUT_DEPTH)
		abort(); /* a record nests as deep as the program is written to */
	put_char(out, first);
	out->levels[out->depth].count = 0;
	out->levels[out->depth].end = end;
	out->levels[out->depth++].lines = lines;
}

void json_out_open(struct json_out *out, FILE *file, int digits)
{
	out->file = file;
	out->text = NULL;
	out->digits = digits;
	out->failed = false;
	out->depth = out->used = 0;
	push(out, '{', '}', true);
}

void json_out_object(struct json_out *out, const char *name)
{
	begin(out, name);
	push(out, '{', '}', false);
}

void json_out_array(struct json_out *out, const char *name)
{
	begin(out, name);
	push(out, '[', ']', false);
}

void json_out_rows(struct json_out *out, const char *name)
{
	begin(out, name);
	push(out, '[', ']', true);
}

void json_out_end(struct json_out *out)
{
	out->depth--;
	if (out->levels[out->depth].lines && out->levels[out->depth].count)
		put_char(out, '\n');
	put_char(out, out->levels[out->depth].end);
}

bool json_out_close(struct json_out *out)
{
	if (out->depth != 1)
		abort(); /* something that was begun was not ended */
	json_out_end(out);
	put_char(out, '\n');
	json_out_flush(out);
	return !out->failed;
}

/* ---- values ---- */

void json_out_words(struct json_out *out, const char *name, const char *words)
{
	begin(out, name);
	if (words)
		json_out_string(out, words, strlen(words));
	else
		out->failed = true;
}

void json_out_given(struct json_out *out, const char *name, const char *words)
{
	if (words)
		json_out_words(out, name, words);
	else
		json_out_null(out, name);
}

void json_out_words_or_null(struct json_out *out, const char *name, const char *words)
{
	json_out_given(out, name, words && *words ? words : NULL);
}

void json_out_number(struct json_out *out, const char *name, double number)
{
	begin(out, name);
	if (isfinite(number))
		json_out_real(out, number);
	else
		json_out_span(out, "null", 4);
}

void json_out_whole(struct json_out *out, const char *name, long long number)
{
	begin(out, name);
	json_out_integer(out, number);
}

void json_out_yes(struct json_out *out, const char *name, bool yes)
{
	begin(out, name);
	json_out_token(out, yes ? "true" : "false");
}

void json_out_null(struct json_out *out, const char *name)
{
	begin(out, name);
	json_out_span(out, "null", 4);
}
