#include "import/records.h"

#include <string.h>

#include "import/column_hint.h"
#include "import/guess.h"

/* Which item a row of a list of equipment speaks of, and which part of it. */

/* "K-4701 Mantel", "P-2301A/B impeller": beside the tag stands what part of it the row speaks of. */
bool record_is_part(struct arena *arena, const char *name)
{
	static const char parts[] =
		"shell|tubes|tube|tubesheet|tube sheet|channel|bundle|head|heads|impeller|casing|shaft|trays|tray|top|"
		"bottom|nozzles|internals|packing|demister|baffles|plates|gaskets|bolting|body|trim|cladding|lining|"
		"sump|boot|coil|floating head|mantel|boden|rohre|rohrboden|haube|laufrad|gehause|welle|einbauten|"
		"kopf|sumpf|platten|dichtungen|schrauben|virole|calandre|tubes|faisceau|plateaux|roue|fond|carcasa|"
		"tubos|rodete|platos|cabezal|pijpen|romp|waaier|schotels";
	return words_within(arena, words_fold(arena, name), parts) > 0;
}

static bool names_part(const struct record *record)
{
	return record->named && record_is_part(record->sheet->package->arena, record->named);
}

/* The one item that is called so, or the only one of its kind where there is but one of that in a unit; NULL: none. */
static struct draft_item *called(const struct draft *draft, const char *name, const struct guess *guess)
{
	static const char once[] = "absorber regenerator reboiler condenser reflux-drum flash-drum";
	struct draft_item *same = NULL, *alike = NULL;
	size_t count = 0;
	for (size_t i = 0; i < draft->count; i++) {
		struct draft_item *item = draft->items[i];
		bool kind = guess->element && strcmp(item->element->name, guess->element) == 0;
		for (size_t k = 0; k < item->count; k++)
			if (strcmp(item->values[k].attribute, "name") == 0 && item->key_attribute &&
				strcmp(words_fold(draft->arena, item->values[k].value),
					words_fold(draft->arena, name)) == 0)
				same = item;
		alike = kind ? item : alike;
		count += kind;
	}
	return same ? same : count == 1 && text_has_word(once, guess->element) ? alike : NULL;
}

/* The part of an item that a row of a table of materials speaks of. */
struct draft_item *record_part(struct record *record, struct draft_item *item)
{
	const struct field_column *column = record_column(record, "part");
	struct arena *arena = record_arena(record);
	const char *text = column    ? record_cell(record, column)->text
		: names_part(record) ? record->named
				     : "",
		   *folded = words_fold(arena, text);
	if (!*folded)
		return item;
	if (column)
		record_arrived(record, column);
	bool sided = vocabulary_child(item->element, "tube-side") != NULL;
	if (sided &&
		words_are_one_of(arena, folded,
			"tube|tubes|tube side|ts|rohr|cote tube|tube "
			"bundle|bundle|rohre|rohrseite|rohrbundel|tubos|pijpen|rohrraum"))
		return draft_item(record_draft(record), item, "tube-side", NULL, NULL, "tube-side");
	if (sided &&
		words_are_one_of(arena, folded, "shell|shell side|ss|mantel|mantelseite|carcasa|calandre|mantelraum"))
		return draft_item(record_draft(record), item, "shell-side", NULL, NULL, "shell-side");
	if (words_are_one_of(arena, folded,
		    "shell|shell and heads|body|mantel|vessel|shell heads|virole|carcasa|gehause|all|mantel und "
		    "boden|complete|whole"))
		return item;
	struct draft_item *part = vocabulary_child(item->element, "part")
		? draft_item(record_draft(record), item, "part", "name", text, text)
		: NULL;
	return part ? part : item;
}

/* "Lean amine cooler" where tags stand: what it is called, and no tag. */
static const char *tag_as_name(const char *tag)
{
	return strpbrk(tag, "0123456789") ? NULL : tag;
}

static struct guess what_it_is(struct record *record, const char *tag)
{
	const struct element *said = record_item(record, tag);
	const char *of_sheet = element_attribute(record->sheet->map, "is"), *class = record_text(record, "class"),
		   *name = record_text(record, "name");
	name = name && *name ? name : record->named && !names_part(record) ? record->named : tag_as_name(tag);
	if (said)
		return (struct guess){.element = element_attribute(said, "is"),
			.word = element_attribute(said, "word"),
			.by_name = true};
	class = class && *class ? class : record->sheet->section;
	struct guess guess = guess_equipment(record_arena(record), tag, class ? class : "", name ? name : "");
	if (of_sheet && (!guess.element || strcmp(guess.element, of_sheet) != 0))
		return (struct guess){.element = of_sheet, .by_name = true};
	return guess;
}

/* Of what nobody names: an owner of nozzles, or of a shell and heads, is some vessel or column. */
static bool has_shell(const struct record *record)
{
	static const char shells[] =
		"shell|heads|mantel|boden|virole|fond|fonds|calotte|envolvente|cuerpo|romp|bodem|kopf|"
		"trays|tray|demister|sump|packing|boot|carcasa";
	if (record->sheet->lists == LISTS_NOZZLES)
		return true;
	const char *part = record->sheet->lists == LISTS_EQUIPMENT ? record_text(record, "part") : NULL;
	part = part && *part ? part : record->named;
	return part && words_within(record_arena(record), words_fold(record_arena(record), part), shells) > 0;
}

/* The item that a tag names: one that is there, or one of the kind that the map or its name says. */
struct draft_item *record_equipment(struct record *record, const struct field_column *column, const char *tag)
{
	struct draft *draft = record_draft(record);
	struct draft_item *there = draft_find(draft, tag);
	const char *part, *bare = there ? tag : guess_tag(record_arena(record), tag, &part);
	there = there ? there : bare != tag ? draft_find(draft, bare) : NULL; /* "E-3701 shell" */
	if (there) {
		record_arrived(record, column);
		return there;
	}
	bool named_beside = bare != tag && part && !record_item(record, tag) && !record->named;
	struct guess guess = what_it_is(record, named_beside ? bare : tag);
	if (named_beside) { /* "V-12 Flash drum" of an owner */
		struct guess by_part = guess_equipment(record_arena(record), bare, "", part);
		guess = by_part.by_name && !record_item(record, bare) ? by_part : guess;
		tag = bare;
	}
	there = tag_as_name(tag) ? called(draft, tag, &guess) : NULL;
	if (there) {
		record_interpreted(record, column, there->key, "the item of that name");
		return there;
	}
	struct package *package = record->sheet->package;
	const char *hint = guess.element && (guess.by_name || strcmp(guess.element, "vessel") == 0)
		? NULL
		: column_hint(record_arena(record), package->workbooks, package->workbook_count, tag);
	guess.element = hint ? hint : guess.element;
	bool vessel = !guess.element && has_shell(record);
	if (vessel)
		guess.element = "vessel";
	if (guess.element && strcmp(guess.element, "-") == 0) {
		record_pass(record, column, OUTCOME_STRUCTURE);
		return NULL;
	}
	if (!guess.element || !vocabulary_child(draft->unit, guess.element)) {
		record_keep(record, "what kind of item it is nobody says: give the map an <item> for it");
		return NULL;
	}
	struct draft_item *item = draft_item(draft, NULL, guess.element, "tag", tag, tag);
	if (record_item(record, tag))
		record_arrived(record, column);
	else
		record_interpreted(record, column, guess.element,
			hint			? "by the streams that go there and come from there"
				: vessel	? "it has nozzles or a shell, and nothing says more: call it what it is"
				: guess.by_name ? "by its name"
						: "by the letters of its tag alone");
	if (named_beside && vocabulary_attribute(item->element, "name") && guess.by_name)
		record_state_value(record, column, item, "name", part);
	else if (named_beside)
		record_note(record, item, column, true);
	const struct vocabulary_attribute *service = vocabulary_attribute(item->element, "service");
	const char *name = record_text(record, "name");
	if (record->named && !names_part(record) && !(name && *name) && vocabulary_attribute(item->element, "name"))
		record_state_value(record, column, item, "name", record->named);
	if (!guess.word && name && !guess_is_at_another(record_arena(record), name))
		guess.word = guess_service(record_arena(record), name);
	if (guess.word && service && vocabulary_choice(service->type, guess.word))
		record_state_value(record, column, item, "service", guess.word);
	return item;
}
