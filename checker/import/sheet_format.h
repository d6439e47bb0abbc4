/*
 * What the number of a cell shows by the format of its style: a date, a percentage, a unit written by the format ("0.0 "barg""),
 * or the number alone. ECMA-376-1:2016, 18.8.30 (number formats) and 18.17.4 (dates).
 */
#ifndef LEANRICH_SHEET_FORMAT_H
#define LEANRICH_SHEET_FORMAT_H

#include "import/sheet.h"

struct sheet_format {
	const char *id, *code;
};

struct sheet_formats {
	struct sheet_format *declared;
	size_t declared_count, declared_capacity;
	const char **styles; /* id of the format of each style of cells */
	size_t style_count, style_capacity;
	bool from_1904; /* dates count from 1904-01-01 */
};

void sheet_format_declare(struct arena *arena, struct sheet_formats *formats, const char *id, const char *code);
void sheet_format_style(struct arena *arena, struct sheet_formats *formats, const char *id);

/* `style`: number of a style, or NULL. `kind` becomes SHEET_NUMBER, SHEET_DATE or, when it is no number, SHEET_TEXT. */
const char *sheet_format_show(struct arena *arena, const struct sheet_formats *formats, const char *style,
	const char *number, enum sheet_kind *kind);

#endif
