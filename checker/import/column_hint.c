#include "import/column_hint.h"

#include <string.h>

#include "import/words.h"

struct hints {
	size_t absorber, regenerator;
};

static const char into[] = "to|zum|zur|nach|in|vers|hacia|a|naar|into|feed",
		  out_of[] = "from|ex|ab|aus|vom|von|de|desde|uit|leaving|out of|off|bottoms";

/* "37-C-3701", "K 841": do the letters stand for a column? */
static bool may_be_column(struct arena *arena, const char *tag)
{
	const char *at = tag + strspn(tag, "0123456789-");
	size_t length = strspn(at, "ABCDEFGHIJKLMNOPQRSTUVWXYZ");
	return length && words_are_one_of(arena, words_fold(arena, arena_copy_span(arena, at, length)), "c|t|k|co|col");
}

/* The text before the tag, as it is folded; NULL: the tag does not stand in the text as a word of its own. */
static const char *before(struct arena *arena, const char *text, const char *tag)
{
	const char *at = strstr(text, tag);
	size_t length = strlen(tag);
	if (!at || at == text || at[-1] != ' ' || (at[length] && !strchr(" ,;.:/)", at[length])))
		return NULL;
	return words_fold(arena, arena_copy_span(arena, text, (size_t)(at - text)));
}

static void look(struct arena *arena, const char *text, const char *tag, struct hints *hints)
{
	static const char rich[] = "rich|reich|reiche|riche|rica|rijke", lean[] = "lean|arme|mager|magere|pauvre|pobre",
			  gas[] = "sour gas|feed gas|raw gas|rohgas|sauergas|gaz brut|gas acido|inlet gas";
	const char *words = before(arena, text, tag), *last = words ? strrchr(words, ' ') : NULL;
	if (!last)
		return;
	bool goes = words_are_one_of(arena, last + 1, into), comes = words_are_one_of(arena, last + 1, out_of);
	bool is_rich = words_within(arena, words, rich) > 0, is_lean = words_within(arena, words, lean) > 0;
	if (is_rich && is_lean)
		return;
	hints->absorber += (goes && (is_lean || words_within(arena, words, gas) > 0)) || (comes && is_rich);
	hints->regenerator += (goes && is_rich) || (comes && is_lean);
}

const char *column_hint(struct arena *arena, const struct workbook *workbooks, size_t count, const char *tag)
{
	struct hints hints = {0};
	if (!may_be_column(arena, tag))
		return NULL;
	for (size_t i = 0; i < count; i++)
		for (size_t s = 0; s < workbooks[i].count; s++) {
			const struct sheet *sheet = &workbooks[i].sheets[s];
			for (size_t k = 0; k < sheet->rows * sheet->columns; k++) {
				const struct sheet_cell *cell = &sheet->cells[k];
				if (cell->kind == SHEET_TEXT && !cell->merged && !cell->hidden &&
					strstr(cell->text, tag))
					look(arena, cell->text, tag, &hints);
			}
		}
	return hints.absorber && !hints.regenerator    ? "absorber"
		: hints.regenerator && !hints.absorber ? "regenerator"
						       : NULL;
}
