/*
 * One line on standard error that says what a long run is doing. It shows only on a terminal, and only once the run has taken
 * longer than people wait without wondering; it is wiped before anything else is printed.
 */
#ifndef LEANRICH_PROGRESS_H
#define LEANRICH_PROGRESS_H

#include <stddef.h>

/* Design `number` of `total` (from 1) is taken up. */
void progress_design(size_t number, size_t total, const char *path);

/* What is being done that takes seconds by itself: shown at once. */
void progress_step(const char *what);

void progress_wipe(void);

#endif
