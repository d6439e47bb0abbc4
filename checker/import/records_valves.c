#include "import/records.h"

#include <string.h>

#include "import/guess.h"

/* Control valves: each stands in the line that comes from it or goes to it, else at the one item that its service names. */

/* The line that goes to the valve, else one that comes from it; NULL: none does. */
static struct draft_item *line_of(const struct record *record, const char *tag)
{
	const struct draft *draft = record_draft(record);
	struct draft_item *from = NULL;
	for (size_t i = 0; i < draft->count; i++)
		for (size_t k = 0; k < draft->items[i]->count; k++) {
			const struct draft_value *value = &draft->items[i]->values[k];
			bool line = strcmp(draft->items[i]->element->name, "line") == 0 && value->reference;
			if (!line || strcmp(value->value, tag) != 0)
				continue;
			if (strcmp(value->attribute, "to") == 0)
				return draft->items[i];
			from = from ? from : draft->items[i];
		}
	return from;
}

/* The only item of the kind that the service of the valve names ("Flash drum level"); NULL: none, or more than one. */
static struct draft_item *named_by(const struct record *record, const char *service)
{
	const struct draft *draft = record_draft(record);
	struct guess guess = guess_equipment(record->sheet->package->arena, "", "", service);
	struct draft_item *only = NULL;
	for (size_t i = 0; i < draft->count && guess.element; i++) {
		if (draft->items[i]->parent || strcmp(draft->items[i]->element->name, guess.element) != 0)
			continue;
		if (only)
			return NULL;
		only = draft->items[i];
	}
	return only;
}

static struct draft_item *owner(struct record *record, const char *tag)
{
	const struct field_column *column = record_column(record, "owner"), *name = record_column(record, "name");
	struct draft_item *stands = column ? draft_find(record_draft(record), record_cell(record, column)->text) : NULL;
	if (stands && vocabulary_child(stands->element, "valve")) {
		record_arrived(record, column);
		return stands;
	}
	stands = line_of(record, tag);
	if (stands && vocabulary_child(stands->element, "valve"))
		return stands;
	stands = name && record_cell(record, name)->kind == SHEET_TEXT
		? named_by(record, record_cell(record, name)->text)
		: NULL;
	if (!stands || !vocabulary_child(stands->element, "valve"))
		return NULL;
	record_interpreted(record, name, stands->key, "the only item that its service names, at which it stands then");
	return stands;
}

/* "stellited", "316 hardened": the metal that the words begin with; the rest is kept. */
static void state_metal(
	struct record *record, const struct field_column *column, struct draft_item *valve, const char *attribute)
{
	struct arena *arena = record_arena(record);
	const char *text = record_cell(record, column)->text;
	const struct vocabulary_type *type = vocabulary_attribute(valve->element, attribute)->type;
	const char *first = arena_copy_span(arena, text, strcspn(text, " ,;("));
	const char *whole = list_cell_choice(arena, type, text),
		   *metal = whole ? whole : list_cell_choice(arena, type, first);
	if (whole || !metal || record_cell(record, column)->kind != SHEET_TEXT || record_cell(record, column)->hidden) {
		record_state(record, column, valve, attribute);
		return;
	}
	record_state_value(record, column, valve, attribute, metal);
	draft_add_note(record_draft(record), valve, record_as_note(record, column, valve), record_source(record));
	record_interpreted(record, column, metal, "the metal that it begins with; all of it is kept as a note");
}

void record_read_valve(struct record *record, const char *tag)
{
	struct draft_item *valve = draft_find(record_draft(record), tag);
	struct draft_item *stands = valve ? valve->parent : owner(record, tag);
	if (!stands || (valve && strcmp(valve->element->name, "valve") != 0)) {
		record_keep(record,
			"where the valve stands is not described: no line has it at an end, and its service names no "
			"item");
		return;
	}
	if (!valve)
		valve = draft_item(record_draft(record), stands, "valve", "tag", tag, tag);
	record->item = valve;
	record_arrived(record, record_column(record, "tag"));
	size_t at = 0;
	const struct field_column *name = record_column(record, "name");
	if (name && record_cell(record, name)->kind == SHEET_TEXT && !record_cell(record, name)->hidden)
		draft_add_note(record_draft(record), valve, record_as_note(record, name, valve), record_source(record));
	if (name)
		record_arrived(record, name);
	for (const struct field_column *column; (column = record_pending(record, &at));)
		if (text_has_word("trim body", column->field))
			state_metal(record, column, valve, column->field);
		else
			record_state_field(record, column, valve);
}
