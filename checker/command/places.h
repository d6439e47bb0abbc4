/*
 * Where the reports of the descriptions on one command line go. Two that would be written into one folder would overwrite each
 * other: that is known before anything is written.
 */
#ifndef LEANRICH_PLACES_H
#define LEANRICH_PLACES_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/problem.h"
#include "base/text.h"
#include "judge/catalogue.h"
#include "read/vocabulary.h"

/* A description as it is named on the command line. */
struct description {
	const char *path;	 /* "-": standard input */
	const struct text *kept; /* its bytes, where they could be read only once: a pipe; else NULL */
};

/* What messages call it. */
const char *description_name(const struct description *description);

/* Its bytes, kept or read now; false after reporting why not. */
bool description_bytes(
	struct arena *arena, const struct description *description, struct problems *problems, struct text *bytes);

/* The folder of its reports: DIR/<unit>, or with `by_file` DIR/<unit>/<name of the file without .xml>. */
const char *description_folder(struct arena *arena, const struct description *description, const char *output,
	const char *number, bool by_file);

/* What decides where reports go and whether there are any. */
struct placing {
	const char *output; /* NULL: reports */
	bool by_file;
	const struct vocabulary *vocabulary;
	const struct catalogue *catalogue;
};

/*
 * Keeps what can be read only once. False when two descriptions have one folder; each after the first is a fault, at the number of
 * its unit, and the faults of the others are told beside it. One that has faults has no folder: nothing is written of it.
 */
bool places_are_distinct(struct arena *arena, struct description *descriptions, size_t count,
	const struct placing *placing, struct problems *problems);

#endif
