#include "judge/expression_number.h"

#include <math.h>
#include <string.h>

#include "base/arena.h"

static const char prefix[] = "n.";

double expression_number(double value)
{
	static const int bits = 40; /* twelve digits */
	int exponent;
	double part = frexp(value, &exponent);
	return isfinite(value) ? ldexp(round(ldexp(part, bits)), exponent - bits) : value;
}

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z') || c == '_';
}

static bool begins_number(const char *at)
{
	return is_digit(*at) || (*at == '.' && is_digit(at[1]));
}

double expression_number_read(const char **at)
{
	double whole = 0, fraction = 0;
	int digits = 0;
	for (; is_digit(**at); ++*at)
		whole = 10 * whole + (**at - '0');
	if (**at == '.')
		for (++*at; is_digit(**at); ++*at, digits++)
			fraction = 10 * fraction + (**at - '0');
	return expression_number(whole + fraction / pow(10, (double)digits));
}

/* What is copied as it is: a word in quotes, a name (with the digits in it), or one sign. */
static size_t length_of_other(const char *at)
{
	const char *end = *at == '\'' || *at == '"' ? strchr(at + 1, *at) : NULL;
	size_t length = end ? (size_t)(end - at) + 1 : 1;
	for (; is_letter(*at) && (is_letter(at[length]) || is_digit(at[length]) || at[length] == '-'); length++)
		;
	return length;
}

char *expression_numbers_named(const char *written)
{
	const size_t more = 1 + sizeof prefix; /* "$n." and a blank in place of the NUL */
	char *named = checked_malloc((more + 1) * strlen(written) + 1), *out = named;
	for (const char *at = written, *begin; *at;) {
		const bool number = begins_number(begin = at);
		if (number)
			expression_number_read(&at);
		else
			at += length_of_other(at);
		const size_t length = (size_t)(at - begin);
		if (number) {
			*out++ = '$';
			out = (char *)memcpy(out, prefix, sizeof prefix - 1) + sizeof prefix - 1;
		}
		out = (char *)memcpy(out, begin, length) + length;
		if (number)
			*out++ = ' '; /* what follows is no part of the name */
	}
	*out = '\0';
	return named;
}

bool expression_number_named(const char *name, double *out)
{
	const size_t length = sizeof prefix - 1;
	if (strncmp(name, prefix, length) != 0)
		return false;
	const char *at = name + length;
	*out = expression_number_read(&at);
	return true;
}
