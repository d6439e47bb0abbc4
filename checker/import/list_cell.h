/* One cell of a line list into the words of a description. */
#ifndef LEANRICH_LIST_CELL_H
#define LEANRICH_LIST_CELL_H

#include "base/problem.h"
#include "import/words.h"
#include "read/vocabulary.h"

enum cell_fate {
	CELL_EMPTY,	  /* nothing in it */
	CELL_NOT_STATED,  /* N/A, a dash: it says that there is no value */
	CELL_TAKEN,	  /* plain */
	CELL_INTERPRETED, /* taken, and to be looked at */
	CELL_LEFT_OUT	  /* not taken, and to be looked at */
};

enum date_order { DATES_UNDECIDED, DAY_FIRST, MONTH_FIRST };

struct cell_rules {
	bool decimal_comma, lowest; /* lowest: of a range */
	const char *unit, *ambient; /* NULL: none given */
	/* Of sheets (package.h); a line list by itself leaves them out. */
	const struct words *words; /* units and words as they are written in several languages are understood */
	bool exact;		   /* a number of a workbook: its point is the decimal sign */
	char thousands;		   /* what parts them for certain, or 0 */
	enum date_order dates;
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

/* "14.09.2026", "Sep-26", "14 mars 2026" as 2026-09-14 or 2026-09; NULL: none, or day and month cannot be told apart. */
/*
 * Feet, inches and fractions of an inch as decimal inches ("9'-0\"": 108 in; "1-1/2" in a column of inches: 1.5 in). NULL: it is
 * none of these, or a fraction of another unit. In list_length.c.
 */
const char *list_cell_inches(struct arena *arena, const char *written, const char *unit);

/* "14", "14 BWG": the wall of a tube of that gauge, "0.083 in"; NULL: it is none. */
const char *list_cell_gauge(const char *written);

/* "1000 ID x 18500 mm T/T": a diameter and a length, each with its unit where one is written; false: they are not two. */
bool list_cell_dimensions(struct arena *arena, const char *written, const char *parts[2]);

const char *list_cell_date(struct arena *arena, const char *written, enum date_order order);

/* The word of the type that is written so, or otherwise ("SS316L", "Kohlenstoffstahl"), by means.def; NULL: none is known. */
const char *list_cell_choice(struct arena *arena, const struct vocabulary_type *type, const char *written);
const char *list_cell_meaning(struct arena *arena, const char *written, const char *type);

/* A metal by its name alone, folded, "316l", "1 4404"; NULL: none. What a standard calls it is told by metal.h. */
const char *list_cell_metal_named(struct arena *arena, const char *folded);

/* In list_words.c: words that state nothing, that promise a value, "HOLD 5"; why something is so, in brackets. */
bool list_says_nothing(struct arena *arena, const char *written);
bool list_is_to_follow(struct arena *arena, const char *written);
bool list_is_hold(const char *written);
bool list_says_why(struct arena *arena, const char *bracketed);

/* "3.5 bar(g) / FV": the pressure with what stands in brackets after its unit as part of it, which is no mark. */
const char *list_with_face(struct arena *arena, const char *written);

/* "3 mm (top 1.5)": another value holds at a part of it, and the first not everywhere. */
bool list_differs_by_part(struct arena *arena, const char *written);

#endif
