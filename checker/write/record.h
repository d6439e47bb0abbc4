/*
 * JSON written as it goes: no tree stands behind it. Objects and arrays are opened and closed in the order in which they
 * are read, indented by one blank a level; names are ours and are not escaped.
 *
 * A member has a name, an element of an array has NULL. Text must be UTF-8: what is not, text that is NULL where it must
 * not be, and a stream that takes no more make the record fail, which record_end() tells.
 */
#ifndef LEANRICH_RECORD_H
#define LEANRICH_RECORD_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

enum { RECORD_DEPTH = 32, RECORD_BUFFER = 32768 };

struct record {
	FILE *out;
	bool failed;
	int depth;
	char closing[RECORD_DEPTH]; /* '}' or ']' of each level that is open */
	bool filled[RECORD_DEPTH];  /* has a member or element already */
	size_t used;
	char buffer[RECORD_BUFFER];
};

void record_begin(struct record *record, FILE *out);
bool record_end(struct record *record); /* true when everything reached the stream */

void record_object(struct record *record, const char *name);
void record_array(struct record *record, const char *name);
void record_close(struct record *record); /* the object or array opened last */

void record_text(struct record *record, const char *name, const char *utf8);
void record_text_or_null(struct record *record, const char *name, const char *utf8); /* null for NULL and "" */
void record_real(struct record *record, const char *name, double value); /* nine digits; null when not finite */
void record_integer(struct record *record, const char *name, long long value);
void record_flag(struct record *record, const char *name, bool value);
void record_null(struct record *record, const char *name);

/* A finite number as record_real() writes it, into room for 32 bytes; what printf's %.9g gives, with ".0" where it needs it. */
size_t record_digits(double value, char *out);

#endif
