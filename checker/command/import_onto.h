/* The draft of a new revision, merged into the description that a reviewer has edited (import/merge.h). */
#ifndef LEANRICH_IMPORT_ONTO_H
#define LEANRICH_IMPORT_ONTO_H

#include "command/commands.h"

struct onto {
	const char *base, *edited; /* files: the draft that the editing started from, and what was made of it */
	const char *output;	   /* NULL: standard output */
	bool quiet;
};

/*
 * `name` is what the draft is called in messages. Prints conflicts, and unless quiet what was taken over and the counts, on
 * standard error. STATUS_FINDINGS when there are conflicts; nothing is written when a file cannot be used.
 */
int import_onto(struct workspace *workspace, const struct onto *onto, const char *name, const char *draft);

#endif
