/*
 * How malloc of this process takes memory from the system.
 *
 * A review takes some thirty megabytes in blocks that are given back and taken again for each unit judged with other values. Left
 * to itself malloc returns them to the system every time and gets fresh pages for the next: half of all page faults. Here it keeps
 * what it has, asks for much at once, and lets the system back the first of it with large pages, which are fewer by the hundred.
 * Where the C library or the system offers none of this, nothing changes but the time.
 */
#ifndef LEANRICH_HEAP_H
#define LEANRICH_HEAP_H

/* Called once, before anything large is allocated. */
void heap_prepare(void);

#endif
