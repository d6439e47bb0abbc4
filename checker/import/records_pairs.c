#include "import/records.h"

#include <stdlib.h>
#include <string.h>

/* "8 / 40", "6\" Sch 80", "12-STD": a size and its schedule. */
void record_state_size_and_schedule(struct record *record, const struct field_column *column, struct draft_item *item)
{
	struct arena *arena = record_arena(record);
	const char *text = record_cell(record, column)->text;
	const char *at = strstr(text, " / "), *blank = at ? at : strpbrk(text, "Ss");
	size_t size_length = blank ? (size_t)(blank - text) : strlen(text);
	const char *size = arena_copy_span(arena, text, size_length), *schedule = blank ? blank : "";
	const char *folded = words_fold(arena, schedule);
	if (strncmp(folded, "sch ", strlen("sch ")) == 0)
		folded += strlen("sch ");
	struct cell_rules rules = column->rules;
	rules.unit = rules.unit ? rules.unit : "NPS";
	const struct vocabulary_attribute *of_size = vocabulary_attribute(item->element, "size"),
					  *of_schedule = vocabulary_attribute(item->element, "schedule");
	struct cell_value first = of_size ? list_cell(arena, size, of_size->type, &rules)
					  : (struct cell_value){.fate = CELL_LEFT_OUT},
			  second = of_schedule ? list_cell(arena, folded, of_schedule->type, &rules)
					       : (struct cell_value){.fate = CELL_LEFT_OUT};
	if ((first.fate != CELL_TAKEN && first.fate != CELL_INTERPRETED) ||
		(second.fate != CELL_TAKEN && second.fate != CELL_INTERPRETED) ||
		record_cell(record, column)->kind != SHEET_TEXT || record_cell(record, column)->hidden) {
		record_left(record, column, "no size of a pipe with its schedule, as 8 / 40");
		return;
	}
	record_state_value(record, column, item, "size", first.value);
	record_state_value(record, column, item, "schedule", second.value);
	record_interpreted(record, column, arena_join(arena, first.value, ", schedule ", second.value, ""),
		"a size and its schedule in one cell");
}

/* "1080 / 200", "900 @ 95" under "psig / degF": a pressure and a temperature. */
void record_state_pair(struct record *record, const struct field_column *column, struct draft_item *item)
{
	struct arena *arena = record_arena(record);
	bool design = strncmp(column->field, "design", strlen("design")) == 0;
	const char *const attributes[] = {
		design ? "design-pressure" : "pressure", design ? "design-temperature" : "temperature"};
	const char *text = record_cell(record, column)->text, *units = column->rules.unit ? column->rules.unit : "";
	const char *between = strstr(units, " / "), *slash = NULL;
	size_t strokes = 0;
	for (const char *c = text; *c; c++)
		if (strchr("/@", *c)) {
			slash = c; /* the last: "50/FV / 300" */
			strokes++;
		}
	struct cell_value values[2] = {{.fate = CELL_LEFT_OUT}, {.fate = CELL_LEFT_OUT}};
	for (size_t i = 0; i < 2 && slash && between; i++) {
		const struct vocabulary_attribute *meaning = vocabulary_attribute(item->element, attributes[i]);
		struct cell_rules rules = column->rules;
		rules.unit = i ? between + strlen(" / ") : arena_copy_span(arena, units, (size_t)(between - units));
		if (meaning)
			values[i] = list_cell(arena,
				i ? slash + 1 + strspn(slash + 1, " ")
				  : arena_copy_span(arena, text, (size_t)(slash - text)),
				meaning->type, &rules);
	}
	for (size_t i = 0; i < 2; i++)
		if ((values[i].fate != CELL_TAKEN && values[i].fate != CELL_INTERPRETED) ||
			record_cell(record, column)->hidden || (strokes > 1 && !values[0].vacuum)) {
			record_keep_as_note(record, column, item, "no pressure and temperature, as 1080 / 200");
			return;
		}
	for (size_t i = 0; i < 2; i++)
		record_state_value(record, column, item, attributes[i], values[i].value);
	if (values[0].vacuum && design)
		record_state_value(record, column, item, "vacuum-design", "yes");
	record_interpreted(record, column,
		arena_join(arena, values[0].value, ", ", values[1].value, values[0].vacuum ? ", full vacuum" : ""),
		"a pressure and a temperature in one cell");
}

/* "2100 x 24500": bare figures so large that no vessel has them in inches, feet or metres. */
static bool are_millimetres(const char *const parts[2])
{
	const double least = 700, most = 100000; /* 700 in are 17.8 m: no diameter of a vessel of such a unit */
	for (size_t i = 0; i < 2; i++) {
		if (strspn(parts[i], "0123456789") != strlen(parts[i]))
			return false;
		double value = strtod(parts[i], NULL);
		if (value < least || value > most)
			return false;
	}
	return true;
}

/* "1.600 x 17.500", "72\" x 52'-0\"": a diameter and a length. */
void record_state_dimensions(struct record *record, const struct field_column *column, struct draft_item *item)
{
	struct arena *arena = record_arena(record);
	const char *text = record_cell(record, column)->text, *parts[2];
	bool two = list_cell_dimensions(arena, text, parts);
	const char *along = vocabulary_attribute(item->element, "length") ? "length" : "height";
	const struct vocabulary_attribute *across = vocabulary_attribute(item->element, "diameter"),
					  *length = vocabulary_attribute(item->element, along);
	struct cell_value first = {.fate = CELL_LEFT_OUT}, second = first;
	if (two && across && length) {
		struct cell_rules rules = column->rules;
		if (!rules.unit && are_millimetres(parts))
			rules.unit = "mm";
		first = list_cell(arena, parts[0], across->type, &rules);
		second = list_cell(arena, parts[1], length->type, &rules);
	}
	bool both = (first.fate == CELL_TAKEN || first.fate == CELL_INTERPRETED) &&
		(second.fate == CELL_TAKEN || second.fate == CELL_INTERPRETED);
	if (!both || record_cell(record, column)->hidden) {
		record_keep_as_note(record, column, item, "no diameter and length, as 1600 x 17500");
		return;
	}
	record_state_value(record, column, item, "diameter", first.value);
	record_state_value(record, column, item, along, second.value);
	record_interpreted(record, column, arena_join(arena, first.value, " across, ", second.value, " along"),
		"two lengths in one cell");
}

/* "16/10" of an exchanger: its shell and its tubes, in an order that nothing says. */
bool record_is_of_two_sides(const struct record *record, const struct field_column *column,
	const struct draft_item *place, const char *attribute)
{
	static const char conditions[] = "design-pressure design-temperature pressure temperature test-pressure";
	const char *text = record_cell(record, column)->text, *slash = strchr(text, '/');
	return place && slash && slash > text && text_has_word(conditions, attribute) && !column->of &&
		vocabulary_child(place->element, "tube-side") && strpbrk(slash, "0123456789") &&
		strspn(text, "0123456789") > 0 && strncmp(slash + 1 + strspn(slash + 1, " "), "-1", 2) != 0;
}
