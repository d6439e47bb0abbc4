#include "quantity/units.h"

#include <ctype.h>
#include <pthread.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
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

enum { ROW_COUNT = COUNT(rows), REFUSAL_COUNT = COUNT(refusals) };
enum { PLAIN_SIZE = 40 }; /* longer than any spelling of units.def */

/* What is between the letters of a unit without changing it, and signs that have a plain spelling. */
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
		size_t i = 0, signs_count = COUNT(signs);
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

/* What upper and lower case may tell apart: one letter alone, or both in use and a prefix m where the row has M. */
static bool case_matters(const char *plain, const char *row)
{
	if (!plain[1])
		return plain[0] != row[0];
	bool upper = false, lower = false, swapped = false, within = false;
	for (size_t i = 0; plain[i]; i++) {
		upper = upper || isupper((unsigned char)plain[i]);
		lower = lower || islower((unsigned char)plain[i]);
		swapped = swapped || (!within && plain[i] != row[i] && tolower((unsigned char)row[i]) == 'm');
		within = isalpha((unsigned char)plain[i]);
	}
	return upper && lower && swapped;
}

static bool spells_exactly(const char *spelling, const char *row)
{
	return strcmp(spelling, row) == 0;
}

static bool spells_loosely(const char *spelling, const char *row)
{
	char plain[PLAIN_SIZE], plain_row[PLAIN_SIZE];
	plain_spelling(spelling, plain);
	plain_spelling(row, plain_row);
	return plain[0] && text_same_nocase(plain, plain_row) && !case_matters(plain, plain_row);
}

typedef bool spells_function(const char *spelling, const char *row);

/* Between which rows those of a kind stand. */
static struct span {
	size_t begin, end;
} spans[QUANTITY_KINDS];

static void find_spans(void)
{
	for (size_t j = 0; j < ROW_COUNT; j++) {
		struct span *span = &spans[rows[j].kind];
		span->begin = span->end ? span->begin : j;
		span->end = j + 1;
	}
}

static const struct measure *match(const struct accepted *accepted, const char *spelling, spells_function *spells)
{
	static pthread_once_t found = PTHREAD_ONCE_INIT;
	pthread_once(&found, find_spans);
	for (size_t i = 0; i < accepted->count; i++)
		for (size_t j = spans[accepted->kinds[i]].begin; j < spans[accepted->kinds[i]].end; j++)
			if (rows[j].kind == accepted->kinds[i] && spells(spelling, rows[j].spelling))
				return &rows[j];
	return NULL;
}

const struct measure *unit_match(const struct accepted *accepted, const char *spelling)
{
	if (!spelling[0])
		return match(&(struct accepted){{accepted->kinds[0]}, 1}, spelling, spells_exactly);
	const struct measure *found = match(accepted, spelling, spells_exactly);
	return found ? found : match(accepted, spelling, spells_loosely);
}

const char *unit_refusal(const struct accepted *accepted, const char *spelling)
{
	for (size_t i = 0; i < accepted->count; i++)
		for (size_t j = 0; j < REFUSAL_COUNT; j++)
			if (refusals[j].kind == accepted->kinds[i] &&
				(spells_exactly(spelling, refusals[j].spelling) ||
					spells_loosely(spelling, refusals[j].spelling)))
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
