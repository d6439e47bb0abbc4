/* What the list of words holds: between words.c, which has the concepts, and words_unit.c, which has the units. */
#ifndef LEANRICH_IMPORT_WORDS_INSIDE_H
#define LEANRICH_IMPORT_WORDS_INSIDE_H

#include "import/words.h"

struct phrase {
	const char *folded, *concepts;
	size_t row; /* of two for one word the first holds */
};

struct set {
	const char *concepts, *sheets, *field;
	size_t row;
};

struct words {
	struct phrase *phrases; /* sorted by `folded` */
	size_t count;
	struct phrase *units; /* key, and spelling of units.def */
	size_t unit_count;
	struct set *sets; /* sorted by `concepts`; of alike ones the first row of field.def first */
	size_t set_count;
	const char *case_letters;
};

/* What the character at `*at` is in plain letters; `*at` moves past it. `one` holds two bytes. */
const char *words_plain_letter(const char **at, char *one);

int words_by_folded(const void *a, const void *b);

/* Sorted, each word once; how many are left. */
size_t words_sorted_once(struct phrase *phrases, size_t count);

void words_open_units(struct arena *arena, struct words *all);

#endif
