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
	if (!design && record_state_ends(record, column, item, "pressure-temperature"))
		return;
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
		if (!record_state_amounts(record, column, item))
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

/* Of a bare corrosion allowance: millimetres from 1, inches to three eighths; between them it may be either. Common practice, no source. */
const char *record_allowance_unit(const char *text)
{
	const double least_mm = 1, most_mm = 12, least_in = 0.03, most_in = 0.376;
	char *copy_end;
	double value = strtod(text, &copy_end);
	if (*copy_end == ',' && copy_end[1] >= '0' && copy_end[1] <= '9')
		return strtod(text, NULL) >= least_mm && value <= most_mm ? "mm" : NULL; /* "4,5" */
	if (copy_end == text || copy_end[strspn(copy_end, " ")])
		return NULL;
	return value >= least_mm && value <= most_mm ? "mm" : value >= least_in && value <= most_in ? "in" : NULL;
}

/* "BHP / motor hp", "48 / 60": what the pump takes is that of the shaft. False: the cell is not of two. */
bool record_state_shaft_power(struct record *record, const struct field_column *column, struct draft_item *item)
{
	static const char shaft[] =
		"bhp|brake|brake power|shaft|shaft power|absorbed|absorbed power|wellenleistung|welle|puissance "
		"absorbee|absorbee|absorbida|potencia absorbida|brake hp";
	struct arena *arena = record_arena(record);
	const struct sheet_cell *cell = record_cell(record, column);
	const char *of = column->column->heading, *between = strchr(of, '/'),
		   *slash = cell->kind == SHEET_TEXT ? strchr(cell->text, '/') : NULL;
	if (strcmp(column->field, "power") != 0 || !slash || cell->hidden)
		return false;
	const char *names[] = {
		between ? arena_copy_span(arena, of, (size_t)(between - of)) : "", between ? between + 1 : ""};
	const char *parts[] = {arena_copy_span(arena, cell->text, (size_t)(slash - cell->text)), slash + 1};
	const struct vocabulary_attribute *meaning = vocabulary_attribute(item->element, "power");
	for (int i = 0; i < 2 && meaning; i++) {
		if (!words_within(arena, words_fold(arena, names[i]), shaft) || strchr(slash + 1, '/'))
			continue;
		const char *part = parts[i] + strspn(parts[i], " ");
		struct cell_value value = list_cell(arena, part, meaning->type, &column->rules);
		if (value.fate != CELL_TAKEN || !record_state_value(record, column, item, "power", value.value))
			break;
		record_note(record, item, column, true);
		record_interpreted(record, column, value.value, "that of the shaft; all of it is kept as a note");
		return true;
	}
	record_keep_as_note(record, column, item, "two powers, and which is that of the shaft is not said");
	return true;
}

/* "40 / 62" of a column in operation: its top and its bottom, where the second is the warmer, or the higher pressure. */
bool record_state_top_and_bottom(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *attribute)
{
	struct arena *arena = record_arena(record);
	const struct sheet_cell *cell = record_cell(record, column);
	const char *slash = cell->kind == SHEET_TEXT ? strchr(cell->text, '/') : NULL;
	const char *ends[] = {
		arena_join(arena, "top-", attribute, "", ""), arena_join(arena, "bottom-", attribute, "", "")};
	struct cell_value values[2];
	if (!slash || strchr(slash + 1, '/') || cell->hidden || column->of ||
		!text_has_word("temperature pressure", attribute))
		return false;
	const char *parts[] = {arena_copy_span(arena, cell->text, (size_t)(slash - cell->text)), slash + 1};
	for (int i = 0; i < 2; i++) {
		const struct vocabulary_attribute *meaning = vocabulary_attribute(item->element, ends[i]);
		const char *part = parts[i] + strspn(parts[i], " ");
		if (!meaning || !strchr("0123456789", *part) || !*part)
			return false;
		values[i] = list_cell(arena, part, meaning->type, &column->rules);
		if ((values[i].fate != CELL_TAKEN && values[i].fate != CELL_INTERPRETED) || values[i].vacuum)
			return false;
	}
	if (!(strtod(values[0].value, NULL) < strtod(values[1].value, NULL)))
		return false;
	for (int i = 0; i < 2; i++)
		record_state_value(record, column, item, ends[i], values[i].value);
	record_interpreted(record, column, arena_join(arena, "top ", values[0].value, ", bottom ", values[1].value),
		"two values of a column, the second higher");
	return true;
}

/* ---- shell and tubes in one cell ---- */

enum { SHELL, TUBES, SIDES };
static const char *const side_names[SIDES] = {"shell-side", "tube-side"};

/* Which side stands first in "shell / tube": its index; SIDES: the text has no such words. */
static int first_side(struct arena *arena, const char *text)
{
	static const char *const orders[][SIDES] = {{"shell/tube", "tube/shell"}, {"shellside/tube", "tubeside/shell"},
		{"shell-side/tube", "tube-side/shell"}, {"shell/tubes", "tubes/shell"}, {"mantel/rohr", "rohr/mantel"},
		{"mantelseite/rohr", "rohrseite/mantel"}, {"mantelraum/rohr", "rohrraum/mantel"},
		{"calandre/tube", "tube/calandre"}, {"calandre/tubes", "tubes/calandre"}, {"ss/ts", "ts/ss"},
		{"carcasa/tubo", "tubo/carcasa"}, {"carcasa/tubos", "tubos/carcasa"}};
	char *close = arena_copy(arena, text), *end = close;
	for (const char *c = text; *c; c++)
		if (*c != ' ' && *c != '\n')
			*end++ = *c >= 'A' && *c <= 'Z' ? (char)(*c - 'A' + 'a') : *c;
	*end = '\0';
	for (size_t i = 0; i < sizeof orders / sizeof *orders; i++)
		for (int first = SHELL; first < SIDES; first++) {
			const char *at = strstr(close, orders[i][first]);
			bool begins = at &&
				(at == close || strlen(orders[i][first]) > strlen("ss/ts") || strchr("(,;:", at[-1]));
			if (begins)
				return first;
		}
	return SIDES;
}

/* The order that the texts of the sheet give, in heads, notes or remarks; SIDES: none does, or they differ. */
static int order_of_sheet(struct arena *arena, const struct sheet *sheet)
{
	int found = SIDES;
	for (size_t i = 0; i < sheet->rows * sheet->columns; i++) {
		const struct sheet_cell *cell = &sheet->cells[i];
		int here = cell->kind == SHEET_TEXT && !cell->merged && strchr(cell->text, '/')
			? first_side(arena, cell->text)
			: SIDES;
		if (here != SIDES && found != SIDES && here != found)
			return SIDES;
		found = here != SIDES ? here : found;
	}
	return found;
}

/* "Shell CS", "tubes: 316L": the side that words at the begin of the text name, which are taken off it; SIDES: none. */
static int side_named(struct arena *arena, const char **text)
{
	static const char *const words[SIDES] = {"shell|shells|shell side|mantel|mantelseite|calandre|carcasa|ss",
		"tube|tubes|tube side|tubing|bundle|rohre|rohr|rohrseite|bundel|rohrbundel|tubos|faisceau|ts"};
	const char *at = *text + strspn(*text, " ");
	size_t length = strcspn(at, " :=");
	const char *second = at + length + strspn(at + length, " :=");
	if (!at[length] || !*second)
		return SIDES;
	if (words_are_one_of(
		    arena, words_fold(arena, arena_copy_span(arena, second, strcspn(second, " :="))), "side")) {
		length = (size_t)(second - at) + strcspn(second, " :=");
		second = at + length + strspn(at + length, " :=");
	}
	for (int side = SHELL; side < SIDES; side++)
		if (words_are_one_of(arena, words_fold(arena, arena_copy_span(arena, at, length)), words[side])) {
			*text = second;
			return side;
		}
	return SIDES;
}

/* What one part of the cell gives the side; NULL: nothing that can be read. */
static const char *value_of_side(struct record *record, const struct field_column *column,
	const struct vocabulary_element *side, const char *attribute, const char *text)
{
	const struct vocabulary_attribute *meaning = vocabulary_attribute(side, attribute);
	if (!meaning)
		return NULL;
	if (strcmp(attribute, "material") == 0)
		return record_metal(record, column, text);
	struct cell_rules rules = column->rules;
	if (strcmp(attribute, "corrosion-allowance") == 0 && !rules.unit)
		rules.unit = record_allowance_unit(text);
	struct cell_value value = list_cell(record_arena(record), text, meaning->type, &rules);
	bool is = value.fate == CELL_TAKEN || value.fate == CELL_INTERPRETED;
	return is && !value.vacuum && *value.value != '-' ? value.value : NULL; /* below nothing it is a vacuum */
}

/* Of the conditions of operation it may be what enters and what leaves: only the heading itself tells. */
static int order_of(struct record *record, const struct field_column *column, const char *attribute)
{
	static const char of_the_sheet[] =
		"design-pressure design-temperature test-pressure material corrosion-allowance";
	struct arena *arena = record_arena(record);
	int order = first_side(arena, column->column->heading);
	return order == SIDES && text_has_word(of_the_sheet, attribute)
		? order_of_sheet(arena, record->sheet->table->sheet)
		: order;
}

bool record_state_sides(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *attribute)
{
	static const char known[] =
		"design-pressure design-temperature pressure temperature test-pressure material corrosion-allowance";
	struct arena *arena = record_arena(record);
	const struct sheet_cell *cell = record_cell(record, column);
	const char *slash = cell->kind == SHEET_TEXT ? strchr(cell->text, '/') : NULL, *values[SIDES];
	const struct vocabulary_element *sides[SIDES] = {
		vocabulary_child(item->element, "shell-side"), vocabulary_child(item->element, "tube-side")};
	if (!slash || strchr(slash + 1, '/') || column->of || cell->hidden || !sides[SHELL] || !sides[TUBES] ||
		!text_has_word(known, attribute))
		return false;
	const char *parts[SIDES] = {arena_copy_span(arena, cell->text, (size_t)(slash - cell->text)), slash + 1};
	int first = side_named(arena, &parts[0]), second = side_named(arena, &parts[1]);
	bool named = first != SIDES && second != SIDES && first != second;
	if (!named && (first != SIDES || second != SIDES))
		return false; /* one is named, and what the other is of is not said */
	int order = named ? first : order_of(record, column, attribute);
	for (int i = 0; i < SIDES; i++) {
		int side = order == TUBES ? TUBES - i : i;
		values[i] = value_of_side(record, column, sides[side], attribute, parts[i]);
		if (!values[i])
			return false;
	}
	bool conditions = text_has_word("pressure temperature", attribute), same = strcmp(values[0], values[1]) == 0;
	bool alloy = strcmp(attribute, "material") == 0 && strcmp(values[0], "carbon steel") == 0 && !same;
	if (order == SIDES && (conditions || !(same || alloy)))
		return false;
	for (int i = 0; i < SIDES; i++) {
		int side = order == TUBES ? TUBES - i : i;
		struct draft_item *place =
			draft_item(record_draft(record), item, side_names[side], NULL, NULL, side_names[side]);
		record_state_value(record, column, place, attribute, values[i]);
	}
	record_interpreted(record, column,
		arena_format(arena, "%s %s, %s %s", order == TUBES ? "tubes" : "shell", values[0],
			order == TUBES ? "shell" : "tubes", values[1]),
		named				 ? "the sides are named"
			: order == SIDES && same ? "both sides have the same"
			: order == SIDES
			? "carbon steel beside an alloy: of the shell, and of the tubes; common practice"
			: "in the order that the heading or the sheet says");
	return true;
}
