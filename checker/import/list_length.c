#include "import/list_cell.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

/* "6", "1/16", "1-1/2", "1 1/2": `*at` moves past it; negative: it is none. `*fraction`: there is one. */
static double whole_and_fraction(const char **at, bool *fraction)
{
	enum { FINEST = 64 };
	char *end;
	double whole = 0;
	if (!is_digit(**at))
		return -1;
	long over = strtol(*at, &end, 10), under = 1;
	*fraction = false;
	if ((*end == '-' || *end == ' ') && is_digit(end[1])) {
		whole = (double)over;
		over = strtol(end + 1, &end, 10);
		if (*end != '/')
			return -1;
	}
	if (*end == '/' && is_digit(end[1])) {
		under = strtol(end + 1, &end, 10);
		*fraction = under > 1 && under <= FINEST && (under & (under - 1)) == 0 && over > 0 && over < under;
		if (!*fraction)
			return -1;
	}
	*at = end;
	return whole + (double)over / (double)under;
}

const char *list_cell_inches(struct arena *arena, const char *written, const char *unit)
{
	enum { INCHES = 12 };
	const char *at = written, *foot = strchr(written, '\'');
	bool fraction = false;
	long feet = 0;
	if (foot && foot > written && strspn(written, "0123456789") == (size_t)(foot - written)) {
		feet = strtol(written, NULL, 10);
		at = foot + 1 + strspn(foot + 1, " -");
		if (!*at)
			return arena_format(arena, "%ld in", feet * INCHES);
		unit = "in";
	}
	double inches = whole_and_fraction(&at, &fraction);
	at += strspn(at, " ");
	if (inches < 0 || (!fraction && at == written) || (!fraction && !feet && !foot))
		return NULL;
	if (!text_has_word("in inch \" in.", *at ? at : unit ? unit : ""))
		return NULL;
	return arena_format(arena, "%.6g in", (double)(feet * INCHES) + inches);
}

/* "1000 ID", "T/T 18500 mm", "Ø 1.200", "18'-0\" T/T overall": the length without the words that say which it is. */
static const char *bare_length(struct arena *arena, const char *from, size_t length)
{
	static const char *const words[] = {"T/T", "T-T", "TL/TL", "TL-TL", "S/S", "overall", "horizontal", "horiz.",
		"horiz", "vertical", "vert.", "vert", "ID", "I.D.", "OD", "O.D.", "lg.", "lg", "long", "dia.", "dia",
		"Dm", "\u00d8", "\u00f8", "\u2300", "D=", "L=", "H=", "L:", "D:", "high", "hoch", "lang", "TT", "TL",
		"DN", "haut", "alto", "int.", "innen", "zyl.", "length", "diameter", "(", ")"};
	char *copy = arena_copy_span(arena, from, length);
	for (size_t i = 0; i < COUNT(words); i++) {
		size_t letters = strlen(words[i]);
		for (char *at = copy; (at = strstr(at, words[i])); at++) {
			bool sign = words[i][letters - 1] == '=' || words[i][letters - 1] == ':' ||
				(unsigned char)*words[i] >= 0x80 || strchr("()", *words[i]);
			bool begins = at == copy || !((at[-1] | 0x20) >= 'a' && (at[-1] | 0x20) <= 'z'),
			     ends = !((at[letters] | 0x20) >= 'a' && (at[letters] | 0x20) <= 'z');
			if (sign || (begins && ends))
				memset(at, ' ', letters);
		}
	}
	size_t first = strspn(copy, " "), last = strlen(copy);
	while (last > first && strchr(" ,;", copy[last - 1]))
		last--;
	return arena_copy_span(arena, copy + first, last - first);
}

bool list_cell_dimensions(struct arena *arena, const char *written, const char *parts[2])
{
	static const char figures[] = "0123456789.,'-/ ";
	const char *times = strstr(written, "\u00d7");
	size_t sign = times ? strlen("\u00d7") : 1;
	times = times ? times : strpbrk(written, "xX");
	if (!times || strpbrk(times + sign, "xX") || strstr(times + sign, "\u00d7"))
		return false;
	parts[0] = bare_length(arena, written, (size_t)(times - written));
	parts[1] = bare_length(arena, times + sign, strlen(times + sign));
	const char *unit = parts[1] + strspn(parts[1], figures);
	if (*parts[0] && strspn(parts[0], figures) == strlen(parts[0]) && *unit && !strchr(parts[1], '\'') &&
		*unit != '"')
		parts[0] = arena_join(arena, parts[0], " ", unit, "");
	return *parts[0] && *parts[1];
}

/* Birmingham wire gauge: Kern, Process Heat Transfer, 1950, Table 10, from memory. */
const char *list_cell_gauge(const char *written)
{
	static const struct {
		long gauge;
		const char *inches;
	} rows[] = {{8, "0.165 in"}, {10, "0.134 in"}, {11, "0.12 in"}, {12, "0.109 in"}, {13, "0.095 in"},
		{14, "0.083 in"}, {15, "0.072 in"}, {16, "0.065 in"}, {17, "0.058 in"}, {18, "0.049 in"}};
	char *end;
	const long gauge = strtol(written, &end, 10);
	end += strspn(end, " ");
	if (end == written || (*end && strncmp(end, "BWG", 3) != 0 && strncmp(end, "ga", 2) != 0))
		return NULL;
	for (size_t i = 0; i < COUNT(rows); i++)
		if (rows[i].gauge == gauge)
			return rows[i].inches;
	return NULL;
}
