#include "import/guess.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"

static const struct {
	const char *element, *word, *names;
} classes[] = {
#define CLASS(element, word, names) {element, word, names},
#include "import/class.def"
#undef CLASS
};

/* "Condenser regenerator" is a condenser: a column named beside another kind of item says where that belongs. */
static struct guess named(struct arena *arena, const char *name)
{
	static const char columns[] = "absorber treater regenerator";
	struct guess guess = {.element = NULL};
	const char *folded = words_fold(arena, name);
	size_t longest = 0;
	for (size_t i = 0; *folded && i < COUNT(classes); i++) {
		size_t length = words_within(arena, folded, classes[i].names);
		bool column = text_has_word(columns, classes[i].element),
		     before = guess.element && text_has_word(columns, guess.element);
		bool belongs = before && !column && length && strcmp(classes[i].element, "vessel") != 0;
		if (length <= longest && !belongs)
			continue;
		if (guess.element && !before && column)
			continue;
		longest = length;
		guess = (struct guess){.element = classes[i].element,
			.word = *classes[i].word ? classes[i].word : NULL,
			.by_name = true};
	}
	return guess;
}

/* "Brüdenkondensator", "Lösungsmitteltank": a word that ends in the name of a kind is of that kind, where nothing else says it. */
static const char kind_ends[] = "kondensator|verdampfer|kuhler|pumpe|pumpen|behalter|filter|abscheider|warmetauscher|"
				"warmeubertrager|vorwarmer|tank|absorber|regenerator|erhitzer";

static struct guess named_by_end(struct arena *arena, const char *name)
{
	enum { FEWEST_BEFORE = 3 };
	const char *folded = words_fold(arena, name);
	for (const char *word = folded; *word; word += strspn(word, " ")) {
		size_t of_word = strcspn(word, " "), length;
		const char *at = kind_ends;
		for (const char *end; (end = text_alternative(&at, &length));)
			if (of_word >= length + FEWEST_BEFORE && strncmp(word + of_word - length, end, length) == 0)
				return named(arena, arena_copy_span(arena, end, length));
		word += of_word;
	}
	return (struct guess){.element = NULL};
}

/* The letters that a tag has before its number: "12-P-101A" P. */
static const char *letters_of(struct arena *arena, const char *tag)
{
	size_t length = 0;
	while (*tag && !((*tag >= 'A' && *tag <= 'Z') || (*tag >= 'a' && *tag <= 'z')))
		tag++;
	while ((tag[length] >= 'A' && tag[length] <= 'Z') || (tag[length] >= 'a' && tag[length] <= 'z'))
		length++;
	char *letters = arena_copy_span(arena, tag, length);
	for (char *c = letters; *c; c++)
		*c = *c >= 'a' ? (char)(*c - 'a' + 'A') : *c;
	return letters;
}

bool guess_is_measured(struct arena *arena, const char *name)
{
	static const char quantities[] =
		"level|pressure|temperature|temp|flow|dp|delta p|stand|fullstand|druck|temperatur|durchfluss|"
		"menge|niveau|pression|debit|nivel|presion|temperatura|caudal|alarm|trip|high level|low level";
	const char *folded = words_fold(arena, name), *last = strrchr(folded, ' ');
	return last && words_are_one_of(arena, last + 1, quantities);
}

/* "armaminpumpe", "armamin": the service that a word, or the beginning of one that ends in the name of a kind, is; NULL: none. */
static const char *service_of_word(struct arena *arena, const char *word)
{
	const char *at = kind_ends;
	size_t length, whole = strlen(word);
	for (const char *end; (end = text_alternative(&at, &length));)
		if (whole > length && strncmp(word + whole - length, end, length) == 0)
			return guess_service(arena, arena_copy_span(arena, word, whole - length));
	return guess_service(arena, word);
}

static bool has_class(const char *element, const char *word)
{
	for (size_t i = 0; i < COUNT(classes); i++)
		if (strcmp(classes[i].element, element) == 0 && strcmp(classes[i].word, word) == 0)
			return true;
	return false;
}

/*
 * "Armaminpumpe": the service in the compound, where nothing else says one; "Arm-/Reichamin-WT": both solutions. Of several
 * words no one is sure to be what flows there: "Rich flash drum skim pump".
 */
static struct guess with_service(struct arena *arena, struct guess guess, const char *name)
{
	static const char lean[] = "arm|mager|lean|pauvre|pobre|armes";
	const char *folded = words_fold(arena, name), *only = NULL;
	bool leans = false, riches = false;
	size_t words = 0;
	if (!guess.element || (guess.word && strcmp(guess.word, "other") != 0) ||
		!text_has_word("pump cooler exchanger", guess.element))
		return guess;
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		const char *word = arena_copy_span(arena, at, strcspn(at, " "));
		const char *service = service_of_word(arena, word);
		leans = leans || text_same(service, "lean") || words_are_one_of(arena, word, lean);
		riches = riches || text_same(service, "rich");
		only = service;
		words++;
		at += strlen(word);
	}
	if (leans && riches && strcmp(guess.element, "exchanger") == 0)
		guess.word = "lean/rich";
	else if (words == 1 && only && has_class(guess.element, only))
		guess.word = only;
	return guess;
}

static struct guess equipment(struct arena *arena, const char *tag, const char *class, const char *name);

/* "Flash drum skim pump", "Pompe du ballon de detente": a pump, whatever it pumps from. */
static bool is_called_pump(struct arena *arena, const char *name)
{
	const char *folded = words_fold(arena, name), *last = strrchr(folded, ' ');
	const char *first = arena_copy_span(arena, folded, strcspn(folded, " "));
	return (last && words_are_one_of(arena, last + 1, "pump|pumps|pumpe|pumpen|pomp|pompen")) ||
		words_are_one_of(arena, first, "pompe|pompes|bomba|bombas");
}

bool guess_is_at_another(struct arena *arena, const char *name)
{
	const struct guess guess = named(arena, name);
	return guess.element && strcmp(guess.element, "pump") != 0 && is_called_pump(arena, name);
}

struct guess guess_equipment(struct arena *arena, const char *tag, const char *class, const char *name)
{
	const struct guess guess = equipment(arena, tag, class, name);
	if (guess.element && strcmp(guess.element, "pump") != 0 && is_called_pump(arena, name))
		return (struct guess){.element = "pump", .by_name = true};
	return with_service(arena, guess, name);
}

static struct guess equipment(struct arena *arena, const char *tag, const char *class, const char *name)
{
	static const char *const by_letter[][2] = {{"P", "pump"}, {"PU", "pump"}, {"GA", "pump"}, {"TK", "tank"},
		{"F", "filter"}, {"FIL", "filter"}, {"E", "exchanger"}, {"HE", "exchanger"}, {"HX", "exchanger"},
		{"EA", "cooler"}, {"AC", "cooler"}, {"W", "exchanger"}, {"V", "vessel"}, {"D", "vessel"},
		{"B", "vessel"}, {"VE", "vessel"}, {"KO", "knock-out-drum"}};
	static const char general[] = "vessel cooler exchanger pump filter tank";
	struct guess by_name = named(arena, name), by_class = named(arena, class);
	const char *letters = letters_of(arena, tag);
	if (text_has_word("P PU GA", letters) && by_name.element && strcmp(by_name.element, "pump") != 0 &&
		(!by_class.element || strcmp(by_class.element, "pump") == 0)) {
		struct guess pump = named(arena, arena_join(arena, name, " pump", "", "")); /* "P-7 Amine sump" */
		return pump.element && strcmp(pump.element, "pump") == 0
			? pump
			: (struct guess){.element = "pump", .by_name = by_class.element != NULL};
	}
	if (by_name.element && by_class.element && text_has_word(general, by_name.element) && !by_name.word &&
		!text_has_word(general, by_class.element))
		return by_class;
	if (by_name.element)
		return by_name;
	if (by_class.element)
		return by_class;
	by_name = named_by_end(arena, name);
	if (by_name.element)
		return by_name;
	for (size_t i = 0; i < COUNT(by_letter); i++)
		if (strcmp(by_letter[i][0], letters) == 0)
			return (struct guess){.element = by_letter[i][1]};
	return (struct guess){.element = NULL};
}

const char *guess_without_mark(struct arena *arena, const char *tag)
{
	static const char *const marks[] = {"*", "\u2020", "\u2021", "\u00b9", "\u00b2", "\u00b3"};
	size_t length = strlen(tag);
	for (size_t i = 0; i < COUNT(marks);) {
		size_t of = strlen(marks[i]);
		bool ends = length > of && strncmp(tag + length - of, marks[i], of) == 0;
		length -= ends ? of : 0;
		i = ends ? 0 : i + 1;
	}
	if (!tag[length])
		return tag;
	while (length && tag[length - 1] == ' ')
		length--;
	return arena_copy_span(arena, tag, length);
}

const char *guess_tag(struct arena *arena, const char *written, const char **name)
{
	enum { SHORTEST = 4 };
	size_t length = strcspn(written, " \n"), longest = 0, letters = 0;
	const char *rest = written + length + strspn(written + length, " \n-:,/");
	*name = NULL;
	for (const char *c = rest; *c; c++) {
		letters = (*c >= 'a' && *c <= 'z') || (*c >= 'A' && *c <= 'Z') || (unsigned char)*c >= 0x80
			? letters + 1
			: 0;
		longest = letters > longest ? letters : longest;
	}
	const char *tag = arena_copy_span(arena, written, length);
	if (longest < SHORTEST || strpbrk(rest, "0123456789") || !strpbrk(tag, "0123456789") ||
		!*letters_of(arena, tag))
		return written;
	*name = rest;
	return tag;
}

/* ---- streams ---- */

static const struct {
	const char *service, *names;
} services[] = {{"lean", "lean|mager|mageres|magere|pauvre|pobre|arme"},
	{"rich", "rich|reich|reiche|reiches|riche|rica|rijke|beladenes"}, {"treated gas", "treated gas|sweet gas"},
	{"acid gas", "acid gas"}, {"flash gas", "flash gas"}, {"reflux", "reflux"}, {"steam", "steam"},
	{"condensate", "condensate"}, {"sour water", "sour water"}, {"cooling water", "cooling water"},
	{"sour gas", "sour gas"}, {"make-up water", "make-up water"}, {"semi-lean", "semi-lean"}};

/* "OVHD VAPOR": vapour that leaves there, and no steam, which Spanish and French call so too. */
static bool is_vapour_of(struct arena *arena, const char *service, const char *folded, size_t length)
{
	static const char leaves[] = "ovhd|overhead|overheads|oh|outlet|inlet|out|in|gas|top|feed|return|liquid|tete|"
				     "sortie|entree|cabeza|tope|"
				     "salida|entrada|amine|acid|flash|reboiler|regenerator|stripper";
	return text_same(service, "steam") && length == strlen("vapor") && words_within(arena, folded, "vapor") &&
		words_within(arena, folded, leaves);
}

const char *guess_service(struct arena *arena, const char *name)
{
	static const struct {
		const char *service, *names;
	} means[] = {
#define MEANS(type, word, written) {type "|" word, written},
#include "import/means.def"
#undef MEANS
	};
	static const char prefix[] = "stream-service|";
	const char *folded = words_fold(arena, name), *found = NULL;
	size_t longest = 0;
	for (size_t i = 0; i < COUNT(means) + COUNT(services); i++) {
		bool own = i >= COUNT(means);
		if (!own && strncmp(means[i].service, prefix, sizeof prefix - 1) != 0)
			continue;
		size_t length = words_within(arena, folded, own ? services[i - COUNT(means)].names : means[i].names);
		if (length <= longest)
			continue;
		longest = length;
		found = own ? services[i - COUNT(means)].service : means[i].service + sizeof prefix - 1;
	}
	enum { SHORTEST = 3 };
	return longest < SHORTEST || is_vapour_of(arena, found, folded, longest) ? NULL : found;
}

/* "Rich / H2S": the service of what stands before the stroke; NULL: none. */
static const char *service_over(struct arena *arena, const char *heading)
{
	const char *end = strstr(heading, " / ");
	return end ? guess_service(arena, arena_copy_span(arena, heading, (size_t)(end - heading))) : NULL;
}

bool guess_two_solutions(struct arena *arena, const char *heading, const char *other)
{
	const char *over[2] = {service_over(arena, heading), service_over(arena, other)};
	return over[0] && over[1] && strcmp(over[0], over[1]) != 0;
}

bool guess_is_gas(struct arena *arena, const char *phase)
{
	static const char words[] =
		"gas|vapour|vapor|v|g|gasf|gasformig|gaseous|gaz|gazeux|vapeur|gaseoso|vap|gasvormig|dampf|100% vapour";
	return phase && words_are_one_of(arena, words_fold(arena, phase), words);
}

/* "Sauergas (CO2)", "fuel gas to boilers": some word ends in gas, and none speaks of a liquid. */
static bool is_called_gas(struct arena *arena, const char *folded)
{
	static const char liquids[] =
		"liquid|condensate|kondensat|water|wasser|oil|ol|solution|losung|amine|amin|from|von|ex|aus|free|frei";
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		if (length >= 3 && (strncmp(at + length - 3, "gas", 3) == 0 || strncmp(at + length - 3, "gaz", 3) == 0))
			return !words_within(arena, folded, liquids);
		at += length;
	}
	return false;
}

bool guess_is_called_gas(struct arena *arena, const char *name)
{
	return is_called_gas(arena, words_fold(arena, name));
}

/* "Regenerator overhead", "Brüden": hot and wet, ahead of the condenser. The acid gas that leaves the unit is another stream. */
static bool is_overhead(struct arena *arena, const char *folded)
{
	static const char columns[] = "regenerator|regen|stripper|still|desorber|regenerateur|regenerador",
			  overhead[] =
				  "overhead|ovhd|ovhds|overheads|oh|kopfprodukt|kopfdampf|bruden|tete|cabeza|tope|top",
			  cooled[] = "condenser outlet|cooled|sru|claus|reflux drum|accumulator|condensate|reflux";
	return words_within(arena, folded, columns) && words_within(arena, folded, overhead) &&
		!words_within(arena, folded, cooled);
}

bool guess_is_acid_or_sour(struct arena *arena, const char *name)
{
	return words_within(arena, words_fold(arena, name), "sauergas|sauergase|zuurgas") > 0;
}

struct guess guess_stream(struct arena *arena, const char *name, bool composed)
{
	static const char *const gases[][2] = {
		{"sour gas", "feed"}, {"treated gas", "treated"}, {"acid gas", "acid gas"}, {"flash gas", "flash gas"}};
	const char *service = guess_service(arena, name), *folded = words_fold(arena, name);
	if (!service && words_within(arena, folded, "gas") && words_within(arena, folded, "sour|raw|sauer|acide|agrio"))
		service = "sour gas"; /* "Sour fuel gas" */
	if (is_overhead(arena, folded) && (!service || strcmp(service, "acid gas") == 0))
		return (struct guess){.element = "gas", .word = "other", .by_name = true};
	for (size_t i = 0; service && i < COUNT(gases); i++)
		if (strcmp(service, gases[i][0]) == 0)
			return (struct guess){.element = "gas", .word = gases[i][1], .by_name = true};
	if (!service && guess_is_acid_or_sour(arena, name))
		return (struct guess){.element = "gas"};
	if (!service && is_called_gas(arena, folded))
		return (struct guess){.element = "gas", .word = "other"};
	static const char liquids[] = "lean rich semi-lean reflux condensate";
	if (composed &&
		(!service ||
			(!text_has_word(liquids, service) && strcmp(service, "steam") != 0 &&
				strcmp(service, "air") != 0 && strcmp(service, "nitrogen") != 0)))
		return (struct guess){.element = "gas", .word = "other"};
	return (struct guess){.element = "stream", .word = service, .by_name = service != NULL};
}

const char *guess_bound(struct arena *arena, const char *name)
{
	static const char *const called[][2] = {{"at-most",
							"limit|limits|max|maximum|max limit|maximum limit|upper "
							"limit|not to exceed|max allowable|alarm "
							"limit|grenzwert|grenzwerte|max wert|hochstwert|limite|limite "
							"maxi|limite maximo|grens|action limit"},
		{"at-least", "min|minimum|min limit|lower limit|mindestwert|minimo|mini"},
		{"",
			"target|targets|guideline|guidelines|spec|specification|range|normal range|typical "
			"range|sollwert|sollwerte|"
			"zielwert|richtwert|richtwerte|objectif|cible|objetivo|control range|recommended|recommended "
			"range"}};
	const char *folded = words_fold(arena, name);
	for (size_t i = 0; i < COUNT(called); i++)
		if (words_are_one_of(arena, folded, called[i][1]))
			return called[i][0];
	return NULL;
}
