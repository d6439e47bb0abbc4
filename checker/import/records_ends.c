/* Conditions of the two ends of an item in one cell: "8.0 -> 61.0 / 45" of a pump, "57.5 / 49 top, 66 btm" of a column. */
#include "import/records.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"

enum { MOST_ENDS = 4 };

struct end_value {
	const char *attribute, *value;
};

struct ends {
	struct record *record;
	const struct draft_item *item;
	const struct field_column *column;
	struct end_value values[MOST_ENDS];
	size_t count;
	bool named; /* an end is named, or an arrow stands between two */
};

/* A figure as the attribute, in the unit of the column; false: it is none, or the item has no such attribute. */
static bool add(struct ends *ends, const char *attribute, const char *text, const char *unit)
{
	struct arena *arena = record_arena(ends->record);
	const struct vocabulary_attribute *meaning = vocabulary_attribute(ends->item->element, attribute);
	struct cell_rules rules = ends->column->rules;
	text += strspn(text, " ");
	if (!meaning || !*text || !strchr("0123456789", *text) || ends->count == MOST_ENDS)
		return false;
	rules.unit = unit;
	struct cell_value value = list_cell(arena, text, meaning->type, &rules);
	if (value.fate != CELL_TAKEN || value.vacuum)
		return false;
	for (size_t i = 0; i < ends->count; i++)
		if (strcmp(ends->values[i].attribute, attribute) == 0)
			return false;
	ends->values[ends->count++] = (struct end_value){.attribute = attribute, .value = value.value};
	return true;
}

/* "49 top", "btm 66": which end, and the text without that word. NULL: neither. */
static const char *end_named(struct arena *arena, const char *text, const char **rest)
{
	static const char *const ends[][2] = {{"top", "top|kopf|oben|head|overhead|tete|haut|ovhd"},
		{"bottom", "btm|bottom|bot|bttm|sumpf|unten|fond|bas|bottoms"}};
	struct text out = text_in(arena);
	const char *found = NULL;
	for (const char *at = text; *at; at += strspn(at, " ()")) {
		size_t length = strcspn(at, " ()");
		const char *word = arena_copy_span(arena, at, length), *end = NULL;
		for (size_t i = 0; i < COUNT(ends); i++)
			if (words_are_one_of(arena, words_fold(arena, word), ends[i][1]))
				end = ends[i][0];
		if (end && found)
			return NULL;
		found = end ? end : found;
		if (!end)
			text_addf(&out, "%s%s", out.length ? " " : "", word);
		at += length;
	}
	*rest = out.length ? out.data : "";
	return found;
}

/* The attribute of that end; the bottom of an item that has one pressure is where its pressure counts. */
static const char *attribute_of(const struct ends *ends, const char *end, const char *quantity)
{
	const char *attribute = arena_join(record_arena(ends->record), end, "-", quantity, "");
	if (vocabulary_attribute(ends->item->element, attribute))
		return attribute;
	return strcmp(end, "bottom") == 0 && strcmp(quantity, "pressure") == 0 ? "pressure" : NULL;
}

/* "8.0 -> 61.0", "49 top, 66 btm", "57.5": what the text gives of a pressure or a temperature. */
static bool read_quantity(struct ends *ends, const char *text, const char *quantity, const char *unit)
{
	static const char *const arrows[] = {"->", "\u2192", "=>", "-->"};
	struct arena *arena = record_arena(ends->record);
	for (size_t i = 0; i < COUNT(arrows) && strcmp(quantity, "pressure") == 0; i++) {
		const char *arrow = strstr(text, arrows[i]);
		if (!arrow)
			continue;
		const char *suction = arena_copy_span(arena, text, (size_t)(arrow - text));
		ends->named = true;
		return strcmp(ends->item->element->name, "pump") == 0 && add(ends, "suction-pressure", suction, unit) &&
			add(ends, "discharge-pressure", arrow + strlen(arrows[i]), unit) &&
			strtod(ends->values[ends->count - 2].value, NULL) <
			strtod(ends->values[ends->count - 1].value, NULL);
	}
	size_t pieces = 0;
	for (const char *at = text; *at; at += strspn(at, ",; ")) {
		const char *comma = at;
		do
			comma = strpbrk(comma + (comma > at), ",;");
		while (comma && comma[1] >= '0' && comma[1] <= '9'); /* "0,9" */
		size_t length = comma ? (size_t)(comma - at) : strlen(at);
		const char *piece = arena_copy_span(arena, at, length), *rest = piece;
		const char *end = end_named(arena, piece, &rest);
		const char *attribute = end ? attribute_of(ends, end, quantity) : quantity;
		ends->named = ends->named || end;
		if (!attribute || (!end && pieces) || !add(ends, attribute, end ? rest : piece, unit))
			return false;
		pieces++;
		at += length;
	}
	return pieces > 0;
}

bool record_state_ends(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *quantity)
{
	struct arena *arena = record_arena(record);
	const struct sheet_cell *cell = record_cell(record, column);
	struct ends ends = {.record = record, .item = item, .column = column};
	const char *text = cell->text, *units = column->rules.unit ? column->rules.unit : "";
	const char *between = strstr(units, " / "), *stroke = strrchr(text, '/');
	if (cell->kind != SHEET_TEXT || cell->hidden || column->of)
		return false;
	bool read = false;
	if (strcmp(quantity, "pressure-temperature") == 0 && between && stroke)
		read = read_quantity(&ends, arena_copy_span(arena, text, (size_t)(stroke - text)), "pressure",
			       arena_copy_span(arena, units, (size_t)(between - units))) &&
			read_quantity(&ends, stroke + 1, "temperature", between + strlen(" / "));
	else if (text_has_word("pressure temperature", quantity))
		read = read_quantity(&ends, text, quantity, column->rules.unit);
	if (!read || !ends.named)
		return false;
	struct text said = text_in(arena);
	for (size_t i = 0; i < ends.count; i++) {
		record_state_value(record, column, item, ends.values[i].attribute, ends.values[i].value);
		text_addf(&said, "%s%s %s", said.length ? ", " : "", ends.values[i].attribute, ends.values[i].value);
	}
	record_interpreted(record, column, said.data, "what its words or its arrow say of the two ends");
	return true;
}
