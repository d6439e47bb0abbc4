/* One cell of a line list into the words of a description. */
#ifndef LEANRICH_LIST_CELL_H
#define LEANRICH_LIST_CELL_H

#include "base/problem.h"
#include "read/vocabulary.h"

enum cell_fate {
	CELL_EMPTY,	  /* nothing in it */
	CELL_NOT_STATED,  /* N/A, a dash: it says that there is no value */
	CELL_TAKEN,	  /* plain */
	CELL_INTERPRETED, /* taken, and to be looked at */
	CELL_LEFT_OUT	  /* not taken, and to be looked at */
};

struct cell_rules {
	bool decimal_comma, lowest; /* lowest: of a range */
	const char *unit, *ambient; /* NULL: none given */
};

struct cell_value {
	enum cell_fate fate;
	const char *value; /* when taken: as a description writes it; "t.b.d." where the list owes it */
	const char *why;   /* what was interpreted, or why it is left out */
	bool vacuum;	   /* it said full vacuum beside, or as, the value */
};

/* `type` of the attribute the cell is for. */
struct cell_value list_cell(
	struct arena *arena, const char *content, const struct vocabulary_type *type, const struct cell_rules *rules);

#endif
