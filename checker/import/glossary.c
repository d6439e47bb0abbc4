#include "import/glossary.h"

#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "import/glossary_reading.h"

#define KINDS(code, kinds) static const char KINDS_##code[] = kinds;
#include "import/glossary.def"

static const struct phrase rows[] = {
#define PHRASE(kinds, child, sets, phrases) {KINDS_##kinds, child, sets, phrases},
#include "import/glossary.def"
};

bool glossary_row(size_t i, const char **kinds, const char **child, const char **sets)
{
	if (i >= COUNT(rows))
		return false;
	*kinds = rows[i].kinds;
	*child = rows[i].child;
	*sets = rows[i].sets;
	return true;
}

/* ---- phrases ---- */

static struct found longest_at(const struct reading *reading, size_t at)
{
	struct found best = {.row = NULL};
	for (size_t i = 0; i < COUNT(rows); i++) {
		if (!text_has_word(rows[i].kinds, reading->kind))
			continue;
		struct phrase_fit fit = phrase_at(reading->arena, reading->tokens, reading->count, at, rows[i].phrases);
		if (fit.length > best.fit.length)
			best = (struct found){.row = &rows[i],
				.fit = fit,
				.first = at,
				.after = at + fit.length,
				.read_first = at,
				.read_after = at + fit.length};
	}
	return best;
}

static void find_phrases(struct reading *reading)
{
	for (size_t at = 0; at < reading->count;) {
		struct found found = longest_at(reading, at);
		if (!found.row) {
			at++;
			continue;
		}
		reading->founds = arena_grow(reading->arena, reading->founds, reading->found_count,
			&reading->found_capacity, sizeof *reading->founds);
		reading->founds[reading->found_count++] = found;
		for (; at < found.after; at++)
			reading->read[at] = true;
	}
}

/* ---- words ---- */

static const char *value_of(const struct reading *reading, const struct found *found, const char *set, size_t length)
{
	if (*set == '$')
		return found->fit.slots[set[1] - '1'];
	const char *value = arena_copy_span(reading->arena, set, length);
	return !found->denied ? value : strcmp(value, "yes") == 0 ? "no" : "yes";
}

static void add_word(struct reading *reading, const struct found *found, const char *attribute, const char *value)
{
	const struct token *first = &reading->tokens[found->read_first],
			   *last = &reading->tokens[found->read_after - 1];
	reading->words = arena_grow(
		reading->arena, reading->words, reading->word_count, &reading->word_capacity, sizeof *reading->words);
	reading->words[reading->word_count++] = (struct glossary_word){.child = found->row->child ? found->row->child
			: found->which								  ? "part"
												  : NULL,
		.which = found->which,
		.attribute = attribute,
		.value = value,
		.start = first->start,
		.length = last->start + last->length - first->start,
		.certain = !found->doubt,
		.why = found->doubt ? found->doubt : ""};
}

/* A part is called what the remark says of it. */
static void name_part(struct reading *reading, const struct found *found)
{
	const struct token *first = &reading->tokens[found->scope_first],
			   *last = &reading->tokens[found->scope_end - 1];
	if (!found->row->child && found->which)
		add_word(reading, found, "name",
			arena_copy_span(reading->arena, reading->remark + first->start,
				last->start + last->length - first->start));
}

static void write_words(struct reading *reading, const struct found *found)
{
	name_part(reading, found);
	if (!*found->row->sets)
		add_word(reading, found, NULL, NULL);
	for (const char *at = found->row->sets; *at;) {
		size_t name = strcspn(at, "="), value = strcspn(at + name + 1, ";");
		add_word(reading, found, arena_copy_span(reading->arena, at, name),
			value_of(reading, found, at + name + 1, value));
		at += name + 1 + value;
		at += *at == ';';
	}
}

/* Two values of one attribute: neither is taken. */
static void doubt_contradictions(struct reading *reading)
{
	for (size_t i = 0; i < reading->word_count; i++)
		for (size_t k = 0; k < reading->word_count; k++) {
			struct glossary_word *one = &reading->words[i];
			const struct glossary_word *other = &reading->words[k];
			if (!one->certain || !one->attribute || one->which != other->which ||
				!text_same(one->child, other->child) || !text_same(one->attribute, other->attribute) ||
				text_same(one->value, other->value))
				continue;
			one->certain = false;
			one->why = "the remark says it in two ways";
		}
}

size_t glossary_read(struct arena *arena, const char *kind, const char *remark, struct glossary_word **words)
{
	struct reading reading = {
		.arena = arena, .kind = kind, .remark = remark, .takes_part = text_has_word(KINDS_EQUIPMENT, kind)};
	reading.count = glossary_tokens(arena, remark, &reading.tokens);
	reading.read = arena_alloc(arena, reading.count + 1);
	find_phrases(&reading);
	reading_judge(&reading);
	for (size_t i = 0; i < reading.found_count; i++)
		write_words(&reading, &reading.founds[i]);
	doubt_contradictions(&reading);
	*words = reading.words;
	return reading.word_count;
}

/* ---- what is left ---- */

static bool is_covered(size_t at, const struct glossary_word *words, size_t count)
{
	for (size_t i = 0; i < count; i++)
		if (words[i].certain && at >= words[i].start && at < words[i].start + words[i].length)
			return true;
	return false;
}

/* Words that join what was read say nothing more. */
static void add_piece(struct text *out, const char *from, size_t length)
{
	static const char signs[] = " \t\r\n,;.:()[]-";
	static const char joints[] = "and or but & / und oder aber et ou mais y o pero yes Y ja oui si sí";
	while (length && strchr(signs, from[length - 1]))
		length--;
	while (length && strchr(signs, *from)) {
		from++;
		length--;
	}
	if (length && !text_has_word(joints, arena_copy_span(out->arena, from, length))) {
		text_add(out, out->length ? "; " : "");
		text_add_span(out, from, length);
	}
}

const char *glossary_unread(struct arena *arena, const char *remark, const struct glossary_word *words, size_t count)
{
	struct text out = text_in(arena);
	size_t from = 0, at = 0;
	for (; remark[at]; at++)
		if (is_covered(at, words, count)) {
			add_piece(&out, remark + from, at - from);
			from = at + 1;
		}
	add_piece(&out, remark + from, at - from);
	return out.data ? out.data : "";
}
