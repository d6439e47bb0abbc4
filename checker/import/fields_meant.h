/* Meanings of headings by their units and marks. Used by fields.c alone. */
#ifndef LEANRICH_IMPORT_FIELDS_MEANT_H
#define LEANRICH_IMPORT_FIELDS_MEANT_H

#include "import/fields.h"

/* The heading without "int/ext" and the like. */
const char *fields_without_faces(struct arena *arena, const char *heading);

/* Equipment or lines? */
bool fields_of_items(enum sheet_lists lists);

/*
 * The concepts that are meant, of streams or samples and of items, or the ones given. `folded`: the heading without its unit, as
 * words_fold leaves it; the unit may change.
 */
const char *fields_meant_of_samples(struct arena *arena, enum sheet_lists lists, const char *heading,
	const char *folded, const char *concepts, const struct field *field);
const char *fields_meant_of_items(struct arena *arena, const struct words *words, enum sheet_lists lists,
	const char *heading, const char *folded, const char *concepts, struct field *field);

#endif
