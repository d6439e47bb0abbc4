#include "import/list_cell.h"

#include <string.h>

#include "base/count.h"
#include "import/words.h"

const char *list_cell_meaning(struct arena *arena, const char *written, const char *type)
{
	static const struct {
		const char *type, *word, *written;
	} rows[] = {
#define MEANS(type, word, written) {type, word, written},
#include "import/means.def"
#undef MEANS
	};
	static const char *const issuers[] = {"astm ", "asme ", "en ", "din ", "uns "};
	const char *folded = words_fold(arena, written);
	for (size_t i = 0; i < COUNT(issuers) && strcmp(type, "material") == 0; i++)
		if (strncmp(folded, issuers[i], strlen(issuers[i])) == 0)
			folded += strlen(issuers[i]);
	for (size_t i = 0; i < COUNT(rows); i++)
		if (strcmp(rows[i].type, type) == 0 && words_are_one_of(arena, folded, rows[i].written))
			return rows[i].word;
	return NULL;
}

const char *list_cell_choice(struct arena *arena, const struct vocabulary_type *type, const char *written)
{
	const char *folded = words_fold(arena, written);
	for (size_t i = 0; i < type->choice_count; i++)
		if (strcmp(words_fold(arena, type->choices[i].word), folded) == 0)
			return type->choices[i].word;
	const char *meaning = list_cell_meaning(arena, written, type->name);
	return meaning && vocabulary_choice(type, meaning) ? meaning : NULL;
}
