/*
 * Names of quantities and of kinds of items, each once in the process: the same text is the same struct, so that who looks something
 * up by name compares pointers, and what is known of many names fits into bits and arrays by their numbers.
 *
 * For names of the vocabulary, of which there are some hundreds; not for tags and other words of a description, since what is
 * known once is kept as long as the process. It belongs to one thread: who works beside others looks nothing up.
 */
#ifndef LEANRICH_NAME_H
#define LEANRICH_NAME_H

#include <stdint.h>

struct name {
	const char *text;
	uint32_t hash;	 /* of the text: the same in every run */
	uint32_t number; /* in the order in which they were first asked for, from 0 */
};

/* Never NULL; it stands as long as the process, whatever becomes of `text`. */
const struct name *name_find(const char *text) __attribute__((returns_nonnull));

#endif
