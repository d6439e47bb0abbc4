/* Where a phrase of the glossary (glossary.def) stands in the tokens of a remark, and what its slots hold. */
#ifndef LEANRICH_GLOSSARY_PHRASE_H
#define LEANRICH_GLOSSARY_PHRASE_H

#include "import/glossary_token.h"

enum { PHRASE_SLOTS = 2 };

struct phrase_fit {
	size_t length; /* tokens; 0: it does not fit */
	const char *slots[PHRASE_SLOTS];
};

/* The longest of the phrases, separated by `|`, that begins with the token at `at`. */
struct phrase_fit phrase_at(
	struct arena *arena, const struct token *tokens, size_t count, size_t at, const char *phrases);

#endif
