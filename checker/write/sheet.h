/*
 * The documents beside the review: comparison, headroom, sweep, portfolio. One page each, in the style of the review, with a
 * title block, numbered sections and the same closing words.
 */
#ifndef LEANRICH_SHEET_H
#define LEANRICH_SHEET_H

#include "write/write_html.h"

struct sheet {
	struct arena arena;
	struct html html;
	struct page page; /* of no review: for sections, tables and figures */
};

struct sheet_fact {
	const char *name, *value;
};

/* Begins a page; `sheet` must not move until it is closed. The facts end with a row without a name. */
void sheet_open(
	struct sheet *sheet, const char *kind, const char *number, const char *name, const struct sheet_fact *facts);

/* Ends and saves the page and gives everything back; false when it could not be written whole. */
bool sheet_close(struct sheet *sheet, FILE *out);

/* A row of so many cells of plain text, the first as its heading. */
xmlNode *sheet_row(xmlNode *body, const char *const *cells, size_t count);

#endif
