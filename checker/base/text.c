#include "base/text.h"

#include <stdlib.h>
#include <string.h>

#include "base/format.h"

struct text text_in(struct arena *arena)
{
	struct text text = {.arena = arena, .capacity = 64};
	text.data = arena_alloc(arena, text.capacity);
	return text;
}

static void make_room(struct text *text, size_t more)
{
	size_t needed = text->length + more + 1;
	if (needed <= text->capacity)
		return;
	size_t larger = text->capacity * 2;
	if (larger < needed)
		larger = needed;
	char *moved = arena_alloc(text->arena, larger);
	memcpy(moved, text->data, text->length);
	text->data = moved;
	text->capacity = larger;
}

void text_add_span(struct text *text, const char *more, size_t length)
{
	make_room(text, length);
	memcpy(text->data + text->length, more, length);
	text->length += length;
	text->data[text->length] = '\0';
}

void text_add(struct text *text, const char *more)
{
	text_add_span(text, more, strlen(more));
}

void text_add_char(struct text *text, char c)
{
	text_add_span(text, &c, 1);
}

void text_add_c_string(struct text *text, const char *word)
{
	text_add_char(text, '"');
	for (const unsigned char *c = (const unsigned char *)word; *c; c++) {
		if (*c < ' ' || *c >= 127 || strchr("\"\\?", *c))
			text_addf(text, "\\%03o", *c);
		else
			text_add_char(text, (char)*c);
	}
	text_add_char(text, '"');
}

void text_addf(struct text *text, const char *format, ...)
{
	va_list arguments;
	va_start(arguments, format);
	text_addv(text, format, arguments);
	va_end(arguments);
}

void text_addv(struct text *text, const char *format, va_list arguments)
{
	va_list again;
	va_copy(again, arguments);
	size_t room = text->capacity - text->length, length;
	length = format_text(text->data + text->length, room, format, arguments);
	if (length >= room) {
		make_room(text, length);
		format_text(text->data + text->length, length + 1, format, again);
	}
	va_end(again);
	text->length += length;
}

bool text_same(const char *a, const char *b)
{
	return a == b || (a && b && text_is(a, b));
}

static char lower(char c)
{
	return c >= 'A' && c <= 'Z' ? (char)(c - 'A' + 'a') : c;
}

bool text_same_nocase(const char *a, const char *b)
{
	while (*a && lower(*a) == lower(*b))
		a++, b++;
	return lower(*a) == lower(*b);
}

bool text_ends(const char *word, const char *tail)
{
	size_t length = strlen(word), tail_length = strlen(tail);
	return length > tail_length && strcmp(word + length - tail_length, tail) == 0;
}

bool text_has_word(const char *list, const char *word)
{
	size_t length = strlen(word);
	for (const char *at = list, *blank; length; at = blank + 1) {
		if (*at == *word && strncmp(at, word, length) == 0 && (at[length] == ' ' || !at[length]))
			return true;
		blank = strchr(at, ' ');
		if (!blank)
			return false;
	}
	return false;
}

const char *text_alternative(const char **at, size_t *length)
{
	const char *part = *at;
	if (!*part)
		return NULL;
	*length = strcspn(part, "|");
	*at = part + *length + (part[*length] == '|');
	return part;
}

/* The `count` bytes (below eight) at `at` as one number, the first of them highest; from eight bytes at once in a word that has as many. */
static uint64_t last_bytes(const char *at, size_t count, size_t whole)
{
	uint64_t bytes = 0;
	if (whole < sizeof bytes || count == 0) {
		for (size_t i = 0; i < count; i++)
			bytes = bytes << 8 | (unsigned char)at[i];
		return bytes;
	}
	const unsigned char *eight = (const unsigned char *)at + count - sizeof bytes;
	bytes = (uint64_t)eight[0] << 56 | (uint64_t)eight[1] << 48 | (uint64_t)eight[2] << 40 |
		(uint64_t)eight[3] << 32 | (uint64_t)eight[4] << 24 | (uint64_t)eight[5] << 16 |
		(uint64_t)eight[6] << 8 | eight[7];
	return bytes & (UINT64_MAX >> 8 * (sizeof bytes - count));
}

/* Eight bytes at a time: names are looked up a million times in a review. The multiplier is 2^64 over the golden ratio. */
uint32_t text_hash(const char *word)
{
	const uint64_t multiplier = UINT64_C(0x9E3779B97F4A7C15);
	const size_t whole = strlen(word);
	size_t length = whole;
	uint64_t hash = length;
	for (; length >= sizeof hash; length -= sizeof hash, word += sizeof hash) {
		uint64_t eight;
		memcpy(&eight, word, sizeof eight);
		hash = (hash ^ eight) * multiplier;
		hash ^= hash >> 32;
	}
	hash = (hash ^ last_bytes(word, length, whole)) * multiplier;
	return (uint32_t)(hash >> 32);
}

enum { LONGEST_WORD = 64 };

/* Edits (insert, delete, replace, swap of neighbours) that turn a into b. Words longer than LONGEST_WORD are far from all. */
static size_t edits(const char *a, const char *b)
{
	size_t m = strlen(a), n = strlen(b);
	if (m > LONGEST_WORD || n > LONGEST_WORD)
		return LONGEST_WORD;
	size_t rows[3][LONGEST_WORD + 1];
	size_t *before = rows[0], *last = rows[1], *now = rows[2];
	for (size_t j = 0; j <= n; j++)
		last[j] = j;
	for (size_t i = 1; i <= m; i++) {
		now[0] = i;
		for (size_t j = 1; j <= n; j++) {
			size_t best = last[j - 1] + (lower(a[i - 1]) != lower(b[j - 1]));
			if (last[j] + 1 < best)
				best = last[j] + 1;
			if (now[j - 1] + 1 < best)
				best = now[j - 1] + 1;
			if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1] && before[j - 2] + 1 < best)
				best = before[j - 2] + 1;
			now[j] = best;
		}
		size_t *spare = before;
		before = last;
		last = now;
		now = spare;
	}
	return last[n];
}

const char *text_nearest(const char *word, const char *const *candidates, size_t count)
{
	const char *nearest = NULL;
	size_t allowed = strlen(word) / 3 + 1, least = allowed + 1;
	for (size_t i = 0; i < count; i++) {
		size_t distance = edits(word, candidates[i]);
		if (distance < least && distance < strlen(candidates[i])) {
			least = distance;
			nearest = candidates[i];
		}
	}
	return nearest;
}

const char *text_quoted(struct arena *arena, const char *utf8)
{
	enum { LONGEST = 60 };
	size_t length = strlen(utf8), shown = length;
	if (shown > LONGEST)
		shown = LONGEST;
	while (shown > 0 && shown < length && !text_begins_character(utf8[shown]))
		shown--; /* what is no UTF-8 may hold nothing to cut at */
	char *copy = arena_copy_span(arena, utf8, shown);
	for (char *c = copy; *c; c++)
		if ((unsigned char)*c < ' ')
			*c = ' ';
	return arena_format(arena, "\"%s%s\"", copy, shown < length ? "..." : "");
}

size_t text_control_length(const char *at)
{
	const unsigned char *byte = (const unsigned char *)at;
	if (byte[0] == 0xC2)
		return byte[1] >= 0x80 && byte[1] <= 0x9F ? 2 : 0;
	if (byte[0] != 0xE2)
		return 0;
	bool embeds = byte[1] == 0x80 && byte[2] >= 0xAA && byte[2] <= 0xAE;
	bool isolates = byte[1] == 0x81 && byte[2] >= 0xA6 && byte[2] <= 0xA9;
	return embeds || isolates ? 3 : 0;
}

const char *text_plain(struct arena *arena, const char *utf8)
{
	enum { DELETE = 0x7F };
	struct text plain = text_in(arena);
	for (const char *at = utf8; *at;) {
		size_t control_length = text_control_length(at);
		bool control = (unsigned char)*at < ' ' || *at == DELETE;
		if (control_length)
			text_add(&plain, "\xEF\xBF\xBD");
		else
			text_add_char(&plain, control ? ' ' : *at);
		at += control_length ? control_length : 1;
	}
	return plain.data;
}

size_t text_columns(const char *utf8)
{
	size_t columns = 0;
	for (; *utf8; utf8++)
		columns += text_begins_character(*utf8);
	return columns;
}

const char *text_cut(struct arena *arena, const char *utf8, size_t characters)
{
	enum { CONTINUES = 0x80, CONTINUES_MASK = 0xC0 }; /* the bytes of UTF-8 that start no character */
	if (text_columns(utf8) <= characters)
		return utf8;
	size_t end = 0;
	for (size_t seen = 0; utf8[end]; end++)
		if (((unsigned char)utf8[end] & CONTINUES_MASK) != CONTINUES && seen++ == characters - 1)
			break;
	return arena_format(arena, "%.*s…", (int)end, utf8);
}
