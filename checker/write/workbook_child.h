/*
 * A workbook written whole or not at all, in a process of its own: the library of workbooks leaves out some of what it was
 * given when memory is short, and only prints that.
 */
#ifndef LEANRICH_WORKBOOK_CHILD_H
#define LEANRICH_WORKBOOK_CHILD_H

#include <stdbool.h>

/*
 * Runs `write` in a child, and again in another: of some of what it leaves out without memory the library (1.1.4) says
 * nothing, so that both files must be the same. False when they are not, when it said so, when it printed anything on
 * standard error, or when a child could not be started or was killed; errno then says why, or is 0. Not for use while
 * another thread runs.
 */
bool workbook_in_child(bool (*write)(const void *data, const char *path), const void *data, const char *path);

#endif
