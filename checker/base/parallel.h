/*
 * Work on many things at once, by as many threads as there are processors, where the work on one has nothing to do with that on
 * another: it allocates from no arena and looks at no table that another may change. What comes of it is the same on one
 * processor and on many, since each index has a place of its own and nothing that was solved before is looked up (memo.h).
 */
#ifndef LEANRICH_PARALLEL_H
#define LEANRICH_PARALLEL_H

#include <stddef.h>

/* Calls `work` once for each index below `count`; all is done when it returns. Where no thread can be had the caller does it all. */
void parallel_each(size_t count, void (*work)(size_t index, void *data), void *data);

/* At most so many threads, the caller counted: for who shares the processors out by processes. 0: as many as there are. */
void parallel_limit(size_t most);

#endif
