#include "write/record.h"

#include <math.h>
#include <string.h>

enum { DIGITS = 9, TENS = 27, ROOM = 32 };

/* ---- bytes ---- */

static void flush(struct record *record)
{
	record->failed = record->failed || fwrite(record->buffer, 1, record->used, record->out) != record->used;
	record->used = 0;
}

static void add(struct record *record, const char *bytes, size_t count)
{
	if (count > RECORD_BUFFER - record->used)
		flush(record);
	if (count > RECORD_BUFFER) {
		record->failed = record->failed || fwrite(bytes, 1, count, record->out) != count;
		return;
	}
	memcpy(record->buffer + record->used, bytes, count);
	record->used += count;
}

static void add_byte(struct record *record, char byte)
{
	add(record, &byte, 1);
}

/* ---- structure ---- */

static void new_line(struct record *record)
{
	static const char blanks[RECORD_DEPTH + 2] = "\n                                ";
	add(record, blanks, (size_t)record->depth + 1);
}

/* Comma, line and name before a value. */
static void lead(struct record *record, const char *name)
{
	if (record->depth) {
		bool *filled = &record->filled[record->depth - 1];
		if (*filled)
			add_byte(record, ',');
		*filled = true;
		new_line(record);
	}
	if (name) {
		add_byte(record, '"');
		add(record, name, strlen(name));
		add(record, "\": ", 3);
	}
}

static void open_level(struct record *record, const char *name, char opening, char closing)
{
	lead(record, name);
	add_byte(record, opening);
	record->closing[record->depth] = closing;
	record->filled[record->depth] = false;
	record->depth++;
}

void record_begin(struct record *record, FILE *out)
{
	record->out = out;
	record->failed = false;
	record->depth = 0;
	record->used = 0;
}

bool record_end(struct record *record)
{
	add_byte(record, '\n');
	flush(record);
	return !record->failed;
}

void record_object(struct record *record, const char *name)
{
	open_level(record, name, '{', '}');
}

void record_array(struct record *record, const char *name)
{
	open_level(record, name, '[', ']');
}

void record_close(struct record *record)
{
	record->depth--;
	if (record->filled[record->depth])
		new_line(record);
	add_byte(record, record->closing[record->depth]);
}

/* ---- text ---- */

/* Bytes of the character at `at`, 0 when it is no UTF-8 (overlong, surrogates and beyond U+10FFFF are none either). */
static size_t character(const unsigned char *at)
{
	unsigned char c = at[0];
	size_t more = c < 0x80		? 0
		: c >= 0xC2 && c < 0xE0 ? 1
		: c >= 0xE0 && c < 0xF0 ? 2
		: c >= 0xF0 && c < 0xF5 ? 3
					: 9;
	if (more == 9)
		return 0;
	for (size_t i = 1; i <= more; i++)
		if ((at[i] & 0xC0) != 0x80)
			return 0;
	bool bad = (c == 0xE0 && at[1] < 0xA0) || (c == 0xED && at[1] > 0x9F) || (c == 0xF0 && at[1] < 0x90) ||
		(c == 0xF4 && at[1] > 0x8F);
	return bad ? 0 : more + 1;
}

static void escape(struct record *record, unsigned char c)
{
	static const char plain[] = "\"\\\b\f\n\r\t", letters[] = "\"\\bfnrt", hex[] = "0123456789ABCDEF";
	const char *known = strchr(plain, c);
	if (known)
		add(record, (const char[]){'\\', letters[known - plain]}, 2);
	else
		add(record, (const char[]){'\\', 'u', '0', '0', hex[c >> 4], hex[c & 15]}, 6);
}

static void add_text(struct record *record, const char *utf8)
{
	const unsigned char *start = (const unsigned char *)utf8, *at = start;
	add_byte(record, '"');
	while (*at) {
		bool plain = *at >= ' ' && *at != '"' && *at != '\\';
		size_t length = plain ? character(at) : 1;
		if (plain && length) {
			at += length;
			continue;
		}
		record->failed = record->failed || !length;
		add(record, (const char *)start, (size_t)(at - start));
		if (!plain)
			escape(record, *at);
		start = ++at;
	}
	add(record, (const char *)start, (size_t)(at - start));
	add_byte(record, '"');
}

void record_text(struct record *record, const char *name, const char *utf8)
{
	lead(record, name);
	if (utf8)
		add_text(record, utf8);
	else
		record->failed = true;
}

void record_text_or_null(struct record *record, const char *name, const char *utf8)
{
	if (utf8 && *utf8)
		record_text(record, name, utf8);
	else
		record_null(record, name);
}

/* ---- numbers ---- */

static long double power_of_ten(int exponent)
{
	static const long double tens[TENS + 1] = {1e0L, 1e1L, 1e2L, 1e3L, 1e4L, 1e5L, 1e6L, 1e7L, 1e8L, 1e9L, 1e10L,
		1e11L, 1e12L, 1e13L, 1e14L, 1e15L, 1e16L, 1e17L, 1e18L, 1e19L, 1e20L, 1e21L, 1e22L, 1e23L, 1e24L, 1e25L,
		1e26L, 1e27L}; /* all exact in 64 bits */
	return tens[exponent];
}

/*
 * The nine digits of a magnitude as an integer, and the power of ten of the first. One rounding of 2^-64 stands between
 * the scaled value and the exact one; where it comes so near to a half that this could decide, and beyond the powers
 * that are exact, there is no answer (0).
 */
static unsigned long nine_digits(double magnitude, int *exponent)
{
	const long double least = 1e8L, beyond = 1e9L, doubt = 1e-6L, half = 0.5L;
	*exponent = (int)floor(log10(magnitude));
	for (int attempt = 0; attempt < 2; attempt++) {
		int shift = DIGITS - 1 - *exponent;
		if (shift > TENS || shift < -TENS)
			return 0;
		long double scaled = shift >= 0 ? magnitude * power_of_ten(shift) : magnitude / power_of_ten(-shift);
		unsigned long whole = (unsigned long)scaled;
		long double rest = scaled - (long double)whole;
		if (fabsl(rest - half) < doubt)
			return 0;
		whole += rest > half;
		if (scaled >= least && (long double)whole < beyond)
			return whole;
		*exponent += scaled < least ? -1 : 1; /* log10 was off by one, or rounding made ten of it */
	}
	return 0;
}

/* Digits without trailing noughts, and where the point stands as %g has it. */
static size_t lay_out(unsigned long whole, int exponent, bool negative, char *out)
{
	char digits[DIGITS];
	int count = DIGITS, point = exponent + 1; /* digits before the point */
	size_t length = 0;
	for (int i = DIGITS - 1; i >= 0; i--, whole /= 10)
		digits[i] = (char)('0' + whole % 10);
	while (count > 1 && digits[count - 1] == '0')
		count--;
	if (negative)
		out[length++] = '-';
	for (int i = point < 1 ? point - 1 : 0; i < count || i < point; i++) {
		out[length++] = i >= 0 && i < count ? digits[i] : '0';
		if (i == point - 1)
			out[length++] = '.';
	}
	if (count <= point)
		out[length++] = '0';
	return length;
}

/* What printf gives, less what JSON does not need: "+" and leading noughts of the exponent. */
static size_t printed(double value, char *out)
{
	snprintf(out, ROOM, "%.*g", DIGITS, value);
	char *e = strchr(out, 'e');
	if (!e) {
		if (!strchr(out, '.'))
			memcpy(out + strlen(out), ".0", 3);
		return strlen(out);
	}
	char *to = e + 1 + (e[1] == '-'), *from = e + 2;
	from += strspn(from, "0");
	memmove(to, from, strlen(from) + 1);
	return strlen(out);
}

size_t record_digits(double value, char *out)
{
	int exponent = 0;
	double magnitude = fabs(value);
	unsigned long whole = magnitude > 0 ? nine_digits(magnitude, &exponent) : 0;
	bool plain = exponent >= -4 && exponent < DIGITS; /* as %g decides */
	return whole && plain ? lay_out(whole, exponent, value < 0, out) : printed(value, out);
}

void record_real(struct record *record, const char *name, double value)
{
	char digits[ROOM];
	lead(record, name);
	if (isfinite(value))
		add(record, digits, record_digits(value, digits));
	else
		add(record, "null", 4);
}

void record_integer(struct record *record, const char *name, long long value)
{
	char digits[ROOM];
	lead(record, name);
	add(record, digits, (size_t)snprintf(digits, sizeof digits, "%lld", value));
}

void record_flag(struct record *record, const char *name, bool value)
{
	lead(record, name);
	add(record, value ? "true" : "false", value ? 4 : 5);
}

void record_null(struct record *record, const char *name)
{
	lead(record, name);
	add(record, "null", 4);
}
