/*
 * Numbers drawn at random for tests, the same every time.
 */
#ifndef LEANRICH_TESTS_DRAWN_H
#define LEANRICH_TESTS_DRAWN_H

/* The next of a linear congruence: 0 to 32767. */
static inline unsigned drawn(unsigned *seed)
{
	*seed = *seed * 1103515245u + 12345u;
	return *seed >> 16 & 0x7fff;
}

#endif
