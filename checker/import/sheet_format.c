#include "import/sheet_format.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"

void sheet_format_declare(struct arena *arena, struct sheet_formats *formats, const char *id, const char *code)
{
	if (!id || !code)
		return;
	formats->declared = arena_grow(arena, formats->declared, formats->declared_count, &formats->declared_capacity,
		sizeof *formats->declared);
	formats->declared[formats->declared_count++] = (struct sheet_format){.id = id, .code = code};
}

void sheet_format_style(struct arena *arena, struct sheet_formats *formats, const char *id)
{
	formats->styles = arena_grow(
		arena, formats->styles, formats->style_count, &formats->style_capacity, sizeof *formats->styles);
	formats->styles[formats->style_count++] = id ? id : "0";
}

/* The codes that every workbook has without declaring them; a number for all others. */
static const char *code_of(const struct sheet_formats *formats, const char *style)
{
	static const struct sheet_format own[] = {{"9", "0%"}, {"10", "0.00%"}, {"14", "d/m/y"}, {"15", "d-mmm-yy"},
		{"16", "d-mmm"}, {"17", "mmm-yy"}, {"22", "m/d/y h:mm"}};
	size_t at = style ? strtoul(style, NULL, 10) : formats->style_count;
	if (at >= formats->style_count)
		return "";
	const char *id = formats->styles[at];
	for (size_t i = 0; i < formats->declared_count; i++)
		if (strcmp(formats->declared[i].id, id) == 0)
			return formats->declared[i].code;
	for (size_t i = 0; i < COUNT(own); i++)
		if (strcmp(own[i].id, id) == 0)
			return own[i].code;
	return "";
}

/* The code of positive numbers, free of colours and conditions; its literal text goes to `literal`. */
static const char *bare_code(struct arena *arena, const char *code, struct text *literal)
{
	struct text bare = text_in(arena);
	for (const char *c = code; *c && *c != ';'; c++) {
		if (*c == '"') {
			for (c++; *c && *c != '"'; c++)
				text_add_char(literal, *c);
		} else if (*c == '[') {
			while (c[1] && *c != ']')
				c++;
		} else if (*c == '\\' && c[1]) {
			text_add_char(literal, *++c);
		} else if ((*c == '_' || *c == '*') && c[1]) {
			c++;
		} else {
			text_add_char(&bare, *c);
		}
		if (!*c)
			break;
	}
	return bare.data;
}

/* Days since 1970-01-01 as a day of the proleptic Gregorian calendar (Howard Hinnant, "chrono-compatible low-level date algorithms"). */
static const char *day(struct arena *arena, long days)
{
	enum { TO_ERA = 719468, ERA = 146097, CENTURY = 36524, FOUR_YEARS = 1460, YEAR = 365, FIVE_MONTHS = 153 };
	long shifted = days + TO_ERA, era = shifted / ERA, of_era = shifted % ERA;
	long year = (of_era - of_era / FOUR_YEARS + of_era / CENTURY - of_era / (ERA - 1)) / YEAR;
	long of_year = of_era - (YEAR * year + year / 4 - year / 100);
	long month = (5 * of_year + 2) / FIVE_MONTHS, date = of_year - (FIVE_MONTHS * month + 2) / 5 + 1;
	month += month < 10 ? 3 : -9;
	return arena_format(arena, "%04ld-%02ld-%02ld", year + era * 400 + (month <= 2), month, date);
}

static const char *date_shown(struct arena *arena, double serial, bool from_1904)
{
	enum { FROM_1899 = 25569, FROM_1904 = 24107, MISTAKEN_LEAP_DAY = 60, LATEST = 2958465 };
	if (!(serial >= 1 && serial <= LATEST))
		return NULL;
	long whole = (long)floor(serial);
	if (!from_1904 && whole < MISTAKEN_LEAP_DAY)
		whole++; /* 1900 counts as a leap year there */
	return day(arena, whole - (from_1904 ? FROM_1904 : FROM_1899));
}

/* As many digits as tell it from its neighbours by hand: 0.30000000000000004 is 0.3. */
static const char *plain(struct arena *arena, double value)
{
	char text[64];
	snprintf(text, sizeof text, "%.12g", value);
	if (strchr(text, 'e')) {
		double size = fabs(value);
		snprintf(text, sizeof text, size < 1 ? "%.15f" : "%.0f", value);
		char *end = text + strlen(text);
		while (strchr(text, '.') && end > text && end[-1] == '0')
			*--end = '\0';
		if (end > text && end[-1] == '.')
			*--end = '\0';
	}
	return arena_copy(arena, text);
}

const char *sheet_format_show(struct arena *arena, const struct sheet_formats *formats, const char *style,
	const char *number, enum sheet_kind *kind)
{
	char *end;
	double value = strtod(number, &end);
	if (end == number || *end || !isfinite(value) || fabs(value) > 1e15) {
		*kind = SHEET_TEXT;
		return number;
	}
	struct text literal = text_in(arena);
	const char *code = bare_code(arena, code_of(formats, style), &literal);
	bool general = strncmp(code, "General", strlen("General")) == 0;
	if (!general && strpbrk(code, "yYdD") && !strpbrk(code, "0#?")) {
		const char *date = date_shown(arena, value, formats->from_1904);
		*kind = date ? SHEET_DATE : SHEET_NUMBER;
		if (date && !strpbrk(code, "dD"))
			return arena_copy_span(arena, date, strlen("2026-09")); /* it shows the month alone */
		return date ? date : plain(arena, value);
	}
	*kind = SHEET_NUMBER;
	if (strchr(code, '%'))
		return arena_join(arena, plain(arena, value * 100), " %", "", "");
	const char *unit = literal.data + strspn(literal.data, " ");
	return *unit && strpbrk(code, "0#?") ? arena_join(arena, plain(arena, value), " ", unit, "")
					     : plain(arena, value);
}
