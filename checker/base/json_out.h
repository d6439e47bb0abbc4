/*
 * A JSON record written while it is made: each call puts its bytes at once, so that no tree of the record is ever in memory.
 *
 * One object, a line for each of its members and for each row of an array begun by json_out_rows(). A value stands under a name in
 * an object; in an array its name is NULL. Names are plain ASCII of the program and unlike each other in one object, which nobody
 * checks here. Texts must be UTF-8. What cannot be written makes json_out_close() say so.
 */
#ifndef LEANRICH_JSON_OUT_H
#define LEANRICH_JSON_OUT_H

#include <stdbool.h>
#include <stdio.h>

#include "base/text.h"

enum { JSON_OUT_DEPTH = 16 };

struct json_out {
	FILE *file;	   /* NULL: to `text` */
	struct text *text; /* NULL: to `file` */
	int digits;	   /* of a number */
	bool failed;
	size_t depth;
	struct {
		size_t count; /* of what is in it so far */
		char end;
		bool lines; /* each on a line of its own */
	} levels[JSON_OUT_DEPTH];
	size_t used;
	char held[1 << 16];
};

void json_out_open(struct json_out *out, FILE *file, int digits);
bool json_out_close(
	struct json_out *out); /* false: something could not be written, and what was written is no record */

void json_out_object(struct json_out *out, const char *name);
void json_out_array(struct json_out *out, const char *name);
void json_out_rows(struct json_out *out, const char *name); /* a member of the record */
void json_out_end(struct json_out *out);		    /* of the one that was begun last */

void json_out_words(struct json_out *out, const char *name, const char *words);		/* NULL cannot be written */
void json_out_words_or_null(struct json_out *out, const char *name, const char *words); /* null for NULL and for "" */
void json_out_given(struct json_out *out, const char *name, const char *words);		/* null for NULL alone */
void json_out_number(struct json_out *out, const char *name, double number);		/* null where not finite */
void json_out_whole(struct json_out *out, const char *name, long long number);
void json_out_yes(struct json_out *out, const char *name, bool yes);
void json_out_null(struct json_out *out, const char *name);

/* The tokens of which both records and trees (json_text.h) are made; without separators. */
void json_out_span(struct json_out *out, const char *bytes, size_t length);
void json_out_token(struct json_out *out, const char *token);
void json_out_string(struct json_out *out, const char *utf8, size_t length);
void json_out_real(struct json_out *out,
	double value); /* finite; with a point or an exponent, which tell it from a whole number */
void json_out_integer(struct json_out *out, long long value);
void json_out_flush(struct json_out *out);

#endif
