#include "quantity/units.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/text.h"

static const struct measure rows[] = {
#define UNIT(kind, spelling, factor, offset) {KIND_##kind, spelling, factor, offset, false},
#define GAUGE(kind, spelling, factor) {KIND_##kind, spelling, factor, 0, true},
#define REFUSED(kind, spelling, advice)
#include "quantity/units.def"
#undef UNIT
#undef GAUGE
#undef REFUSED
};

static const struct refusal {
	enum kind kind;
	const char *spelling, *advice;
} refusals[] = {
#define UNIT(kind, spelling, factor, offset)
#define GAUGE(kind, spelling, factor)
#define REFUSED(kind, spelling, advice) {KIND_##kind, spelling, advice},
#include "quantity/units.def"
#undef UNIT
#undef GAUGE
#undef REFUSED
};

/* How closely a spelling was matched; the first is tried first. */
enum closeness { AS_WRITTEN, SAME_SIGNS, ANY_CASE, CLOSENESS_COUNT };

enum { ROW_COUNT = sizeof rows / sizeof *rows, REFUSAL_COUNT = sizeof refusals / sizeof *refusals };
enum { PLAIN_SIZE = 40 }; /* longer than any spelling of units.def */

/* What stands between the letters of a unit without changing it, and signs that have a plain spelling. */
static const struct {
	const char *sign, *plain;
} signs[] = {
	{" ", ""},
	{"^", ""},
	{".", ""},
	{"*", ""},
	{"\u00b7", ""},
	{"\u22c5", ""},
	{"\u00a0", ""},
	{"\u2009", ""},
	{"\u202f", ""},
	{"\u00b2", "2"},
	{"\u00b3", "3"},
	{"\u00b0", "deg"},
	{"\u00ba", "deg"},
	{"\u2103", "degC"},
	{"\u2109", "degF"},
	{"\u00b5", "u"},
	{"\u03bc", "u"},
	{"\u2033", "\""},
};

/* `spelling` without spaces and signs, cut at PLAIN_SIZE - 1 bytes. */
static void plain_spelling(const char *spelling, char plain[PLAIN_SIZE])
{
	size_t length = 0;
	while (*spelling) {
		size_t i = 0, signs_count = sizeof signs / sizeof *signs;
		while (i < signs_count && strncmp(spelling, signs[i].sign, strlen(signs[i].sign)) != 0)
			i++;
		const char *more = i < signs_count ? signs[i].plain : spelling;
		size_t more_length = i < signs_count ? strlen(more) : 1;
		if (length + more_length >= PLAIN_SIZE)
			break;
		memcpy(plain + length, more, more_length);
		length += more_length;
		spelling += i < signs_count ? strlen(signs[i].sign) : 1;
	}
	plain[length] = '\0';
}

static bool is_upper(char c)
{
	return c >= 'A' && c <= 'Z';
}

static bool is_lower(char c)
{
	return c >= 'a' && c <= 'z';
}

static bool is_letter(char c)
{
	return is_upper(c) || is_lower(c);
}

/* Upper and lower case carry meaning: one letter alone, or both in use and a prefix m where the row has M. */
static bool case_matters(const char *plain, const char *row)
{
	bool upper = false, lower = false, swapped = false;
	for (size_t i = 0; plain[i]; i++) {
		bool first = i == 0 || !is_letter(plain[i - 1]);
		upper = upper || is_upper(plain[i]);
		lower = lower || is_lower(plain[i]);
		swapped = swapped || (first && plain[i] != row[i] && (row[i] == 'm' || row[i] == 'M'));
	}
	return !plain[1] || (upper && lower && swapped);
}

static bool spells(const char *spelling, const char *row, enum closeness closeness)
{
	if (closeness == AS_WRITTEN)
		return strcmp(spelling, row) == 0;
	char plain[PLAIN_SIZE], plain_row[PLAIN_SIZE];
	plain_spelling(spelling, plain);
	plain_spelling(row, plain_row);
	if (!plain[0])
		return false;
	if (closeness == SAME_SIGNS)
		return strcmp(plain, plain_row) == 0;
	return text_same_nocase(plain, plain_row) && !case_matters(plain, plain_row);
}

static bool means_the_same(const struct measure *a, const struct measure *b)
{
	return a->gauge == b->gauge && !(a->factor < b->factor) && !(a->factor > b->factor) &&
		!(a->offset < b->offset) && !(a->offset > b->offset);
}

/* NULL too when rows of the kind that differ are matched alike. */
static const struct measure *match_in_kind(enum kind kind, const char *spelling, enum closeness closeness)
{
	const struct measure *found = NULL;
	for (size_t i = 0; i < ROW_COUNT; i++) {
		if (rows[i].kind != kind || !spells(spelling, rows[i].spelling, closeness))
			continue;
		if (found && !means_the_same(found, &rows[i]))
			return NULL;
		found = found ? found : &rows[i];
	}
	return found;
}

const struct measure *unit_match(const struct accepted *accepted, const char *spelling)
{
	if (strlen(spelling) >= PLAIN_SIZE)
		return NULL;
	size_t kinds = spelling[0] || accepted->count == 0 ? accepted->count : 1;
	for (int closeness = AS_WRITTEN; closeness < CLOSENESS_COUNT; closeness++)
		for (size_t i = 0; i < kinds; i++) {
			const struct measure *found =
				match_in_kind(accepted->kinds[i], spelling, (enum closeness)closeness);
			if (found)
				return found;
		}
	return NULL;
}

const char *unit_refusal(const struct accepted *accepted, const char *spelling)
{
	if (strlen(spelling) >= PLAIN_SIZE)
		return NULL;
	for (int closeness = AS_WRITTEN; closeness < CLOSENESS_COUNT; closeness++)
		for (size_t i = 0; i < accepted->count; i++)
			for (size_t j = 0; j < REFUSAL_COUNT; j++)
				if (refusals[j].kind == accepted->kinds[i] &&
					spells(spelling, refusals[j].spelling, (enum closeness)closeness))
					return refusals[j].advice;
	return NULL;
}

bool unit_find(enum kind kind, const char *spelling, double barometric, double *factor, double *offset)
{
	const struct measure *unit = unit_match(&(struct accepted){.kinds = {kind}, .count = 1}, spelling);
	if (!unit)
		return false;
	*factor = unit->factor;
	*offset = unit->offset + (unit->gauge ? barometric : 0);
	return true;
}

size_t unit_count(void)
{
	return ROW_COUNT;
}

const struct measure *unit_row(size_t i)
{
	return &rows[i];
}

const char *unit_spelling(size_t i, enum kind *kind)
{
	*kind = rows[i].kind;
	return rows[i].spelling;
}

_Noreturn void unit_bug(const char *file, int line, const char *what)
{
	fprintf(stderr, "%s:%d: %s\n", file, line, what);
	abort();
}
