/*
 * The sheets of a file, as grids of cells: from CSV in any dialect, and from a workbook (XLSX).
 *
 * CSV: UTF-8, UTF-16 or, when it is neither, Western (windows-1252), which is said; the separator is the one of semicolon, tab,
 * bar and comma that parts most lines into as many cells. A workbook: shared and inline texts, the cached values of formulas
 * (one without is SHEET_UNCALCULATED), dates by the format of their cell, percentages and units that the format shows, merged
 * cells (each of a range has the content of its first, and `merged`), hidden rows, columns and sheets (`hidden`). Macros are
 * passed over and said. Encrypted and old binary workbooks are refused, and so is what unpacks to more than the caps below:
 * nothing of a file is believed before it is counted.
 *
 * A number of a workbook is written with a decimal point whatever its country shows; a number of CSV is text as it was typed.
 */
#ifndef LEANRICH_SHEET_H
#define LEANRICH_SHEET_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/problem.h"
#include "base/text.h"

enum sheet_kind {
	SHEET_EMPTY,
	SHEET_TEXT,
	SHEET_NUMBER, /* with a decimal point; a percentage keeps its sign, and what its format adds follows */
	SHEET_DATE,   /* 2026-09-14 */
	SHEET_FAULT,  /* #REF! and its like */
	SHEET_UNCALCULATED
};

struct sheet_cell {
	const char *text; /* never NULL; blanks at both ends taken off */
	enum sheet_kind kind;
	bool merged; /* it shows what the first cell of its range holds */
	bool hidden; /* by its row, column or sheet */
};

/* Where a cell stands in its file: row and column from 0. */
struct sheet_origin {
	uint32_t row, column;
};

struct sheet {
	const char *file, *name;
	size_t rows, columns;
	const struct sheet_cell *cells;	    /* row by row */
	const struct sheet_origin *origins; /* of a block that was cut out of a sheet, cell by cell; else NULL */
	const size_t *widths;		    /* CSV: how many cells each row has, empty ones counted; else NULL */
	char separator;			    /* CSV */
	bool csv, hidden;
	bool form;    /* a data sheet, unfolded (form.h) */
	int unclosed; /* CSV: line of a quote that is never closed, or 0 */
};

struct workbook {
	const struct sheet *sheets;
	size_t count;
	size_t unread; /* sheets that hold no cells: charts, and such as are empty */
};

enum {
	SHEET_MOST_CELLS = 2000000,  /* of one sheet, empty ones within it counted */
	SHEET_MOST_BYTES = 512 << 20 /* that a workbook unpacks to */
};

/* False after reporting why nothing can be read (`faults`). What is odd of a file that can be read goes to `doubts`. */
bool workbook_read(struct arena *arena, const char *path, struct problems *faults, struct problems *doubts,
	struct workbook *workbook);

/* The same from memory. */
bool workbook_parse(struct arena *arena, const char *name, const char *bytes, size_t size, struct problems *faults,
	struct problems *doubts, struct workbook *workbook);

/* In sheet_xlsx.c: a zip archive that should be a workbook. */
bool workbook_unpack(struct arena *arena, const char *name, const char *bytes, size_t size, struct problems *faults,
	struct problems *doubts, struct workbook *workbook);

/* The cell, empty beyond the grid. Rows and columns from 0. */
const struct sheet_cell *sheet_at(const struct sheet *sheet, size_t row, size_t column);

/* Where that cell stands in its file. */
struct sheet_origin sheet_origin(const struct sheet *sheet, size_t row, size_t column);

/* The rows and columns from `from` up to, not including, `to`, as a sheet of its own that remembers where its cells stand. */
const struct sheet *sheet_part(
	struct arena *arena, const struct sheet *sheet, struct sheet_origin from, struct sheet_origin to);

/* "Streams!B7". */
const char *sheet_cell_name(struct arena *arena, const struct sheet *sheet, size_t row, size_t column);
const char *sheet_column_name(struct arena *arena, size_t column);

/* "A11:G15", from the first cell to the last. */
const char *sheet_span(struct arena *arena, const struct sheet *sheet);

struct place sheet_place(const struct sheet *sheet, size_t row, size_t column);

/* What the content of a cell is by its looks: a fault, a formula without its value, text. */
enum sheet_kind sheet_kind_of(const char *text);

#endif
