#include "import/records.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "import/guess.h"

/* ---- the hot and the cold side, and the ends of a side ---- */

/* What the record says flows on that side, as a service; NULL: nothing that is known. */
static const char *fluid_of(const struct record *record, const char *side)
{
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		if (column->of && strcmp(column->of, side) == 0 && text_has_word("service name", column->field))
			return guess_service(record_arena(record), record_cell(record, column)->text);
	}
	return NULL;
}

static const char *stated(const struct draft_item *item, const char *attribute)
{
	for (size_t i = 0; i < item->count; i++)
		if (strcmp(item->values[i].attribute, attribute) == 0 && !item->values[i].of_case)
			return item->values[i].value;
	return NULL;
}

/* The side of an exchanger in which that fluid runs, where another sheet or column says so; of plates, one of its own. */
static struct draft_item *side_with(struct record *record, struct draft_item *item, const char *side)
{
	struct draft *draft = record_draft(record);
	const char *fluid = fluid_of(record, side), *type = stated(item, "type");
	struct draft_item *found = NULL;
	if (vocabulary_child(item->element, "plate-side") &&
		(record_speaks_of_plates(record) || (type && strstr(type, "plate"))))
		return draft_item(draft, item, "plate-side", NULL, NULL, side);
	for (size_t i = 0; i < draft->count && fluid; i++) {
		struct draft_item *one = draft->items[i];
		if (one->parent != item || !text_has_word("tube-side shell-side", one->element->name) ||
			!text_same(stated(one, "service"), fluid))
			continue;
		if (found)
			return NULL;
		found = one;
	}
	return found;
}

/*
 * Where a description has what is said of the hot or cold side of an item: `*attribute` becomes that; NULL: nowhere. What cools or
 * heats is the medium of a cooler or reboiler, steam by attributes of its own.
 */
struct draft_item *record_side_by_heat(
	struct record *record, struct draft_item *item, const char *side, const char **attribute)
{
	static const struct {
		const char *elements, *side, *fluid, *said, *attribute;
	} rows[] = {{"cooler condenser", "cold-side", NULL, "inlet-temperature", "medium-inlet-temperature"},
		{"cooler condenser", "cold-side", NULL, "outlet-temperature", "medium-outlet-temperature"},
		{"cooler condenser", "cold-side", NULL, "service", "cooling-medium"},
		{"cooler condenser", "cold-side", NULL, "name", "cooling-medium"},
		{"cooler condenser", "cold-side", NULL, "flow", "medium-flow"},
		{"cooler condenser", "hot-side", NULL, "inlet-temperature", "temperature"},
		{"cooler condenser", "hot-side", NULL, "inlet-pressure", "pressure"},
		{"cooler condenser", "hot-side", NULL, "outlet-temperature", "outlet-temperature"},
		{"cooler", "hot-side", NULL, "service", "service"}, {"cooler", "hot-side", NULL, "name", "service"},
		{"exchanger", "hot-side", NULL, "inlet-temperature", "hot-inlet-temperature"},
		{"exchanger", "hot-side", NULL, "outlet-temperature", "hot-outlet-temperature"},
		{"exchanger", "cold-side", NULL, "inlet-temperature", "cold-inlet-temperature"},
		{"exchanger", "cold-side", NULL, "outlet-temperature", "cold-outlet-temperature"},
		{"reboiler", "hot-side", "steam", "flow", "steam-flow"},
		{"reboiler", "hot-side", "steam", "inlet-temperature", "steam-temperature"},
		{"reboiler", "hot-side", "steam", "inlet-pressure", "steam-pressure"},
		{"reboiler", "hot-side", "steam", "pressure", "steam-pressure"},
		{"reboiler", "hot-side", "steam", "outlet-temperature", ""},
		{"reboiler", "hot-side", NULL, "inlet-temperature", "medium-inlet-temperature"},
		{"reboiler", "hot-side", NULL, "outlet-temperature", "medium-outlet-temperature"},
		{"reboiler", "hot-side", NULL, "flow", "medium-flow"},
		{"reboiler", "hot-side", NULL, "service", "heating-medium"},
		{"reboiler", "hot-side", NULL, "name", "heating-medium"}};
	const char *fluid = fluid_of(record, side);
	struct draft_item *place = side_with(record, item, side);
	if (place && strcmp(*attribute, "name") == 0)
		*attribute = "service"; /* what flows there */
	if (place && vocabulary_attribute(place->element, *attribute))
		return place;
	for (size_t i = 0; i < COUNT(rows); i++)
		if (strcmp(rows[i].side, side) == 0 && strcmp(rows[i].said, *attribute) == 0 &&
			text_has_word(rows[i].elements, item->element->name) &&
			(!rows[i].fluid || text_same(rows[i].fluid, fluid))) {
			if (!vocabulary_attribute(item->element, rows[i].attribute))
				return NULL;
			*attribute = rows[i].attribute;
			return item;
		}
	return NULL;
}

bool record_speaks_of_plates(const struct record *record)
{
	static const char words[] =
		"plate type|plate and frame|phe|platten|plattenapparat|plattenwarmetauscher|plattenwarmeubertrager|"
		"plaques|placas|platenwisselaar|platenwarmtewisselaar|plate exchanger|plate heat exchanger|gasketed "
		"plate|plate frame|piastre";
	struct arena *arena = record_arena(record);
	for (size_t i = 0; i < record->sheet->table->count; i++)
		if (record->sheet->columns[i].map &&
			words_within(
				arena, words_fold(arena, record_cell(record, &record->sheet->columns[i])->text), words))
			return true;
	return false;
}

static bool is_taken(const struct cell_value *value)
{
	return value->fate == CELL_TAKEN || value->fate == CELL_INTERPRETED;
}

static const char *heading_day(const struct record *record, const struct field_column *column)
{
	return fields_reading_day(record_arena(record), column->column->heading);
}

/* The column that says where a wall was measured; NULL: none, or it says nothing here. Its note stays. */
static const struct field_column *place_of_reading(const struct record *record)
{
	static const char places[] =
		"location|position|place|where|measuring point|point|messstelle|messpunkt|ort|lage|"
		"emplacement|ubicacion|punto|plaats|meetplaats|component|location on item";
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		const struct sheet_cell *cell = record_cell(record, column);
		if (cell->kind == SHEET_TEXT && !cell->hidden &&
			words_are_one_of(record_arena(record),
				words_fold(record_arena(record), column->column->heading), places))
			return column;
	}
	return NULL;
}

/* What was measured of a wall, when and how: a reading of its own, or where there is none an inspection. */
bool record_state_reading(struct record *record, const struct field_column *column, struct draft_item *item)
{
	static const char *const fields[][2] = {
		{"wall-reading", "thickness"}, {"inspection-date", "date"}, {"inspection-method", "method"}};
	const struct field_column *read = record_column(record, "wall-reading");
	bool reading = read && record_cell(record, read)->kind != SHEET_EMPTY;
	const char *child = reading ? "wall-reading" : "inspection", *attribute = NULL;
	for (size_t i = 0; i < COUNT(fields); i++)
		attribute = strcmp(fields[i][0], column->field) == 0 ? fields[i][1] : attribute;
	if (reading && heading_day(record, read) &&
		text_has_word("thickness wall-thickness required-thickness corrosion-rate", column->field)) {
		record_keep_as_note(record, column, item, "of one place of the item, as its readings are");
		return true;
	}
	if (!attribute)
		return false;
	const struct vocabulary_element *element = vocabulary_child(item->element, child);
	const struct vocabulary_attribute *meaning = element ? vocabulary_attribute(element, attribute) : NULL;
	bool method = meaning && strcmp(attribute, "method") == 0;
	if (!meaning ||
		(method && !list_cell_choice(record_arena(record), meaning->type, record_cell(record, column)->text))) {
		record_keep_as_note(record, column, item, "no reading or inspection of a description");
		return true;
	}
	const struct cell_value value =
		list_cell(record_arena(record), record_cell(record, column)->text, meaning->type, &column->rules);
	if (strcmp(attribute, "thickness") == 0 && !is_taken(&value)) {
		record_keep_as_note(record, column, item, value.why ? value.why : "no thickness");
		return true;
	}
	const char *day = strcmp(attribute, "thickness") == 0 ? heading_day(record, column) : NULL;
	const char *identity = arena_join(record_arena(record), child, " of ", record->cells, day ? day : "");
	struct draft_item *made = draft_item(record_draft(record), item, child, NULL, NULL, identity);
	if (!record_state(record, column, made, attribute) || !day)
		return true;
	record_state_value(record, column, made, "date", day);
	const struct field_column *place = place_of_reading(record);
	if (place)
		record_state_value(record, place, made, "place", record_cell(record, place)->text);
	return true;
}

/* ---- two values in one cell, whose heading names both ---- */

/* The two parts of "118 / 68", "118 -> 68", "18 m | 8 m"; false: there are not just two. */
static bool split_in_two(struct arena *arena, const char *text, const char *parts[2])
{
	static const char *const signs[] = {
		" / ", "\u2192", "->", " | ", ";", "\n", " x ", "/", " - ", " \u2013 ", "|", " & ", "\u00d7", "x"};
	for (size_t i = 0; i < COUNT(signs); i++) {
		const char *at = strstr(text, signs[i]);
		if (!at)
			continue;
		const char *after = at + strlen(signs[i]);
		if (strcmp(signs[i], "x") == 0 &&
			(at == text || !strchr("0123456789 ", at[-1]) || !strchr("0123456789 ", *after)))
			continue; /* "epoxy" */
		if (strstr(after, signs[i]) || at == text || !*after)
			return false;
		parts[0] = arena_copy_span(arena, text, (size_t)(at - text));
		parts[1] = after + strspn(after, " ");
		return true;
	}
	return false;
}

/* "P-101A/B - C-101": the dash between blanks separates ends, before a stroke that is one of the tag's own. */
static bool split_ends(struct arena *arena, const char *text, const char *parts[2])
{
	static const char *const signs[] = {" - ", " \u2013 ", " to "};
	for (size_t i = 0; i < COUNT(signs); i++) {
		const char *at = strstr(text, signs[i]);
		if (!at || at == text || strstr(at + 1, signs[i]) || strstr(text, " / "))
			continue;
		parts[0] = arena_copy_span(arena, text, (size_t)(at - text));
		parts[1] = at + strlen(signs[i]);
		return true;
	}
	return split_in_two(arena, text, parts);
}

static const char *nth_word(struct arena *arena, const char *words, size_t n)
{
	const char *at = words;
	for (; n && *at; n--) {
		at += strcspn(at, " ");
		at += strspn(at, " ");
	}
	const char *word = arena_copy_span(arena, at, strcspn(at, " "));
	return strcmp(word, "-") == 0 || !*word ? NULL : word;
}

/* The unit that the second part ends with, for a first part that is a bare number. */
static const char *with_unit_of(struct arena *arena, const char *first, const char *second)
{
	static const char figures[] = "0123456789.,-+<>~ ";
	const char *unit = second + strspn(second, figures);
	bool counted = strcspn(second, "0123456789") < (size_t)(unit - second); /* "12 / ATM": the other is no unit */
	return counted && strspn(first, figures) == strlen(first) && *unit ? arena_join(arena, first, " ", unit, "")
									   : first;
}

struct one_of_two {
	const char *attribute;
	struct draft_item *place;
	struct cell_value value;
};

static struct one_of_two read_one(
	struct record *record, const struct field_column *column, struct draft_item *item, size_t n, const char *part)
{
	struct arena *arena = record_arena(record);
	const char *of = column->of ? nth_word(arena, column->of, n) : NULL;
	struct one_of_two one = {.attribute = nth_word(arena, column->field, n)};
	one.place = record_place(record, item, of, &one.attribute);
	const struct vocabulary_attribute *meaning =
		one.place ? vocabulary_attribute(one.place->element, one.attribute) : NULL;
	struct cell_rules rules = column->rules;
	const char *between = rules.unit ? strstr(rules.unit, " / ") : NULL;
	if (record_is_gauge(record, column, one.attribute)) {
		part = list_cell_gauge(part);
		if (!part)
			return one; /* no gauge, and no thickness in another unit */
	}
	if (between) /* "degC / barg" */
		rules.unit = n ? between + strlen(" / ")
			       : arena_copy_span(arena, rules.unit, (size_t)(between - rules.unit));
	one.value =
		meaning ? list_cell(arena, part, meaning->type, &rules) : (struct cell_value){.fate = CELL_LEFT_OUT};
	return one;
}

/* "P-101A/B / C-101" under "From / To". */
static void state_from_and_to(struct record *record, const struct field_column *column, struct draft_item *item)
{
	static const char *const ends[] = {"from", "to"};
	struct arena *arena = record_arena(record);
	const struct sheet_cell *cell = record_cell(record, column);
	const char *parts[2];
	if (cell->kind != SHEET_TEXT || cell->hidden || !split_ends(arena, cell->text, parts)) {
		record_keep_as_note(record, column, item, "not two ends, as P-101 / C-101");
		return;
	}
	for (size_t i = 0; i < 2; i++) {
		record_find_limit(record, column, parts[i]);
		record_state_value(record, column, item, ends[i], parts[i]);
	}
	record_interpreted(
		record, column, arena_join(arena, parts[0], " to ", parts[1], ""), "its two ends in one cell");
}

static double kelvin_of(const char *value)
{
	double factor, offset, number;
	char *unit;
	number = strtod(value, &unit);
	return unit_find(KIND_TEMPERATURE, unit + strspn(unit, " "), 101325, &factor, &offset)
		? number * factor + offset
		: (double)NAN;
}

/* What is lower may be the lowest temperature of a design. K; common practice, no source. */
static const double WARM = 313.15;

/*
 * One value under a heading of two: "SA-516-70" under "Material (shell / internals)" is that of the vessel, "110" under "Design
 * temperature max/min" the highest. False: it is not known which of them it is.
 */
static bool state_only(struct record *record, const struct field_column *column, struct draft_item *item)
{
	struct field_column one = *column;
	const struct sheet_cell *cell = record_cell(record, column);
	bool metal = strcmp(column->field, "material material") == 0 && vocabulary_attribute(item->element, "material"),
	     range = strstr(column->field, "minimum-design-temperature") != NULL;
	const struct vocabulary_attribute *meaning = vocabulary_attribute(item->element, "design-temperature");
	if (strpbrk(cell->text, "/;") || cell->hidden || (!metal && !(range && meaning)))
		return false;
	one.field = metal ? "material" : "design-temperature";
	one.of = NULL;
	if (range) {
		struct cell_value value = list_cell(record_arena(record), cell->text, meaning->type, &column->rules);
		if (!is_taken(&value) || !(kelvin_of(value.value) > WARM))
			return false;
	}
	record_state_field(record, &one, item);
	return true;
}

/* A lowest temperature of a design is no higher than the highest, nor than a warm day; else the two are of two sides. */
static bool is_range_of_design(const struct one_of_two ones[2])
{
	int lowest = text_same(ones[0].attribute, "minimum-design-temperature") ? 0
		: text_same(ones[1].attribute, "minimum-design-temperature")	? 1
										: -1;
	if (lowest < 0 || !is_taken(&ones[0].value) || !is_taken(&ones[1].value))
		return lowest < 0;
	double low = kelvin_of(ones[lowest].value.value), high = kelvin_of(ones[1 - lowest].value.value);
	return low < high && low < WARM;
}

void record_state_several(struct record *record, const struct field_column *column, struct draft_item *item)
{
	struct arena *arena = record_arena(record);
	const struct sheet_cell *cell = record_cell(record, column);
	const char *parts[2] = {"", ""};
	if (strcmp(column->field, "from to") == 0) {
		state_from_and_to(record, column, item);
		return;
	}
	struct one_of_two ones[2] = {{.attribute = NULL}};
	bool two = cell->kind == SHEET_TEXT && !cell->hidden && split_in_two(arena, cell->text, parts);
	if (!two && state_only(record, column, item))
		return;
	for (size_t i = 0; i < 2 && two; i++)
		ones[i] = read_one(record, column, item, i, i ? parts[1] : with_unit_of(arena, parts[0], parts[1]));
	if (two && !is_range_of_design(ones)) {
		record_keep_as_note(record, column, item, "no highest and lowest temperature of a design");
		return;
	}
	size_t stated = 0;
	struct text said = text_in(arena);
	for (size_t i = 0; i < 2 && two; i++) {
		if (!is_taken(&ones[i].value))
			continue;
		stated += record_state_value(record, column, ones[i].place, ones[i].attribute, ones[i].value.value);
		text_addf(&said, "%s%s %s", said.length ? ", " : "", ones[i].attribute, ones[i].value.value);
	}
	if (stated < 2)
		record_keep_as_note(record, column, item, "two values in one cell, and not both have their place");
	if (stated)
		record_interpreted(record, column, said.data, "two values in one cell, in the order of the heading");
}

/* ---- flows of one phase ---- */

/* The phase that a heading of a flow names, "gas" or "liquid"; NULL: none. */
static const char *phase_of(const struct record *record, const struct field_column *column)
{
	const struct package *package = record->sheet->package;
	const char *unit, *bare = words_without_unit(package->arena, package->words, column->column->heading, &unit);
	const char *concepts = words_concepts(package->arena, package->words, words_fold(package->arena, bare));
	return text_has_word(concepts, "gas") ? "gas" : text_has_word(concepts, "liquid") ? "liquid" : NULL;
}

bool record_is_part_of_flow(const struct record *record, const struct field_column *column)
{
	const char *phase = phase_of(record, column);
	for (size_t i = 0; phase && i < record->sheet->table->count; i++) {
		const struct field_column *other = &record->sheet->columns[i];
		const char *text = record_cell(record, other)->text;
		if (text_same(other->field, "flow") && phase_of(record, other) &&
			!text_same(phase_of(record, other), phase) && text_same(other->of_case, column->of_case) &&
			strtod(text, NULL) > 0)
			return true;
	}
	return false;
}

/* ---- conditions with their units in the cell ---- */

static bool is_vacuum(struct arena *arena, const char *part)
{
	return words_are_one_of(
		arena, words_fold(arena, part), "fv|full vacuum|vakuum|vollvakuum|vide|vacio|vacuum|vacuo");
}

/* "15 barg / 100 °C", "FV / 3.5 bar(g) @ 130 °C": each part by its own unit; false: not just these. */
bool record_state_conditions(struct record *record, const struct field_column *column, struct draft_item *item)
{
	struct arena *arena = record_arena(record);
	const bool design = strncmp(column->field, "design", strlen("design")) == 0;
	const char *const attributes[] = {
		design ? "design-pressure" : "pressure", design ? "design-temperature" : "temperature"};
	const char *text = record_cell(record, column)->text, *values[2] = {NULL, NULL};
	const char *signs = strstr(text, " / ") ? NULL : "/@;";
	bool vacuum = false;
	if (record_cell(record, column)->kind != SHEET_TEXT || record_cell(record, column)->hidden ||
		!vocabulary_attribute(item->element, attributes[0]))
		return false;
	for (const char *at = text; *at;) {
		const char *end = signs ? strpbrk(at, signs) : strstr(at, " / ");
		const char *part = arena_copy_span(arena, at, end ? (size_t)(end - at) : strlen(at));
		bool taken = is_vacuum(arena, part);
		vacuum = vacuum || taken;
		for (size_t i = 0; i < 2 && !taken; i++) {
			struct cell_rules rules = column->rules;
			rules.unit = NULL;
			struct cell_value value = list_cell(
				arena, part, vocabulary_attribute(item->element, attributes[i])->type, &rules);
			if (!is_taken(&value))
				continue;
			if (values[i])
				return false;
			values[i] = value.value;
			vacuum = vacuum || value.vacuum;
			taken = true;
		}
		if (!taken)
			return false;
		at = end ? end + (signs ? 1 : strlen(" / ")) : at + strlen(at);
	}
	if (!values[0] && !values[1])
		return false;
	for (size_t i = 0; i < 2; i++)
		if (values[i])
			record_state_value(record, column, item, attributes[i], values[i]);
	if (vacuum && design)
		record_state_value(record, column, item, "vacuum-design", "yes");
	record_interpreted(record, column,
		arena_join(arena, values[0] ? values[0] : "", values[0] && values[1] ? ", " : "",
			values[1] ? values[1] : "", vacuum ? ", full vacuum" : ""),
		"each by its own unit");
	return true;
}
