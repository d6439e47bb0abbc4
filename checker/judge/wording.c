#include "judge/wording.h"

#include <math.h>
#include <string.h>

#include "base/text.h"
#include "resolve/pipe.h"

static const char *wording_limit_value(struct arena *arena, const struct limit *limit)
{
	return limit->says ? limit->says : quantity_show_both(arena, &limit->value);
}

const char *wording_limit(struct arena *arena, const struct limit *limit)
{
	if (limit->says)
		return limit->says;
	return arena_format(arena, "%s %s", relation_word(limit->relation), wording_limit_value(arena, limit));
}

const char *wording_source(struct arena *arena, const struct source *source)
{
	if (!source)
		return "no source";
	if (strcmp(source->key, "common-practice") == 0)
		return "common practice, no source";
	return arena_format(arena, "%s%s%s%s%s", *source->author ? source->author : source->title,
		*source->year ? " " : "", source->year, *source->edition ? ", " : "", source->edition);
}

const char *wording_known(enum reading reading)
{
	switch (reading) {
	case READING_READ:
		return "read";
	case READING_SECONDARY:
		return "secondary: a digest or quotation was read, not the original";
	case READING_MEMORY:
		return "from memory: check against a licensed copy";
	case READING_COMMON_PRACTICE:
		return "common practice, no source";
	}
	return "";
}

const char *wording_reading(struct arena *arena, const struct limit *limit)
{
	bool doubted = *limit->confidence && !text_same(limit->confidence, "high");
	return arena_format(arena, "%s%s%s%s", wording_known(limit->reading),
		limit->source && !limit->source->named ? "; unnamed source, never firm alone" : "",
		doubted ? "; confidence " : "", doubted ? limit->confidence : "");
}

const char *wording_constant(struct arena *arena, const struct rule_input *input)
{
	const char *reading = input->reading == READING_COMMON_PRACTICE ? "" : reading_word(input->reading);
	return arena_format(arena, "%s (%s%s%s%s%s)", quantity_show_both(arena, input->constant),
		wording_source(arena, input->source), *input->clause ? "; " : "", input->clause, *reading ? "; " : "",
		reading);
}

const char *wording_kinds(struct arena *arena, const struct selection *selection)
{
	return selection->kinds == selection->written
		? selection->kinds
		: arena_format(arena, "%s: %s", selection->written, selection->kinds);
}

bool wording_pipe_that_meets(const struct finding *finding, const struct table *table, struct pipe *pipe)
{
	const struct quantity *bore = table_get(table, finding->item, finding->operating_case, "bore-judged");
	const char *schedule = table_word(table, finding->item, finding->operating_case, "schedule");
	const struct limit *limit = finding->governing ? finding->governing->limit : NULL;
	if (!bore || bore->known == UNKNOWN || !schedule || !limit || limit->says || !finding->value ||
		finding->value->kind != KIND_VELOCITY)
		return false;
	double needed = bore->si * sqrt(finding->value->si / limit->value.si); /* of no velocity at all: infinite */
	return pipe_smallest_with_bore(needed, schedule, pipe);
}

static const char *size_that_meets(struct arena *arena, const struct finding *finding, const struct table *table)
{
	struct pipe pipe;
	if (!wording_pipe_that_meets(finding, table, &pipe))
		return "a larger bore";
	double bore = table_get(table, finding->item, finding->operating_case, "bore-judged")->si;
	double velocity = finding->value->si * (bore / pipe.bore) * (bore / pipe.bore);
	return arena_format(arena, "%s schedule %s (brings %s)", pipe.size, pipe.schedule,
		quantity_show_si(arena, velocity, KIND_VELOCITY, NULL));
}

/* What is in a place, or NULL where it is not known. Loading a rule refuses other places than these. */
static const char *word_for(
	struct arena *arena, const char *name, const struct finding *finding, const struct table *table)
{
	const struct limit *limit = finding->governing ? finding->governing->limit : NULL;
	for (size_t i = 0; i < finding->input_count; i++)
		if (strcmp(finding_input(finding, i).symbol, name) == 0)
			return finding->inputs[i].quantity->known == UNKNOWN
				? NULL
				: quantity_show_both(arena, finding->inputs[i].quantity);
	if (strcmp(name, "item") == 0)
		return finding->item->tag;
	if (strcmp(name, "kind") == 0)
		return finding->item->kind;
	if (strcmp(name, "case") == 0)
		return finding->operating_case == EVERY_CASE ? "every case"
							     : table_case(table, finding->operating_case)->title;
	if (strcmp(name, "value") == 0)
		return finding->value ? quantity_show_both(arena, finding->value) : NULL;
	if (strcmp(name, "limit") == 0)
		return limit ? wording_limit(arena, limit) : NULL;
	if (strcmp(name, "limit-value") == 0)
		return limit ? wording_limit_value(arena, limit) : NULL;
	return size_that_meets(arena, finding, table);
}

/* ---- clauses and sentences ---- */

struct filling {
	struct arena *arena;
	const struct finding *finding;
	const struct table *table;
};

/*
 * Adds `length` bytes with their places filled. False: one of them is not known, or in a clause that may be left out has no
 * words, and nothing is added.
 */
static bool add_filled(
	const struct filling *filling, struct text *text, const char *words, size_t length, bool is_clause)
{
	const char *end = words + length;
	struct text filled = text_in(filling->arena);
	while (words < end) {
		const char *open = memchr(words, '{', (size_t)(end - words));
		const char *close = open ? memchr(open, '}', (size_t)(end - open)) : NULL;
		if (!close)
			break;
		const char *name = arena_copy_span(filling->arena, open + 1, (size_t)(close - open) - 1);
		const char *word = word_for(filling->arena, name, filling->finding, filling->table);
		if (!word || (is_clause && !*word))
			return false;
		text_add_span(&filled, words, (size_t)(open - words));
		text_add(&filled, word);
		words = close + 1;
	}
	text_add_span(&filled, words, (size_t)(end - words));
	text_add_span(text, filled.data, filled.length);
	return true;
}

/* The end of a clause in brackets that holds a place, or NULL: other brackets are words. */
static const char *clause_end(const char *open, const char *end)
{
	const char *close = memchr(open, ']', (size_t)(end - open));
	const char *place = close ? memchr(open, '{', (size_t)(close - open)) : NULL;
	return place ? close : NULL;
}

/* A sentence without the clauses of which a place is not known; all of it is left out where a place outside of them is not. */
static void add_sentence(const struct filling *filling, struct text *text, const char *words, size_t length)
{
	const char *end = words + length, *at = words;
	struct text sentence = text_in(filling->arena);
	for (const char *open = words; open < end; open++) {
		const char *close = *open == '[' ? clause_end(open, end) : NULL;
		if (!close)
			continue;
		if (!add_filled(filling, &sentence, at, (size_t)(open - at), false))
			return;
		add_filled(filling, &sentence, open + 1, (size_t)(close - open) - 1, true);
		at = close + 1;
		open = close;
	}
	if (add_filled(filling, &sentence, at, (size_t)(end - at), false) && sentence.length)
		text_add_span(text, sentence.data, sentence.length);
}

/* With the stop and the blank after it; in a clause in brackets none ends. */
static size_t sentence_length(const char *words)
{
	size_t depth = 0;
	for (size_t i = 0; words[i]; i++) {
		depth += words[i] == '[';
		depth -= words[i] == ']' && depth > 0;
		if (depth == 0 && words[i] == '.' && words[i + 1] == ' ')
			return i + 2;
	}
	return strlen(words);
}

const char *wording_fill(
	struct arena *arena, const char *words, const struct finding *finding, const struct table *table)
{
	const struct filling filling = {.arena = arena, .finding = finding, .table = table};
	struct text text = text_in(arena);
	for (const char *at = words; *at;) {
		size_t length = sentence_length(at);
		add_sentence(&filling, &text, at, length);
		at += length;
	}
	while (text.length && text.data[text.length - 1] == ' ')
		text.data[--text.length] = '\0';
	return text.length ? text.data : "";
}
