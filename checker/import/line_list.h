/*
 * A line list read into a draft description by a map (map.xsd) that says which heading is which attribute of a line.
 *
 * Line lists are typed by many hands: decimal commas, 6", DN150, 1-1/2", ranges, AMB, FV, N/A, marks of notes. A cell that
 * says plainly what it means is taken; one that had to be interpreted is taken and reported; one that could mean several
 * things, or nothing, is left out and reported. Nothing is guessed in silence. Places in the reports are row and column of the
 * list, from 1, as a spreadsheet counts them.
 */
#ifndef LEANRICH_LINE_LIST_H
#define LEANRICH_LINE_LIST_H

#include "base/problem.h"
#include "base/text.h"
#include "import/sheet.h"
#include "read/element.h"

struct line_list {
	const char *draft;	/* the description, or NULL when the list or the map cannot be used */
	size_t lines, left_out; /* rows that became lines, and rows that did not */
	size_t cells, doubtful; /* cells with something in them under a mapped heading; reported ones */
};

/*
 * `map` is the root of a map file, `unit` the vocabulary of descriptions. Faults of the map and of the list's headings go to
 * `faults`, doubtful cells to `doubts`.
 */
struct line_list line_list_read(struct arena *arena, const struct sheet *sheet, const struct element *map,
	const struct vocabulary *unit, struct problems *faults, struct problems *doubts);

#endif
