/* What the cells of a sheet tell about how it is written: decimal sign, thousands, order of dates, units said in passing. */
#ifndef LEANRICH_IMPORT_EVIDENCE_H
#define LEANRICH_IMPORT_EVIDENCE_H

#include "import/fields.h"
#include "import/list_cell.h"
#include "import/sheet.h"
#include "import/table.h"

enum decimal_sign { DECIMAL_UNDECIDED, DECIMAL_POINT, DECIMAL_COMMA };

/* Of all CSV of a package together. */
enum decimal_sign evidence_decimal(const struct workbook *workbooks, size_t count);

/* Decimal sign, thousands and dates; what neither the cells nor their fellows tell stays open. */
struct cell_rules evidence_rules(struct arena *arena, const struct sheet *sheet, enum decimal_sign of_package);

/* A unit of the kind that a sentence of the sheet names ("Temperatures in degC"); NULL: none, or several. */
const char *evidence_unit(struct arena *arena, const struct words *words, const struct sheet *sheet, enum kind kind);

/* The name of the file, with the revision that the head of the sheet gives. */
const char *evidence_document(struct arena *arena, const struct sheet *sheet);

/* The amine that the sheets speak of most; NULL: none. */
const char *evidence_amine(struct arena *arena, const struct workbook *workbooks, size_t count);

/* What a legend of the sheet, "W = winter (normal), S = summer", has for the word; NULL: it has none. */
const char *evidence_legend(struct arena *arena, const struct sheet *sheet, const char *word);

/* The letters and numbers that the sheets call cases by, "Case A - summer", "Cases: A = summer, B = winter": "a b". */
const char *evidence_case_letters(struct arena *arena, const struct workbook *workbooks, size_t count);

/* What a legend of codes, "Service codes: SG sour gas, RX reflux", has for the code; NULL: there is none of it. */
const char *evidence_code(struct arena *arena, const struct sheet *sheet, const char *code);

/* How much the name of a sheet speaks for such a list; 0: nothing in it does. */
size_t evidence_of_name(struct arena *arena, enum sheet_lists lists, const char *name);

/* NPS or DN of a column of bare sizes: by its unit, else by the figures; NULL: neither tells. */
const char *evidence_of_sizes(const struct table *table, const struct table_column *column);

/* Do most cells of the column name a metal, and none something else than one? */
bool evidence_are_metals(struct arena *arena, const struct table *table, const struct table_column *column);

/* "MDEA 45 wt%": the solvent as titles name it; where two of them differ, or none says it, the strength is NULL. */
struct evidence_solvent {
	const char *amine, *strength, *cell;
	const char *activator; /* how much of it, or NULL */
	bool piperazine;       /* the activator is named so; else it may be another */
	struct place place;
};

struct evidence_solvent evidence_solvent(struct arena *arena, const struct workbook *workbooks, size_t count);

/* How long an entry of a legend is, "A = summer" of "A = summer, B = winter". */
size_t evidence_entry_length(const char *text);

#endif
