#include "import/words.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "import/words_inside.h"

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
const char *words_plain_letter(const char **at, char *one)
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
	for (const char *at = written; *at;) {
		bool degrees = (*at == 'T' || *at == 't') && strncmp(at + 1, "°", strlen("°")) == 0 &&
			at[1 + strlen("°")] != 'C';
		if (degrees && (at == written || !is_small((char)(at[-1] | 0x20)))) {
			text_add(&folded, "t "); /* "T° service" is no "to" */
			at += 1 + strlen("°");
			at += strspn(at, " ");
			continue;
		}
		for (const char *letter = words_plain_letter(&at, one); *letter; letter++)
			add_letter(&folded, *letter);
	}
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

static void open_sets(struct arena *arena, struct words *all);

int words_by_folded(const void *a, const void *b)
{
	return strcmp(((const struct phrase *)a)->folded, ((const struct phrase *)b)->folded);
}

static int by_folded_and_row(const void *a, const void *b)
{
	const struct phrase *one = a, *other = b;
	int order = words_by_folded(a, b);
	return order ? order : (one->row > other->row) - (one->row < other->row);
}

/* Sorted, each word once; how many are left. */
size_t words_sorted_once(struct phrase *phrases, size_t count)
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
	all->count = words_sorted_once(all->phrases, all->count);
	words_open_units(arena, all);
	open_sets(arena, all);
	return all;
}

const struct words *words_with_case_letters(struct arena *arena, const struct words *words, const char *letters)
{
	struct words *with = arena_alloc(arena, sizeof *with);
	*with = *words;
	with->case_letters = letters;
	return with;
}

const char *words_case_letters(const struct words *words)
{
	return words->case_letters ? words->case_letters : "";
}

static const struct phrase *phrase_of(const struct words *all, const char *folded)
{
	const struct phrase key = {.folded = folded};
	return bsearch(&key, all->phrases, all->count, sizeof key, words_by_folded);
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
