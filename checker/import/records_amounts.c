#include "import/records.h"

#include <string.h>

#include "base/count.h"

/* Several amounts in a cell for sizes, "420 gpm @ 480 ft, 75 hp", "4,100 ft2", "24 valve trays": each by its unit. */

enum { MOST_PARTS = 6 };

/* What an amount of a kind is, in a column of sizes, with these words beside it or none. */
static const struct {
	const char *attribute;
	enum kind kind;
	const char *words; /* "" none, "!..." one of them at least */
} meanings[] = {{"rated-flow", KIND_LIQUID_FLOW, "rated|each|ea|je"}, {"flow", KIND_LIQUID_FLOW, "normal|operating"},
	{"area", KIND_AREA, "total|bare|surface|area|flache"}, {"duty", KIND_POWER, "duty|leistung|service"},
	{"rating", KIND_LENGTH, "!micron|um|absolute|abs|nominal|nom"},
	{"diameter", KIND_LENGTH, "!id|inside diameter|inner diameter|innen"},
	{"volume", KIND_VOLUME, "capacity|inhalt|working"},
	{"residence-time", KIND_DURATION, "!residence|residence time|verweilzeit|hold up|holdup"}};

static bool is_kind(const char *unit, enum kind kind)
{
	double factor, offset;
	return unit && unit_find(kind, unit, 101325, &factor, &offset);
}

/* Cut at ", ", ";", " @ " and " x ": the decimal sign of a number and the stroke of a unit are none of these. */
static size_t split(struct arena *arena, const char *text, const char *parts[MOST_PARTS])
{
	static const char *const between[] = {", ", ";", " @ ", " x ", " X "};
	size_t count = 0;
	for (const char *from = text; *from && count < MOST_PARTS;) {
		const char *end = NULL, *next = NULL;
		for (size_t i = 0; i < COUNT(between); i++) {
			const char *at = strstr(from, between[i]);
			if (at && (!end || at < end)) {
				end = at;
				next = at + strlen(between[i]);
			}
		}
		parts[count++] = end ? arena_copy_span(arena, from, (size_t)(end - from)) : from;
		from = end ? next + strspn(next, " ") : "";
	}
	return count;
}

/* "15 min residence": the number with its unit, and the words after it; NULL: no unit follows the number. */
static const char *amount_of(struct record *record, const char *part, const char **unit, const char **words)
{
	struct arena *arena = record_arena(record);
	size_t digits = strspn(part, "0123456789.,");
	const char *rest = part + digits + strspn(part + digits, " ");
	if (!digits || part[digits] == '\'' || part[digits] == '-')
		return NULL;
	for (size_t length = strlen(rest); length; length--) {
		if (rest[length] && rest[length] != ' ')
			continue;
		*unit = words_unit(arena, record->sheet->package->words, arena_copy_span(arena, rest, length), true);
		if (!*unit)
			continue;
		*words = words_fold(arena, rest + length);
		return arena_join(arena, arena_copy_span(arena, part, digits), " ", *unit, "");
	}
	return NULL;
}

/* "24 valve trays", "22 Ventilböden": how many; NULL: the part is no number of trays. */
static const char *trays_of(struct arena *arena, const char *part)
{
	static const char trays[] = "trays|tray|boden|ventilboden|siebboden|glockenboden|plateaux|platos|schotels",
			  kinds[] = "valve|sieve|bubble|cap|fixed|floating|actual|real|x";
	size_t digits = strspn(part, "0123456789");
	const char *folded = words_fold(arena, part + digits);
	bool named = false;
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		const char *word = arena_copy_span(arena, at, length);
		bool tray = words_are_one_of(arena, word, trays);
		if (!tray && !words_are_one_of(arena, word, kinds))
			return NULL;
		named = named || tray;
		at += length;
	}
	return digits && named ? arena_copy_span(arena, part, digits) : NULL;
}

static bool fits(struct arena *arena, const char *said, const char *unit, const char *words)
{
	bool needs = *said == '!';
	const char *known = said + needs;
	bool plain = !*words;
	if (needs)
		return words_are_one_of(arena, words, known) ||
			(plain && words_are_one_of(arena, words_fold(arena, unit), known));
	return plain || words_are_one_of(arena, words, known);
}

/* Of a column for one operating case, or headed "Duty / flow": what flows then, and not what the item is rated for. */
static bool is_rated(const struct record *record, const struct field_column *column)
{
	const char *heading = column->column->known_as ? column->column->known_as : "";
	const char *concepts = words_concepts(
		record_arena(record), record->sheet->package->words, words_fold(record_arena(record), heading));
	return !column->of_case && !text_has_word(concepts, "flow");
}

/* What the part gives of the item: the attribute, and the value in `*value`; NULL: nothing that is certain. */
static const char *meaning_of(struct record *record, const struct field_column *column, const struct draft_item *item,
	const char *part, bool after_flow, const char **value)
{
	struct arena *arena = record_arena(record);
	const char *unit, *words, *trays = trays_of(arena, part), *amount = amount_of(record, part, &unit, &words);
	if (trays && vocabulary_attribute(item->element, "trays")) {
		*value = trays;
		return "trays";
	}
	const char *attribute = NULL;
	for (size_t i = 0; amount && i < COUNT(meanings) && !attribute; i++)
		if (is_kind(unit, meanings[i].kind) && fits(arena, meanings[i].words, unit, words) &&
			!(strcmp(meanings[i].attribute, "rated-flow") == 0 && !is_rated(record, column)) &&
			vocabulary_attribute(item->element, meanings[i].attribute))
			attribute = meanings[i].attribute;
	if (amount && !attribute && after_flow && !*words && is_kind(unit, KIND_DISTANCE) &&
		vocabulary_attribute(item->element, "rated-head"))
		attribute = "rated-head";
	if (!attribute)
		return NULL;
	struct cell_value read =
		list_cell(arena, amount, vocabulary_attribute(item->element, attribute)->type, &column->rules);
	*value = read.value;
	return read.fate == CELL_TAKEN || read.fate == CELL_INTERPRETED ? attribute : NULL;
}

/* Of shells that are counted, a surface may be that of each: which it is nobody says. */
static bool counts_shells(struct arena *arena, const char *text)
{
	return words_within(arena, words_fold(arena, text), "shells|shell|ea|each|je|per|series|reihe") > 0;
}

bool record_state_amounts(struct record *record, const struct field_column *column, struct draft_item *item)
{
	struct arena *arena = record_arena(record);
	const struct sheet_cell *cell = record_cell(record, column);
	const char *parts[MOST_PARTS], *value, *before = "";
	struct text said = text_in(arena);
	bool bare = column->rules.unit && strspn(cell->text, "0123456789.,") == strlen(cell->text);
	if ((cell->kind != SHEET_TEXT && !bare) || cell->hidden || counts_shells(arena, cell->text))
		return false;
	const char *text = bare ? arena_join(arena, cell->text, " ", column->rules.unit, "") : cell->text;
	size_t count = split(arena, text, parts), read = 0;
	for (size_t i = 0; i < count; i++) {
		const char *attribute =
			meaning_of(record, column, item, parts[i], strcmp(before, "rated-flow") == 0, &value);
		before = attribute ? attribute : "";
		if (!attribute || !record_state_value(record, column, item, attribute, value))
			continue;
		text_addf(&said, "%s%s %s", said.length ? ", " : "", attribute, value);
		read++;
	}
	if (!read)
		return false;
	if (read < count && strcmp(column->field, "remark") != 0)
		record_note(record, item, column, true);
	record_interpreted(record, column, said.data,
		read < count ? "each by its unit; the whole is kept as a note" : "each by its unit");
	return true;
}
