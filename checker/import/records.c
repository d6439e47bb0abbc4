#include "import/records.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "import/guess.h"
#include "import/remarks.h"

/* ---- what is common ---- */

static struct arena *arena_of_record(const struct record *record)
{
	return record->sheet->package->arena;
}

static struct draft *draft_of(const struct record *record)
{
	return &record->sheet->package->draft;
}

static const struct element *item_of(struct arena *arena, const struct element *sheet, const char *tag)
{
	for (size_t i = 0; i < sheet->child_count; i++) {
		const char *at =
			element_is(sheet->children[i], "item") ? element_attribute(sheet->children[i], "written") : "";
		size_t length;
		for (const char *part; (part = text_alternative(&at, &length));)
			if (text_same_nocase(arena_copy_span(arena, part, length), tag))
				return sheet->children[i];
	}
	return NULL;
}

const struct element *record_item(const struct record *record, const char *tag)
{
	const struct element *map = record->sheet->package->map,
			     *item = item_of(arena_of_record(record), record->sheet->map, tag);
	for (size_t i = 0; i < map->child_count && !item; i++)
		if (element_is(map->children[i], "sheet") &&
			strcmp(element_attribute(map->children[i], "lists"), lists_name(record->sheet->lists)) == 0)
			item = item_of(arena_of_record(record), map->children[i], tag);
	return item;
}

static const char *source(const struct record *record)
{
	return arena_join(arena_of_record(record), record->sheet->document, "!", record->cells, "");
}

/* False when it was left. */
static bool note(struct record *record, struct draft_item *item, const struct field_column *column, bool headed)
{
	const struct sheet_cell *cell = record_cell(record, column);
	const char *text = headed ? arena_join(arena_of_record(record), column->column->heading, ": ", cell->text, "")
				  : cell->text;
	if (cell->hidden && strcmp(element_attribute_or(record->sheet->map, "hidden", "left out"), "read") != 0) {
		record_left(record, column, "in a hidden row, column or sheet");
		return false;
	}
	draft_add_note(draft_of(record), vocabulary_child(item->element, "note") ? item : NULL, text, source(record));
	record_arrived(record, column);
	return true;
}

static void keep_remark(struct record *record, struct draft_item *item, const struct field_column *column)
{
	if (note(record, item, column, false))
		remark_read(record, column, item);
}

void record_leave(struct record *record, const char *why)
{
	const struct field_column *first = NULL;
	for (size_t i = 0; i < record->sheet->table->count; i++) {
		const struct field_column *column = &record->sheet->columns[i];
		if (record_cell(record, column)->kind == SHEET_EMPTY || record_is_done(record, column))
			continue;
		if (!first)
			record_left(record, first = column, why);
		else
			record_pass(record, column, OUTCOME_LEFT);
	}
}

/* Every column that the map knows and whose cell nobody has dealt with yet. */
static const struct field_column *pending(const struct record *record, size_t *at)
{
	while (*at < record->sheet->table->count) {
		const struct field_column *column = &record->sheet->columns[(*at)++];
		if (column->map && strcmp(column->field, "-") != 0 &&
			record_cell(record, column)->kind != SHEET_EMPTY && !record_is_done(record, column))
			return column;
	}
	return NULL;
}

void record_remarks(struct record *record, struct draft_item *item)
{
	size_t at = 0;
	for (const struct field_column *column; (column = pending(record, &at));)
		if (strcmp(column->field, "remark") == 0)
			keep_remark(record, item, column);
}

/* ---- metals ---- */

static const char *material(const struct record *record, const struct field_column *column, const char *text)
{
	struct arena *arena = arena_of_record(record);
	const struct element *map = column->map;
	for (size_t i = 0; map && i < map->child_count; i++)
		if (words_are_one_of(arena, words_fold(arena, text), element_attribute(map->children[i], "written")))
			return element_attribute(map->children[i], "means");
	return list_cell_meaning(arena, text, "material");
}

/* "CS + 316L clad": the metal that carries, and the one that is wetted. */
static bool state_clad(struct record *record, const struct field_column *column, struct draft_item *item)
{
	static const char *const between[] = {
		"+", "/", " with ", " w/ ", " mit ", " avec ", " con ", " met ", ",", " clad "};
	static const char said[] = "clad|cladding|overlay|lined|lining|plattiert|plattierung|plaque|placage|revestido|"
				   "revestimiento|bekleed|weld overlay|auskleidung|weld";
	struct arena *arena = arena_of_record(record);
	const char *text = record_cell(record, column)->text;
	if (!words_within(arena, words_fold(arena, text), said) || !vocabulary_attribute(item->element, "cladding"))
		return false;
	for (size_t i = 0; i < COUNT(between); i++) {
		const char *at = strstr(text, between[i]);
		if (!at)
			continue;
		const char *base = material(record, column, arena_copy_span(arena, text, (size_t)(at - text)));
		const char *folded = words_fold(arena, at + strlen(between[i]));
		struct text left = text_in(arena);
		for (const char *word = folded; *word; word += strspn(word, " ")) {
			size_t length = strcspn(word, " ");
			if (!words_are_one_of(arena, arena_copy_span(arena, word, length), said))
				text_addf(&left, "%s%.*s", left.length ? " " : "", (int)length, word);
			word += length;
		}
		const char *clad = left.length ? list_cell_meaning(arena, left.data, "material") : NULL;
		const struct vocabulary_type *type = vocabulary_attribute(item->element, "cladding")->type;
		if (!base || !clad || !vocabulary_choice(type, clad))
			continue;
		record_state_value(record, column, item, "material", base);
		record_state_value(record, column, item, "cladding", clad);
		record_interpreted(
			record, column, arena_join(arena, base, " clad with ", clad, ""), "two metals in one cell");
		return true;
	}
	return false;
}

/* "SA-516 Gr.70" is a grade of what it is made of. */
static bool is_grade(const char *folded)
{
	static const char *const begins[] = {"sa ", "sa1", "sa2", "sa3", "sa5", "a1", "a2", "a3", "a5", "p2", "p3",
		"1 ", "st", "api", "a 1", "a 2", "a 3", "a 5", "s2", "16mo", "13cr"};
	for (size_t i = 0; i < COUNT(begins); i++)
		if (strncmp(folded, begins[i], strlen(begins[i])) == 0 && strpbrk(folded, "0123456789"))
			return true;
	return false;
}

static void state_material(
	struct record *record, const struct field_column *column, struct draft_item *item, const char *attribute)
{
	const char *text = record_cell(record, column)->text;
	if (strcmp(attribute, "material") == 0 && state_clad(record, column, item))
		return;
	if (record_state(record, column, item, attribute) && strcmp(attribute, "material") == 0 &&
		is_grade(words_fold(arena_of_record(record), text)) && vocabulary_attribute(item->element, "grade"))
		record_state_value(record, column, item, "grade", text);
}

/* ---- equipment ---- */

/* "2", "2 x 50 %", "1+1", "3 (2+1)": installed and in use. */
static bool read_count(const char *text, long *installed, long *in_use)
{
	enum { MOST = 20, ALL = 100 };
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

static void state_count(struct record *record, const struct field_column *column, struct draft_item *item)
{
	struct arena *arena = arena_of_record(record);
	const char *text = record_cell(record, column)->text;
	long installed, in_use;
	if (!vocabulary_attribute(item->element, "installed") || !read_count(text, &installed, &in_use)) {
		record_left(record, column, "no count of items, as 2, 1+1 or 2 x 50 %");
		return;
	}
	record_state_value(record, column, item, "installed", arena_format(arena, "%ld", installed));
	if (!in_use)
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
static struct draft_item *place_of(
	struct record *record, struct draft_item *item, const char *of, const char **attribute)
{
	static const char *const sides[] = {"tube-side", "shell-side"};
	static const char *const instead[][2] = {{"length", "height"}, {"height", "length"}, {"rated-flow", "volume"},
		{"rated-flow", "flow"}, {"rated-duty", "duty"}, {"service", "name"}, {"medium", "cooling-medium"},
		{"medium", "heating-medium"}, {"rating", "rating"}, {"outlet-temperature", "outlet-temperature"},
		{"top-temperature", "temperature"}, {"thickness", "wall-thickness"}};
	struct draft *draft = draft_of(record);
	if (of) {
		if (strcmp(*attribute, "name") == 0)
			*attribute = "service"; /* what flows there */
		struct draft_item *side =
			vocabulary_child(item->element, of) ? draft_item(draft, item, of, NULL, NULL, of) : NULL;
		return side && vocabulary_attribute(side->element, *attribute) ? side : NULL;
	}
	if (vocabulary_attribute(item->element, *attribute))
		return item;
	for (size_t i = 0; i < COUNT(instead); i++)
		if (strcmp(instead[i][0], *attribute) == 0 && vocabulary_attribute(item->element, instead[i][1])) {
			*attribute = instead[i][1];
			return item;
		}
	for (size_t i = 0; i < COUNT(sides); i++) {
		const struct vocabulary_element *side = vocabulary_child(item->element, sides[i]);
		if (side && vocabulary_attribute(side, *attribute))
			return draft_item(draft, item, sides[i], NULL, NULL, sides[i]);
	}
	return item;
}

static void state_service(struct record *record, const struct field_column *column, struct draft_item *item)
{
	const struct vocabulary_attribute *service = vocabulary_attribute(item->element, "service");
	struct arena *arena = arena_of_record(record);
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
	struct arena *arena = arena_of_record(record);
	const char *text = record_cell(record, column)->text;
	if (type && list_cell_choice(arena, type->type, text))
		record_state(record, column, item, "type");
	else if (guess_equipment(arena, "", text, "").element)
		record_arrived(record, column); /* it is what the item is called in the draft */
	else
		note(record, item, column, true);
}

/* "600#", "Class 300", "150 lb RF": the class; a nominal pressure (PN) is none. */
static void state_flange(struct record *record, const struct field_column *column, struct draft_item *item)
{
	static const char around[] = "lb|lbs|class|cl|ansi|rf|rtj|ff|asme|b16 5|klasse|classe|clase";
	struct arena *arena = arena_of_record(record);
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

static void state_field(struct record *record, const struct field_column *column, struct draft_item *item)
{
	const char *attribute = column->field;
	if (strcmp(attribute, "remark") == 0)
		keep_remark(record, item, column);
	else if (strcmp(attribute, "class") == 0)
		state_class(record, column, item);
	else if (strcmp(attribute, "count") == 0)
		state_count(record, column, item);
	else if (strcmp(attribute, "flange-class") == 0)
		state_flange(record, column, item);
	else if (strcmp(attribute, "name") == 0 && !column->of && !takes_name(record, column, item))
		note(record, item, column, true);
	else {
		struct draft_item *place = place_of(record, item, column->of, &attribute);
		if (!place)
			record_left(record, column,
				arena_format(arena_of_record(record), "a %s has no %s of its %s", item->element->name,
					attribute, column->of));
		else if (strcmp(attribute, "service") == 0 && column->of)
			state_service(record, column, place);
		else if (strcmp(attribute, "material") == 0 || strcmp(attribute, "casing") == 0 ||
			strcmp(attribute, "impeller") == 0)
			state_material(record, column, place, attribute);
		else
			record_state(record, column, place, attribute);
	}
}

/* The part of an item that a row of a table of materials speaks of. */
static struct draft_item *part_of_item(struct record *record, struct draft_item *item)
{
	const struct field_column *column = record_column(record, "part");
	struct arena *arena = arena_of_record(record);
	const char *text = column ? record_cell(record, column)->text : "", *folded = words_fold(arena, text);
	if (!*folded)
		return item;
	record_arrived(record, column);
	bool sided = vocabulary_child(item->element, "tube-side") != NULL;
	if (sided &&
		words_are_one_of(arena, folded,
			"tubes|tube side|tube bundle|bundle|rohre|rohrseite|rohrbundel|tubos|pijpen|rohrraum"))
		return draft_item(draft_of(record), item, "tube-side", NULL, NULL, "tube-side");
	if (sided && words_are_one_of(arena, folded, "shell|shell side|mantel|mantelseite|carcasa|calandre|mantelraum"))
		return draft_item(draft_of(record), item, "shell-side", NULL, NULL, "shell-side");
	if (words_are_one_of(arena, folded,
		    "shell|shell and heads|body|mantel|vessel|shell heads|virole|carcasa|gehause|all|mantel und "
		    "boden|complete|whole"))
		return item;
	struct draft_item *part = vocabulary_child(item->element, "part")
		? draft_item(draft_of(record), item, "part", "name", text, text)
		: NULL;
	return part ? part : item;
}

static struct guess what_it_is(struct record *record, const char *tag)
{
	const struct element *said = record_item(record, tag);
	const char *of_sheet = element_attribute(record->sheet->map, "is"), *class = record_text(record, "class"),
		   *name = record_text(record, "name");
	if (said)
		return (struct guess){.element = element_attribute(said, "is"),
			.word = element_attribute(said, "word"),
			.by_name = true};
	struct guess guess = guess_equipment(arena_of_record(record), tag, class ? class : "", name ? name : "");
	if (of_sheet && (!guess.element || strcmp(guess.element, of_sheet) != 0))
		return (struct guess){.element = of_sheet, .by_name = true};
	return guess;
}

/* The item that a tag names: one that is there, or one of the kind that the map or its name says. */
static struct draft_item *equipment(struct record *record, const struct field_column *column, const char *tag)
{
	struct draft *draft = draft_of(record);
	struct draft_item *there = draft_find(draft, tag);
	if (there) {
		record_arrived(record, column);
		return there;
	}
	struct guess guess = what_it_is(record, tag);
	if (guess.element && strcmp(guess.element, "-") == 0) {
		record_pass(record, column, OUTCOME_STRUCTURE);
		return NULL;
	}
	if (!guess.element || !vocabulary_child(draft->unit, guess.element)) {
		record_left(record, column, "what kind of item it is nobody says: give the map an <item> for it");
		return NULL;
	}
	struct draft_item *item = draft_item(draft, NULL, guess.element, "tag", tag, tag);
	if (record_item(record, tag))
		record_arrived(record, column);
	else
		record_interpreted(record, column, guess.element,
			guess.by_name ? "by its name" : "by the letters of its tag alone");
	const struct vocabulary_attribute *service = vocabulary_attribute(item->element, "service");
	if (guess.word && service && vocabulary_choice(service->type, guess.word))
		record_state_value(record, column, item, "service", guess.word);
	return item;
}

static void read_equipment(struct record *record, const char *tag)
{
	const struct field_column *column = record_column(record, "tag"), *count = record_column(record, "count");
	struct draft_item *item = equipment(record, column, tag);
	if (!item) {
		record_leave(record, "of an item that is left out");
		return;
	}
	record->item = item;
	long letters = letters_in(tag);
	if (letters && (!count || !*record_cell(record, count)->text) &&
		vocabulary_attribute(item->element, "installed"))
		record_state_value(
			record, column, item, "installed", arena_format(arena_of_record(record), "%ld", letters));
	struct draft_item *part = part_of_item(record, item);
	size_t at = 0;
	for (const struct field_column *next; (next = pending(record, &at));)
		state_field(record, next,
			part != item && (strcmp(next->field, "name") == 0 || strcmp(next->field, "count") == 0) ? item
														: part);
}

/* ---- lines ---- */

/* "B.L.", "to flare": an end beyond the unit is a battery limit. */
static void find_limit(struct record *record, const struct field_column *column)
{
	static const char beyond[] = "bl|b l|battery limit|isbl|osbl|anlagengrenze|limite de bateria|limite de "
				     "batterie|flare|fackel|torche|antorcha|"
				     "sru|claus|battery limits|atm|atmosphere|sewer|fuel gas "
				     "header|header|grenze|fakkel|lb|limite bateria|ag";
	struct arena *arena = arena_of_record(record);
	const char *text = record_cell(record, column)->text;
	if (record_cell(record, column)->kind != SHEET_TEXT || !words_within(arena, words_fold(arena, text), beyond) ||
		draft_find(draft_of(record), text))
		return;
	draft_item(draft_of(record), NULL, "battery-limit", "tag", text, text);
}

static void read_line(struct record *record, const char *tag)
{
	record->item = draft_item(draft_of(record), NULL, "line", "tag", tag, tag);
	record_arrived(record, record_column(record, "tag"));
	size_t at = 0;
	for (const struct field_column *column; (column = pending(record, &at));)
		if (strcmp(column->field, "service") == 0) {
			state_service(record, column, record->item);
		} else {
			if (strcmp(column->field, "from") == 0 || strcmp(column->field, "to") == 0)
				find_limit(record, column);
			state_field(record, column, record->item);
		}
}

/* ---- nozzles and relief ---- */

static struct draft_item *owner(struct record *record)
{
	const struct field_column *column = record_column(record, "owner");
	const char *text = column ? record_cell(record, column)->text : "";
	if (*text) {
		record->sheet->owner = text;
		return equipment(record, column, text);
	}
	return record->sheet->owner ? draft_find(draft_of(record), record->sheet->owner) : NULL;
}

static void read_nozzle(struct record *record, const char *tag)
{
	struct draft_item *vessel = owner(record);
	struct arena *arena = arena_of_record(record);
	if (!vessel || !vocabulary_child(vessel->element, "nozzle")) {
		record_leave(record, "a nozzle of nothing that is described");
		return;
	}
	const char *key = arena_join(arena, vessel->key, " ", tag, "");
	record->item = draft_item(draft_of(record), vessel, "nozzle", "tag", key, key);
	record_arrived(record, record_column(record, "tag"));
	size_t at = 0;
	for (const struct field_column *column; (column = pending(record, &at));)
		if (strcmp(column->field, "service") == 0)
			state_service(record, column, record->item);
		else
			state_field(record, column, record->item);
}

/* The case of relief of the record: its word, and the item under the valve. */
static struct draft_item *relief_case(struct record *record, struct draft_item *valve, const char **word)
{
	const struct field_column *column = record_column(record, "name");
	struct arena *arena = arena_of_record(record);
	const char *text = column ? record_cell(record, column)->text : "";
	if (!*text)
		return NULL;
	const struct vocabulary_type *type =
		vocabulary_attribute(vocabulary_child(valve->element, "relief-case"), "name")->type;
	const char *known = list_cell_choice(arena, type, text);
	for (size_t i = 0; i < column->map->child_count && !known; i++)
		if (words_are_one_of(
			    arena, words_fold(arena, text), element_attribute(column->map->children[i], "written")))
			known = element_attribute(column->map->children[i], "means");
	*word = known ? known : "other";
	struct draft_item *item =
		draft_item(draft_of(record), valve, "relief-case", "name", *word, known ? known : text);
	if (known) {
		record_arrived(record, column);
	} else {
		record_state_value(record, column, item, "because", text);
		record_interpreted(
			record, column, "other", "none of the names of relief cases; it is kept as the reason");
	}
	return item;
}

static void state_governing(
	struct record *record, const struct field_column *column, struct draft_item *valve, const char *word)
{
	const char *text = record_cell(record, column)->text, *folded = words_fold(arena_of_record(record), text);
	if (words_are_one_of(arena_of_record(record), folded, "n|no|nein|non|nee") || !*folded) {
		record_arrived(record, column);
	} else if (word &&
		(words_are_one_of(arena_of_record(record), folded, "x|y|yes|ja|oui|si|governing|massgebend|j|o|s"))) {
		record_state_value(record, column, valve, "sized-for", word);
		record_arrived(record, column);
	} else {
		record_state(record, column, valve, "sized-for");
	}
}

static void read_relief(struct record *record, const char *tag)
{
	struct draft_item *protects = owner(record);
	const char *word = NULL, *own = record_text(record, "tag");
	struct draft_item *valve = draft_find(draft_of(record), tag);
	if (!valve && (!protects || !vocabulary_child(protects->element, "relief-valve"))) {
		record_leave(record, "what the valve protects is not described");
		return;
	}
	if (!valve)
		valve = draft_item(draft_of(record), protects, "relief-valve", "tag", tag, tag);
	record->item = valve;
	if (own && *own)
		record_arrived(record, record_column(record, "tag"));
	struct draft_item *of_case = relief_case(record, valve, &word);
	size_t at = 0;
	for (const struct field_column *column; (column = pending(record, &at));) {
		bool once = strcmp(column->field, "required") == 0 && of_case;
		if (strcmp(column->field, "sized-for") == 0)
			state_governing(record, column, valve, word);
		else
			state_field(record, column, once ? of_case : valve);
	}
}

/* ---- laboratory ---- */

static struct draft_item *analysis(struct record *record, const char *written)
{
	const struct field_column *column = record_column(record, "date"), *point = record_column(record, "stream");
	struct arena *arena = arena_of_record(record);
	struct draft *draft = draft_of(record);
	const char *where = point ? record_cell(record, point)->text : "",
		   *service = *where ? guess_service(arena, where) : NULL;
	const char *day = record_cell(record, column)->kind == SHEET_DATE
		? written
		: list_cell_date(arena, written, column->rules.dates);
	if (!day) {
		record_leave(record, "no date, or day and month cannot be told apart");
		return NULL;
	}
	if (*where && !draft_find(draft, where) && service && strcmp(service, "lean") != 0) {
		record_leave(record,
			"a sample of a stream that is not described; only those of lean solution speak for the "
			"solvent");
		return NULL;
	}
	struct draft_item *solvent = draft_item(draft, NULL, "solvent", NULL, NULL, "solvent");
	struct draft_item *item =
		draft_item(draft, solvent, "dated-analysis", "date", day, arena_join(arena, day, " ", where, ""));
	record_arrived(record, column);
	if (*where && draft_find(draft, where))
		record_state(record, point, item, "stream");
	else if (*where)
		note(record, item, point, true);
	return item;
}

/* "HSS, wt% as MDEA": in what the salts are counted. */
static void state_basis(struct record *record, const struct field_column *column, struct draft_item *item)
{
	static const char *const amines[] = {"MEA", "MDEA", "DEA", "DGA", "DIPA"};
	const char *folded = words_fold(arena_of_record(record), column->column->heading);
	for (size_t i = 0; i < COUNT(amines); i++)
		if (words_within(arena_of_record(record), folded, words_fold(arena_of_record(record), amines[i])))
			record_state_value(record, column, item, "salts-as", amines[i]);
}

static void read_analysis(struct record *record)
{
	static const char anions[] = "formate acetate oxalate thiosulfate sulfate thiocyanate";
	const char *date = record_text(record, "date");
	if (!date || !*date) {
		record_leave(record, "no date");
		return;
	}
	struct draft_item *item = record->item = analysis(record, date);
	size_t at = 0;
	for (const struct field_column *column; item && (column = pending(record, &at));)
		if (text_has_word(anions, column->field)) {
			struct draft_item *anion =
				draft_item(draft_of(record), item, "anion", "name", column->field, column->field);
			record_state(record, column, anion, "content");
		} else {
			state_field(record, column, item);
			if (strcmp(column->field, "salts") == 0)
				state_basis(record, column, item);
		}
}

/* ---- records ---- */

void record_read(struct record *record, const char *tag)
{
	enum sheet_lists lists = record->sheet->lists;
	if (lists == LISTS_LABORATORY)
		read_analysis(record);
	else if (!tag)
		record_leave(record, "no tag");
	else if (strcmp(tag, "-") == 0 || sheet_kind_of(tag) == SHEET_FAULT)
		record_leave(record, "its tag is none");
	else if (lists == LISTS_EQUIPMENT)
		read_equipment(record, tag);
	else if (lists == LISTS_STREAMS)
		record_read_stream(record, tag);
	else if (lists == LISTS_LINES)
		read_line(record, tag);
	else if (lists == LISTS_NOZZLES)
		read_nozzle(record, tag);
	else
		read_relief(record, tag);
}
