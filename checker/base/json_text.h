/*
 * Records as text. What jansson holds is written here, with the bytes that json_dumps() would give and in half its time: it looks
 * for loops by a table of printed addresses, which ours cannot have. Its memory comes from here too:
 * what jansson holds at one time is built, written and given back whole, row by row, so it is taken from one piece that begins
 * anew when the last of it came back.
 */
#ifndef LEANRICH_JSON_TEXT_H
#define LEANRICH_JSON_TEXT_H

#include <jansson.h>
#include <stdio.h>

#include "base/text.h"

/* Gives jansson that memory; called once, before its first use. Without it jansson uses malloc. */
void json_memory(void);

/*
 * Both write `root` as the flags of json_dumps say: JSON_INDENT, JSON_COMPACT and JSON_REAL_PRECISION are known. False: there is no
 * root, or it cannot be written.
 */
bool json_text(struct text *text, const json_t *root, size_t flags);
bool json_write(FILE *out, const json_t *root, size_t flags); /* and a line end */

/* A large object written while it is made, a line for each member and for each row of an array of rows. */
struct json_record {
	FILE *out;
	size_t flags;
	bool failed; /* a value was NULL, or something could not be written */
	size_t members, rows;
	size_t used;
	char held[1 << 16];
};

void json_record_open(struct json_record *record, FILE *out, size_t flags);
void json_record_member(struct json_record *record, const char *name, json_t *value); /* takes the value */
void json_record_rows(struct json_record *record, const char *name);		      /* begins an array */
void json_record_row(struct json_record *record, json_t *value);		      /* takes the value */
void json_record_end_rows(struct json_record *record);
bool json_record_close(struct json_record *record); /* false: some part failed, and what was written is no record */

#endif
