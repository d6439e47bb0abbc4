/* What the words of a parameter of a design basis say that it is. Part of basis.h. */
#include "import/basis.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "import/fields.h"
#include "import/guess.h"
#include "import/table.h"

/* What a parameter is of, where its words as a whole say it. Common practice, no source. */
static const struct {
	const char *subject, *field, *written;
} wholes[] = {{"solvent", "amine",
		      "solvent|amine|amine type|type of amine|solvent "
		      "type|losungsmittel|waschmittel|solution|solvant|solvente"},
	{"solvent", "strength",
		"amine strength|amine concentration|amine content|solvent strength|solvent concentration|solution "
		"strength|amine "
		"solution strength|"
		"aminkonzentration|amingehalt|losungskonzentration|concentration d amine|concentracion de amina"},
	{"lean", "flow",
		"lean circulation|lean amine circulation|lean solution circulation|lean amine circulation rate|"
		"lean circulation rate|lean solvent circulation|umlauf|magerlosungsumlauf|debit de circulation|"
		"circulation|circulation rate|amine circulation|solvent circulation|amine circulation rate|solvent "
		"circulation rate|"
		"solution circulation|solution circulation rate|aminumlauf|losungsumlauf|umlaufmenge|umlauf|umlauf "
		"gesamt|gesamtumlauf|total circulation|total amine circulation|aminumlauf gesamt|"
		"losungsumlauf gesamt|lean amine circulation|lean circulation|amine flow|circulation d "
		"amine|circulacion de amina"},
	{"solvent", "antifoam",
		"antifoam|antifoam agent|anti foam|defoamer|antischaummittel|entschaumer|antimousse|antiespumante"},
	{"regenerator", "reflux-ratio",
		"reflux ratio|regenerator reflux ratio|stripper reflux "
		"ratio|rucklaufverhaltnis|ruckflussverhaltnis|rucklaufverhaltnis "
		"regenerator|"
		"taux de reflux|relacion de reflujo"},
	{"reboiler", "steam-pressure steam-temperature steam-flow",
		"heating steam|reboiler steam|steam to reboiler|steam to the reboiler|reboiler heating "
		"steam|heizdampf|heizdampf "
		"reboiler|heizdampf aufkocher|dampf zum aufkocher|vapeur de chauffe|vapeur rebouilleur|vapor de "
		"calefaccion"},
	{"reboiler", "steam-flow",
		"steam consumption|reboiler steam consumption|steam consumption "
		"reboiler|dampfverbrauch|heizdampfverbrauch|"
		"dampfmenge|heizdampfmenge"},
	{"basis", "water-temperature",
		"cooling water|cw|kuhlwasser|eau de refroidissement|agua de enfriamiento|agua de refrigeracion|cooling "
		"water "
		"supply return|cooling water in out|cw supply return|kuhlwasser vorlauf rucklauf|kuhlwasser vor "
		"rucklauf|kuhlwasser ein "
		"aus|cooling water temperature|kuhlwassertemperatur|cooling water supply and return"},
	{"basis", "water-temperature",
		"cooling water supply|cw supply|cooling water supply temperature|cooling water inlet temperature|cw "
		"supply temperature|cooling water "
		"supply temp|"
		"kuhlwasser vorlauftemperatur|kuhlwassereintrittstemperatur|kuhlwasservorlauftemperatur"},
	{"basis", "air-temperature",
		"air design temperature|design air temperature|design dry bulb temperature|air cooler design "
		"temperature|"
		"design temperature of air|auslegungslufttemperatur|luftkuhler auslegungstemperatur luft|"
		"auslegungstemperatur luft|design ambient temperature for air coolers"},
	{"basis", "barometric-pressure",
		"barometric pressure|atmospheric pressure|luftdruck|barometerstand|barometer|pression "
		"atmospherique|presion atmosferica"},
	{"basis", "design-life",
		"plant life|plant design life|design life|design lifetime|lebensdauer|auslegungslebensdauer"},
	{"solvent", "salts",
		"heat stable salts|heat stable salt|heat stable salt content|hss|hss content|heat stable amine "
		"salts|hsas|hssas|hitzestabile salze|sels thermostables|sales termoestables"},
	{"regenerator", "top-pressure",
		"regenerator top pressure|regenerator overhead pressure|stripper top pressure|stripper overhead "
		"pressure|regeneratorkopfdruck|regenerator kopfdruck|kopfdruck regenerator"},
	{"regenerator", "top-temperature",
		"regenerator top temperature|regenerator overhead temperature|stripper top temperature|stripper "
		"overhead temperature|regenerator kopftemperatur"},
	{"regenerator", "bottom-temperature",
		"regenerator bottom temperature|regenerator bottoms temperature|stripper bottom "
		"temperature|regenerator "
		"sumpftemperatur"},
	{"regenerator", "bottom-pressure",
		"regenerator bottom pressure|stripper bottom pressure|regenerator sumpfdruck"},
	{"reboiler", "duty",
		"reboiler duty|regenerator reboiler duty|aufkocherleistung|verdampferleistung|leistung "
		"verdampfer|leistung "
		"aufkocher"},
	{"reboiler", "steam-pressure", "reboiler steam pressure|steam pressure at reboiler|steam pressure to reboiler"},
	{"reboiler", "steam-temperature", "reboiler steam temperature"}};

/* Words that say nothing of which parameter it is. */
static const char joining[] = "in|of|im|der|des|du|de|del|to|the|at|total|content|concentration|gehalt|teneur|"
			      "contenido|inlet|dans|en|el|gesamt";

static const char *without_joining(struct arena *arena, const char *folded)
{
	struct text out = text_in(arena);
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		if (!words_are_one_of(arena, arena_copy_span(arena, at, length), joining))
			text_addf(&out, "%s%.*s", out.length ? " " : "", (int)length, at);
		at += length;
	}
	return out.data;
}

static const char *subject_named(struct arena *arena, const char *words)
{
	const struct guess guess = guess_stream(arena, words, false);
	if (!guess.by_name || !guess.word)
		return NULL;
	if (strcmp(guess.element, "gas") == 0)
		return text_has_word("feed treated", guess.word) ? guess.word : NULL;
	return text_has_word("lean rich", guess.word) ? guess.word : NULL;
}

static const char *field_named(struct arena *arena, const struct words *words, const char *rest)
{
	static const char known[] =
		"flow temperature pressure loading strength h2s co2 methane ethane propane isobutane butane "
		"isopentane pentane hexane nitrogen hydrogen cos mercaptans o2 nh3 water";
	if (!*rest)
		return NULL;
	const struct field field = fields_find(arena, words, LISTS_STREAMS, rest);
	return field.name && field.exact && text_has_word(known, field.name) ? field.name : NULL;
}

/* Words that stand with the name of a stream and narrow it to nothing. */
static bool is_neutral(struct arena *arena, const char *word)
{
	return words_are_one_of(
		arena, word, "gas|amine|amin|solution|solvent|losung|mdea|dea|mea|dga|dipa|stream|gases|des|der|the");
}

enum { MOST_WORDS = 10 };

/* A parameter by its words, and what stream or gas each run of them names: from one word to another, that one excluded. */
struct parameter_words {
	const char *at[MOST_WORDS + 1];
	size_t count;
	const char *subject[MOST_WORDS][MOST_WORDS + 1];
};

static struct parameter_words words_of(struct arena *arena, const char *folded)
{
	struct parameter_words all = {.count = 0};
	for (const char *c = folded; *c && all.count < MOST_WORDS; c += strspn(c, " ")) {
		all.at[all.count++] = c;
		c += strcspn(c, " ");
	}
	all.at[all.count] = folded + strlen(folded);
	for (size_t i = 0; i < all.count; i++)
		for (size_t k = i + 1; k <= all.count; k++)
			all.subject[i][k] = subject_named(
				arena, arena_copy_span(arena, all.at[i], (size_t)(all.at[k] - all.at[i])));
	return all;
}

/* Do the words name the stream, and no fewer of them do? */
static bool names_at_least(const struct parameter_words *all, size_t first, size_t last, const char *subject)
{
	for (size_t i = first; i < last; i++)
		for (size_t k = i + 1; k <= last; k++) {
			bool whole = i == first && k == last;
			if (text_same(all->subject[i][k], subject) != whole)
				return false;
		}
	return true;
}

/* The words name the stream and say no more of it: each is of a name of it, or narrows nothing. */
static const char *subject_alone(struct arena *arena, const struct parameter_words *all, size_t first, size_t last)
{
	bool of_name[MOST_WORDS] = {false};
	const char *subject = all->subject[first][last];
	for (size_t i = first; i < last && subject; i++)
		for (size_t k = i + 1; k <= last; k++)
			for (size_t w = i; w < k && names_at_least(all, i, k, subject); w++)
				of_name[w] = true;
	for (size_t i = first; i < last && subject; i++)
		if (!of_name[i] && !is_neutral(arena, arena_copy_span(arena, all->at[i], strcspn(all->at[i], " "))))
			return NULL;
	return subject;
}

/* "H2S in feed gas", "Lean amine flow": some words of it name a stream, and what is left a property of that. */
static struct basis_parameter value_named(struct arena *arena, const struct words *words, const char *folded)
{
	for (size_t i = 0; i < COUNT(wholes); i++)
		if (words_are_one_of(arena, folded, wholes[i].written))
			return (struct basis_parameter){.subject = wholes[i].subject, .field = wholes[i].field};
	const struct parameter_words all = words_of(arena, folded);
	for (size_t length = all.count; length > 0; length--)
		for (size_t first = 0; first + length <= all.count; first++) {
			const char *subject = subject_alone(arena, &all, first, first + length);
			if (!subject)
				continue;
			const char *rest =
				arena_join(arena, arena_copy_span(arena, folded, (size_t)(all.at[first] - folded)), " ",
					all.at[first + length], "");
			const char *field = field_named(arena, words, without_joining(arena, rest));
			if (field && !subject_named(arena, rest)) /* of one stream */
				return (struct basis_parameter){.subject = subject, .field = field};
		}
	return (struct basis_parameter){.subject = NULL};
}

/* What a limit is put on; of anything else a highest value is that of some case. */
bool basis_can_be_limited(struct basis_parameter of)
{
	if (!of.subject)
		return false;
	if (strcmp(of.subject, "treated") == 0)
		return text_has_word("h2s co2 cos mercaptans", of.field);
	return text_has_word("solvent lean rich", of.subject) && text_has_word("loading salts", of.field);
}

/* "rohgasdruck", "restbeladung": the property at the end of a German compound as a word of its own; "rest" says no more. */
static const char *compounds_apart(struct arena *arena, const char *folded)
{
	static const char *const properties[] = {"temperatur", "druck", "menge", "durchsatz", "beladung", "strom"};
	static const char *const gases[] = {"rohgas", "reingas", "sauergas", "feedgas", "produktgas", "magerlosung",
		"reichlosung", "magerlosungs", "reichlosungs", "rest"};
	struct text out = text_in(arena);
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		const char *word = arena_copy_span(arena, at, length);
		text_add(&out, out.length ? " " : "");
		at += length;
		const char *first = word, *second = NULL;
		for (size_t i = 0; i < COUNT(gases) && !second; i++)
			for (size_t k = 0; k < COUNT(properties) && !second; k++) {
				size_t long_first = strlen(gases[i]);
				if (strncmp(word, gases[i], long_first) == 0 &&
					strcmp(word + long_first, properties[k]) == 0) {
					first = strcmp(gases[i], "rest") == 0 ? "" : gases[i];
					second = properties[k];
				}
			}
		if (words_are_one_of(arena, word, "arm|arme|armes|mager|pauvre|pobre"))
			first = "lean";
		text_addf(&out, "%s%s%s", first, second && *first ? " " : "", second ? second : "");
	}
	return out.data;
}

static struct basis_parameter parameter_alone(struct arena *arena, const struct words *words, const char *text)
{
	static const char most[] =
		"max|maximum|at most|not to exceed|maximal|hochstens|hochstwert|grenzwert|obergrenze",
			  least[] = "min|minimum|at least|mindestens",
			  held[] = "limit|spec|specification|spezifikation|design|"
				   "allowable|guarantee|guaranteed|garantie";
	const char *folded = compounds_apart(arena, words_fold(arena, text));
	if (strchr(text, '+')) /* "C3+": all that is heavier, too */
		return (struct basis_parameter){.subject = NULL};
	struct basis_parameter found = value_named(arena, words, folded);
	if (found.subject)
		return found;
	struct text rest = text_in(arena);
	bool highest = words_within(arena, folded, most), lowest = words_within(arena, folded, least);
	bool is_limit = words_within(arena, folded, held);
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		const char *word = arena_copy_span(arena, at, strcspn(at, " "));
		if (!words_are_one_of(arena, word, most) && !words_are_one_of(arena, word, least) &&
			!words_are_one_of(arena, word, held))
			text_addf(&rest, "%s%s", rest.length ? " " : "", word);
		at += strlen(word);
	}
	if ((!highest && !lowest && !is_limit) || (highest && lowest) || !rest.length)
		return (struct basis_parameter){.subject = NULL};
	found = value_named(arena, words, rest.data);
	bool treated = text_same(found.subject, "treated");
	if (!basis_can_be_limited(found) || (!highest && !lowest && !treated) || (lowest && treated))
		return (struct basis_parameter){.subject = NULL};
	found.limit = lowest ? "at-least" : "at-most";
	if (treated)
		found.limit = NULL; /* the specification is one */
	return found;
}

/* ---- of which item ---- */

/* "C-4101", "K201,": a word that can be a tag, and no formula. */
static const char *tag_in(struct arena *arena, const char *word, size_t length)
{
	while (length && strchr(",;:.)", word[length - 1]))
		length--;
	const char *bare = arena_copy_span(arena, word + (*word == '('), length - (*word == '(')),
		   *dash = strchr(bare, '-');
	bool numbered = (dash && dash[1] >= '0' && dash[1] <= '9') ||
		(!dash && strspn(bare, "0123456789") == 0 && strlen(bare) > 3 && bare[strlen(bare) - 3] >= '0' &&
			bare[strlen(bare) - 3] <= '9');
	return length && numbered && table_is_tag(bare) ? bare : NULL;
}

/* The text without the tag that it names, and without "to" or "of" before that; several tags are left as they stand. */
static const char *without_tag(struct arena *arena, const char *text, struct basis_parameter *of)
{
	static const char to[] = "zu|zum|to|nach|an|auf|vers|a|into|for|fur|feeding|zur",
			  from[] = "von|vom|aus|from|de|of|ex|der|des|bei|at|in|im|outlet|ab";
	struct text out = text_in(arena);
	size_t before = 0, tags = 0;
	for (const char *at = text; *at; at += strspn(at, " \n")) {
		size_t length = strcspn(at, " \n");
		const char *tag = tag_in(arena, at, length);
		if (tag) {
			const char *last = words_fold(arena, out.length ? out.data + before : "");
			of->of = tag;
			of->to = words_are_one_of(arena, last, to);
			of->from = words_are_one_of(arena, last, from);
			if (of->to || of->from)
				out.data[out.length = before] = '\0';
			if (at[length - 1] == ',')
				text_add(&out, ",");
			tags++;
		} else {
			text_add(&out, out.length ? " " : "");
			before = out.length;
			text_add_span(&out, at, length);
		}
		at += length;
	}
	if (tags != 1)
		*of = (struct basis_parameter){.subject = NULL};
	return tags == 1 && out.length ? out.data : tags == 1 ? "" : text;
}

/* "fuel gas", "kreislaufgas": the name of a gas that is no kind of gas; `*rest`: the other words. NULL: none, or several. */
static const char *gas_named(struct arena *arena, const char *folded, const char **rest)
{
	static const char others[] =
		"acid|sour|sauergas|flash|flue|rauchgas|abgas|off|offgas|inert|purge|stripping|strippgas|tail|"
		"restgas|brudengas|erdgas|natural";
	struct text name = text_in(arena), left = text_in(arena);
	const char *last = NULL, *end = NULL;
	size_t gases = 0;
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		const char *word = arena_copy_span(arena, at, length);
		bool gas = text_ends(word, "gas");
		if (words_are_one_of(arena, word, others))
			return NULL;
		gases += gas;
		if (gas && (length > strlen("gas") || last)) {
			const char *from = length > strlen("gas") ? at : last;
			text_add_span(&name, from, (size_t)(at + length - from));
			last = from;
			end = at + length;
		} else if (!gas)
			last = at;
		at += length;
	}
	if (gases != 1 || !end)
		return NULL;
	text_add_span(&left, folded, (size_t)(last < end ? last - folded : 0));
	text_add(&left, " ");
	text_add(&left, end);
	*rest = without_joining(arena, left.data);
	return name.data;
}

/* "davon zu C-4101": a share of the circulation; "Kreislaufgas zu C-4101", "H2S im Kreislaufgas": a gas by its name. */
static void name_gas(struct arena *arena, const struct words *words, const char *folded, struct basis_parameter *found)
{
	const char *rest = NULL;
	if (found->to && words_are_one_of(arena, folded, "davon|thereof|of which|dont|de los cuales")) {
		found->subject = "lean";
		found->field = "flow";
		found->share = true;
		return;
	}
	const char *name = gas_named(arena, folded, &rest);
	const char *field = !name	   ? NULL
		: rest && *rest		   ? field_named(arena, words, rest)
		: found->to || found->from ? "flow"
					   : NULL;
	if (!field)
		return;
	found->name = name;
	found->subject = found->to ? "feed" : found->from ? "treated" : "named";
	found->field = field;
}

struct basis_parameter basis_parameter(struct arena *arena, const struct words *words, const char *text)
{
	struct basis_parameter of = {.subject = NULL};
	const char *rest = without_tag(arena, text, &of);
	struct basis_parameter found = parameter_alone(arena, words, rest);
	found.of = of.of;
	found.to = of.to;
	found.from = of.from;
	const char *folded = words_fold(arena, rest);
	if (!found.subject && !strchr(text, '+'))
		name_gas(arena, words, folded, &found);
	if (!found.subject && found.of && found.to) { /* "Feed gas to C-101": what flows there */
		found = parameter_alone(arena, words, arena_join(arena, rest, " flow", "", ""));
		found.of = of.of;
		found.to = of.to;
	}
	return found;
}
