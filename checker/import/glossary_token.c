#include "import/glossary_token.h"

#include <stddef.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

struct lexer {
	struct arena *arena;
	const char *remark;
	size_t at;
	struct token *rows;
	size_t count, capacity;
};

static bool is_digit(char c)
{
	return c >= '0' && c <= '9';
}

static bool is_letter(char c)
{
	return ((c | 0x20) >= 'a' && (c | 0x20) <= 'z') || (unsigned char)c >= 0x80;
}

static const char *fold(struct arena *arena, const char *from, size_t length)
{
	enum { LATIN = 0xC3, FIRST_CAPITAL = 0x80, LAST_CAPITAL = 0x9E, TIMES = 0x97 };
	char *word = arena_copy_span(arena, from, length);
	for (size_t i = 0; i < length; i++) {
		unsigned char c = (unsigned char)word[i], before = i ? (unsigned char)word[i - 1] : 0;
		bool capital = before == LATIN && c >= FIRST_CAPITAL && c <= LAST_CAPITAL && c != TIMES;
		if ((c >= 'A' && c <= 'Z') || capital)
			word[i] = (char)(c | 0x20);
	}
	return word;
}

static void add(struct lexer *lexer, enum token_sort sort, const char *folded, size_t length)
{
	lexer->rows = arena_grow(lexer->arena, lexer->rows, lexer->count, &lexer->capacity, sizeof *lexer->rows);
	lexer->rows[lexer->count++] =
		(struct token){.sort = sort, .folded = folded, .start = lexer->at, .length = length};
	lexer->at += length;
}

/* Signs of more than one byte, as which they count; "" is a blank. */
static const struct {
	const char *sign, *as;
} signs[] = {{"\u00a0", ""}, {"\u202f", ""}, {"\u2009", ""}, {"\u2019", ""}, {"\u2018", ""}, {"\u201c", ""},
	{"\u201d", "in"}, {"\u2033", "in"}, {"\u2013", "-"}, {"\u2014", "-"}, {"\u2212", "-"}, {"\u00b1", "~"},
	{"\u2248", "~"}, {"\u2265", "≥"}, {"\u2264", "≤"}, {"\u00b7", ","}, {"\u2022", ";"}, {"\u00bf", "?"}};

static size_t sign_at(const char *at)
{
	size_t i = 0;
	while (i < COUNT(signs) && strncmp(at, signs[i].sign, strlen(signs[i].sign)) != 0)
		i++;
	return i;
}

/* "t.b.c.": the bytes it takes, or 0. */
static size_t abbreviation(const char *at)
{
	size_t letters = 0, i = 0;
	while (is_letter(at[i]) && at[i + 1] == '.' && !is_digit(at[i + 2])) {
		i += 2;
		letters++;
	}
	bool ends = letters >= 1 && is_letter(at[i]) && !is_letter(at[i + 1]) && !is_digit(at[i + 1]);
	if (ends)
		return i + 1;
	return letters >= 2 && !is_letter(at[i]) ? i : 0;
}

static void read_abbreviation(struct lexer *lexer, size_t length)
{
	struct text word = text_in(lexer->arena);
	for (size_t i = 0; i < length; i++)
		if (lexer->remark[lexer->at + i] != '.')
			text_add_char(&word, lexer->remark[lexer->at + i]);
	add(lexer, TOKEN_WORD, fold(lexer->arena, word.data, word.length), length);
}

/* "n/r", "w/o": short forms with a stroke. */
static size_t stroked(const char *at)
{
	static const char *const forms[] = {"n/r", "n/a", "n/k", "w/o", "y/n"};
	for (size_t i = 0; i < COUNT(forms); i++) {
		size_t k = 0;
		while (forms[i][k] && (at[k] == forms[i][k] || (at[k] | 0x20) == forms[i][k]))
			k++;
		if (!forms[i][k] && !is_letter(at[k]) && !is_digit(at[k]))
			return k;
	}
	return 0;
}

static bool is_unit(const char *word)
{
	static const char *const units[] = {"d", "mm", "cm", "m", "in", "c", "f", "degc", "degf", "h", "x", "bar", "um",
		"µm", "μm", "micron", "barg", "bar\u00fc", "psig", "bara", "psia", "min", "ft", "kw", "hp", "gpm", "m2",
		"ft2"};
	for (size_t i = 0; i < COUNT(units); i++)
		if (strcmp(units[i], word) == 0)
			return true;
	return false;
}

static size_t word_length(const char *at)
{
	size_t i = 0;
	while ((is_letter(at[i]) && sign_at(at + i) == COUNT(signs) && strncmp(at + i, "\u00b0", 2) != 0) ||
		is_digit(at[i]))
		i++;
	return i;
}

/* 2019-05 or 2019-05-14. */
static size_t date_length(const char *at)
{
	static const char form[] = "dddd-dd-dd";
	enum { MONTH = 7 };
	size_t i = 0;
	while (form[i] && (form[i] == 'd' ? is_digit(at[i]) : at[i] == form[i]))
		i++;
	return i == MONTH || i == sizeof form - 1 ? i : 0;
}

/* Digits, and more of them after a point or a comma; how many of these there were, and how many digits follow the last. */
static size_t digits_length(const char *at, size_t *points, size_t *after)
{
	size_t i = 0;
	*points = *after = 0;
	for (; is_digit(at[i]) || ((at[i] == '.' || at[i] == ',') && is_digit(at[i + 1])); i++) {
		*points += !is_digit(at[i]);
		*after = is_digit(at[i]) ? *after + 1 : 0;
	}
	return i;
}

static void read_number(struct lexer *lexer)
{
	enum { THOUSANDS = 3 };
	const char *at = lexer->remark + lexer->at;
	size_t points, after, date = date_length(at), length = date ? date : digits_length(at, &points, &after);
	size_t suffix = word_length(at + length);
	bool several = !date && (points > 1 || (points == 1 && at[length - after - 1] == ',' && after == THOUSANDS));
	const char *unit = fold(lexer->arena, at + length, suffix);
	if (several || (suffix && !is_unit(unit))) {
		add(lexer, TOKEN_WORD, fold(lexer->arena, at, length + suffix), length + suffix);
		return;
	}
	char *number = arena_copy_span(lexer->arena, at, length);
	char *comma = strchr(number, ',');
	if (comma)
		*comma = '.';
	add(lexer, TOKEN_NUMBER, number, length);
	if (suffix)
		add(lexer, TOKEN_WORD, unit, suffix);
}

/* "°C", "° F". */
static void read_degrees(struct lexer *lexer)
{
	const char *at = lexer->remark + lexer->at;
	size_t length = strlen("\u00b0");
	length += strspn(at + length, " ");
	bool celsius = (at[length] | 0x20) == 'c', known = celsius || (at[length] | 0x20) == 'f';
	add(lexer, known ? TOKEN_WORD : TOKEN_MARK, !known ? "~" : celsius ? "degc" : "degf", length + known);
}

static bool is_contrary(const char *word)
{
	static const char *const words[] = {"but", "aber", "sondern", "mais", "pero"};
	for (size_t i = 0; i < COUNT(words); i++)
		if (strcmp(words[i], word) == 0)
			return true;
	return false;
}

static void read_word(struct lexer *lexer)
{
	const char *at = lexer->remark + lexer->at;
	size_t special = stroked(at), length = special ? special : word_length(at), dotted = abbreviation(at);
	if (dotted) {
		read_abbreviation(lexer, dotted);
		return;
	}
	const char *word = fold(lexer->arena, at, length);
	add(lexer, is_contrary(word) ? TOKEN_COMMA : TOKEN_WORD, word, length);
}

/* A full stop ends a clause before a blank and a capital, or at the end; else it belongs to an abbreviation. */
static bool ends_clause(const char *from, const char *at)
{
	enum { ABBREVIATION = 3 };
	size_t blanks = strspn(at + 1, " \t"), capitals = 0;
	while (at - capitals > from && at[-1 - (ptrdiff_t)capitals] >= 'A' && at[-1 - (ptrdiff_t)capitals] <= 'Z')
		capitals++;
	bool whole = capitals > ABBREVIATION; /* "PWHT. 20 trays" */
	return !at[1 + blanks] || (blanks && ((at[1 + blanks] >= 'A' && at[1 + blanks] <= 'Z') || whole));
}

static void read_sign(struct lexer *lexer)
{
	const char *at = lexer->remark + lexer->at;
	size_t i = sign_at(at), length = i < COUNT(signs) ? strlen(signs[i].sign) : 1;
	const char *as = i < COUNT(signs) ? signs[i].as : arena_copy_span(lexer->arena, at, 1);
	bool word_before = lexer->at && is_letter(at[-1]), word_after = is_letter(at[length]);
	bool apart = strchr("-/", *as) && *as && lexer->at && at[-1] == ' ' && at[length] == ' ';
	bool inch = (strcmp(as, "in") == 0 || *as == '"') && lexer->at && is_digit(at[-1]);
	if (inch)
		add(lexer, TOKEN_WORD, "in", length);
	else if (strchr(";\n|!", *as) && *as)
		add(lexer, TOKEN_STOP, ";", length);
	else if (*as == '.' && ends_clause(lexer->remark, at))
		add(lexer, TOKEN_STOP, ".", length);
	else if (apart || (*as && strchr(",()[]", *as)))
		add(lexer, TOKEN_COMMA, as, length);
	else if (!*as || strcmp(as, "in") == 0 || strchr(" \t\r.'\"", *as) || (*as == '-' && word_before && word_after))
		lexer->at += length;
	else
		add(lexer, TOKEN_MARK, as, length);
}

size_t glossary_tokens(struct arena *arena, const char *remark, struct token **tokens)
{
	struct lexer lexer = {.arena = arena, .remark = remark};
	while (remark[lexer.at]) {
		const char *at = remark + lexer.at;
		if (is_digit(*at))
			read_number(&lexer);
		else if (strncmp(at, "\u00b0", strlen("\u00b0")) == 0)
			read_degrees(&lexer);
		else if (word_length(at) > 0)
			read_word(&lexer);
		else
			read_sign(&lexer);
	}
	*tokens = lexer.rows;
	return lexer.count;
}
