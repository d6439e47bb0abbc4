/*
 * The table of computed quantities against what every design at hand shows: on which kinds of items a name is computed, of which
 * kind of quantity it is, and from which names.
 */
#include <criterion/criterion.h>
#include <glob.h>
#include <stdio.h>
#include <string.h>

#include "base/text.h"
#include "command/commands.h"
#include "compute/computed.h"
#include "pipeline/compute_unit.h"
#include "read/element.h"
#include "resolve/resolve.h"

enum { NAMES_MOST = 512, WORDS_MOST = 128 };

/* Words without repetition, kept in the order of their letters. */
struct words {
	const char *rows[WORDS_MOST];
	size_t count;
};

struct seen {
	const char *name;
	struct words kinds, on, from;
};

static struct arena arena;
static struct seen *seen;
static size_t seen_count;

static void add_word(struct words *words, const char *word)
{
	size_t at = words->count;
	for (size_t i = 0; i < words->count; i++)
		if (strcmp(words->rows[i], word) == 0)
			return;
	cr_assert(words->count < WORDS_MOST);
	for (words->count++; at > 0 && strcmp(words->rows[at - 1], word) > 0; at--)
		words->rows[at] = words->rows[at - 1];
	words->rows[at] = arena_copy(&arena, word);
}

static const char *joined(const struct words *words)
{
	struct text text = text_in(&arena);
	for (size_t i = 0; i < words->count; i++)
		text_addf(&text, "%s%s", i ? " " : "", words->rows[i]);
	return text.data;
}

static struct seen *seen_named(const char *name)
{
	for (size_t i = 0; i < seen_count; i++)
		if (strcmp(seen[i].name, name) == 0)
			return &seen[i];
	cr_assert(seen_count < NAMES_MOST);
	seen[seen_count].name = arena_copy(&arena, name);
	return &seen[seen_count++];
}

/* The nearest inputs that are in the table, of other items with their kind: what was only calculated on the way is looked through. */
static void add_from(struct words *from, const struct item *item, const struct quantity *quantity)
{
	for (size_t i = 0; i < quantity->input_count; i++) {
		const struct input *input = &quantity->inputs[i];
		if (input->whose)
			add_word(from,
				input->item == item ? input->name
						    : arena_format(&arena, "%s.%s", input->item->kind, input->name));
		else if (input->quantity)
			add_from(from, item, input->quantity);
	}
}

static void note_cell(
	const struct item *item, int operating_case, const char *name, const struct quantity *quantity, void *data)
{
	(void)operating_case;
	(void)data;
	struct seen *row = seen_named(name);
	add_word(&row->on, item->kind);
	if (quantity->known != UNKNOWN)
		add_word(&row->kinds, kind_name(quantity->kind));
	add_from(&row->from, item, quantity);
}

/* A contradiction is made by resolving, and none of it is stated. */
static void note_contradiction(
	const struct item *item, int operating_case, const char *name, const struct quantity *quantity, void *data)
{
	if (item_is(item, "contradiction"))
		note_cell(item, operating_case, name, quantity, data);
}

static void note_design(const char *path)
{
	struct arena own = {0};
	struct problems problems = {.arena = &own};
	const struct element *unit = element_read(&own, path, unit_vocabulary(&own), &problems);
	const struct table *resolved = unit ? resolve(&own, unit, &problems) : NULL;
	cr_assert_not_null(resolved, "%s", path);
	const struct table *table = compute_unit(&own, resolved, (struct compute_options){0}).table;
	table_each_cell(table, note_cell, NULL);
	table_each_cell(table_lowest(table), note_contradiction, NULL);
	arena_release(&own);
}

static void see_designs(void)
{
	glob_t found;
	seen = arena_alloc(&arena, NAMES_MOST * sizeof *seen);
	seen_count = 0;
	cr_assert(glob("designs/*.xml", 0, NULL, &found) == 0);
	cr_assert(glob("tests/designs/*.xml", GLOB_APPEND, NULL, &found) == 0);
	for (size_t i = 0; i < found.gl_pathc; i++)
		note_design(found.gl_pathv[i]);
	globfree(&found);
	note_design("checker/read/template.xml");
}

/* Every word of a list is in another; gives the first that is not, or NULL. */
static const char *not_among(const char *list, const struct words *words)
{
	for (const char *at = list; *at;) {
		size_t length = strcspn(at, " ");
		const char *word = arena_copy_span(&arena, at, length);
		bool found = false;
		for (size_t i = 0; i < words->count; i++)
			found = found || strcmp(words->rows[i], word) == 0;
		if (!found && *word != '@')
			return word;
		at += length + (at[length] == ' ');
	}
	return NULL;
}

static bool covers(const char *list, const struct words *words)
{
	for (size_t i = 0; i < words->count; i++)
		if (!text_has_word(list, words->rows[i]))
			return false;
	return true;
}

/* A class may hold kinds that no design shows; a kind that the row names itself must be seen. */
static bool kinds_agree(const struct computed *row, const struct seen *found)
{
	for (size_t i = 0; i < found->on.count; i++)
		if (!computed_is_on(row, found->on.rows[i], false))
			return false;
	return !not_among(row->on, &found->on);
}

/* The working of a number shows all that it is from; words and answers are from more than any working shows. */
static bool origins_agree(const struct computed *row, const struct seen *found)
{
	bool number = false;
	for (size_t i = 0; i < found->kinds.count; i++) {
		enum kind kind;
		number = number || (kind_from_name(found->kinds.rows[i], &kind) && kind_is_number(kind));
	}
	return covers(row->from, &found->from) && !(number && not_among(row->from, &found->from));
}

static const struct computed *row_named(const char *name)
{
	for (size_t i = 0; computed_row(i); i++)
		if (strcmp(computed_row(i)->name, name) == 0)
			return computed_row(i);
	return NULL;
}

static const char *row_of(const struct seen *found, const struct computed *row)
{
	return arena_format(&arena, "%s(\"%s\", \"%s\", \"%s\", \"%s\", \"%s\")",
		row && row->stated ? "COMPLETED" : "COMPUTED", found->name, joined(&found->kinds), joined(&found->on),
		joined(&found->from), row ? row->what : "what it is");
}

/* Both ways: what is computed is declared as it is, and what is declared is computed in some design. */
Test(computed, the_table_is_what_the_designs_show)
{
	see_designs();
	for (size_t i = 0; i < seen_count; i++) {
		const struct computed *row = row_named(seen[i].name);
		cr_expect(row && strcmp(row->kind, joined(&seen[i].kinds)) == 0 && kinds_agree(row, &seen[i]) &&
				origins_agree(row, &seen[i]),
			"checker/compute/computed.def: the designs show\n%s", row_of(&seen[i], row));
	}
	for (size_t i = 0; computed_row(i); i++) {
		size_t at = 0;
		while (at < seen_count && strcmp(seen[at].name, computed_row(i)->name) != 0)
			at++;
		cr_expect(at < seen_count, "%s is declared and computed in no design", computed_row(i)->name);
	}
	cr_expect(seen_count > 150);
	arena_release(&arena);
}

static const struct vocabulary_element *element_named(const struct vocabulary *units, const char *name)
{
	for (size_t i = 0; i < units->element_count; i++)
		if (strcmp(units->elements[i]->name, name) == 0)
			return units->elements[i];
	return NULL;
}

/* Is it an attribute of the kind, or of any (NULL)? Of "material-family" the word itself. */
static bool is_attribute(const struct vocabulary *units, const char *kind, const char *name)
{
	const char *own =
		text_ends(name, "-family") ? arena_copy_span(&arena, name, strlen(name) - strlen("-family")) : name;
	for (size_t i = 0; i < units->element_count; i++)
		if ((!kind || strcmp(kind, units->elements[i]->name) == 0) &&
			vocabulary_attribute(units->elements[i], own))
			return true;
	return false;
}

static bool exists(const struct vocabulary *units, const char *word)
{
	const char *dot = strchr(word, '.'), *name = dot ? dot + 1 : word;
	const char *kind = dot ? arena_copy_span(&arena, word, (size_t)(dot - word)) : NULL;
	const struct computed *row = row_named(name);
	return (!kind || element_named(units, kind)) &&
		(is_attribute(units, kind, name) || (row && (!kind || computed_is_on(row, kind, false))));
}

Test(computed, every_word_of_the_table_exists)
{
	const struct vocabulary *units = unit_vocabulary(&arena);
	for (size_t i = 0; computed_row(i); i++) {
		const struct computed *row = computed_row(i);
		cr_expect(i == 0 || strcmp(computed_row(i - 1)->name, row->name) < 0, "%s: order", row->name);
		cr_expect(!row->stated || is_attribute(units, NULL, row->name), "%s", row->name);
		cr_expect(*row->what, "%s", row->name);
		for (const char *at = row->from; *at;) {
			size_t length = strcspn(at, " ");
			const char *word = arena_copy_span(&arena, at, length);
			cr_expect(exists(units, word), "%s: from %s", row->name, word);
			at += length + (at[length] == ' ');
		}
	}
	arena_release(&arena);
}

Test(computed, what_is_calculated_from_an_attribute_is_of_its_kind)
{
	const struct computed *bore = row_named("bore"), *bubble = row_named("bubble-margin"),
			      *wall = row_named("wall-clad");
	cr_assert(bore && bubble && wall);
	cr_expect(computed_reads(bore, "line", "size") && !computed_reads(bore, "line", "siz"));
	cr_expect(!computed_reads(bore, "pump", "size"), "a pump has no bore");
	cr_expect(computed_reads(bubble, "valve", "upstream-pressure") && !computed_reads(bubble, "gas", "pressure"));
	cr_expect(computed_reads(wall, "absorber", "cladding"), "by its class");
	cr_expect_null(computed_class("@none"));
}
