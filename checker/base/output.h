/*
 * Files that appear whole or not at all: written under a temporary name beside the target, then renamed.
 */
#ifndef LEANRICH_OUTPUT_H
#define LEANRICH_OUTPUT_H

#include <stdbool.h>
#include <stdio.h>

#include "base/arena.h"

struct output {
	FILE *stream; /* NULL: could not be opened */
	const char *path, *temporary;
	const char *reason; /* why it failed, in words, or NULL */
};

/* Makes the folder of `path` and its parents when they are not there. */
struct output output_open(struct arena *arena, const char *path);

/* Ends the file: kept when `whole` and everything reached the disk, else removed. False after any failure. */
bool output_close(struct arena *arena, struct output *output, bool whole);

/* Removes the temporary file that is open now, if any; for the handler of exhausted memory and of signals. */
void output_abandon(void);

#endif
