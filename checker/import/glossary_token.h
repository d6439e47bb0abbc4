/*
 * A remark as words, numbers and signs, folded for comparing: small letters (ASCII and Latin-1), hyphens within words and
 * apostrophes as blanks, "t.b.c." as "tbc", "9,2" as "9.2", "5D" and "3mm" as number and unit. What holds several numbers
 * ("14.05.2019", "1,250") is one word, so that no part of it is taken for a value.
 */
#ifndef LEANRICH_GLOSSARY_TOKEN_H
#define LEANRICH_GLOSSARY_TOKEN_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"

enum token_sort {
	TOKEN_WORD,
	TOKEN_NUMBER, /* a date 2019-05 too */
	TOKEN_MARK,   /* : - / ? < and the like */
	TOKEN_COMMA,  /* ends a segment: a comma, a bracket, a dash between blanks, "but" */
	TOKEN_STOP    /* ends a clause: a semicolon, a full stop, a line end */
};

struct token {
	enum token_sort sort;
	const char *folded;
	size_t start, length; /* bytes of the remark */
};

size_t glossary_tokens(struct arena *arena, const char *remark, struct token **tokens);

#endif
