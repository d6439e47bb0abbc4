#include "import/remarks.h"

#include <stdlib.h>
#include <string.h>

#include "import/glossary.h"
#include "quantity/quantity.h"

/* "Top 2 m clad": how far the cladding reaches, and not how thick it is. */
static bool is_beyond_cladding(struct arena *arena, const struct glossary_word *word)
{
	static const double THICKEST =
		0.03; /* m; weld overlay and clad plate are 2 to 6 mm, common practice, no source */
	double factor, offset;
	char *unit;
	if (!word->attribute || !word->value || strcmp(word->attribute, "cladding-thickness") != 0)
		return false;
	double value = strtod(word->value, &unit);
	unit += strspn(unit, " ");
	return unit_find(KIND_LENGTH, arena_copy(arena, unit), 0, &factor, &offset) && value * factor > THICKEST;
}

/* The item, or the child of it that the words are of: a new one for each remark. */
static struct draft_item *whose(
	struct record *record, const char *cell, struct draft_item *item, const struct glossary_word *word)
{
	struct package *package = record->sheet->package;
	if (!word->child)
		return item;
	const struct vocabulary_element *side =
		strcmp(word->child, "tube-side") == 0 ? vocabulary_child(item->element, word->child) : NULL;
	if (side)
		return draft_item(&package->draft, item, word->child, NULL, NULL, word->child);
	const char *identity = arena_format(
		package->arena, "%s %zu of the remark %s of %s", word->child, word->which, cell, item->identity);
	return draft_item(&package->draft, item, word->child, NULL, NULL, identity);
}

static void say(
	struct text *out, const char *before, struct arena *arena, const char *remark, const struct glossary_word *word)
{
	const char *words = arena_copy_span(arena, remark + word->start, word->length);
	text_addf(out, "%s%s%s%s", out->length ? ", " : before, word->child ? word->child : "",
		word->child && word->attribute ? " " : "", word->attribute ? word->attribute : "");
	if (word->certain && word->value)
		text_addf(out, " %s", word->value);
	text_addf(out, " ('%s'%s%s)", words, word->certain ? "" : ": ", word->why);
}

void remark_read(struct record *record, const struct field_column *column, struct draft_item *item)
{
	struct arena *arena = record->sheet->package->arena;
	const struct sheet *sheet = record->sheet->sheet;
	const struct sheet_cell *cell = record_cell(record, column);
	size_t at = (size_t)(cell - sheet->cells), row = at / sheet->columns, across = at % sheet->columns;
	const char *name = sheet_cell_name(arena, sheet, row, across);
	struct glossary_word *words;
	size_t count = glossary_read(arena, item->element->name, cell->text, &words);
	struct text read = text_in(arena), doubtful = text_in(arena);
	for (size_t i = 0; i < count; i++) {
		if (is_beyond_cladding(arena, &words[i])) {
			words[i].certain = false;
			words[i].why = "too thick for a cladding: how far it reaches";
		}
		struct draft_item *of = words[i].certain ? whose(record, name, item, &words[i]) : NULL;
		bool stated = of &&
			(!words[i].attribute ||
				record_state_value(record, column, of, words[i].attribute, words[i].value));
		if (words[i].certain && !stated) {
			words[i].certain = false;
			words[i].why = "it stands otherwise already, and can be said only once";
		}
		if (words[i].certain)
			say(&read, "; read as ", arena, cell->text, &words[i]);
		else
			say(&doubtful, "; in doubt, and not taken: ", arena, cell->text, &words[i]);
	}
	if (!count)
		return;
	record_pass(record, column, OUTCOME_INTERPRETED);
	const char *rest = glossary_unread(arena, cell->text, words, count);
	problem_add(record->sheet->package->doubts, PROBLEM_CELL_INTERPRETED, sheet_place(sheet, row, across),
		"%s: %s: %s is kept as a note%s%s%s%s", name, column->column->heading, text_quoted(arena, cell->text),
		read.length ? read.data : "", doubtful.length ? doubtful.data : "", *rest ? "; not read: " : "", rest);
}
