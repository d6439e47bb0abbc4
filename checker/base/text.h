/*
 * Text that grows in an arena, and the few things done to words: comparing, hashing, guessing what was meant.
 * A struct text always ends in a NUL that is not counted in `length`.
 */
#ifndef LEANRICH_TEXT_H
#define LEANRICH_TEXT_H

#include <stdarg.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <string.h>

#include "base/arena.h"

struct text {
	struct arena *arena;
	char *data;
	size_t length, capacity;
};

struct text text_in(struct arena *arena);
void text_add(struct text *text, const char *more);
void text_add_span(struct text *text, const char *more, size_t length);
void text_add_char(struct text *text, char c);
void text_add_c_string(struct text *text, const char *word); /* quoted and escaped as C has it */
void text_addf(struct text *text, const char *format, ...) __attribute__((format(printf, 2, 3)));
void text_addv(struct text *text, const char *format, va_list arguments) __attribute__((format(printf, 2, 0)));

bool text_same(const char *a, const char *b);	     /* NULL equals only NULL */
bool text_same_nocase(const char *a, const char *b); /* ASCII letters only */
/* The same of two that are there; most words that are compared differ in their first letter. */
static inline bool text_is(const char *a, const char *b)
{
	return *a == *b && strcmp(a, b) == 0;
}

bool text_ends(const char *word, const char *tail);	/* after at least one more letter */
bool text_has_word(const char *list, const char *word); /* a list of words separated by spaces */
/* The next part of "lean|rich" at `*at`, which moves on; its length, without an end of its own. NULL: no more. */
const char *text_alternative(const char **at, size_t *length);
uint32_t text_hash(const char *word); /* for tables in memory: another machine may give another */

/*
 * The candidate nearest to `word` by edit distance, or NULL when none is near enough to be a likely
 * slip (more than a third of its letters away). Ties go to the earlier candidate.
 */
const char *text_nearest(const char *word, const char *const *candidates, size_t count);

/*
 * The text between double quotes, for a message of one line: control characters become spaces, and what is long is
 * cut at a character.
 */
const char *text_quoted(struct arena *arena, const char *utf8);

/*
 * The length of a character at `at` that acts rather than shows: a control of the range U+0080 to U+009F, which some terminals
 * obey, or one that turns the direction of text (U+202A to 202E, U+2066 to 2069). 0: none.
 */
size_t text_control_length(const char *at);

/* One line that is safe to print: line ends, tabs and other controls become spaces, what acts becomes U+FFFD. */
const char *text_plain(struct arena *arena, const char *utf8);

/* False for the second and later bytes of a UTF-8 sequence. */
static inline bool text_begins_character(char byte)
{
	return ((unsigned char)byte & 0xC0) != 0x80;
}

/* How many columns the UTF-8 text takes when each code point takes one. */
size_t text_columns(const char *utf8);

/* Text cut to so many characters, with an ellipsis. */
const char *text_cut(struct arena *arena, const char *utf8, size_t characters);

#endif
