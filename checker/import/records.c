#include "import/records.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "import/guess.h"

/* "2", "2 x 50 %", "1+1", "3 (2+1)": installed and in use. */
static bool read_count(const char *text, long *installed, long *in_use)
{
	enum { MOST = 20, ALL = 100 };
	const char *slash = strchr(text, '/');
	if (slash && slash > text && slash[-1] >= '0' && slash[-1] <= '9' && slash[1] >= '0' && slash[1] <= '9') {
		*in_use = strtol(text, NULL, 10); /* "1/1": in use and spare */
		*installed = *in_use + strtol(slash + 1, NULL, 10);
		return *installed > 0 && *installed <= MOST && *in_use > 0;
	}
	const char *plus = strchr(text, '+'), *times = strpbrk(text, "xX*"), *percent = strchr(text, '%');
	char *end;
	*in_use = 0;
	if (plus && plus > text && plus[-1] >= '0' && plus[-1] <= '9') {
		*in_use = strtol(plus - 1, NULL, 10);
		*installed = *in_use + strtol(plus + 1, NULL, 10);
	} else {
		*installed = strtol(text, &end, 10);
		if (end == text)
			return false;
		long share = times && percent ? strtol(times + 1 + strspn(times + 1, " "), NULL, 10) : 0;
		if (times && share > 0)
			*in_use = share >= ALL ? 1 : (ALL + share - 1) / share;
		else if (*end)
			return false;
	}
	return *installed > 0 && *installed <= MOST && *in_use <= *installed;
}

/* "2 shells in series", "BEU, series", "A/B in Reihe": what is counted does not stand in parallel. */
static bool says_series(const struct record *record)
{
	static const char words[] =
		"in series|in reihe|en serie|in serie|seriell|hintereinander|hintereinandergeschaltet";
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct sheet_cell *cell = record_cell(record, &record->sheet->columns[i]);
		const char *folded =
			cell->kind == SHEET_TEXT && !cell->hidden ? words_fold(record_arena(record), cell->text) : "";
		const char *last = strrchr(folded, ' ');
		if (words_within(record_arena(record), folded, words) || (last && strcmp(last, " series") == 0))
			return true;
	}
	return false;
}

/* So many of them: in parallel, or shells in series where the record says so. */
static bool state_installed(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *many)
{
	bool series = strcmp(many, "1") != 0 && says_series(record);
	const char *attribute = series ? "shells" : "installed";
	if (!vocabulary_attribute(item->element, attribute) ||
		!record_state_value(record, column, item, attribute, many))
		return false;
	if (series)
		record_interpreted(record, column, arena_join(record_arena(record), many, " shells", "", ""),
			"the record says that they are in series");
	return true;
}

static void state_count(struct record *record, const struct field_column *column, struct draft_item *item)
{
	struct arena *arena = record_arena(record);
	const char *text = record_cell(record, column)->text;
	long installed, in_use;
	if (!vocabulary_attribute(item->element, "installed") || !read_count(text, &installed, &in_use)) {
		record_left(record, column, "no count of items, as 2, 1+1 or 2 x 50 %");
		return;
	}
	if (in_use)
		record_state_value(record, column, item, "installed", arena_format(arena, "%ld", installed));
	else if (!state_installed(record, column, item, arena_format(arena, "%ld", installed)))
		record_keep_as_note(record, column, item, "in series, which such an item has no count of");
	else if (!record_is_done(record, column))
		record_arrived(record, column);
	if (!in_use)
		return;
	record_state_value(record, column, item, "in-use", arena_format(arena, "%ld", in_use));
	record_interpreted(record, column, arena_format(arena, "%ld installed, %ld in use", installed, in_use),
		"as such counts are written");
}

/* "P-101 A/B": so many under one tag. */
static long letters_in(const char *tag)
{
	const char *slash = strchr(tag, '/');
	long count = 1;
	if (!slash || slash == tag || slash[-1] < 'A' || slash[-1] > 'Z')
		return 0;
	for (; slash && slash[1] >= 'A' && slash[1] <= 'Z' && (slash[2] == '/' || slash[2] == '\0');
		slash = strchr(slash + 1, '/'))
		count++;
	return count > 1 ? count : 0;
}

/* Where an attribute stands that the item itself has not: in a side of an exchanger, or by another word. */
struct draft_item *record_place(struct record *record, struct draft_item *item, const char *of, const char **attribute)
{
	static const char *const sides[] = {"tube-side", "shell-side"};
	static const char *const instead[][2] = {{"length", "height"}, {"height", "length"}, {"height", "rated-head"},
		{"casing", "material"}, {"rated-flow", "volume"}, {"rated-flow", "flow"}, {"rated-duty", "duty"},
		{"duty", "power"}, {"service", "name"}, {"medium", "cooling-medium"}, {"medium", "heating-medium"},
		{"rating", "rating"}, {"outlet-temperature", "outlet-temperature"}, {"top-temperature", "temperature"},
		{"thickness", "wall-thickness"}};
	static const char of_both[] =
		"area duty rated-duty heat-transfer shells type installed"; /* whatever side it stands under */
	struct draft *draft = record_draft(record);
	if (of && text_has_word("tube-side shell-side", of) && record_speaks_of_plates(record))
		return NULL;
	if (of && text_has_word("hot-side cold-side", of))
		return record_side_by_heat(record, item, of, attribute);
	if (of && strcmp(of, "shell-side") == 0 && !vocabulary_child(item->element, of) &&
		vocabulary_attribute(item->element, *attribute))
		return item; /* the shell of a vessel is the vessel */
	if (of && strcmp(of, "internals") == 0 && vocabulary_child(item->element, "tube-side"))
		of = "tube-side"; /* what an exchanger has inside */
	if (of) {
		if (strcmp(*attribute, "name") == 0)
			*attribute = "service"; /* what flows there */
		const struct vocabulary_element *side = vocabulary_child(item->element, of);
		if (side && vocabulary_attribute(side, *attribute))
			return draft_item(draft, item, of, NULL, NULL, of);
		return vocabulary_attribute(item->element, *attribute) && text_has_word(of_both, *attribute) ? item
													     : NULL;
	}
	if (vocabulary_attribute(item->element, *attribute))
		return item;
	for (size_t i = 0; i < COUNT(instead); i++)
		if (strcmp(instead[i][0], *attribute) == 0 && vocabulary_attribute(item->element, instead[i][1])) {
			*attribute = instead[i][1];
			return item;
		}
	for (size_t i = 0; i < COUNT(sides); i++) { /* what only one of the sides has: tubes, plates */
		const struct vocabulary_element *side = vocabulary_child(item->element, sides[i]),
						*other = vocabulary_child(item->element, sides[1 - i]);
		if (side && vocabulary_attribute(side, *attribute) &&
			!(other && vocabulary_attribute(other, *attribute)))
			return draft_item(draft, item, sides[i], NULL, NULL, sides[i]);
	}
	return item;
}

void record_state_service(struct record *record, const struct field_column *column, struct draft_item *item)
{
	const struct vocabulary_attribute *service = vocabulary_attribute(item->element, "service");
	struct arena *arena = record_arena(record);
	const char *text = record_cell(record, column)->text;
	if (record_cell(record, column)->kind != SHEET_TEXT) {
		record_state(record, column, item, "service");
		return;
	}
	bool known = list_cell_choice(arena, service->type, text) != NULL;
	for (size_t i = 0; i < column->map->child_count && !known; i++)
		known = words_are_one_of(
			arena, words_fold(arena, text), element_attribute(column->map->children[i], "written"));
	const char *guess = known ? NULL : guess_service(arena, text);
	if (known || (!guess && !vocabulary_attribute(item->element, "name"))) {
		record_state(record, column, item, "service");
		return;
	}
	if (vocabulary_attribute(item->element, "name"))
		record_state_value(record, column, item, "name", text);
	if (guess) {
		record_state_value(record, column, item, "service", guess);
		record_interpreted(record, column, guess, "the service that its words speak of");
	} else {
		record_arrived(record, column);
	}
}

static void state_class(struct record *record, const struct field_column *column, struct draft_item *item)
{
	const struct vocabulary_attribute *type = vocabulary_attribute(item->element, "type");
	struct arena *arena = record_arena(record);
	const struct vocabulary_attribute *stands = vocabulary_attribute(item->element, "orientation");
	const char *text = record_cell(record, column)->text,
		   *first = arena_copy_span(arena, text, strcspn(text, ",;("));
	if (type && list_cell_choice(arena, type->type, text)) {
		record_state(record, column, item, "type");
	} else if (type && text[strlen(first)] && list_cell_choice(arena, type->type, first) &&
		record_state_value(record, column, item, "type", list_cell_choice(arena, type->type, first))) {
		record_note(record, item, column, true);
		record_interpreted(record, column, list_cell_choice(arena, type->type, first),
			"the first of its words; all of it is kept as a note");
	} else if (stands && list_cell_choice(arena, stands->type, text))
		record_state(record, column, item, "orientation");
	else if (guess_equipment(arena, "", text, "").element)
		record_arrived(record, column); /* it is what the item is called in the draft */
	else
		record_note(record, item, column, true);
}

/* "600#", "Class 300", "150 lb RF": the class; a nominal pressure (PN) is none. */
static void state_flange(struct record *record, const struct field_column *column, struct draft_item *item)
{
	static const char around[] = "lb|lbs|class|cl|ansi|rf|rtj|ff|asme|b16 5|klasse|classe|clase";
	struct arena *arena = record_arena(record);
	const char *folded = words_fold(arena, record_cell(record, column)->text), *number = NULL;
	bool plain =
		vocabulary_attribute(item->element, "flange-class") && record_cell(record, column)->kind != SHEET_FAULT;
	for (const char *at = folded; *at && plain; at += strspn(at, " ")) {
		size_t length = strcspn(at, " "), digits = strspn(at, "0123456789");
		const char *word = arena_copy_span(arena, at + digits, length - digits);
		plain = !*word || words_are_one_of(arena, word, around);
		if (digits)
			number = number ? number : arena_copy_span(arena, at, digits);
		at += length;
	}
	if (!plain || !number) {
		record_state(record, column, item, "flange-class");
		return;
	}
	record_state_value(record, column, item, "flange-class", number);
	record_arrived(record, column);
}

/* An item is called once; what another sheet calls it is a note. */
static bool takes_name(const struct record *record, const struct field_column *column, const struct draft_item *item)
{
	if (!vocabulary_attribute(item->element, "name") || !item->key_attribute)
		return false;
	for (size_t i = 0; i < item->count; i++)
		if (strcmp(item->values[i].attribute, "name") == 0 &&
			strcmp(item->values[i].value, record_cell(record, column)->text) != 0)
			return false;
	return true;
}

/* What a description has no attribute for is kept as it stands. */
void record_keep_as_note(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *why)
{
	const struct sheet_cell *cell = record_cell(record, column);
	if (cell->kind == SHEET_FAULT || cell->kind == SHEET_UNCALCULATED || cell->hidden ||
		!vocabulary_child(item->element, "note")) {
		record_left(record, column, why);
		return;
	}
	record_note(record, item, column, true);
	if (!record_says_nothing(record, column))
		record_interpreted(record, column, "a note", why);
}

/* What flows: of a side, or of an item whose service that is; else it is a note. */
static void state_fluid(struct record *record, const struct field_column *column, struct draft_item *item)
{
	const struct vocabulary_attribute *service = vocabulary_attribute(item->element, "service");
	if (service && strcmp(service->type->name, "stream-service") == 0)
		record_state_service(record, column, item);
	else
		record_note(record, item, column, true);
}

/* "50# STEAM", "Kühlwasser aus Netz": the medium that its words speak of; else they are a note. */
static void state_medium(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *attribute)
{
	const char *guess = guess_service(record_arena(record), record_cell(record, column)->text);
	if (!guess || record_cell(record, column)->hidden ||
		!vocabulary_choice(vocabulary_attribute(item->element, attribute)->type, guess)) {
		record_keep_as_note(record, column, item, "none of the media of a description");
		return;
	}
	record_state_value(record, column, item, attribute, guess);
	record_interpreted(record, column, guess, "the medium that its words speak of");
}

bool record_is_gauge(const struct record *record, const struct field_column *column, const char *attribute)
{
	struct arena *arena = record_arena(record);
	return strcmp(attribute, "tube-wall") == 0 &&
		(words_within(arena, words_fold(arena, column->column->heading), "bwg|gauge") ||
			strstr(record_cell(record, column)->text, "BWG"));
}

/* "14" under "BWG": a thickness. */
static void state_gauge(struct record *record, const struct field_column *column, struct draft_item *item)
{
	const char *wall =
		record_cell(record, column)->hidden ? NULL : list_cell_gauge(record_cell(record, column)->text);
	if (!wall || !record_state_value(record, column, item, "tube-wall", wall)) {
		record_keep_as_note(record, column, item, "no gauge that is known");
		return;
	}
	record_interpreted(record, column, wall, "the wall of a tube of that gauge");
}

/* A bare corrosion allowance, in the unit that alone can be meant. */
static bool state_allowance(struct record *record, const struct field_column *column, struct draft_item *item)
{
	const struct sheet_cell *cell = record_cell(record, column);
	const char *unit = column->rules.unit ? NULL : record_allowance_unit(cell->text);
	struct field_column in_unit = *column;
	if (!unit || cell->hidden || strcmp(column->field, "corrosion-allowance") != 0)
		return false;
	in_unit.rules.unit = unit;
	if (!record_state(record, &in_unit, item, "corrosion-allowance"))
		return true;
	record_interpreted(record, column, unit, "the unit of such an allowance; the sheet gives none");
	return true;
}

/* One attribute of the item, or of the side or part of it that has it. */
static void state_attribute(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *attribute)
{
	struct draft_item *place = record_place(record, item, column->of, &attribute);
	const char *what = arena_format(record_arena(record), "a %s has no %s%s%s", item->element->name, attribute,
		column->of ? " of its " : "", column->of ? column->of : "");
	if (place &&
		(record_state_sides(record, column, place, attribute) ||
			record_state_ends(record, column, place, attribute) ||
			record_state_top_and_bottom(record, column, place, attribute) ||
			record_state_shaft_power(record, column, place)))
		return;
	if (record_is_of_two_sides(record, column, place, attribute))
		record_keep_as_note(record, column, item, "of the two sides, and which is which is not said");
	else if (!place || !vocabulary_attribute(place->element, attribute))
		record_keep_as_note(record, column, place ? place : item, what);
	else if (text_has_word("cooling-medium heating-medium", attribute) &&
		!list_cell_choice(record_arena(record), vocabulary_attribute(place->element, attribute)->type,
			record_cell(record, column)->text))
		state_medium(record, column, place, attribute);
	else if ((strcmp(attribute, "insulated") == 0 && record_state_insulation(record, column, place)) ||
		(strcmp(attribute, "traced") == 0 && record_state_tracing(record, column, place)) ||
		(strcmp(attribute, "cladding") == 0 && record_state_cladding(record, column, place)))
		return;
	else if (record_is_gauge(record, column, attribute))
		state_gauge(record, column, place);
	else if (strcmp(attribute, "service") == 0)
		state_fluid(record, column, place);
	else if (strcmp(attribute, "material") == 0 || strcmp(attribute, "casing") == 0 ||
		strcmp(attribute, "impeller") == 0)
		record_state_material(record, column, place, attribute);
	else if (!state_allowance(record, column, place))
		record_state(record, column, place, attribute);
}

/* A remark of a pump begins with its duty, "68 m3/h, 440 m", where no column has it. */
static bool gives_duty(const struct record *record, const struct draft_item *item)
{
	return strcmp(item->element->name, "pump") == 0 && !record_column(record, "rated-flow") &&
		!record_column(record, "flow") && !record_column(record, "dimensions") &&
		!record_column(record, "rated-head");
}

void record_state_field(struct record *record, const struct field_column *column, struct draft_item *item)
{
	const char *attribute = column->field;
	if (column->of && record_says_nothing(record, column)) { /* and so nothing of that part */
		record_arrived(record, column);
		return;
	}
	bool other_name = strcmp(attribute, "name") == 0 && !column->of && !takes_name(record, column, item);
	bool shares = strcmp(attribute, "dimensions") == 0 &&
		strchr(record_cell(record, column)->text, '%'); /* "2 x 50 %" where others have their size */
	if (strcmp(attribute, "remark") == 0 && gives_duty(record, item))
		record_state_amounts(record, column, item); /* and the whole stays a note */
	if (text_has_word("remark note", attribute) || other_name)
		record_note(record, item, column, strcmp(attribute, "remark") != 0);
	else if (strcmp(attribute, "class") == 0)
		state_class(record, column, item);
	else if (strcmp(attribute, "count") == 0 || shares)
		state_count(record, column, item);
	else if (strcmp(attribute, "flange-class") == 0)
		state_flange(record, column, item);
	else if (strcmp(attribute, "casing-impeller") == 0)
		record_state_casing_and_impeller(record, column, item);
	else if (text_has_word("pressure-temperature design-pressure-temperature", attribute)) {
		const char *first = "design-pressure";
		struct draft_item *place = column->of ? record_place(record, item, column->of, &first) : item;
		if (!place)
			record_keep_as_note(record, column, item, "no such side");
		else if (!record_state_conditions(record, column, place))
			record_state_pair(record, column, place);
	} else if (strchr(attribute, ' '))
		record_state_several(record, column, item);
	else if (record_state_reading(record, column, item))
		return;
	else if (strcmp(attribute, "dimensions") == 0)
		record_state_dimensions(record, column, item);
	else if (strcmp(attribute, "size-schedule") == 0)
		record_state_size_and_schedule(record, column, item);
	else
		state_attribute(record, column, item, attribute);
}

/* In a row about a part: what can only be said of the whole. */
static bool is_of_whole(const struct field_column *column, const struct draft_item *item, const struct draft_item *part)
{
	return part != item &&
		(text_has_word("name count class", column->field) ||
			(!vocabulary_attribute(part->element, column->field) &&
				vocabulary_attribute(item->element, column->field)));
}

static void read_equipment(struct record *record, const char *tag)
{
	const struct field_column *column = record_column(record, "tag"), *count = record_column(record, "count");
	struct draft_item *item = record_equipment(record, column, tag);
	if (!item) {
		record_keep(record, "of an item that is left out");
		return;
	}
	record->item = item;
	record_take_units_beside(record);
	long letters = letters_in(tag);
	if (letters && (!count || !*record_cell(record, count)->text) &&
		vocabulary_attribute(item->element, "installed"))
		state_installed(record, column, item, arena_format(record_arena(record), "%ld", letters));
	struct draft_item *part = record_part(record, item);
	size_t at = 0;
	for (const struct field_column *next; (next = record_pending(record, &at));)
		record_state_field(record, next, is_of_whole(next, item, part) ? item : part);
}

/* ---- records ---- */

void record_read(struct record *record, const char *tag)
{
	enum sheet_lists lists = record->sheet->lists;
	if (lists == LISTS_LABORATORY)
		record_read_analysis(record);
	else if (lists == LISTS_RESULTS)
		record_read_result(record);
	else if (!tag)
		record_keep(record, "no tag");
	else if (lists == LISTS_BASIS)
		record_read_basis(record, tag);
	else if (strcmp(tag, "-") == 0 || sheet_kind_of(tag) == SHEET_FAULT)
		record_leave(record, "its tag is none");
	else if (lists == LISTS_EQUIPMENT)
		read_equipment(record, tag);
	else if (lists == LISTS_STREAMS)
		record_read_stream(record, tag);
	else if (lists == LISTS_LINES)
		record_read_line(record, tag);
	else if (lists == LISTS_NOZZLES)
		record_read_nozzle(record, tag);
	else if (lists == LISTS_VALVES)
		record_read_valve(record, tag);
	else
		record_read_relief(record, tag);
}
