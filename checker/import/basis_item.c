/* A parameter of an item, or whose quantity its unit says: "E-12 duty", "Reboiler steam, t/h", "Gas feed, kNm3/h". Part of basis.h. */
#include <string.h>

#include "base/count.h"
#include "import/basis.h"
#include "import/fields.h"
#include "import/guess.h"
#include "import/table.h"

/* What a unit of these alone says of the quantity. */
static const struct {
	const char *quantity, *units;
} quantities[] = {
	{"flow",
		"kg/h t/h lb/h klb/h kg/s t/d Nm3/h Sm3/h kNm3/h kSm3/h MMscfd scfh scfm kmol/h lbmol/h m3/h gpm "
		"m3/d l/min Nm3/d Sm3/d"},
	{"temperature", "degC degF K"}, {"pressure", "barg bara psig psia kPag kPaa MPag MPaa mbarg"},
	{"duty", "MW kW MMBtu/h Btu/h GJ/h kcal/h Gcal/h MJ/h MMkcal/h"}, {"loading", "mol/mol"}};

/* Items of which a unit mostly has one, by their names in a summary. */
static const struct {
	const char *kind, *written;
} kinds[] = {{"reboiler", "reboiler|regenerator reboiler|stripper reboiler|aufkocher|rebouilleur|rehervidor"},
	{"condenser",
		"condenser|overhead condenser|reflux condenser|regenerator condenser|stripper condenser|"
		"kopfkondensator|condenseur|condensador"},
	{"regenerator", "regenerator|stripper|amine regenerator|amine stripper|desorber|regenerateur|regenerador"},
	{"absorber", "absorber|amine absorber|contactor|amine contactor|absorbeur|absorbedor"},
	{"flash-drum",
		"flash drum|rich amine flash drum|amine flash drum|rich flash drum|entspanner|entspannungsbehalter"},
	{"reflux-drum", "reflux drum|overhead accumulator|reflux accumulator|rucklaufbehalter"}};

/* What is said of these in a word or two. */
static const struct {
	const char *field, *written;
} properties[] = {{"duty", "duty|heat duty|leistung|warmeleistung|puissance|potencia"},
	{"pressure", "pressure|operating pressure|druck|betriebsdruck|pression|presion"},
	{"temperature", "temperature|operating temperature|temp|temperatur|betriebstemperatur"},
	{"top-pressure", "top pressure|overhead pressure|kopfdruck"},
	{"bottom-pressure", "bottom pressure|bottoms pressure|sumpfdruck"},
	{"top-temperature", "top temperature|overhead temperature|kopftemperatur|top temp|overhead temp"},
	{"bottom-temperature", "bottom temperature|bottoms temperature|sumpftemperatur|bottom temp|bottoms temp"},
	{"trays",
		"trays in use|trays in service|active trays|trays|number of trays|no of trays|boden in betrieb|boden"},
	{"reflux-ratio", "reflux ratio|rucklaufverhaltnis|taux de reflux"},
	{"flow", "flow|flow rate|flowrate|rate|menge|durchsatz|debit|caudal"}};

static const char steam[] =
	"steam|lp steam|mp steam|heating steam|steam consumption|steam rate|steam demand|steam flow|"
	"steam usage|dampf|heizdampf|nd dampf|dampfverbrauch|dampfmenge|vapeur|vapor";

static const char joining[] =
	"to|in|of|at|for|the|from|im|der|des|zum|zur|du|de|la|le|del|normal|operating|design|total";

static const char *quantity_of(const char *unit)
{
	for (size_t i = 0; unit && i < COUNT(quantities); i++)
		if (text_has_word(quantities[i].units, unit))
			return quantities[i].quantity;
	return NULL;
}

/* The tag in the words, "E-12" of "E-12 (reboiler) duty", and what is left of them; NULL: none, or more than one. */
static const char *tag_in(struct arena *arena, const char *text, const char **rest)
{
	struct text left = text_in(arena);
	const char *tag = NULL;
	for (const char *at = text; *at; at += strspn(at, " ,:;()")) {
		size_t length = strcspn(at, " ,:;()");
		const char *word = arena_copy_span(arena, at, length);
		at += length;
		bool is = strpbrk(word, "-0123456789") && strpbrk(word, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") &&
			table_is_tag(word) && strpbrk(word, "0123456789");
		bool letters = tag && length <= 3 && strspn(word, "ABCD/") == length;
		if (is && tag)
			return NULL;
		if (is)
			tag = word;
		else if (!letters)
			text_addf(&left, "%s%s", left.length ? " " : "", word);
	}
	*rest = left.data ? left.data : "";
	return tag;
}

/* "Feed gas flow (stream 1)": the number of the stream, and what is left; NULL: none is named. */
static const char *stream_in(struct arena *arena, const char *text, const char **rest)
{
	static const char words[] = "stream|str|strom|courant|flux|corriente";
	for (const char *at = text; *at; at += strspn(at, " ,:;()")) {
		size_t length = strcspn(at, " ,:;().");
		const char *number = at + length + strspn(at + length, " .#");
		size_t digits = strcspn(number, " ,:;()");
		if (words_are_one_of(arena, words_fold(arena, arena_copy_span(arena, at, length)), words) && digits &&
			strspn(number, "0123456789") && strspn(number, "0123456789ABCabc") == digits) {
			*rest = arena_join(
				arena, arena_copy_span(arena, text, (size_t)(at - text)), " ", number + digits, "");
			return arena_copy_span(arena, number, digits);
		}
		at += length + (at[length] == '.');
	}
	return NULL;
}

static const char *without(struct arena *arena, const char *folded, const char *alternatives)
{
	struct text out = text_in(arena);
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		if (!words_are_one_of(arena, arena_copy_span(arena, at, length), alternatives))
			text_addf(&out, "%s%.*s", out.length ? " " : "", (int)length, at);
		at += length;
	}
	return out.data ? out.data : "";
}

/* What words that name no item say of one; `quantity`: what the unit says, where they say nothing. NULL: something else. */
static const char *property(struct arena *arena, const char *folded, const char *quantity)
{
	folded = without(arena, folded, joining);
	for (size_t i = 0; i < COUNT(properties); i++)
		if (words_are_one_of(arena, folded, properties[i].written))
			return !quantity || strstr(properties[i].field, quantity) ||
					text_has_word("trays reflux-ratio", properties[i].field)
				? properties[i].field
				: NULL;
	if (words_are_one_of(arena, folded, steam) && quantity)
		return strcmp(quantity, "flow") == 0	       ? "steam-flow"
			: strcmp(quantity, "pressure") == 0    ? "steam-pressure"
			: strcmp(quantity, "temperature") == 0 ? "steam-temperature"
							       : NULL;
	const char *steam_word = "steam|dampf";
	const char *of_steam = without(arena, folded, "steam|lp|mp|dampf|heizdampf|vapeur");
	if (words_within(arena, folded, steam_word) && text_has_word("pressure temperature", of_steam))
		return strcmp(of_steam, "pressure") == 0 ? "steam-pressure" : "steam-temperature";
	return !*folded && quantity && strcmp(quantity, "duty") == 0 ? "duty" : NULL;
}

/* "Absorber top temperature", "Reboiler steam": the kind that begins or ends the words, and what they say of it. */
static struct basis_parameter of_kind(struct arena *arena, const char *folded, const char *quantity)
{
	for (size_t i = 0; i < COUNT(kinds); i++)
		for (const char *at = kinds[i].written; *at;) {
			size_t length = strcspn(at, "|"), whole = strlen(folded);
			bool first = whole > length && strncmp(folded, at, length) == 0 && folded[length] == ' ';
			bool last = whole > length && strncmp(folded + whole - length, at, length) == 0 &&
				folded[whole - length - 1] == ' ';
			const char *rest = first ? folded + length + 1
				: last		 ? arena_copy_span(arena, folded, whole - length - 1)
						 : NULL;
			const char *field = rest ? property(arena, rest, quantity) : NULL;
			if (field)
				return (struct basis_parameter){.subject = kinds[i].kind, .field = field};
			at += length + (at[length] == '|');
		}
	return (struct basis_parameter){.subject = NULL};
}

/* The words of a kind say nothing more where its tag stands with them. */
static const char *without_kinds(const char *folded)
{
	for (size_t i = 0; i < COUNT(kinds); i++)
		for (const char *at = kinds[i].written; *at;) {
			size_t length = strcspn(at, "|");
			const char *found = strncmp(folded, at, length) == 0 ? folded : NULL;
			if (found && (!folded[length] || folded[length] == ' '))
				return folded + length + (folded[length] == ' ');
			at += length + (at[length] == '|');
		}
	return folded;
}

/* "Lean amine temperature to absorber": the words without the place; NULL: none is named. */
static const char *without_absorber(struct arena *arena, const char *folded)
{
	static const char *const places[] = {" to absorber", " to the absorber", " to contactor", " entering absorber",
		" at absorber inlet", " zum absorber", " from absorber", " ex absorber", " leaving absorber",
		" from contactor", " vom absorber", " aus absorber", " vers absorbeur", " al absorbedor"};
	for (size_t i = 0; i < COUNT(places); i++) {
		const char *at = strstr(folded, places[i]);
		const char *after = at ? at + strlen(places[i]) : "?";
		if (at && (!*after || *after == ' '))
			return arena_join(arena, arena_copy_span(arena, folded, (size_t)(at - folded)), after, "", "");
	}
	return NULL;
}

/* "Ambient temperature" beside the cases: what the air has in each; alone it may be any of a year. */
static bool is_ambient(struct arena *arena, const char *folded)
{
	static const char written[] =
		"ambient|ambient temperature|ambient design|ambient temp|ambient air temperature|air "
		"temperature|design "
		"ambient|design ambient temperature|ambient design temperature|umgebungstemperatur|lufttemperatur|"
		"aussentemperatur|umgebung|temperature ambiante|temperatura ambiente|dry bulb temperature|air temp";
	return words_are_one_of(arena, folded, written);
}

struct basis_parameter basis_parameter_of(
	struct arena *arena, const struct words *words, const char *text, const char *written_unit)
{
	struct basis_parameter found = basis_parameter(arena, words, text);
	const char *unit = written_unit && *written_unit ? words_unit(arena, words, written_unit, true) : NULL;
	const char *quantity = quantity_of(unit), *rest = text, *tag = NULL;
	if (found.subject || strchr(text, '+'))
		return found;
	if (is_ambient(arena, words_fold(arena, text)) && (!quantity || strcmp(quantity, "temperature") == 0))
		return (struct basis_parameter){.subject = "basis", .field = "air-temperature", .of_cases = true};
	const char *stream = stream_in(arena, text, &rest);
	tag = stream ? NULL : tag_in(arena, text, &rest);
	const char *folded = words_fold(arena, stream || tag ? rest : text);
	if (tag) {
		const char *field = property(arena, without_kinds(folded), quantity);
		return (struct basis_parameter){.subject = field ? "item" : NULL, .field = field, .tag = tag};
	}
	if (stream) {
		found = basis_parameter(arena, words, rest);
		if (!found.subject && quantity)
			found = basis_parameter(arena, words, arena_join(arena, rest, " ", quantity, ""));
		found.tag = stream;
		return found;
	}
	const char *entering = without_absorber(arena, folded);
	folded = entering ? entering : folded;
	if (entering)
		found = basis_parameter(arena, words, folded);
	if (!found.subject && quantity)
		found = basis_parameter(arena, words, arena_join(arena, folded, " ", quantity, ""));
	found.at_absorber = entering != NULL;
	if (found.subject && entering && !text_has_word("lean rich feed treated", found.subject))
		return (struct basis_parameter){.subject = NULL};
	return found.subject ? found : of_kind(arena, folded, quantity);
}
