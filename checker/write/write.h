/*
 * The writers: one finished record, one file per format. Each writes to an open stream and to nothing else; false means
 * that the stream did not take everything or that memory ran out, and what was written is then no document.
 *
 * The same record gives the same bytes: no clock, no machine, no environment.
 */
#ifndef LEANRICH_WRITE_H
#define LEANRICH_WRITE_H

#include <stdbool.h>
#include <stdio.h>

#include "record/review.h"

/*
 * The documents of formats.def, of which write_html makes the review document, one self-contained page to be read on a screen and
 * printed on A4 or Letter, write_json the record for other programs, write_csv the action list for a spreadsheet.
 */
#define ALWAYS(name) bool write_##name(const struct review *review, FILE *out);
#define ASKED(name, help) ALWAYS(name)
#include "write/formats.def"

/* The same page for a program that lays out paper: without the script, with plain style. `sheet`: "A4" or "letter". */
bool write_html_for_paper(const struct review *review, const char *sheet, FILE *out);

/*
 * The same document as PDF, by WeasyPrint in a process of its own. NULL, or why it could not be made; what reached `out`,
 * which must have a file descriptor, is then no document.
 */
const char *write_pdf(struct arena *arena, const struct review *review, const char *sheet, FILE *out);

/*
 * The action list as a workbook for the designer's replies. The library opens `path` itself. False as above, with the
 * reason in errno or, when that is 0, unknown.
 */
bool write_xlsx(const struct review *review, const char *path);

/* The same in a process of its own, because the library does not survive that memory runs out; errno says what failed. */
bool write_xlsx_in_child(const struct review *review, const char *path);

/* The summary for a terminal of so many columns, with or without colour. */
bool write_text(const struct review *review, FILE *out, int columns, bool colour);

/* The catalogue itself: every rule with its limits, sources, reasons and examples, as one HTML page. */
bool write_catalogue(const struct catalogue *catalogue, FILE *out);

/* One rule for a terminal: what it looks at, its limits and where they were published, why, what to do, failures told of, examples. */
void write_rule(struct arena *arena, const struct catalogue *catalogue, const struct rule *rule, FILE *out);

/* Which families look at which kind of item, and with how many rules: a row per kind, a column per family. */
bool write_matrix(const struct catalogue *catalogue, FILE *out);

/*
 * Rule, matter, consequence, evidence, force and why, separated by tabs; then the counts of rules by evidence and
 * force, of limits by reading.
 */
bool write_rule_table(const struct catalogue *catalogue, FILE *out);
bool write_rule_changes(const struct catalogue *catalogue, FILE *out);

/*
 * The vocabulary of unit descriptions: one element with all its attributes as text (`kind` NULL: the list of elements), or all of
 * them as a page. vocabulary_entry.h says what is told of each.
 */
bool write_vocabulary_kind(const struct vocabulary *units, const struct catalogue *catalogue,
	const struct vocabulary_element *kind, FILE *out);
bool write_vocabulary_page(const struct vocabulary *units, const struct catalogue *catalogue, FILE *out);

/* Every quantity that is calculated, as text: computed.def. */
bool write_calculated(FILE *out);

#endif
