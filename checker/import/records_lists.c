#include "import/records.h"

#include <string.h>

#include "base/count.h"
#include "import/guess.h"
#include "import/instrument.h"
#include "import/line_number.h"

/* ---- lines ---- */

/* "B.L.", "to flare": an end beyond the unit is a battery limit. */
void record_find_limit(struct record *record, const char *text)
{
	static const char beyond[] = "bl|b l|battery limit|isbl|osbl|anlagengrenze|limite de bateria|limite de "
				     "batterie|flare|fackel|torche|antorcha|"
				     "sru|claus|battery limits|atm|atmosphere|sewer|fuel gas "
				     "header|header|grenze|netz|brenngasnetz|heizgasnetz|fakkel|lb|limite bateria|ag";
	struct arena *arena = record_arena(record);
	if (!words_within(arena, words_fold(arena, text), beyond) || draft_find(record_draft(record), text))
		return;
	draft_item(record_draft(record), NULL, "battery-limit", "tag", text, text);
}

static const char *value_of(const struct draft_item *item, const char *attribute)
{
	for (size_t i = 0; i < item->count; i++)
		if (strcmp(item->values[i].attribute, attribute) == 0)
			return item->values[i].value;
	return NULL;
}

/* Size and piping class that no column gives are those of the line's number; a size that it gives otherwise is said. */
static void state_by_number(struct record *record, const char *tag)
{
	const struct field_column *column = record_column(record, "tag");
	struct arena *arena = record_arena(record);
	struct line_number number = line_number_read(arena, tag);
	const char *size = value_of(record->item, "size"), *class = value_of(record->item, "piping-class");
	if (!column || !*record_cell(record, column)->text || record_cell(record, column)->hidden)
		return;
	if (number.size && size && strncmp(size, "NPS", 3) == 0 && strcmp(size, number.size) != 0)
		record_interpreted(record, column, number.size,
			arena_format(arena, "the size in its number; its column has %s, which holds", size));
	else if (number.size && !size && record_state_value(record, column, record->item, "size", number.size))
		record_interpreted(record, column, number.size, "the size in its number");
	if (number.piping_class && !class &&
		record_state_value(record, column, record->item, "piping-class", number.piping_class))
		record_interpreted(record, column, number.piping_class, "the piping class in its number");
}

/* "Rich solution, hot": the service of a circuit that is called by it, where no column gives one. */
static void state_by_words(struct record *record, const char *tag)
{
	const struct field_column *column = record_column(record, "tag");
	const char *service = strchr(tag, ' ') ? guess_service(record_arena(record), tag) : NULL;
	if (service && column && !value_of(record->item, "service") && !record_cell(record, column)->hidden &&
		record_state_value(record, column, record->item, "service", service))
		record_interpreted(record, column, service, "the service that its name speaks of");
}

/* "M", "2-ph", "V/L": two phases run in the line; "L", "V": one. */
static void state_phase(struct record *record, const struct field_column *column)
{
	static const char two[] = "m|mixed|2|2 ph|2ph|2 phase|two phase|mixed phase|vl|v l|l v|lv|g l|gl|l "
				  "g|lg|zweiphasig|2 phasig|diphasique|"
				  "bifasico|tweefasig",
			  one[] = "l|v|g|liq|liquid|vap|vapor|vapour|gas|fl|flussig|liquide|liquido|vloeistof|s";
	const char *folded = words_fold(record_arena(record), record_cell(record, column)->text);
	bool both = words_are_one_of(record_arena(record), folded, two),
	     single = words_are_one_of(record_arena(record), folded, one);
	if ((!both && !single) || record_cell(record, column)->hidden ||
		!record_state_value(record, column, record->item, "two-phase", both ? "yes" : "no")) {
		record_note(record, record->item, column, true);
		return;
	}
	record_interpreted(record, column, both ? "two-phase yes" : "two-phase no", "by its phase");
}

void record_read_line(struct record *record, const char *tag)
{
	record->item = draft_item(record_draft(record), NULL, "line", "tag", tag, tag);
	record_arrived(record, record_column(record, "tag"));
	record_take_units_beside(record);
	size_t at = 0;
	for (const struct field_column *column; (column = record_pending(record, &at));)
		if (strcmp(column->field, "service") == 0) {
			record_state_service(record, column, record->item);
		} else if (strcmp(column->field, "phase") == 0) {
			state_phase(record, column);
		} else {
			if (strcmp(column->field, "from to") != 0 && text_has_word("from to", column->field) &&
				record_cell(record, column)->kind == SHEET_TEXT)
				record_find_limit(record, record_cell(record, column)->text);
			record_state_field(record, column, record->item);
		}
	state_by_number(record, tag);
	state_by_words(record, tag);
}

/* ---- nozzles and relief ---- */

/* The item with nozzles that a word of the text names by its tag. */
static struct draft_item *owner_in(struct record *record, const char *text)
{
	for (const char *at = text; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " :,");
		struct draft_item *named =
			draft_find(record_draft(record), arena_copy_span(record_arena(record), at, length));
		if (named && vocabulary_child(named->element, "nozzle"))
			return named;
		at += length + (at[length] != '\0');
	}
	return NULL;
}

/* The one item with nozzles that the same sheet describes, as a data sheet does; NULL: none, or several. */
static struct draft_item *only_owner_on_sheet(struct record *record)
{
	const struct draft *draft = record_draft(record);
	struct draft_item *found = NULL;
	for (size_t i = 0; i < draft->count; i++) {
		struct draft_item *item = draft->items[i];
		bool described = false;
		for (size_t k = 0; k < item->count && !described; k++)
			described = strcmp(item->values[k].document, record->sheet->document) == 0;
		if (!described || item->parent || !vocabulary_child(item->element, "nozzle"))
			continue;
		if (found)
			return NULL;
		found = item;
	}
	return found;
}

/* "T-101 nozzles (all 300# RF)" above the list, else the name of the sheet, else what the sheet describes: the item of the nozzles. */
static struct draft_item *owner_in_titles(struct record *record)
{
	const struct table *table = record->sheet->table;
	struct arena *arena = record_arena(record);
	struct draft_item *only = NULL;
	for (size_t i = 0; !table->turned && i < table->head * table->sheet->columns; i++) {
		const struct sheet_cell *cell = &table->sheet->cells[i];
		for (const char *at = cell->kind == SHEET_TEXT ? cell->text : ""; *at; at += strspn(at, " ")) {
			size_t length = strcspn(at, " :,");
			struct draft_item *named = draft_find(record_draft(record), arena_copy_span(arena, at, length));
			if (named && named != only && vocabulary_child(named->element, "nozzle")) {
				if (only)
					return NULL; /* of which of them is not said */
				only = named;
			}
			at += length + (at[length] != '\0');
		}
	}
	only = only ? only : owner_in(record, table->sheet->name);
	return only ? only : only_owner_on_sheet(record);
}

static struct draft_item *owner(struct record *record)
{
	const struct field_column *column = record_column(record, "owner");
	const char *text = column ? record_cell(record, column)->text : "";
	if (*text) {
		record->sheet->owner = text;
		return record_equipment(record, column, text);
	}
	return record->sheet->owner ? draft_find(record_draft(record), record->sheet->owner) : owner_in_titles(record);
}

void record_read_nozzle(struct record *record, const char *tag)
{
	struct draft_item *vessel = owner(record);
	struct arena *arena = record_arena(record);
	if (!vessel || !vocabulary_child(vessel->element, "nozzle")) {
		record_keep(record, "a nozzle of nothing that is described");
		return;
	}
	const char *key = arena_join(arena, vessel->key, " ", tag, "");
	record->item = draft_item(record_draft(record), vessel, "nozzle", "tag", key, key);
	record_arrived(record, record_column(record, "tag"));
	record_take_units_beside(record);
	size_t at = 0;
	for (const struct field_column *column; (column = record_pending(record, &at));)
		if (strcmp(column->field, "service") == 0)
			record_state_service(record, column, record->item);
		else
			record_state_field(record, column, record->item);
}

/* The case of relief of the record: its word, and the item under the valve. */
static struct draft_item *relief_case(struct record *record, struct draft_item *valve, const char **word)
{
	const struct field_column *column = record_column(record, "name");
	struct arena *arena = record_arena(record);
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
		draft_item(record_draft(record), valve, "relief-case", "name", *word, known ? known : text);
	if (known) {
		record_arrived(record, column);
	} else {
		record_state_value(record, column, item, "because", text);
		record_interpreted(
			record, column, "other", "none of the names of relief cases; it is kept as the reason");
	}
	return item;
}

/* "3K4", "4 L 6": the letter of the orifice between the sizes of inlet and outlet. */
static bool state_orifice(struct record *record, const struct field_column *column, struct draft_item *valve)
{
	struct arena *arena = record_arena(record);
	const char *text = record_cell(record, column)->text, *at = text + strspn(text, "0123456789/ -\"");
	bool remarked = at == text && *at && at[1] == ' ' && at[2] == '('; /* "N (was M)" */
	if (remarked && *at >= 'D' && *at <= 'T') {
		const char *said = arena_copy_span(arena, at, 1);
		if (!record_state_value(record, column, valve, "orifice", said))
			return false;
		record_note(record, valve, column, true);
		record_interpreted(record, column, said, "the letter of the orifice; the rest is kept as a note");
		return true;
	}
	if (at == text || *at < 'D' || *at > 'T' || !at[1] || strspn(at + 1, "0123456789/ -\"") != strlen(at + 1) ||
		record_cell(record, column)->kind != SHEET_TEXT || record_cell(record, column)->hidden)
		return false;
	const char *letter = arena_copy_span(arena, at, 1);
	if (!record_state_value(record, column, valve, "orifice", letter))
		return false;
	record_note(record, valve, column, true);
	record_interpreted(record, column, letter, "the letter of the orifice between the sizes of its flanges");
	return true;
}

/* A back-pressure in gauge units is what builds up above the atmosphere. */
static bool state_back_pressure(struct record *record, const struct field_column *column, struct draft_item *valve)
{
	static const char *const units[][2] = {{"barg", "bar"}, {"psig", "psi"}, {"kPag", "kPa"}, {"mbarg", "mbar"}};
	struct field_column difference = *column;
	for (size_t i = 0; i < COUNT(units); i++)
		if (text_same(column->rules.unit, units[i][0]))
			difference.rules.unit = units[i][1];
	const char *text = record_cell(record, column)->text;
	if (difference.rules.unit == column->rules.unit || strspn(text, "0123456789.,") != strlen(text))
		return false;
	record_state(record, &difference, valve, "back-pressure");
	return true;
}

/* "to flare", "zur Fackel": where a relief valve blows to, whatever the heading; it stays a note besides. */
static bool state_discharge(struct record *record, const struct field_column *column, struct draft_item *valve)
{
	static const char
		to[] = "to|zur|zum|nach|an|vers|a|naar|into|in",
		places[] = "flare|hp flare|lp flare|flare header|acid flare|acid gas flare|the flare|flare "
			   "system|atmosphere|atm|"
			   "safe location|fackel|hd fackel|nd fackel|hochfackel|torche|antorcha|atmosphare|fakkel";
	struct arena *arena = record_arena(record);
	const struct sheet_cell *cell = record_cell(record, column);
	const char *folded = cell->kind == SHEET_TEXT && !cell->hidden ? words_fold(arena, cell->text) : "";
	size_t length = strcspn(folded, " ");
	if (!folded[length] || !words_are_one_of(arena, arena_copy_span(arena, folded, length), to) ||
		!words_are_one_of(arena, folded + length + 1, places) ||
		!record_state_value(record, column, valve, "discharges-to", folded + length + 1))
		return false;
	record_interpreted(record, column, folded + length + 1, "where it discharges to");
	return true;
}

static void state_governing(
	struct record *record, const struct field_column *column, struct draft_item *valve, const char *word)
{
	const char *text = record_cell(record, column)->text, *folded = words_fold(record_arena(record), text);
	if (words_are_one_of(record_arena(record), folded, "n|no|nein|non|nee") || !*folded) {
		record_arrived(record, column);
	} else if (word &&
		(words_are_one_of(record_arena(record), folded, "x|y|yes|ja|oui|si|governing|massgebend|j|o|s"))) {
		record_state_value(record, column, valve, "sized-for", word);
		record_arrived(record, column);
	} else {
		record_state(record, column, valve, "sized-for");
	}
}

/* "W-302 Dampfseite", "E-4 tube side": the side of the item that the words after its tag name; NULL: they name one that is not known. */
static struct draft_item *side_of(struct record *record, struct draft_item *item, const char *words)
{
	static const char *const sides[][2] = {
		{"tube-side", "tube side|tubes|rohrseite|rohrraum|cote tubes|lado tubos|tube"},
		{"shell-side", "shell side|mantelseite|mantelraum|cote calandre|lado carcasa|shell"}};
	struct draft *draft = record_draft(record);
	struct arena *arena = record_arena(record);
	const char *folded = words_fold(arena, words), *flows = NULL;
	for (size_t i = 0; i < COUNT(sides); i++)
		if (words_within(arena, folded, sides[i][1]) && vocabulary_child(item->element, sides[i][0]))
			return draft_item(draft, item, sides[i][0], NULL, NULL, sides[i][0]);
	flows = words_within(arena, folded, "dampfseite|steam side|cote vapeur|lado vapor") ? "steam"
		: words_within(arena, folded, "kuhlwasserseite|cooling water side|cw side|wasserseite")
		? "cooling water"
		: guess_service(arena, words);
	for (size_t i = 0; flows && i < draft->count; i++)
		if (draft->items[i]->parent == item && !draft->items[i]->key_attribute &&
			text_same(value_of(draft->items[i], "service"), flows))
			return draft->items[i];
	return NULL;
}

/* Whether the words after a tag say which side of the item is meant. */
static bool speaks_of_side(struct arena *arena, const char *words)
{
	const char *folded = words_fold(arena, words);
	return words_within(arena, folded, "side|tubes|shell|rohrseite|rohrraum|mantelseite|mantelraum|cote|lado") ||
		strstr(folded, "seite");
}

/* What a relief valve protects: an item, or that side of it which is named. `*why`: where it is neither. */
static struct draft_item *protected_by(struct record *record, const char **why)
{
	struct draft_item *item = owner(record);
	const struct field_column *column = record_column(record, "owner");
	const char *text = column ? record_cell(record, column)->text : "", *words = NULL;
	*why = "what the valve protects is not described";
	if (!item || strcmp(guess_tag(record_arena(record), text, &words), text) == 0 || !words ||
		!speaks_of_side(record_arena(record), words))
		return item;
	*why = "it protects one side of the item, and which of them that is nobody says";
	return side_of(record, item, words);
}

void record_read_relief(struct record *record, const char *tag)
{
	record_take_units_beside(record);
	if (instrument_read(tag).is) {
		const char *of = record_text(record, "owner");
		if (!record_read_trip(record, tag, of ? draft_find(record_draft(record), of) : NULL))
			record_keep(record, "an instrument, and no relief valve");
		return;
	}
	const char *word = NULL, *own = record_text(record, "tag"), *why;
	struct draft_item *protects = protected_by(record, &why);
	struct draft_item *valve = draft_find(record_draft(record), tag);
	if (!valve && (!protects || !vocabulary_child(protects->element, "relief-valve"))) {
		record_keep(record, why);
		return;
	}
	if (!valve)
		valve = draft_item(record_draft(record), protects, "relief-valve", "tag", tag, tag);
	record->item = valve;
	if (own && *own)
		record_arrived(record, record_column(record, "tag"));
	struct draft_item *of_case = relief_case(record, valve, &word);
	size_t at = 0;
	for (const struct field_column *column; (column = record_pending(record, &at));) {
		bool once = strcmp(column->field, "required") == 0 && of_case;
		if (strcmp(column->field, "back-pressure") == 0 && state_back_pressure(record, column, valve))
			continue;
		if (strcmp(column->field, "note") == 0 && state_discharge(record, column, valve))
			continue;
		if (strcmp(column->field, "sized-for") == 0)
			state_governing(record, column, valve, word);
		else if (strcmp(column->field, "orifice") != 0 || !state_orifice(record, column, valve))
			record_state_field(record, column, once ? of_case : valve);
	}
}
