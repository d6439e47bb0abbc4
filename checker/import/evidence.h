/* What the cells of a sheet tell about how it is written: decimal sign, thousands, order of dates, units said in passing. */
#ifndef LEANRICH_IMPORT_EVIDENCE_H
#define LEANRICH_IMPORT_EVIDENCE_H

#include "import/list_cell.h"
#include "import/sheet.h"

/* Decimal sign, thousands and dates; what the cells leave open stays open. */
struct cell_rules evidence_rules(struct arena *arena, const struct sheet *sheet);

/* A unit of the kind that a sentence of the sheet names ("Temperatures in degC"); NULL: none, or several. */
const char *evidence_unit(struct arena *arena, const struct words *words, const struct sheet *sheet, enum kind kind);

/* The name of the file, with the revision that the head of the sheet gives. */
const char *evidence_document(struct arena *arena, const struct sheet *sheet);

/* The amine that the sheets speak of most; NULL: none. */
const char *evidence_amine(struct arena *arena, const struct workbook *workbooks, size_t count);

#endif
