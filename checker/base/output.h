/*
 * Files that appear whole or not at all: written under a temporary name beside the target, then renamed. A symbolic link
 * in the way to the file is followed; one that is where the file is to be is replaced, what it points to stays as it is.
 * A temporary file that a killed run left behind is in nobody's way: its name is passed over.
 */
#ifndef LEANRICH_OUTPUT_H
#define LEANRICH_OUTPUT_H

#include <stdbool.h>
#include <signal.h>
#include <stdio.h>
#include <sys/types.h>

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

/* Between the two no signal ends the run; `before` is what the first found and the second puts back. */
void output_block_signals(sigset_t *before);
void output_unblock_signals(const sigset_t *before);

/* A file in a folder of its own for scratch: both are removed when the run is ended. NULL: no longer. */
void output_scratch(const char *path, const char *folder);

/* Another process writes into the file that is open: it ends with this one. 0: no longer. */
void output_written_by(pid_t process);

/* Removes the temporary file that is open now, if any, and ends who writes it; for the handler of exhausted memory and of signals. */
void output_abandon(void);

#endif
