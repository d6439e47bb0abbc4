/*
 * Three packages in the words of ordinary documents, and what became of every statement in them.
 *
 * tests/packages/NAME.txt was written first, as a document; tests/designs/NAME.xml is its description. NAME.statements lists each
 * statement in the order of the text: its words | the item | the attribute, or "text" of a note | the operating case. A word with
 * a figure in it that no row claims is lost.
 */
#include <criterion/criterion.h>
#include <ctype.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "review_support.h"

static struct trial trial;

static void begin(void)
{
	trial_open(&trial, NULL);
}

static void end(void)
{
	trial_close(&trial);
}

TestSuite(packages, .init = begin, .fini = end);

/* Blanks and ends of line folded to one blank. */
static const char *folded(const char *text)
{
	struct text out = text_in(&trial.arena);
	for (const char *c = text; *c; c++) {
		bool blank = isspace((unsigned char)*c);
		if (!blank)
			text_add_char(&out, *c);
		else if (out.length && out.data[out.length - 1] != ' ')
			text_add_char(&out, ' ');
	}
	return out.data;
}

/* Tags and formulas carry figures and a capital (E-302, H2S); a figure by itself is a statement. */
static bool is_figure(const char *word, size_t length)
{
	bool digit = false, capital = false;
	for (size_t i = 0; i < length; i++) {
		digit = digit || isdigit((unsigned char)word[i]);
		capital = capital || isupper((unsigned char)word[i]);
	}
	return digit && !capital;
}

static void expect_no_figure(const char *from, const char *to, const char *path)
{
	while (from < to) {
		size_t length = strcspn(from, " ");
		length = length > (size_t)(to - from) ? (size_t)(to - from) : length;
		cr_expect(!is_figure(from, length), "%s: '%.*s' is claimed by no row", path, (int)length, from);
		from += length + 1;
	}
}

/* The first figure of the words, "" where there is none. */
static const char *figure_of(const char *words)
{
	const char *start = strpbrk(words, "0123456789");
	return start ? arena_copy_span(&trial.arena, start, strspn(start, "0123456789.-")) : "";
}

/* Where words and value both hold figures, one of the words is that of the value. */
static bool says_the_value(const char *words, const char *written)
{
	const char *figure = figure_of(written);
	return !*figure || !*figure_of(words) || strstr(words, figure);
}

/* Of several that would have one name the line tells them apart: "solvent dated analysis (line 14) anion formate". */
static bool is_called(const struct item *item, const char *name)
{
	static const char told[] = " (line ";
	struct text plain = text_in(&trial.arena);
	for (const char *c = item->tag; *c;) {
		const char *end = strncmp(c, told, sizeof told - 1) == 0 ? strchr(c, ')') : NULL;
		if (!end)
			text_add_char(&plain, *c);
		c = end ? end + 1 : c + 1;
	}
	return item_is(item, "unit") ? strcmp(name, "unit") == 0 : text_same(plain.data, name);
}

static const struct statement *statement_for(const char *words, const char *item, const char *name, const char *in_case)
{
	size_t count;
	const struct statement *all = table_statements(trial.table, &count);
	for (size_t i = 0; i < count; i++) {
		const char *own =
			all[i].operating_case == EVERY_CASE ? "" : table_case(trial.table, all[i].operating_case)->id;
		if (is_called(all[i].item, item) && strcmp(all[i].name, name) == 0 && strcmp(own, in_case) == 0 &&
			says_the_value(words, all[i].quantity->written))
			return &all[i];
	}
	return NULL;
}

/* Where the values of an item come from is kept with each of them, and is no statement of its own. */
static bool is_a_source(const char *name)
{
	return strcmp(name, "data") == 0;
}

struct tally {
	size_t rows, typed, notes;
};

/* Cuts the next field of a row off. */
static char *field(char **at)
{
	char *start = *at, *bar = strstr(start, " |");
	if (bar) {
		*bar = '\0';
		*at = bar + 2 + (bar[2] == ' ');
	} else {
		*at = start + strlen(start);
	}
	return start;
}

static void expect_row(char *row, const char **at, const char *path, struct tally *tally)
{
	const char *words = field(&row), *item = field(&row), *name = field(&row), *in_case = field(&row);
	const char *found = strstr(*at, words);
	cr_assert_not_null(found, "%s: '%s' is not in the text behind '%.40s'", path, words, *at);
	expect_no_figure(*at, found, path);
	*at = found + strlen(words);
	const struct statement *statement = statement_for(words, item, name, in_case);
	cr_expect(
		statement || is_a_source(name), "%s: nothing says '%s': %s of %s %s", path, words, name, item, in_case);
	bool note = statement && item_is(statement->item, "note");
	tally->rows++;
	tally->typed += !note;
	tally->notes += note;
}

static struct tally tally_of(const char *name)
{
	struct tally tally = {0};
	const char *path = arena_format(&trial.arena, "tests/packages/%s.statements", name);
	trial_review_file(&trial, arena_format(&trial.arena, "tests/designs/%s.xml", name));
	cr_assert_not_null(trial.review, "%s: %s", name, trial_messages(&trial));
	const char *at = folded(file_text(&trial.arena, arena_format(&trial.arena, "tests/packages/%s.txt", name)));
	char *rows = arena_copy(&trial.arena, file_text(&trial.arena, path));
	for (char *row = rows, *end; *row; row = end + 1) {
		end = strchr(row, '\n');
		cr_assert_not_null(end, "%s: the last row has no end", path);
		*end = '\0';
		expect_row(row, &at, path, &tally);
	}
	expect_no_figure(at, at + strlen(at), path);
	cr_expect_eq(
		tally.notes, trial.review->statements.notes.count, "%s: every note is a statement of the text", path);
	return tally;
}

/* At least 95 in a hundred have a place of their own, the rest are notes, and none is lost. */
Test(packages, statements_have_a_place_of_their_own)
{
	static const char *const names[] = {"whimbrel-cross", "dunlin-fork", "pipit-hollow"};
	for (size_t i = 0; i < COUNT(names); i++) {
		struct tally tally = tally_of(names[i]);
		cr_expect_gt(tally.rows, 150, "%s: %zu", names[i], tally.rows);
		cr_expect(100 * tally.typed >= 95 * tally.rows, "%s: %zu typed of %zu", names[i], tally.typed,
			tally.rows);
		cr_expect_eq(tally.typed + tally.notes, tally.rows);
	}
}
