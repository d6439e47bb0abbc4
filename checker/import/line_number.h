/*
 * What the number of a line says of it: 8"-AM-1021-A1B-IH is of NPS 8 and piping class A1B. Common practice, no source: each
 * project numbers its lines by a pattern of its own; what could be something else is not taken.
 */
#ifndef LEANRICH_IMPORT_LINE_NUMBER_H
#define LEANRICH_IMPORT_LINE_NUMBER_H

#include "base/arena.h"

struct line_number {
	const char *size;	  /* "NPS 8", by its mark of inches; NULL: none is marked */
	const char *piping_class; /* NULL: no part has the form of one, or two have */
};

struct line_number line_number_read(struct arena *arena, const char *tag);

#endif
