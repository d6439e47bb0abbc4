#include "import/glossary_phrase.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

struct fitting {
	struct arena *arena;
	const struct token *tokens;
	size_t count, first, at; /* first: where the phrase begins */
	struct phrase_fit fit;
	size_t slots;
};

static const struct token *token_at(const struct fitting *fitting, size_t at)
{
	return at < fitting->count ? &fitting->tokens[at] : NULL;
}

/* What stands beside a value and makes it another: a range, a fraction, a limit; before the phrase, "about" too. */
static bool stands_alone(const struct fitting *fitting, size_t first, size_t after)
{
	static const char marks[] = "- / ~ < > + ≥ ≤";
	static const char words[] = "ca circa approx about around environ env aprox etwa rund max min maximum minimum "
				    "or oder ou o to bis à";
	const struct token *before = first ? &fitting->tokens[first - 1] : NULL, *next = token_at(fitting, after);
	bool spelt = (next && next->sort == TOKEN_MARK && text_has_word(marks, next->folded)) ||
		(before && before->sort == TOKEN_MARK && text_has_word(marks, before->folded));
	bool about =
		before && first == fitting->first && before->sort == TOKEN_WORD && text_has_word(words, before->folded);
	return !spelt && !about;
}

static bool slot_number(struct fitting *fitting, const char **value)
{
	static const char *const words[][2] = {{"two", "2"}, {"three", "3"}, {"four", "4"}, {"zwei", "2"},
		{"drei", "3"}, {"deux", "2"}, {"trois", "3"}, {"dos", "2"}, {"tres", "3"}, {"zwo", "2"}};
	enum { MOST_DIGITS = 4 };
	const struct token *token = token_at(fitting, fitting->at);
	if (!token || !stands_alone(fitting, fitting->at, fitting->at + 1))
		return false;
	*value = NULL;
	if (token->sort == TOKEN_NUMBER && token->length <= MOST_DIGITS)
		*value = token->folded;
	for (size_t i = 0; i < COUNT(words); i++)
		if (strcmp(words[i][0], token->folded) == 0)
			*value = words[i][1];
	fitting->at++;
	const struct token *times = token_at(fitting, fitting->at); /* "2 x check valves" */
	fitting->at += *value && times && strcmp(times->folded, "x") == 0;
	return *value;
}

static bool slot_year(struct fitting *fitting, const char **value)
{
	enum { FIRST = 1930, LAST = 2100, YEAR_DIGITS = 4 };
	const struct token *token = token_at(fitting, fitting->at);
	if (!token || token->sort != TOKEN_NUMBER || !stands_alone(fitting, fitting->at, fitting->at + 1))
		return false;
	bool plain = strspn(token->folded, "0123456789") == YEAR_DIGITS &&
		(token->folded[YEAR_DIGITS] == '-' || token->folded[YEAR_DIGITS] == '\0');
	long year = strtol(token->folded, NULL, 10);
	if (!plain || year < FIRST || year > LAST)
		return false;
	*value = token->folded;
	fitting->at++;
	return true;
}

static bool slot_with_unit(struct fitting *fitting, const char *const units[][2], size_t unit_count, const char **value)
{
	const struct token *number = token_at(fitting, fitting->at), *unit = token_at(fitting, fitting->at + 1);
	if (!number || number->sort != TOKEN_NUMBER || strchr(number->folded, '-') || !unit ||
		!stands_alone(fitting, fitting->at, fitting->at + 2))
		return false;
	for (size_t i = 0; i < unit_count; i++)
		if (strcmp(units[i][0], unit->folded) == 0) {
			*value = arena_format(fitting->arena, "%s %s", number->folded, units[i][1]);
			fitting->at += 2;
			return true;
		}
	return false;
}

/* "92 m3/h": a number and a unit of several tokens, which stand in the table as "m3 / h". */
static bool slot_in_units(struct fitting *fitting, const char *const units[][2], size_t unit_count, const char **value)
{
	const struct token *number = token_at(fitting, fitting->at);
	if (!number || number->sort != TOKEN_NUMBER || strchr(number->folded, '-'))
		return false;
	for (size_t i = 0; i < unit_count; i++) {
		size_t at = fitting->at + 1;
		const char *c = units[i][0];
		for (; *c; c += strspn(c, " "), at++) {
			const struct token *token = token_at(fitting, at);
			size_t length = strcspn(c, " ");
			if (!token || strlen(token->folded) != length || strncmp(token->folded, c, length) != 0)
				break;
			c += length;
		}
		if (*c || !stands_alone(fitting, fitting->at, at))
			continue;
		*value = arena_format(fitting->arena, "%s %s", number->folded, units[i][1]);
		fitting->at = at;
		return true;
	}
	return false;
}

static bool slot_flow(struct fitting *fitting, const char **value)
{
	static const char *const units[][2] = {{"m3 / h", "m3/h"}, {"m\u00b3 / h", "m3/h"}, {"m3 / hr", "m3/h"},
		{"m3h", "m3/h"}, {"gpm", "gpm"}, {"usgpm", "gpm"}, {"us gpm", "gpm"}, {"t / h", "t/h"},
		{"kg / h", "kg/h"}, {"lb / h", "lb/h"}, {"lb / hr", "lb/h"}};
	return slot_in_units(fitting, units, COUNT(units), value);
}

static bool slot_power(struct fitting *fitting, const char **value)
{
	static const char *const units[][2] = {{"kw", "kW"}, {"hp", "hp"}};
	return slot_in_units(fitting, units, COUNT(units), value);
}

static bool slot_area(struct fitting *fitting, const char **value)
{
	static const char *const units[][2] = {{"m2", "m2"}, {"m\u00b2", "m2"}, {"ft2", "ft2"}, {"ft\u00b2", "ft2"},
		{"sq ft", "ft2"}, {"sqft", "ft2"}};
	return slot_in_units(fitting, units, COUNT(units), value);
}

/* "7,650": with a comma for thousands, which no heat flux in British units has for its decimals. */
static bool is_in_thousands(const struct token *token)
{
	enum { DIGITS = 3 };
	size_t before = strspn(token->folded, "0123456789");
	return token->sort == TOKEN_WORD && before && before <= DIGITS && token->folded[before] == ',' &&
		strspn(token->folded + before + 1, "0123456789") == DIGITS && !token->folded[before + 1 + DIGITS];
}

static bool slot_thousands_of_btu(struct fitting *fitting, const char **value)
{
	struct token *tokens = arena_alloc(fitting->arena, fitting->count * sizeof *tokens);
	struct fitting plain = *fitting;
	memcpy(tokens, fitting->tokens, fitting->count * sizeof *tokens);
	struct token *number = &tokens[fitting->at];
	const char *comma = strchr(number->folded, ',');
	number->sort = TOKEN_NUMBER;
	number->folded =
		arena_format(fitting->arena, "%.*s%s", (int)(comma - number->folded), number->folded, comma + 1);
	plain.tokens = tokens;
	static const char *const units[][2] = {
		{"btu / h ft2", "Btu/(h ft2)"}, {"btu / hr ft2", "Btu/(h ft2)"}, {"btu / h / ft2", "Btu/(h ft2)"}};
	bool fits = slot_in_units(&plain, units, COUNT(units), value);
	fitting->at = plain.at;
	return fits;
}

static bool slot_heat_flux(struct fitting *fitting, const char **value)
{
	const struct token *first = token_at(fitting, fitting->at);
	if (first && is_in_thousands(first))
		return slot_thousands_of_btu(fitting, value);
	static const char *const units[][2] = {{"kw / m2", "kW/m2"}, {"kw / m\u00b2", "kW/m2"},
		{"btu / h ft2", "Btu/(h ft2)"}, {"btu / hr ft2", "Btu/(h ft2)"}, {"btu / hft2", "Btu/(h ft2)"},
		{"btu / h / ft2", "Btu/(h ft2)"}, {"btu / hr / ft2", "Btu/(h ft2)"}};
	return slot_in_units(fitting, units, COUNT(units), value);
}

/* "@ 610": a distance of trays that can only be in millimetres, without its unit. */
static bool slot_bare_spacing(struct fitting *fitting, const char **value)
{
	static const double LEAST = 300,
			    MOST = 1000; /* mm; trays stand 450 to 900 mm apart, common practice, no source */
	const struct token *number = token_at(fitting, fitting->at), *next = token_at(fitting, fitting->at + 1);
	if (!number || number->sort != TOKEN_NUMBER || strtod(number->folded, NULL) < LEAST ||
		strtod(number->folded, NULL) > MOST || (next && next->sort != TOKEN_COMMA && next->sort != TOKEN_STOP))
		return false;
	*value = arena_format(fitting->arena, "%s mm", number->folded);
	fitting->at++;
	return true;
}

/* "V-204", "P-7 A": a tag after "to". */
static bool slot_tag(struct fitting *fitting, const char **value)
{
	enum { MOST_LETTERS = 4 };
	const struct token *letters = token_at(fitting, fitting->at), *dash = token_at(fitting, fitting->at + 1),
			   *number = token_at(fitting, fitting->at + 2);
	if (!letters || !dash || !number || letters->sort != TOKEN_WORD || letters->length > MOST_LETTERS ||
		strcmp(dash->folded, "-") != 0 || number->sort != TOKEN_NUMBER)
		return false;
	*value = "";
	fitting->at += 3;
	return true;
}

/* A tray near the top, where it is counted from there; more than that may be counted from below. */
static bool slot_upper_tray(struct fitting *fitting, const char **value)
{
	enum { LOWEST = 8 };
	const struct token *token = token_at(fitting, fitting->at);
	if (!token || token->sort != TOKEN_NUMBER || token->length > 1 || *token->folded > '0' + LOWEST)
		return false;
	return slot_number(fitting, value);
}

static bool slot_length(struct fitting *fitting, const char **value)
{
	static const char *const units[][2] = {{"mm", "mm"}, {"cm", "cm"}, {"m", "m"}, {"in", "in"}, {"inch", "in"},
		{"ft", "ft"}, {"feet", "ft"}, {"micron", "um"}, {"microns", "um"}, {"um", "um"}, {"µm", "um"},
		{"μm", "um"}, {"mikron", "um"}};
	return slot_with_unit(fitting, units, COUNT(units), value);
}

/* One of two temperatures, and two tokens of the phrase with it. */
static bool take_temperature(
	struct fitting *fitting, const struct token *number, const struct token *unit, const char **value)
{
	bool celsius = text_has_word("degc c", unit->folded);
	if (!celsius && !text_has_word("degf f", unit->folded))
		return false;
	*value = arena_format(fitting->arena, "%s %s", number->folded, celsius ? "degC" : "degF");
	fitting->at += 2;
	return true;
}

/* "25/35 °C": the first of two temperatures, whose unit stands after the second. */
static bool slot_first_of_two(struct fitting *fitting, const char **value)
{
	const struct token *first = token_at(fitting, fitting->at), *sign = token_at(fitting, fitting->at + 1),
			   *second = token_at(fitting, fitting->at + 2), *unit = token_at(fitting, fitting->at + 3);
	if (!first || !sign || !second || !unit || first->sort != TOKEN_NUMBER || second->sort != TOKEN_NUMBER ||
		sign->sort != TOKEN_MARK || !text_has_word("/ - > \u2192", sign->folded) || strchr(first->folded, '-'))
		return false;
	return take_temperature(fitting, first, unit, value);
}

/* The second of them, which stands after the sign. */
static bool slot_second_of_two(struct fitting *fitting, const char **value)
{
	const struct token *number = token_at(fitting, fitting->at), *unit = token_at(fitting, fitting->at + 1);
	if (!number || !unit || number->sort != TOKEN_NUMBER || strchr(number->folded, '-'))
		return false;
	return take_temperature(fitting, number, unit, value);
}

/* A pressure that is said to be gauge or absolute. */
static bool slot_pressure(struct fitting *fitting, const char **value)
{
	static const char *const units[][2] = {{"barg", "barg"}, {"bar\u00fc", "barg"}, {"psig", "psig"},
		{"bara", "bara"}, {"psia", "psia"}, {"kpag", "kPag"}};
	return slot_with_unit(fitting, units, COUNT(units), value);
}

static bool slot_duration(struct fitting *fitting, const char **value)
{
	static const char *const units[][2] = {
		{"min", "min"}, {"minutes", "min"}, {"minuten", "min"}, {"minutos", "min"}};
	return slot_with_unit(fitting, units, COUNT(units), value);
}

/* "15 %": of a range neither end. */
static bool slot_per_cent(struct fitting *fitting, const char **value)
{
	const struct token *number = token_at(fitting, fitting->at), *sign = token_at(fitting, fitting->at + 1);
	if (!number || number->sort != TOKEN_NUMBER || strchr(number->folded, '-') || !sign ||
		strcmp(sign->folded, "%") != 0 || !stands_alone(fitting, fitting->at, fitting->at + 2))
		return false;
	*value = arena_format(fitting->arena, "%s %%", number->folded);
	fitting->at += 2;
	return true;
}

static bool slot_temperature(struct fitting *fitting, const char **value)
{
	static const char *const units[][2] = {{"degc", "degC"}, {"c", "degC"}, {"degf", "degF"}, {"f", "degF"}};
	return slot_with_unit(fitting, units, COUNT(units), value);
}

/* A metal that a cladding can be of; "SS316L", "TP 316L" and "alloy 625" too, but not one of two. */
static bool slot_metal(struct fitting *fitting, const char **value)
{
	static const char *const metals[][2] = {{"304", "304"}, {"304l", "304L"}, {"316", "316"}, {"316l", "316L"},
		{"317l", "317L"}, {"321", "321"}, {"347", "347"}, {"904l", "904L"}, {"410", "410"}, {"410s", "410S"},
		{"405", "405"}, {"2205", "2205"}, {"625", "625"}, {"825", "825"}, {"c276", "C-276"},
		{"titanium", "titanium"}, {"titan", "titanium"}, {"titane", "titanium"}, {"titanio", "titanium"}};
	size_t at = fitting->at;
	const struct token *token = token_at(fitting, at);
	if (token && text_has_word("ss tp aisi type alloy edelstahl inox stainless", token->folded))
		token = token_at(fitting, ++at);
	if (!token || !stands_alone(fitting, fitting->at, at + 1))
		return false;
	const char *word = token->folded;
	if (strncmp(word, "ss", 2) == 0 || strncmp(word, "tp", 2) == 0)
		word += 2;
	for (size_t i = 0; i < COUNT(metals); i++)
		if (strcmp(metals[i][0], word) == 0) {
			*value = metals[i][1];
			fitting->at = at + 1;
			return true;
		}
	return false;
}

static bool fits_slot(struct fitting *fitting, char sort)
{
	const char *value = NULL;
	bool fits = sort == 'n' ? slot_number(fitting, &value)
		: sort == 'y'	? slot_year(fitting, &value)
		: sort == 'l'	? slot_length(fitting, &value)
		: sort == 't'	? slot_temperature(fitting, &value)
		: sort == 'p'	? slot_per_cent(fitting, &value)
		: sort == 'b'	? slot_pressure(fitting, &value)
		: sort == 'f'	? slot_flow(fitting, &value)
		: sort == 'w'	? slot_power(fitting, &value)
		: sort == 's'	? slot_area(fitting, &value)
		: sort == 'q'	? slot_heat_flux(fitting, &value)
		: sort == 'k'	? slot_bare_spacing(fitting, &value)
		: sort == 'i'	? slot_tag(fitting, &value)
		: sort == 'e'	? slot_upper_tray(fitting, &value)
		: sort == 'd'	? slot_duration(fitting, &value)
		: sort == 'a'	? slot_first_of_two(fitting, &value)
		: sort == 'z'	? slot_second_of_two(fitting, &value)
				: slot_metal(fitting, &value);
	if (fits && fitting->slots < PHRASE_SLOTS)
		fitting->fit.slots[fitting->slots++] = value;
	return fits;
}

/* One word of a phrase, "a/b" or "begins*", against the token. */
static bool fits_word(const char *word, size_t length, const struct token *token)
{
	if (token->sort == TOKEN_STOP)
		return false;
	for (size_t from = 0, end; from < length; from = end + 1) {
		end = from;
		while (end < length && word[end] != '/')
			end++;
		bool begins = end > from && word[end - 1] == '*';
		size_t letters = end - from - begins;
		if (strncmp(word + from, token->folded, letters) == 0 && (begins || token->folded[letters] == '\0'))
			return true;
	}
	return false;
}

static bool is_joint(const struct token *token)
{
	return token && token->sort == TOKEN_MARK && text_has_word(": -", token->folded);
}

static bool fits_part(struct fitting *fitting, const char *part, size_t length, bool first)
{
	bool may_miss = part[length - 1] == '?';
	size_t before = fitting->at;
	if (!first && is_joint(token_at(fitting, fitting->at)))
		fitting->at++;
	const struct token *token = token_at(fitting, fitting->at);
	bool fits = token &&
		(*part == '#' ? fits_slot(fitting, part[1])
			      : fits_word(part, length - may_miss, token) && (fitting->at++, true));
	if (!fits)
		fitting->at = before;
	return fits || may_miss;
}

static struct phrase_fit fit_phrase(struct fitting fitting, size_t at, const char *phrase, size_t length)
{
	fitting.first = fitting.at = at;
	for (size_t i = 0; i < length;) {
		size_t part = 0;
		while (i + part < length && phrase[i + part] != ' ')
			part++;
		if (part && !fits_part(&fitting, phrase + i, part, i == 0))
			return (struct phrase_fit){.length = 0};
		i += part + 1;
	}
	fitting.fit.length = fitting.at - at;
	return fitting.fit;
}

struct phrase_fit phrase_at(
	struct arena *arena, const struct token *tokens, size_t count, size_t at, const char *phrases)
{
	struct fitting fitting = {.arena = arena, .tokens = tokens, .count = count};
	struct phrase_fit best = {.length = 0};
	size_t length;
	for (const char *phrase; (phrase = text_alternative(&phrases, &length)) != NULL;) {
		struct phrase_fit fit = fit_phrase(fitting, at, phrase, length);
		if (fit.length > best.length)
			best = fit;
	}
	return best;
}
