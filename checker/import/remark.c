#include <string.h>

#include "import/glossary.h"
#include "import/records.h"

/* The item that a word of a remark is about: the item itself, or a new child of it; NULL: it can have none such. */
static struct draft_item *subject(struct record *record, struct draft_item *item, const struct glossary_word *word)
{
	struct arena *arena = record_arena(record);
	if (!word->child)
		return item;
	if (!vocabulary_child(item->element, word->child))
		return NULL;
	return draft_item(record_draft(record), item, word->child, NULL, NULL,
		arena_format(
			arena, "%s %zu of %s %s", word->child, word->which, record->sheet->document, record->cells));
}

static void doubt(struct record *record, const struct field_column *column, const struct glossary_word *word)
{
	const char *text = record_cell(record, column)->text;
	problem_add(record->sheet->package->doubts, PROBLEM_CELL_LEFT_OUT,
		table_place(record->sheet->table, record->at, column->column->at),
		"%s: of the remark, '%.*s' is not taken: %s",
		table_cell_name(record_arena(record), record->sheet->table, record->at, column->column->at),
		(int)word->length, text + word->start, word->why);
}

void record_remark(struct record *record, const struct field_column *column, struct draft_item *item)
{
	const char *text = record_cell(record, column)->text;
	struct arena *arena = record_arena(record);
	struct glossary_word *words;
	record_note(record, item, column, false);
	if (record_cell(record, column)->kind != SHEET_TEXT || record_cell(record, column)->hidden)
		return;
	size_t count = glossary_read(arena, item->element->name, text, &words);
	struct text said = text_in(arena);
	for (size_t i = 0; i < count; i++) {
		struct draft_item *about = words[i].certain ? subject(record, item, &words[i]) : NULL;
		if (!words[i].certain)
			doubt(record, column, &words[i]);
		if (!about || (words[i].attribute && !vocabulary_attribute(about->element, words[i].attribute)))
			continue;
		if (words[i].attribute &&
			!record_state_value(record, column, about, words[i].attribute, words[i].value))
			continue;
		text_addf(&said, "%s%s%s%s%s%s", said.length ? "; " : "", words[i].child ? words[i].child : "",
			words[i].child && words[i].attribute ? " " : "", words[i].attribute ? words[i].attribute : "",
			words[i].value ? " " : "", words[i].value ? words[i].value : "");
	}
	const char *rest = glossary_unread(arena, text, words, count);
	if (said.length)
		record_interpreted(record, column, said.data,
			arena_join(arena, "words of the trade in a remark, which is kept whole as a note",
				*rest ? "; not read: " : "", rest, ""));
}
