/*
 * A data sheet while it is unfolded: where its labels stand, band by band. A band is a run of rows with the same columns: what
 * stands above the names of two sides, what stands beneath these, and what follows after a blank row.
 */
#ifndef LEANRICH_IMPORT_FORM_INSIDE_H
#define LEANRICH_IMPORT_FORM_INSIDE_H

#include "import/form.h"
#include "import/listed.h"

enum { FORM_COLUMNS = 40, FORM_BANDS = 24, FORM_SAID = 4 };

struct form_band {
	size_t first, after;		 /* rows */
	bool labels[FORM_COLUMNS];	 /* of the columns that hold labels */
	const char *sides[FORM_COLUMNS]; /* what the columns of values of a side are headed with; NULL: of none */
	size_t label_columns, side_columns;
};

struct form {
	struct arena *arena;
	const struct words *words;
	const struct sheet *sheet;
	struct form_band bands[FORM_BANDS];
	size_t band_count;
	const struct form_band *band; /* that is looked at */
	size_t keys, titles, said;    /* said: pairs that stand in one cell */
	bool of_tubes;		      /* labels that do not say what they are of are of the tubes */
	bool notes;		      /* the rows are notes below a heading of such */
	struct sheet_cell *cells;
	struct sheet_origin *origins;
	size_t rows;
};

/* "Service: lean cooler" in one cell: a label that is known, and what it says. */
struct form_said {
	const char *label, *value;
};

bool form_is_copy(const struct sheet *sheet, size_t row, size_t column);
bool form_is_label(const struct form *form, const struct sheet_cell *cell);
bool form_heads_side(const struct form *form, const struct sheet_cell *cell);
/* "Notes" over what follows. */
bool form_heads_notes(const struct form *form, const struct sheet_cell *cell);
bool form_is_title(const struct form *form, size_t row, size_t column);

/* The pairs that a cell holds, at most FORM_SAID; 0: it is none of that. */
size_t form_said(const struct form *form, size_t row, size_t column, struct form_said *said);

/* Cuts the sheet into bands and finds their labels. False: it is no form. */
bool form_find(struct form *form);

#endif
