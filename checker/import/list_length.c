#include "import/list_cell.h"

#include <stdlib.h>
#include <string.h>

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
