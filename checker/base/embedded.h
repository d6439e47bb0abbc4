/*
 * The files that the program carries inside itself: schemas, rules, sources, profiles, the template.
 * They are put there when it is built (checker/base/embed.sh; the Makefile lists them), so that one file works anywhere.
 *
 * Names are relative to the repository ("rules/sources.xml"), with '/' between parts, and sorted by byte.
 */
#ifndef LEANRICH_EMBEDDED_H
#define LEANRICH_EMBEDDED_H

#include <stddef.h>

struct embedded_file {
	const char *name;
	const unsigned char *data; /* a NUL that `size` does not count follows it */
	size_t size;		   /* bytes */
};

/* `embedded_count` rows, and one with a NULL name after them. */
extern const struct embedded_file embedded_files[];
extern const size_t embedded_count;

/* The file of exactly this name, or NULL when none was there at build time. */
const struct embedded_file *embedded_find(const char *name);

#endif
