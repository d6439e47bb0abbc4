/*
 * CSV as spreadsheets write and read it: RFC 4180, a byte order mark, CRLF. A cell with a comma, semicolon, tab, quote or line end
 * is quoted. Before whatever a spreadsheet of any country would run as a formula is an apostrophe, which reading takes off
 * again: before = + - @ (and their wide forms) where a cell begins, and within a cell after a semicolon, tab or line end, where
 * one begins for a program with other separators; before a tab or CR that begins a cell. A plain number stays one: -5, 1.2e-3; with
 * a unit after it ("-5 K") it is words, and guarded. Reading also takes semicolons and tabs between cells, lone line feeds, and
 * quotes where they are not needed, as national settings produce them.
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
