/*
 * CSV as spreadsheets write and read it: RFC 4180, a byte order mark, CRLF. A cell that a spreadsheet would run as a formula is
 * written with an apostrophe before it, which reading takes off again. Reading also takes semicolons and tabs between cells,
 * lone line feeds, and quotes where they are not needed, as national settings produce them.
 */
#ifndef LEANRICH_CELLS_H
#define LEANRICH_CELLS_H

#include <stdbool.h>
#include <stddef.h>

#include "base/text.h"

void cells_begin(struct text *out); /* the byte order mark */
void cells_row(struct text *out, const char *const *cells, size_t count);

struct cells_line {
	const char *const *cells; /* blanks at both ends taken off */
	size_t count;
	int line; /* in the file, where the row begins; the first is 1 */
	int row;  /* as a spreadsheet counts it: a quoted cell may span lines */
};

struct cells_file {
	const struct cells_line *lines; /* rows in which every cell is empty are left out */
	size_t count;
	char separator;
	int unclosed; /* line of a quote that is never closed, or 0 */
};

/* `bytes` are text (document_is_text). `separator` 0: the one of comma, semicolon and tab that the first line with any holds most of. */
struct cells_file cells_read(struct arena *arena, const char *bytes, char separator);

#endif
