#include "import/list_cell.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static int month_named(struct arena *arena, const char *word)
{
	static const char *const months[] = {"jan|january|januar|janvier|janv|enero|ene|januari",
		"feb|february|februar|fevrier|fev|fevr|febrero|februari",
		"mar|march|marz|mars|marzo|maart|mrz|mrt|marz", "apr|april|avril|avr|abril|abr", "may|mai|mayo|mei",
		"jun|june|juni|juin|junio", "jul|july|juli|juillet|juil|julio", "aug|august|aout|agosto|ago|augustus",
		"sep|sept|september|septembre|septiembre", "oct|october|oktober|okt|octobre|octubre",
		"nov|november|novembre|noviembre", "dec|december|dezember|dez|decembre|diciembre|dic"};
	for (size_t i = 0; i < COUNT(months); i++)
		if (words_are_one_of(arena, word, months[i]))
			return (int)i + 1;
	return 0;
}

/* The runs of digits and of letters of a date: at most four. */
static size_t date_parts(struct arena *arena, const char *folded, const char *parts[4])
{
	size_t count = 0;
	for (const char *at = folded; *at && count < 4;) {
		at += strspn(at, " ");
		size_t digits = strspn(at, "0123456789"), length = digits ? digits : strcspn(at, " 0123456789");
		if (length)
			parts[count++] = arena_copy_span(arena, at, length);
		at += length;
	}
	return count;
}

static const char *date_of(struct arena *arena, long year, long month, long day)
{
	enum { CENTURY = 100, PIVOT = 70, EARLIEST = 1900, LATEST = 2100, MONTHS = 12, DAYS = 31 };
	if (year < CENTURY)
		year += year < PIVOT ? 2000 : 1900;
	if (year < EARLIEST || year > LATEST || month < 1 || month > MONTHS || day < 0 || day > DAYS)
		return NULL;
	return day ? arena_format(arena, "%04ld-%02ld-%02ld", year, month, day)
		   : arena_format(arena, "%04ld-%02ld", year, month);
}

/* "2025-03-04 07:30", "4.3.2025, 7:30 Uhr": the day; what stands before a time of the day. */
static const char *without_time(struct arena *arena, const char *written)
{
	const char *colon = strchr(written, ':'), *at = colon;
	if (!colon || colon == written || !is_digit(colon[-1]) || !is_digit(colon[1]))
		return written;
	while (at > written && is_digit(at[-1]))
		at--;
	while (at > written && strchr(" ,T", at[-1]))
		at--;
	return at > written ? arena_copy_span(arena, written, (size_t)(at - written)) : written;
}

const char *list_cell_date(struct arena *arena, const char *written, enum date_order order)
{
	enum { MONTHS = 12 };
	const char *parts[4], *folded = words_fold(arena, without_time(arena, written));
	size_t count = date_parts(arena, folded, parts), month_at = count;
	long numbers[4] = {0};
	for (size_t i = 0; i < count; i++) {
		numbers[i] = strtol(parts[i], NULL, 10);
		if (!is_digit(*parts[i])) {
			if (month_at != count || !(numbers[i] = month_named(arena, parts[i])))
				return NULL;
			month_at = i;
		}
	}
	bool year_first = count && strlen(parts[0]) == 4 && is_digit(*parts[0]);
	if (count == 1 && year_first)
		return parts[0];
	bool year_said = count == 2 && month_at < count &&
		(strlen(parts[1 - month_at]) == 4 || (month_at == 0 && strpbrk(written, "-/'")));
	if (count == 2 && month_at < count) /* "12-Jan" and "Jan 25" may be days */
		return year_said ? date_of(arena, numbers[1 - month_at], numbers[month_at], 0) : NULL;
	if (count == 2 && (year_first || strlen(parts[1]) == 4))
		return year_first ? date_of(arena, numbers[0], numbers[1], 0)
				  : date_of(arena, numbers[1], numbers[0], 0);
	if (count != 3)
		return NULL;
	if (month_at < count)
		return year_first ? date_of(arena, numbers[0], numbers[1], numbers[2])
				  : date_of(arena, numbers[2], numbers[month_at], numbers[month_at == 0 ? 1 : 0]);
	if (year_first)
		return date_of(arena, numbers[0], numbers[1], numbers[2]);
	if (strchr(written, '.') || numbers[0] > MONTHS || numbers[0] == numbers[1])
		order = DAY_FIRST; /* points part days from months where the day comes first */
	else if (numbers[1] > MONTHS)
		order = MONTH_FIRST;
	if (order == DATES_UNDECIDED)
		return NULL;
	return order == DAY_FIRST ? date_of(arena, numbers[2], numbers[1], numbers[0])
				  : date_of(arena, numbers[2], numbers[0], numbers[1]);
}
