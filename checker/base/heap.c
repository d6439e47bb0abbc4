#define _DEFAULT_SOURCE /* sbrk, madvise */
#include "base/heap.h"

#include <stdint.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <unistd.h>

#ifdef __GLIBC__
#include <malloc.h>

/* At a time: a review of a large design, and the largest size up to which malloc lets blocks come from the heap at all. */
enum { AT_ONCE = 32 * 1024 * 1024, LARGE_PAGE = 2 * 1024 * 1024, ENOUGH_TO_GROW = 1024 * 1024 };

/* Between the two ends of the heap, in whole large pages. */
static void ask_for_large_pages(char *from, char *to)
{
	char *first = from + (LARGE_PAGE - (uintptr_t)from % LARGE_PAGE) % LARGE_PAGE;
	if (to > first)
		(void)madvise(first, (size_t)(to - first), MADV_HUGEPAGE); /* refused: pages as ever */
}

void heap_prepare(void)
{
	mallopt(M_MMAP_THRESHOLD, AT_ONCE);
	mallopt(M_TRIM_THRESHOLD, 2 * AT_ONCE);
	mallopt(M_TOP_PAD, AT_ONCE);
	char *before = sbrk(0);
	void *volatile grown = malloc(ENOUGH_TO_GROW); /* volatile: a pair that comes to nothing would be left out */
	free(grown);
	char *after = sbrk(0);
	if (after > before)
		ask_for_large_pages(before, after);
}
#else
void heap_prepare(void)
{
}
#endif
