#include "import/draft_ends.h"

#include <string.h>

#include "base/count.h"
#include "import/draft_inside.h"
#include "import/guess.h"

static const char between[] = " ,;()[]\n\t";

/* Words for an end of an item, or for what flows there. */
static const char end_words[] =
	"overhead|overheads|oh|ovhd|overhd|bottom|bottoms|btm|btms|bot|top|sump|outlet|inlet|discharge|suction|out|in|"
	"shell|tube|tubes|side|shellside|tubeside|cold|hot|vapour|vapor|liquid|gas|boot|nozzle|nozzles|nozz|connection|"
	"tray|bed|feed|draw|return|section|process|utility|upper|lower|from|to|of|the|at|on|lean|rich|reflux|steam|"
	"condensate|amine|solution|water|disch|suct|common|"
	"kopf|sumpf|austritt|eintritt|ausgang|eingang|aus|ein|saugseite|druckseite|saugstutzen|druckstutzen|stutzen|"
	"boden|mantel|rohr|rohre|rohrseite|mantelseite|rohrraum|mantelraum|kalt|kalte|warme|warm|heisse|heiss|seite|"
	"dampf|oben|unten|ablauf|zulauf|uber|von|zu|zum|zur|am|nach|flussig|flussigkeit|brudenaustritt|"
	"tete|fond|sortie|entree|aspiration|refoulement|cote|calandre|chaud|froid|plateau|vapeur|liquide|gaz|de|du|la|"
	"le|cabeza|fondo|salida|entrada|succion|descarga|lado|carcasa|tubos|frio|caliente|del|uitlaat|inlaat|bodem|"
	"zuig|pers";

/* Words that make another place of it. */
static const char elsewhere[] =
	"via|bypass|by pass|upstream|downstream|around|before|after|near|umgehung|vor|hinter|stromauf|stromab|amont|"
	"aval|contournement|instrument|spare|future|or|oder|ou|and|und|et";

struct reading {
	struct arena scratch;
	const struct draft *draft;
	const char *text;
	const struct draft_item *item; /* that one of the words names */
	bool several;
};

/* The word at `*at`, which moves past it; NULL: no more. */
static const char *next_word(struct arena *arena, const char **at)
{
	*at += strspn(*at, between);
	size_t length = strcspn(*at, between);
	const char *word = length ? arena_copy_span(arena, *at, length) : NULL;
	*at += length;
	return word;
}

static bool has_letter(const char *word)
{
	return strpbrk(word, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz") != NULL;
}

/* Equipment or a line by its tag: the numbers of streams stand for many other things. */
static const struct draft_item *tagged(const struct draft *draft, const char *word)
{
	const struct draft_item *item =
		strpbrk(word, "0123456789") && has_letter(word) ? draft_find(draft, word) : NULL;
	bool nested = item && item->parent && strcmp(item->element->name, "valve") != 0;
	return item && text_same(item->key_attribute, "tag") && !nested ? item : NULL;
}

static void find_tag(struct reading *reading)
{
	const char *at = reading->text, *word;
	while ((word = next_word(&reading->scratch, &at)) != NULL) {
		const struct draft_item *item = tagged(reading->draft, word);
		reading->several = reading->several || (item && reading->item && item != reading->item);
		reading->item = item ? item : reading->item;
	}
}

/* "A/B", "A", "N1", "K 12", "5": letters of a pair, a nozzle, the number of a tray. */
static bool is_letters_or_nozzle(const char *word)
{
	enum { LONGEST = 4 };
	size_t letters = strspn(word, "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz"), length = strlen(word);
	size_t digits = strspn(word + letters, "0123456789");
	bool pair = letters == 1 && strspn(word, "ABCDEFGH/&+") == length;
	bool nozzle = letters <= 2 && digits && digits <= 2 && length <= LONGEST && letters + digits == length;
	return pair || nozzle || (letters == 1 && length == 1 && *word >= 'A' && *word <= 'H');
}

static bool names_kind(struct arena *arena, const char *word, const struct draft_item *item)
{
	const struct guess guess = guess_equipment(arena, "", "", word);
	return guess.element && strcmp(guess.element, item->element->name) == 0;
}

/* A word of what the item is called, or of what it is. */
static bool is_of_name(struct arena *arena, const char *folded, const struct draft_item *item)
{
	const char *const named[] = {"name", "service"};
	const char *said = words_fold(arena, item->element->name), *word = folded;
	if (words_within(arena, said, word) || names_kind(arena, word, item))
		return true;
	for (size_t i = 0; i < item->count; i++)
		for (size_t k = 0; k < COUNT(named); k++)
			if (strcmp(item->values[i].attribute, named[k]) == 0 &&
				words_within(arena, words_fold(arena, item->values[i].value), folded))
				return true;
	return false;
}

/* Do all words but its tag speak of the item? A line is met anywhere along it: of that only what says elsewhere does not. */
static bool all_speak_of(struct reading *reading, const struct draft_item *item)
{
	struct arena *arena = &reading->scratch;
	bool line = strcmp(item->element->name, "line") == 0;
	const char *at = reading->text, *word;
	while ((word = next_word(arena, &at)) != NULL) {
		const char *folded = words_fold(arena, word);
		if (!*folded || tagged(reading->draft, word) == item || is_letters_or_nozzle(word))
			continue;
		bool numbered = strpbrk(word, "0123456789") != NULL;
		bool speaks = line ? !words_are_one_of(arena, folded, elsewhere)
				   : words_are_one_of(arena, folded, end_words) || is_of_name(arena, folded, item);
		if (numbered || !speaks)
			return false;
	}
	return true;
}

/* The only item of the unit that is called so, or of the kind and service that the text names; NULL: none, or several. */
static const struct draft_item *by_name(struct reading *reading)
{
	enum { MOST_BLANKS = 3 };
	struct arena *arena = &reading->scratch;
	const struct draft *draft = reading->draft;
	const char *folded = words_fold(arena, reading->text);
	const struct guess guess = guess_equipment(arena, "", "", reading->text);
	const struct draft_item *same = NULL, *alike = NULL;
	size_t names = 0, kinds = 0, blanks = 0;
	for (const char *c = folded; *c; c++)
		blanks += *c == ' ';
	if (strpbrk(reading->text, "0123456789") || blanks > MOST_BLANKS)
		return NULL;
	for (size_t i = 0; i < draft->count; i++) {
		const struct draft_item *item = draft->items[i];
		bool kind = guess.element && strcmp(item->element->name, guess.element) == 0, serves = !guess.word;
		if (item->parent || !text_same(item->key_attribute, "tag") || strcmp(item->element->name, "line") == 0)
			continue;
		for (size_t k = 0; k < item->count; k++) {
			const struct draft_value *value = &item->values[k];
			bool called = strcmp(value->attribute, "name") == 0 &&
				strcmp(words_fold(arena, value->value), folded) == 0;
			names += called && same != item;
			same = called ? item : same;
			serves = serves ||
				(strcmp(value->attribute, "service") == 0 && strcmp(value->value, guess.word) == 0);
		}
		serves = serves || !vocabulary_attribute(item->element, "service");
		kinds += kind && serves;
		alike = kind && serves ? item : alike;
	}
	if (names == 1)
		return same;
	return names == 0 && kinds == 1 && guess.by_name && all_speak_of(reading, alike) ? alike : NULL;
}

bool draft_end_mentions(const struct draft *draft, const char *text)
{
	struct reading reading = {.draft = draft, .text = text};
	find_tag(&reading);
	arena_release(&reading.scratch);
	return reading.item != NULL;
}

const struct draft_item *draft_end_tagged(const struct draft *draft, const char *text)
{
	struct reading reading = {.draft = draft, .text = text};
	find_tag(&reading);
	const struct draft_item *item =
		reading.item && !reading.several && all_speak_of(&reading, reading.item) ? reading.item : NULL;
	arena_release(&reading.scratch);
	return item;
}

const struct draft_item *draft_end_named(const struct draft *draft, const char *text)
{
	struct reading reading = {.draft = draft, .text = text};
	const struct draft_item *item = draft_end_tagged(draft, text);
	item = item ? item : by_name(&reading);
	arena_release(&reading.scratch);
	return item;
}

/* ---- valves ---- */

/* The letters of "5501-LCV-012", of "LV 7A": what stands before its last number. */
static const char *letters_of(struct arena *arena, const char *tag)
{
	const char *at = tag + strspn(tag, "0123456789-");
	size_t letters = strspn(at, "ABCDEFGHIJKLMNOPQRSTUVWXYZ");
	const char *number = at + letters + strspn(at + letters, "- ");
	bool numbered = *number >= '0' && *number <= '9';
	return numbered && strspn(number, "0123456789-ABCDEFGH/ ") == strlen(number)
		? arena_copy_span(arena, at, letters)
		: "";
}

static bool is_valve(struct arena *arena, const char *tag)
{
	static const char letters[] = "LV FV PV TV HV AV LCV FCV PCV TCV HCV LICV FICV PICV TICV PDV PDCV TDV FFV XV "
				      "XCV SDV ESDV ESV UV UZV ROV "
				      "MOV EIV BDV";
	return text_has_word(letters, letters_of(arena, tag));
}

/* "PV-101" of a unit whose pressure vessels are so called. */
static bool others_have_letters(struct arena *arena, const struct draft *draft, const char *tag)
{
	const char *letters = letters_of(arena, tag);
	for (size_t i = 0; i < draft->count; i++) {
		const struct draft_item *item = draft->items[i];
		bool other = item->key && text_same(item->key_attribute, "tag") && !item->parent &&
			!text_has_word("line battery-limit", item->element->name);
		if (other && strcmp(letters_of(arena, item->key), letters) == 0)
			return true;
	}
	return false;
}

void draft_add_valves(struct draft *draft, struct problems *doubts)
{
	const char *const ends[] = {"to", "from"};
	for (size_t end = 0; end < COUNT(ends); end++)
		for (size_t i = 0, count = draft->count; i < count; i++) {
			struct draft_item *line = draft->items[i];
			bool is = strcmp(line->element->name, "line") == 0 && !line->parent;
			for (size_t k = 0; is && k < line->count; k++) {
				const struct draft_value *value = &line->values[k];
				if (!value->reference || strcmp(value->attribute, ends[end]) != 0 ||
					!is_valve(draft->arena, value->value) || draft_find(draft, value->value) ||
					others_have_letters(draft->arena, draft, value->value))
					continue;
				draft_item(draft, line, "valve", "tag", value->value, value->value);
				problem_add(doubts, PROBLEM_CELL_INTERPRETED, value->place,
					"%s: %s \"%s\" read as a valve of line %s, which no other sheet describes: by "
					"its letters",
					value->cell, value->attribute, value->value, line->key);
			}
		}
}
