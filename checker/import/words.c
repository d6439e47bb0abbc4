#include "import/words.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "quantity/quantity.h"

/* ---- folding ---- */

static const char *const plain_letters[][2] = {{"à", "a"}, {"á", "a"}, {"â", "a"}, {"ã", "a"}, {"ä", "a"}, {"å", "a"},
	{"ç", "c"}, {"è", "e"}, {"é", "e"}, {"ê", "e"}, {"ë", "e"}, {"ì", "i"}, {"í", "i"}, {"î", "i"}, {"ï", "i"},
	{"ñ", "n"}, {"ò", "o"}, {"ó", "o"}, {"ô", "o"}, {"õ", "o"}, {"ö", "o"}, {"ø", "o"}, {"Ø", "o"}, {"ù", "u"},
	{"ú", "u"}, {"û", "u"}, {"ü", "u"}, {"ß", "ss"}, {"À", "a"}, {"Á", "a"}, {"Â", "a"}, {"Ä", "a"}, {"Ç", "c"},
	{"È", "e"}, {"É", "e"}, {"Ê", "e"}, {"Í", "i"}, {"Î", "i"}, {"Ñ", "n"}, {"Ó", "o"}, {"Ô", "o"}, {"Ö", "o"},
	{"Ú", "u"}, {"Ü", "u"}, {"œ", "o"}, {"Œ", "o"}, {"æ", "a"}, {"²", "2"}, {"³", "3"}, {"°", "o"}, {"º", "o"},
	{"№", "no"}, {"µ", "u"}, {"μ", "u"}, {"₀", "0"}, {"₁", "1"}, {"₂", "2"}, {"₃", "3"}, {"₄", "4"}, {"₅", "5"},
	{"₆", "6"}, {"₇", "7"}, {"₈", "8"}, {"₉", "9"}, {"ρ", "rho"}, {"Δ", "delta"}, {"’", ""}, {"'", ""}, {"ı", "i"}};

static bool is_small(char c)
{
	return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9');
}

/* What the character at `*at` is in plain letters; `*at` moves past it. */
static const char *plain_letter(const char **at, char *one)
{
	bool plain = (unsigned char)**at < 0x80 && **at != '\'';
	for (size_t i = 0; !plain && i < COUNT(plain_letters); i++) {
		size_t length = strlen(plain_letters[i][0]);
		if (strncmp(*at, plain_letters[i][0], length) == 0) {
			*at += length;
			return plain_letters[i][1];
		}
	}
	char c = *(*at)++;
	one[0] = c >= 'A' && c <= 'Z' ? (char)(c | 0x20) : is_small(c) || c == '%' ? c : ' ';
	one[1] = '\0';
	return one;
}

static void add_letter(struct text *folded, char c)
{
	char before = folded->length ? folded->data[folded->length - 1] : ' ';
	if (c == ' ' && before == ' ')
		return;
	if (c == 'e' && strchr("aou", before) && before != ' ')
		return; /* ae, oe, ue for a letter with dots; words of other languages lose it too, on both sides alike */
	text_add_char(folded, c);
}

/* "c a" becomes "ca": letters that stand alone are an abbreviation. */
static const char *joined(struct arena *arena, const char *folded)
{
	struct text text = text_in(arena);
	bool single_before = false;
	for (const char *at = folded; *at;) {
		size_t length = strcspn(at, " ");
		bool single = length == 1 && *at >= 'a' && *at <= 'z';
		if (text.length && !(single && single_before))
			text_add_char(&text, ' ');
		text_add_span(&text, at, length);
		single_before = single;
		at += length + (at[length] == ' ');
	}
	return text.data;
}

const char *words_fold(struct arena *arena, const char *written)
{
	struct text folded = text_in(arena);
	char one[2];
	for (const char *at = written; *at;)
		for (const char *letter = plain_letter(&at, one); *letter; letter++)
			add_letter(&folded, *letter);
	while (folded.length && folded.data[folded.length - 1] == ' ')
		folded.data[--folded.length] = '\0';
	return joined(arena, folded.data);
}

/* Could a text that begins so become a folded one that begins with `first`? Told without folding it, which takes long. */
static bool may_begin(const char *written, char first)
{
	char c = *written >= 'A' && *written <= 'Z' ? (char)(*written | 0x20) : *written;
	return !is_small(c) || c == first;
}

bool words_are_one_of(struct arena *arena, const char *folded, const char *alternatives)
{
	size_t length;
	for (const char *part; (part = text_alternative(&alternatives, &length));)
		if (may_begin(part, *folded) &&
			strcmp(words_fold(arena, arena_copy_span(arena, part, length)), folded) == 0)
			return true;
	return false;
}

static bool may_be_within(const char *written, const char *folded)
{
	for (const char *at = folded; *at;) {
		if (may_begin(written, *at))
			return true;
		at += strcspn(at, " ");
		at += *at == ' ';
	}
	return false;
}

size_t words_within(struct arena *arena, const char *folded, const char *alternatives)
{
	size_t length, longest = 0;
	for (const char *part; (part = text_alternative(&alternatives, &length));) {
		if (!may_be_within(part, folded))
			continue;
		const char *word = words_fold(arena, arena_copy_span(arena, part, length));
		size_t letters = strlen(word);
		for (const char *at = folded; letters && (at = strstr(at, word)); at++)
			if ((at == folded || at[-1] == ' ') && (at[letters] == ' ' || !at[letters]) &&
				letters > longest)
				longest = letters;
	}
	return longest;
}

/* ---- concepts ---- */

struct phrase {
	const char *folded, *concepts;
	size_t row; /* of two for one word the first holds */
};

struct set {
	const char *concepts, *sheets, *field;
	size_t row;
};

struct words {
	struct phrase *phrases; /* sorted by `folded` */
	size_t count;
	struct phrase *units; /* key, and spelling of units.def */
	size_t unit_count;
	struct set *sets; /* sorted by `concepts`; of alike ones the first row of field.def first */
	size_t set_count;
};

static void open_units(struct arena *arena, struct words *all);
static void open_sets(struct arena *arena, struct words *all);

static int by_folded(const void *a, const void *b)
{
	return strcmp(((const struct phrase *)a)->folded, ((const struct phrase *)b)->folded);
}

static int by_folded_and_row(const void *a, const void *b)
{
	const struct phrase *one = a, *other = b;
	int order = by_folded(a, b);
	return order ? order : (one->row > other->row) - (one->row < other->row);
}

/* Sorted, each word once; how many are left. */
static size_t sorted_once(struct phrase *phrases, size_t count)
{
	size_t kept = 0;
	if (count)
		qsort(phrases, count, sizeof *phrases, by_folded_and_row);
	for (size_t i = 0; i < count; i++)
		if (!kept || strcmp(phrases[kept - 1].folded, phrases[i].folded) != 0)
			phrases[kept++] = phrases[i];
	return kept;
}

const struct words *words_open(struct arena *arena)
{
	static const char *const rows[][2] = {
#define CONCEPT(concepts, words) {concepts, words},
#include "import/concept.def"
#undef CONCEPT
	};
	struct words *all = arena_alloc(arena, sizeof *all);
	size_t capacity = 0, length;
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *at = rows[i][1];
		for (const char *part; (part = text_alternative(&at, &length));) {
			const struct phrase phrase = {
				words_fold(arena, arena_copy_span(arena, part, length)), rows[i][0], all->count};
			all->phrases = arena_grow(arena, all->phrases, all->count, &capacity, sizeof *all->phrases);
			all->phrases[all->count++] = phrase;
		}
	}
	all->count = sorted_once(all->phrases, all->count);
	open_units(arena, all);
	open_sets(arena, all);
	return all;
}

static const struct phrase *phrase_of(const struct words *all, const char *folded)
{
	const struct phrase key = {.folded = folded};
	return bsearch(&key, all->phrases, all->count, sizeof key, by_folded);
}

/* The end of a compound that is shorter than words are: a number ("Stroomnr."). */
static bool is_short_end(const char *end)
{
	return strcmp(end, "nr") == 0 || strcmp(end, "no") == 0;
}

/* A compound of two words that are known, with or without an s between them. */
static bool add_compound(struct arena *arena, const struct words *all, const char *word, struct text *concepts)
{
	enum { SHORTEST = 3 };
	size_t length = strlen(word);
	for (size_t i = SHORTEST; i < length; i++) {
		if (i + SHORTEST > length && !is_short_end(word + i))
			continue;
		const struct phrase *first = phrase_of(all, arena_copy_span(arena, word, i));
		const struct phrase *second = first ? phrase_of(all, word + i) : NULL;
		if (first && !second && word[i] == 's')
			second = phrase_of(all, word + i + 1);
		if (!first || !second || !*first->concepts || !*second->concepts)
			continue;
		text_addf(concepts, " %s %s", first->concepts, second->concepts);
		return true;
	}
	return false;
}

/* How many letters are to be changed, put in, left out or exchanged with the next; more than `most` counts as one more. */
static size_t letters_off(const char *a, const char *b, size_t most)
{
	if (!*a || !*b) {
		size_t left = strlen(a) + strlen(b);
		return left > most ? most + 1 : left;
	}
	if (*a == *b)
		return letters_off(a + 1, b + 1, most);
	if (!most)
		return 1;
	size_t best = letters_off(a + 1, b + 1, most - 1), one = letters_off(a + 1, b, most - 1),
	       other = letters_off(a, b + 1, most - 1);
	best = one < best ? one : best;
	best = other < best ? other : best;
	if (a[1] == *b && *a == b[1]) {
		one = letters_off(a + 2, b + 2, most - 1);
		best = one < best ? one : best;
	}
	return best + 1;
}

/* The one word of the list that is so near to it; NULL: none, or words of several meanings. */
static const struct phrase *near_word(const struct words *all, const char *word)
{
	enum { SHORT = 6, LONG = 10 };
	size_t length = strlen(word), most = length >= LONG ? 2 : 1;
	const struct phrase *found = NULL;
	size_t least = most + 1;
	bool several = false;
	if (length < SHORT || strpbrk(word, "0123456789"))
		return NULL;
	for (size_t i = 0; i < all->count; i++) {
		const struct phrase *row = &all->phrases[i];
		if (*row->folded != *word || !*row->concepts || strchr(row->folded, ' ') ||
			strlen(row->folded) + most < length || strlen(row->folded) > length + most)
			continue;
		size_t off = letters_off(word, row->folded, most);
		if (off > most || off > least)
			continue;
		several = off == least ? several || strcmp(found->concepts, row->concepts) != 0 : false;
		found = row;
		least = off;
	}
	return several ? NULL : found;
}

const char *words_respelt(struct arena *arena, const struct words *all, const char *folded)
{
	struct text out = text_in(arena);
	bool changed = false;
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		const char *word = arena_copy_span(arena, at, length), *concepts = words_concepts(arena, all, word);
		const struct phrase *near = *concepts == '?' ? near_word(all, word) : NULL;
		text_addf(&out, "%s%s", out.length ? " " : "", near ? near->folded : word);
		changed = changed || near;
		at += length;
	}
	return changed ? out.data : NULL;
}

static int by_word(const void *a, const void *b)
{
	return strcmp(*(const char *const *)a, *(const char *const *)b);
}

const char *words_sorted(struct arena *arena, const char *set)
{
	enum { MOST = 32 };
	const char *rows[MOST] = {NULL};
	size_t count = 0;
	for (const char *at = set + strspn(set, " "); *at && count < MOST; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		const char *word = arena_copy_span(arena, at, length);
		bool known = false;
		for (size_t i = 0; i < count; i++)
			known = known || strcmp(rows[i], word) == 0;
		if (!known)
			rows[count++] = word;
		at += length;
	}
	if (count > 1)
		qsort(rows, count, sizeof *rows, by_word);
	struct text text = text_in(arena);
	for (size_t i = 0; i < count; i++)
		text_addf(&text, "%s%s", i ? " " : "", rows[i]);
	return text.data;
}

/* How long the phrase of up to so many words is with which the text begins. */
static size_t phrase_at(const char *at, size_t words)
{
	const char *end = at;
	for (size_t i = 0; i < words; i++) {
		if (i && !*end)
			return 0;
		end += i ? 1 : 0;
		end += strcspn(end, " ");
	}
	return (size_t)(end - at);
}

const char *words_concepts(struct arena *arena, const struct words *all, const char *folded)
{
	enum { LONGEST = 5 };
	struct text concepts = text_in(arena);
	for (const char *at = folded; *at; at += strspn(at, " ")) {
		const struct phrase *phrase = NULL;
		size_t length = 0;
		for (size_t words = LONGEST; words >= 1 && !phrase; words--)
			if ((length = phrase_at(at, words)))
				phrase = phrase_of(all, arena_copy_span(arena, at, length));
		if (phrase)
			text_addf(&concepts, " %s", phrase->concepts);
		else if (!add_compound(arena, all, arena_copy_span(arena, at, length = strcspn(at, " ")), &concepts))
			text_addf(&concepts, " ?%.*s", (int)length, at);
		at += length;
	}
	return words_sorted(arena, concepts.data);
}

const char *words_without(struct arena *arena, const char *concepts, const char *concept)
{
	if (!text_has_word(concepts, concept))
		return NULL;
	struct text left = text_in(arena);
	for (const char *at = concepts; *at; at += strspn(at, " ")) {
		size_t length = strcspn(at, " ");
		if (length != strlen(concept) || strncmp(at, concept, length) != 0)
			text_addf(&left, "%s%.*s", left.length ? " " : "", (int)length, at);
		at += length;
	}
	return left.data;
}

/* ---- fields ---- */

static int by_concepts(const void *a, const void *b)
{
	const struct set *one = a, *other = b;
	int order = strcmp(one->concepts, other->concepts);
	return order ? order : (one->row > other->row) - (one->row < other->row);
}

static void open_sets(struct arena *arena, struct words *all)
{
	static const struct {
		const char *sheets, *field, *sets;
	} rows[] = {
#define FIELD(sheets, field, sets) {sheets, field, sets},
#include "import/field.def"
#undef FIELD
	};
	size_t capacity = 0, length;
	for (size_t i = 0; i < COUNT(rows); i++) {
		const char *at = rows[i].sets;
		for (const char *part; (part = text_alternative(&at, &length));) {
			const struct set set = {words_sorted(arena, arena_copy_span(arena, part, length)),
				rows[i].sheets, rows[i].field, i};
			all->sets = arena_grow(arena, all->sets, all->set_count, &capacity, sizeof set);
			all->sets[all->set_count++] = set;
		}
	}
	qsort(all->sets, all->set_count, sizeof *all->sets, by_concepts);
}

const char *words_field(const struct words *all, char sheet, const char *concepts)
{
	size_t low = 0, high = all->set_count;
	while (low < high) {
		size_t middle = low + (high - low) / 2;
		if (strcmp(all->sets[middle].concepts, concepts) < 0)
			low = middle + 1;
		else
			high = middle;
	}
	for (; low < all->set_count && strcmp(all->sets[low].concepts, concepts) == 0; low++)
		if (strchr(all->sets[low].sheets, sheet))
			return all->sets[low].field;
	return NULL;
}

/* ---- units ---- */

struct unit_word {
	const char *unit, *written;
};

static const struct unit_word unit_words[] = {
	{"barg", "bar(ü)|barü|bar g|bar gauge|bar rel|bar u|barue|bar man|bar eff|bar(e)|bar(man)"},
	{"bara", "bar abs|bara|bar(a)|bar absolu"}, {"kg/cm2g", "kg/cm2 g|kgf/cm2 g|kgf/cm2(g)|kg/cm2 man|kg/sqcm g"},
	{"kPag", "kpa g|kpa gauge"}, {"psig", "psi g|lb/in2 g|lbf/in2 g|psi gauge|lb/sqin g"},
	{"psia", "psi a|psi abs"}, {"degC", "deg c|celsius|grad c|grad|gr c|c deg|oc"}, {"degF", "deg f|fahrenheit|of"},
	{"mol%", "mol.-%|mol-%|mole %|% mol|% molar|mol pct|mol percent|mole pct|mole percent|% molaire|mol.%|molen%"},
	{"vol%", "vol.-%|vol %|%vol|%v|v%|vol pct|vol.%"},
	{"wt%",
		"gew.-%|gew%|gew.%|ma.-%|ma%|masse-%|mass %|% wt|wt pct|wt.-%|wt.%|weight %|%m|m%|% mass|% massique|% "
		"masse|% peso|mass-%|%w|w%|massa%|gewichts%|% en peso|% pds|gew.%|massaprocent|% poids|weight "
		"percent|% p/p|p%"},
	{"ppmw", "ppm w|ppm wt|mg/kg|wppm|ppm (w)|ppm mass|ppm(wt)|ppm gew|ppm masse|ppm en peso|ppm by weight"},
	{"ppmv", "ppm v|ppm vol|vppm|ppm mol|ppm(v)|ppm by volume|molppm|mol ppm"},
	{"kmol/h", "kmol/hr|kgmole/h|kgmole/hr|kgmol/hr|kmole/h|kmol/std|kmole/hr"},
	{"lbmol/h", "lb mol/h|lbmole/hr|lbmol/hr|lb-mol/hr|lb mole/h|lbmole/h|lb-mole/hr|lb mol/hr|lbmoles/hr"},
	{"kg/h", "kg/std|kg/hr|kg/uur|kg/heure|kg/u"},
	{"t/h", "t/std|te/h|tonne/h|tonnes/h|mt/h|to/h|t/hr|ton/uur|t/u|t/uur|tph|metric t/h"},
	{"lb/h", "lb/hr|lbs/hr|lbs/h|pph|lbm/hr|lbm/h|#/hr"}, {"klb/h", "klb/hr|1000 lb/hr|k lb/h|mlb/hr thousand"},
	{"m3/h", "m3/std|cum/h|cbm/h|m3/hr|cu m/h|m3/heure|m3/uur|m3/u|m3ph"},
	{"Nm3/h", "nm3/std|m3(i.n.)/h|m3n/h|m3(n)/h|m3 i.n./h|nm3/hr|nm3/u|ncum/h|m3(n)/hr"},
	{"Sm3/h", "sm3/hr|m3(s)/h|std m3/h"}, {"MMscfd", "mmscf/d|mmscfd|mmsft3/d|mm scfd|mmscf/day|mmcfd std"},
	{"scfh", "scf/hr|scf/h"}, {"gpm", "us gpm|usgpm|gpm us|us gal/min|usg/min|gpm (us)|gal/min|us gpm"},
	{"bbl/d", "bpd|bbl/day|bopd|stb/d"}, {"in", "inch|inches|zoll|pouces|pulg|pulgadas|duim|ins|pouce|\""},
	{"mm", "mm|millimeter|millimetre"}, {"ft", "feet|foot|pies"}, {"m", "meter|metre|metres|metros|mtr"},
	{"m2", "sq m|sqm|qm|sq.m"}, {"ft2", "sq ft|sqft|sf|sq.ft"}, {"m3", "cum|cbm|cu m|cu.m"},
	{"ft3", "cu ft|cuft|cf|cu.ft"}, {"kg/m3", "kg/cum|kg/cbm|kg/m³"},
	{"lb/ft3", "lb/cuft|lb/cu ft|lbs/ft3|lb/cf|lbm/ft3|pcf|lbm/cuft"}, {"cP", "cp|centipoise|mpas|mpa s|mpa*s"},
	{"kW", "kw|kilowatt"}, {"MW", "mw|megawatt"}, {"MMBtu/h", "mmbtu/hr|mm btu/hr|mmbtu/h|mm btu/h|million btu/h"},
	{"Btu/h", "btu/hr"}, {"kcal/h", "kcal/hr|kcal/std"}, {"Gcal/h", "gcal/hr|mmkcal/h"},
	{"W/(m2 K)", "w/m2k|w/m2c|w/m2 degc|w/m2 k"},
	{"Btu/(h ft2 degF)", "btu/hr ft2 f|btu/hr-ft2-f|btu/h-ft2-f|btu/hr ft2 degf|btu/(hr ft2 f)"},
	{"mg/L", "mg/l|mg/ltr|mg/litre"}, {"g/L", "g/l|g/ltr"},
	{"g/mol", "kg/kmol|g/mole|lb/lbmol|kg/kgmol|kg/kgmole|lb/lbmole|lb/lb-mol"},
	{"mol/mol",
		"mol/mol|mole/mole|mol/mol amine|mol/mol amin|mol ag/mol amine|mol sg/mol amin|mol h2s/mol amine|mol "
		"co2/mol amine|mol/mole|mol gas/mol amine|mole/mole amine|mol/mol mdea|mol/mol dea|mol/mol "
		"mea|kmol/kmol|mol/mol amina|mol/mol am|mol sauergas/mol amin"},
	{"mm/y", "mm/j|mm/jahr|mm/an|mm/ano|mm/jaar|mm/a"}, {"%", "%|percent|pct|prozent"}, {"ppm", "ppm"},
	{"NPS", "nps"}, {"DN", "dn"}, {"HB", "bhn|brinell"}, {"HV", "hv10|vickers"}};

/* A unit without what spelling leaves open: letters and digits, / and %. */
static const char *unit_key(struct arena *arena, const char *written)
{
	struct text key = text_in(arena);
	char one[2];
	for (const char *at = written; *at;) {
		bool kept = *at == '/' || *at == '\"' || *at == '#';
		char c = *at;
		bool degree = strncmp(at, "°", strlen("°")) == 0 || strncmp(at, "º", strlen("º")) == 0;
		const char *letter = plain_letter(&at, one);
		if (kept)
			text_add_char(&key, c);
		else if (degree)
			text_add(&key, "deg");
		else if (*letter != ' ')
			text_add(&key, letter);
	}
	return key.data;
}

static void add_unit(struct arena *arena, struct words *all, size_t *capacity, const char *written, const char *unit)
{
	all->units = arena_grow(arena, all->units, all->unit_count, capacity, sizeof *all->units);
	all->units[all->unit_count] = (struct phrase){unit_key(arena, written), unit, all->unit_count};
	all->unit_count++;
}

/* Stable, so that of two spellings with one key the first holds: our own words, then units.def. */
static void open_units(struct arena *arena, struct words *all)
{
	size_t capacity = 0, length;
	for (size_t i = 0; i < COUNT(unit_words); i++) {
		const char *at = unit_words[i].written;
		add_unit(arena, all, &capacity, unit_words[i].unit, unit_words[i].unit);
		for (const char *part; (part = text_alternative(&at, &length));)
			add_unit(arena, all, &capacity, arena_copy_span(arena, part, length), unit_words[i].unit);
	}
	for (size_t i = 0; i < unit_count(); i++) {
		enum kind kind;
		const char *unit = unit_spelling(i, &kind);
		if (*unit)
			add_unit(arena, all, &capacity, unit, unit);
	}
	all->unit_count = sorted_once(all->units, all->unit_count);
}

const char *words_unit(struct arena *arena, const struct words *all, const char *written, bool apart)
{
	enum { LONGEST = 24 };
	if (strlen(written) > LONGEST)
		return NULL;
	const struct phrase key = {.folded = unit_key(arena, written)};
	if (!*key.folded || strspn(key.folded, "0123456789") == strlen(key.folded))
		return NULL;
	if (strcmp(key.folded, "min") == 0 && strcmp(written, "min") != 0)
		return NULL; /* "Min." is the least */
	bool weak = strlen(key.folded) == 1 ? !strchr("%\"", *key.folded) : text_has_word("in of oc", key.folded);
	if (weak && !apart)
		return NULL;
	const struct phrase *found = bsearch(&key, all->units, all->unit_count, sizeof key, by_folded);
	return found ? found->concepts : NULL;
}

bool words_unit_pair(struct arena *arena, const struct words *all, const char *written, const char *pair[2])
{
	if (words_unit(arena, all, written, true))
		return false; /* "kg/h" is one */
	for (const char *slash = written; (slash = strchr(slash, '/')); slash++) {
		const char *before = slash, *after = slash + 1 + strspn(slash + 1, " ");
		while (before > written && before[-1] == ' ')
			before--;
		pair[0] = words_unit(arena, all, arena_copy_span(arena, written, (size_t)(before - written)), true);
		pair[1] = words_unit(arena, all, after, true);
		if (pair[0] && pair[1])
			return true;
	}
	return false;
}

/* ---- headings ---- */

static const char *closing(const char *open)
{
	int depth = 0;
	for (const char *c = open; *c; c++) {
		depth += *c == '(' || *c == '[';
		depth -= *c == ')' || *c == ']';
		if (!depth)
			return c;
	}
	return NULL;
}

/* "Temp. (degC) normal": the unit is within the brackets. */
static const char *without_bracketed(
	struct arena *arena, const struct words *all, const char *heading, const char **unit)
{
	for (const char *open = heading; (open = strpbrk(open, "([")); open++) {
		const char *close = closing(open);
		if (!close)
			return NULL;
		const char *inner = arena_copy_span(arena, open + 1, (size_t)(close - open) - 1), *rest = "";
		*unit = words_unit(arena, all, inner, true);
		if (!*unit && strchr(inner, ' ')) { /* "(wt% as MDEA)" */
			rest = strchr(inner, ' ');
			*unit = words_unit(arena, all, arena_copy_span(arena, inner, strcspn(inner, " ,")), false);
		}
		if (*unit && open != heading &&
			!(close[1] == '/' || (open[-1] != ' ' && open[-1] != '\n' && strlen(*unit) == 1)))
			return arena_join(
				arena, arena_copy_span(arena, heading, (size_t)(open - heading)), rest, " ", close + 1);
	}
	return NULL;
}

/* "Temp., degC", "Temp. degC", "Temp. / degC", "Temp. in degC": the longest end that is a unit. */
static const char *without_ending(struct arena *arena, const struct words *all, const char *heading, const char **unit)
{
	for (const char *at = heading; *at; at++) {
		if (!strchr(", /\n:;-", *at) || at == heading)
			continue;
		const char *end = at + 1 + strspn(at + 1, " \n");
		if (strncmp(end, "in ", strlen("in ")) == 0)
			end += strlen("in ");
		if (!*end)
			continue;
		*unit = words_unit(arena, all, end, *at == ',');
		if (*unit)
			return arena_copy_span(arena, heading, (size_t)(at - heading));
	}
	return NULL;
}

/* "Loading, mol/mol DEA", "Flow kg/h total": a unit with a stroke or per cent and words after it, which stay. */
static const char *without_inner(struct arena *arena, const struct words *all, const char *heading, const char **unit)
{
	for (const char *at = heading; *at; at++) {
		if (!strchr(" ,\n", *at) || at == heading)
			continue;
		const char *begin = at + strspn(at, " ,\n");
		size_t length = strcspn(begin, " ,\n");
		const char *word = arena_copy_span(arena, begin, length);
		if (!begin[length] || strlen(word) < 3)
			continue;
		*unit = words_unit(arena, all, word, false);
		double factor, offset;
		if (*unit && !strchr(word, '/') && !strchr(word, '%') &&
			!unit_find(KIND_PRESSURE, *unit, 101325, &factor, &offset) &&
			!unit_find(KIND_TEMPERATURE, *unit, 101325, &factor, &offset))
			*unit = NULL;
		if (*unit)
			return arena_join(
				arena, arena_copy_span(arena, heading, (size_t)(at - heading)), begin + length, "", "");
	}
	return NULL;
}

const char *words_without_unit(struct arena *arena, const struct words *all, const char *heading, const char **unit)
{
	*unit = NULL;
	const char *rest = without_bracketed(arena, all, heading, unit);
	if (!rest)
		rest = without_ending(arena, all, heading, unit);
	if (!rest)
		rest = without_inner(arena, all, heading, unit);
	if (rest)
		return rest;
	*unit = NULL;
	return heading;
}

const char *words_without_phases(
	struct arena *arena, const struct words *all, const char *heading, struct phase_units *units)
{
	static const char gases[] = "gas|gase|vapour|vapor|vap|gaz|dampf",
			  liquids[] = "liq|liquid|liquids|flussig|flussigkeit|liquide|liquido|vloeistof",
			  solutions[] = "losung|solution|amine|amin|amina|solucion|oplossing|solvent";
	const char *found[2] = {NULL, NULL};
	int phases[2] = {0, 0}; /* 1 gas, 2 liquid, 3 solution */
	size_t unit_count = 0, phase_count = 0;
	struct text rest = text_in(arena);
	for (const char *at = heading + strspn(heading, " ,;:()\n"); *at; at += strspn(at, " ,;:()\n")) {
		size_t length = strcspn(at, " ,;:()\n");
		const char *word = arena_copy_span(arena, at, length), *folded = words_fold(arena, word);
		const char *unit = words_unit(arena, all, word, false);
		int phase = words_are_one_of(arena, folded, gases)   ? 1
			: words_are_one_of(arena, folded, liquids)   ? 2
			: words_are_one_of(arena, folded, solutions) ? 3
								     : 0;
		at += length;
		if (unit && unit_count < 2)
			found[unit_count++] = unit;
		else if (phase && phase_count < 2)
			phases[phase_count++] = phase;
		else if (unit || phase || (*folded && unit_count + phase_count > 0))
			return NULL; /* more than a pair */
		else if (*folded)
			text_addf(&rest, "%s%s", rest.length ? " " : "", word);
	}
	if (unit_count < 2 || phase_count < 2 || (phases[0] == 1) == (phases[1] == 1))
		return NULL;
	size_t gas = phases[0] == 1 ? 0 : 1;
	*units = (struct phase_units){.gas = found[gas], .liquid = found[1 - gas], .of_amine = phases[1 - gas] == 3};
	return rest.data;
}
