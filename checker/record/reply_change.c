#include "record/reply_change.h"

#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "import/glossary.h"
#include "resolve/stated_value.h"

enum { WORDS_MOST = 24 };

struct reader {
	struct arena *arena;
	const struct table *table;
	const struct item *item;
	const struct rule *rule;
	const char *wanted;
	struct reply_changes out;
};

static void add(struct reader *reader, struct reply_change change)
{
	struct reply_changes *out = &reader->out;
	out->rows = arena_grow(reader->arena, out->rows, out->count, &out->capacity, sizeof *out->rows);
	out->rows[out->count++] = change;
}

/* ---- values ---- */

/* The value as the attribute means it; NULL: it is none, with the reason. */
static const struct quantity *value_of(struct arena *arena, const struct item *item,
	const struct vocabulary_attribute *meaning, const char *written, const char **why)
{
	struct problems problems = {.arena = arena};
	const struct attribute attribute = {.meaning = meaning, .written = written};
	const struct stating stating = {.item = item, .document = "", .barometric = 101325};
	enum kind kind = meaning->type->accepted.kinds[0];
	bool answer = strcmp(written, "yes") == 0 || strcmp(written, "no") == 0;
	*why = arena_format(arena, "'%s' is no value of %s", written, meaning->name);
	if (!*written || written_is_owed(written) || (kind == KIND_YES_NO && !answer) ||
		type_says_of_what(meaning->type))
		return NULL;
	const struct quantity *value = stated_value(arena, &attribute, &stating, &problems);
	if (problems.count)
		*why = problems.rows[0].message;
	return problems.count ? NULL : value;
}

/* The item itself or what it is part of, whichever may carry the attribute. */
static const struct item *carrier_of(const struct item *item, const char *name)
{
	while (item && (!item->meaning || !vocabulary_attribute(item->meaning, name)))
		item = item->parent;
	return item;
}

/* "Design temperature" is the attribute design-temperature. */
static const char *attribute_name(struct arena *arena, const char *written)
{
	char *name = arena_copy(arena, written);
	for (char *c = name; *c; c++)
		*c = *c == ' ' ? '-' : (char)tolower((unsigned char)*c);
	return name;
}

/* ---- the columns ---- */

static const char *next_part(struct arena *arena, const char **at)
{
	if (!*at)
		return NULL;
	size_t length = strcspn(*at, ";");
	const char *from = *at + strspn(*at, " "), *end = *at + length;
	*at = **at && (*at)[length] ? end + 1 : NULL;
	while (end > from && end[-1] == ' ')
		end--;
	return arena_copy_span(arena, from, end > from ? (size_t)(end - from) : 0);
}

/* "size", or "E-302.area" */
static const char *take_columns(struct reader *reader, const char *attribute, const char *value)
{
	struct arena *arena = reader->arena;
	const char *dot = strrchr(attribute, '.'), *why;
	const char *tag = dot ? arena_copy_span(arena, attribute, (size_t)(dot - attribute)) : NULL;
	const struct item *of = tag ? table_find(reader->table, tag) : reader->item;
	const char *name = attribute_name(arena, dot ? dot + 1 : attribute);
	if (!of)
		return arena_format(arena, "there is no item '%s'", tag ? tag : "");
	const struct item *carrier = carrier_of(of, name);
	if (!carrier)
		return arena_format(arena, "%s has no attribute '%s'", of->tag, name);
	if (!value_of(arena, carrier, vocabulary_attribute(carrier->meaning, name), value, &why))
		return why;
	add(reader,
		(struct reply_change){.item = reader->wanted && !tag ? NULL : carrier, .name = name, .written = value});
	return NULL;
}

static void read_columns(struct reader *reader, const char *attributes, const char *values)
{
	const char *at = attributes, *value_at = values, *attribute;
	if (!*attributes && reader->wanted)
		at = reader->wanted;
	while (!reader->out.fault && (attribute = next_part(reader->arena, &at)) != NULL) {
		const char *value = next_part(reader->arena, &value_at);
		reader->out.fault = !value || !*attribute
			? "the columns Attribute and New value do not have one value for each attribute"
			: take_columns(reader, attribute, value);
	}
	if (!reader->out.fault && value_at)
		reader->out.fault = "the columns Attribute and New value do not have one value for each attribute";
	if (reader->out.fault)
		reader->out.count = 0;
}

/* ---- words ---- */

/* Words that say nothing of what is changed, and such as make doubtful what is said. */
static const char
	fillers[] =
		"is are was now to be been changed increased raised reduced lowered revised set at of the = : a has "
		"have for will made as new from on with instead updated corrected material's",
	doubts[] = "not no if unless except only part partly later pending maybe may could should would "
		   "consider considered considering than above below up least most about approx approximately "
		   "before after either or never without rather otherwise cannot can't question propose proposed";

struct piece {
	const char *words[WORDS_MOST];
	size_t count;
};

static bool is_doubtful(const struct piece *piece)
{
	for (size_t i = 0; i < piece->count; i++)
		if (strchr(piece->words[i], '?') || strchr("<>~", *piece->words[i]) ||
			text_has_word(doubts, piece->words[i]))
			return true;
	return false;
}

static const char *joined(struct arena *arena, const struct piece *piece, size_t from)
{
	struct text text = text_in(arena);
	for (size_t i = from; i < piece->count; i++)
		text_addf(&text, "%s%s", i > from ? " " : "", piece->words[i]);
	return text.data ? text.data : "";
}

static bool is_input(const struct rule *rule, const char *name)
{
	for (size_t i = 0; rule && i < rule->input_count; i++)
		if (!rule->inputs[i].constant && strcmp(rule->inputs[i].quantity, name) == 0)
			return true;
	return false;
}

/* How many words lead to the value, all of them words of the attribute; bare, what the rule looks at, a size of pipe or a metal is meant. */
static int fit_of(
	const struct reader *reader, const struct vocabulary_attribute *meaning, const struct piece *piece, size_t lead)
{
	char *name = arena_copy(reader->arena, meaning->name);
	int own = 1, said = 0;
	for (char *c = name; *c; c++) {
		own += *c == '-';
		*c = *c == '-' ? ' ' : *c;
	}
	for (size_t i = 0; i < lead; i++) {
		const char *word = attribute_name(reader->arena, piece->words[i]);
		if (text_has_word(fillers, word))
			continue;
		if (!text_has_word(name, word))
			return 0;
		said++;
	}
	if (!said)
		return is_input(reader->rule, meaning->name) || strcmp(meaning->type->name, "pipe-size") == 0 ||
			strcmp(meaning->name, "material") == 0 || text_same(reader->wanted, meaning->name);
	return 2 * said + (said == own);
}

/* A number without its unit, or a text, would be a value of anything. */
static bool says_what_it_is(const struct vocabulary_attribute *meaning)
{
	enum kind kind = meaning->type->accepted.kinds[0];
	bool pipe = strcmp(meaning->type->name, "pipe-size") == 0 || strcmp(meaning->type->name, "schedule") == 0;
	return pipe || (kind != KIND_TEXT && kind != KIND_REFERENCE && kind != KIND_DATE);
}

struct match {
	int fit;
	bool several;
	struct reply_change change;
};

static void weigh(struct reader *reader, const struct item *item, const struct vocabulary_attribute *meaning,
	const struct piece *piece, struct match *best)
{
	for (size_t lead = 0; lead < piece->count; lead++) {
		int fit = says_what_it_is(meaning) ? fit_of(reader, meaning, piece, lead) : 0;
		const char *written = joined(reader->arena, piece, lead), *why;
		if (!fit || fit < best->fit || !value_of(reader->arena, item, meaning, written, &why))
			continue;
		best->several = fit == best->fit && !text_same(best->change.name, meaning->name);
		best->fit = fit;
		best->change = (struct reply_change){
			reader->wanted ? NULL : item, meaning->name, written, .interpreted = true};
	}
}

/* The attribute of the item, or of what it is part of, that the piece fits best; none where two fit alike. */
static bool read_piece(struct reader *reader, const struct piece *piece)
{
	struct match best = {.fit = 0};
	for (const struct item *item = reader->item; item && !best.fit; item = item->parent)
		for (size_t i = 0; item->meaning && i < item->meaning->attribute_count; i++)
			weigh(reader, item, &item->meaning->attributes[i], piece, &best);
	if (best.fit && !best.several)
		add(reader, best.change);
	return best.fit && !best.several;
}

static void read_pieces(struct reader *reader, const char *words)
{
	struct piece piece = {.count = 0};
	for (const char *at = words;;) {
		size_t length = strcspn(at, " \t\n;"), kept = length;
		while (kept && strchr(",.!", at[kept - 1]))
			kept--;
		const char *word = arena_copy_span(reader->arena, at, kept);
		bool joint = strcmp(word, "and") == 0,
		     ends = joint || kept < length || !at[length] || at[length] == ';';
		if (kept && !joint && piece.count < WORDS_MOST)
			piece.words[piece.count++] = word;
		if (ends && piece.count && !is_doubtful(&piece))
			read_piece(reader, &piece);
		piece.count = ends ? 0 : piece.count;
		if (!at[length])
			return;
		at += length + 1;
	}
}

/* What the glossary read with certainty is blanked, and the rest is read piece by piece. */
static void read_words(struct reader *reader, const char *words)
{
	struct glossary_word *found = NULL;
	size_t count = glossary_read(reader->arena, reader->item->kind, words, &found);
	char *rest = arena_copy(reader->arena, words);
	for (size_t i = 0; i < count; i++) {
		const struct glossary_word *word = &found[i];
		if (!word->certain || word->child || word->which || !word->attribute ||
			!carrier_of(reader->item, word->attribute))
			continue;
		add(reader,
			(struct reply_change){reader->wanted ? NULL : carrier_of(reader->item, word->attribute),
				word->attribute, word->value, .interpreted = true});
		memset(rest + word->start, ' ', word->length);
		rest[word->start] = ';';
	}
	read_pieces(reader, rest);
}

/* A value stated in two ways is none. */
static void refuse_contradictions(struct reply_changes *changes)
{
	for (size_t i = 0; i < changes->count; i++)
		for (size_t k = 0; k < i; k++)
			if (changes->rows[i].item == changes->rows[k].item &&
				strcmp(changes->rows[i].name, changes->rows[k].name) == 0 &&
				strcmp(changes->rows[i].written, changes->rows[k].written) != 0) {
				changes->fault = "it names two values of one attribute";
				changes->count = 0;
				return;
			}
}

/* A reply that was carried on holds its answer before its words: "design changed: now NPS 8". */
static struct reply_cells with_answer(struct reply_cells cells)
{
	static const char *const answers[] = {"design changed", "shown to be met", "value stated",
		"deviation asked for", "does not apply", "not agreed"};
	for (size_t i = 0; i < COUNT(answers) && !*cells.answer; i++) {
		size_t length = strlen(answers[i]);
		if (strncmp(cells.words, answers[i], length) != 0 ||
			(cells.words[length] && cells.words[length] != ':'))
			continue;
		cells.words += length + strspn(cells.words + length, ": ");
		cells.answer = answers[i];
	}
	return cells;
}

struct reply_changes reply_changes_read(struct arena *arena, const struct table *table, const struct item *item,
	const struct rule *rule, const char *wanted, const struct reply_cells *read)
{
	const struct reply_cells cells = with_answer(*read);
	static const char *const changing[] = {"", "design changed", "value stated"};
	struct reader reader = {.arena = arena, .table = table, .item = item, .rule = rule, .wanted = wanted};
	bool columns = *cells.attribute || *cells.value, changes = false;
	for (size_t i = 0; i < COUNT(changing); i++)
		changes = changes || text_same_nocase(cells.answer, changing[i]);
	reader.out.asked = columns || (changes && *cells.answer);
	if (columns)
		read_columns(&reader, cells.attribute, cells.value);
	else if (item && changes && *cells.words)
		read_words(&reader, cells.words);
	refuse_contradictions(&reader.out);
	return reader.out;
}

bool reply_change_is_stated(struct arena *arena, const struct table *table, const struct item *item,
	const struct reply_change *change, int operating_case)
{
	const struct vocabulary_attribute *meaning = vocabulary_attribute(item->meaning, change->name);
	const char *why;
	const struct quantity *stated = table_stated(table, item, operating_case, change->name);
	const struct quantity *named = meaning ? value_of(arena, item, meaning, change->written, &why) : NULL;
	static const double rounding = 1e-6;
	if (!stated || !named || stated->known == UNKNOWN)
		return false;
	return kind_is_number(named->kind) ? stated->kind == named->kind && stated->bound == named->bound &&
			fabs(stated->si - named->si) <= rounding * fabs(named->si)
					   : text_same(stated->word, named->word);
}

const char *reply_changes_words(struct arena *arena, const struct reply_changes *changes)
{
	struct text text = text_in(arena);
	for (size_t i = 0; i < changes->count; i++) {
		const struct reply_change *change = &changes->rows[i];
		text_addf(&text, "%s%s%s%s %s%s", i ? " and " : "", change->name, change->item ? " of " : "",
			change->item ? change->item->tag : "", change->written,
			change->interpreted ? " (interpreted)" : "");
	}
	return text.data ? text.data : "";
}
