/*
 * What was calculated before in this run, by the exact bytes it was calculated from: equal states are solved once, and the
 * answer is the same to the last bit. For pure functions whose key and value are plain structs without pointers into an arena.
 *
 * A memo has a fixed number of places; where the four that an answer may stand in are taken, a new one takes the place of one of them. It lives as long as the
 * process and never grows. It belongs to one thread: where several are at work each of them pauses (parallel.h).
 */
#ifndef LEANRICH_MEMO_H
#define LEANRICH_MEMO_H

#include <stdbool.h>
#include <stddef.h>

/* Declared static where it is used, with a key of whole doubles: padding would tell equal questions apart. */
struct memo {
	size_t numbers;	       /* of the key */
	size_t value;	       /* bytes of the answer */
	size_t places;	       /* a power of two, four at least */
	unsigned char *memory; /* NULL until the first answer is kept */
};

/* The answer kept for this key, or NULL. It stands until the next memo_keep. */
const void *memo_find(struct memo *memo, const double *key);

void memo_keep(struct memo *memo, const double *key, const void *value);

/*
 * In this thread nothing is known and nothing kept while it is so: for a test that holds answers kept against answers made anew,
 * and beside other threads. Gives what it was before.
 */
bool memo_pause(bool paused);

#endif
