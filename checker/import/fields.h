/* What the heading of a column gives, by the concepts in it (words.h) and the list of fields (field.def). */
#ifndef LEANRICH_IMPORT_FIELDS_H
#define LEANRICH_IMPORT_FIELDS_H

#include "import/words.h"

/* What a sheet lists. The name is the word of a map. */
enum sheet_lists {
	LISTS_NOTHING,
	LISTS_LINES,
	LISTS_STREAMS,
	LISTS_EQUIPMENT,
	LISTS_NOZZLES,
	LISTS_RELIEF,
	LISTS_LABORATORY, /* a sample a row, a parameter a column */
	LISTS_RESULTS,	  /* of laboratories, one parameter of one sample a row */
	LISTS_VALVES,	  /* control valves */
	LISTS_BASIS,	  /* of design, one parameter a row */
	LISTS_COUNT
};

const char *lists_name(enum sheet_lists lists);
enum sheet_lists lists_named(const char *name); /* LISTS_NOTHING: no such word */

struct field {
	const char *name; /* NULL: nothing that is known */
	const char *of;	  /* "tube-side", "shell-side", or NULL: of the item itself */
	const char *unit; /* as units.def spells it, or NULL */
	bool exact;	  /* every word of the heading says so */
};

struct field fields_find(struct arena *arena, const struct words *words, enum sheet_lists lists, const char *heading);

/* "Design", "Auslegung P/T": conditions whose units stand in the cells, "15 barg / 100 °C": that field; NULL: no such heading. */
const char *fields_conditions(
	struct arena *arena, const struct words *words, enum sheet_lists lists, const char *heading);

/* "Total": of a stream in a unit of flow what flows, else a sum. */
bool fields_sum(struct arena *arena, const char *heading);

/* "Bilanz Absorber (1+3-2-4)", "Total cooling" where tags stand: a row of sums or a balance, and no item. */
bool fields_sum_row(struct arena *arena, const char *tag);

/* The operating case that a text names by itself ("Summer", "Case 2: turndown"), as an id; NULL: none. */
const char *fields_case(struct arena *arena, const char *text);

/* The one word that tells the case of the text from others, "summer" of "Sommerfall (38 degC)"; NULL: none, or two of them. */
const char *fields_case_word(struct arena *arena, const char *text);

/* "Summer", "Summer case": does the text say no more than that word? */
bool fields_case_is_bare(struct arena *arena, const char *text);

/* The letter or number by which a text names a case ("Case B: winter", "B"); NULL: by none. */
const char *fields_case_letter(struct arena *arena, const char *text);
/* The same where the word stands with it: "B" alone is none. */
const char *fields_named_case_letter(struct arena *arena, const char *text);

/* Whether what stands where the cases do is a maximum, a mean or remarks: no case. */
bool fields_no_case(struct arena *arena, const char *text);

/* Any text as an id: small letters, digits and hyphens. */
const char *fields_id(struct arena *arena, const char *text);

/* "Readings / 2017", "UT thickness 03/2021": the day of the readings of walls below the heading, as a description writes it; NULL: it is no such heading. */
const char *fields_reading_day(struct arena *arena, const char *heading);

#endif
