#include "printed.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static const char *next_word(const char *at, size_t *length)
{
	while (*at == ' ')
		at++;
	*length = *at == '\n' ? 1 : strcspn(at, " \n");
	return at;
}

/* One unit of the last digit of "118.20": 0.01. */
static double last_digit(const char *word, size_t length)
{
	const char *point = memchr(word, '.', length);
	return point ? pow(10, -(double)(word + length - point - 1)) : 1;
}

static bool same_word(const char *a, size_t la, const char *b, size_t lb)
{
	char *end_a, *end_b;
	if (la == lb && memcmp(a, b, la) == 0)
		return true;
	double x = strtod(a, &end_a), y = strtod(b, &end_b);
	return la > 0 && lb > 0 && end_a == a + la && end_b == b + lb && fabs(x - y) < 1.01 * last_digit(a, la);
}

static bool same_text(const char *a, const char *b)
{
	size_t la, lb;
	for (;;) {
		a = next_word(a, &la);
		b = next_word(b, &lb);
		if (!same_word(a, la, b, lb))
			return false;
		if (la == 0)
			return true;
		a += la;
		b += lb;
	}
}

static bool write_file(const char *path, const char *text)
{
	FILE *file = fopen(path, "w");
	if (!file)
		return false;
	bool written = fputs(text, file) >= 0;
	return fclose(file) == 0 && written;
}

bool printed_holds(const char *path, const char *text)
{
	enum { LARGEST = 1 << 16 };
	static char stored[LARGEST];
	const char *mode = getenv("LEANRICH_TABLES");
	if (mode && strcmp(mode, "write") == 0)
		return write_file(path, text);
	FILE *file = fopen(path, "r");
	size_t size = file ? fread(stored, 1, LARGEST - 1, file) : 0;
	if (file)
		fclose(file);
	stored[size] = '\0';
	return size > 0 && same_text(stored, text);
}
