/* A remark while it is read: its tokens, the phrases found in it, and what is doubtful, denied or local about each. */
#ifndef LEANRICH_GLOSSARY_READING_H
#define LEANRICH_GLOSSARY_READING_H

#include "import/glossary.h"
#include "import/glossary_phrase.h"

struct phrase {
	const char *kinds; /* separated by blanks */
	const char *child, *sets, *phrases;
};

struct found {
	const struct phrase *row;
	struct phrase_fit fit;
	size_t first, after;	       /* tokens of the phrase */
	size_t read_first, read_after; /* and with what denies it */
	size_t scope_first, scope_end; /* its segment, with those beside it that hold no phrase */
	size_t clause_first, clause_end;
	size_t which;
	bool denied, local;
	const char *doubt; /* or NULL */
};

struct reading {
	struct arena *arena;
	const char *kind, *remark;
	bool takes_part; /* items of the kind may have parts */
	struct token *tokens;
	size_t count;
	bool *read; /* by token: a phrase holds it */
	struct found *founds;
	size_t found_count, found_capacity;
	struct glossary_word *words;
	size_t word_count, word_capacity;
};

/* Decides of every phrase found whether it is denied, doubtful or of a part, and which child it is of. */
void reading_judge(struct reading *reading);

#endif
