#include "judge/claim_subject.h"

#include <string.h>

#include "base/text.h"
#include "resolve/equipment.h"

static bool has(const struct table *table, const struct item *item, const char *name)
{
	bool found = table_peek(table, item, EVERY_CASE, name) != NULL;
	for (int c = 0; !found && c < (int)table_case_count(table); c++)
		found = table_peek(table, item, c, name) != NULL;
	return found;
}

/* The one item that a word of the unit is looked for on, or NULL. */
static const struct item *own_item(const struct table *table, const char *name)
{
	static const char *const kinds[] = {"solvent", "unit", "basis"};
	for (size_t i = 0; i < sizeof kinds / sizeof *kinds; i++) {
		const struct item *item = table_sole(table, kinds[i]);
		if (item && has(table, item, name))
			return item;
	}
	return NULL;
}

struct subjects claim_subjects(const struct table *table, const struct item *claim, const char *name)
{
	struct arena *arena = table_arena(table);
	const struct item **rows = arena_alloc(arena, (table_item_count(table) + 1) * sizeof *rows);
	struct subjects subjects = {.rows = rows};
	const char *about = table_word(table, claim, EVERY_CASE, item_is(claim, "deviation") ? "item" : "about");
	const char *written = table_word(table, claim, EVERY_CASE, "kinds");
	const struct item *one = about ? table_find(table, about) : NULL;
	subjects.of_unit = !about && !written;
	if (subjects.of_unit && name)
		one = own_item(table, name);
	if (one)
		rows[subjects.count++] = one;
	if (about || one || (subjects.of_unit && !name))
		return subjects;
	const char *kinds = written ? equipment_written(arena, written) : NULL;
	for (size_t i = 0; i < table_item_count(table); i++) {
		const struct item *item = table_item(table, i);
		if (kinds ? item_is_any(item, kinds) : !item_in(item, CLASS_DOCUMENT) && has(table, item, name))
			rows[subjects.count++] = item;
	}
	return subjects;
}

static bool any_steady(const struct table *table)
{
	bool any = false;
	for (int c = 0; c < (int)table_case_count(table); c++)
		any = any || !table_case(table, c)->upset;
	return any;
}

bool claim_is_for_case(const struct table *table, const struct item *claim, int operating_case)
{
	const char *named = table_word(table, claim, EVERY_CASE, "case");
	const struct operating_case *one = table_case(table, operating_case);
	return named ? strcmp(named, one->id) == 0 : !one->upset || !any_steady(table);
}

static void add_word(
	struct text *text, const struct table *table, const struct item *claim, const char *before, const char *name)
{
	const char *word = table_word(table, claim, EVERY_CASE, name);
	if (word)
		text_addf(text, "%s%s", before, word);
}

const char *claim_words(const struct table *table, const struct item *claim)
{
	struct text text = text_in(table_arena(table));
	const char *says = table_word(table, claim, EVERY_CASE, "says");
	text_add(&text, "");
	if (item_is(claim, "deviation")) {
		add_word(&text, table, claim, "", "rule");
		add_word(&text, table, claim, " on ", "item");
	} else {
		add_word(&text, table, claim, "", says ? "says" : "quantity");
		if (says)
			add_word(&text, table, claim, ", ", "quantity");
		add_word(&text, table, claim, says ? ", " : " of ", "about");
		add_word(&text, table, claim, says ? ", every " : " of every ", "kinds");
	}
	const struct quantity *constant = table_peek(table, claim, EVERY_CASE, "erosional-constant");
	if (constant && constant->known != UNKNOWN)
		text_addf(&text, ", C = %s", constant->written);
	add_word(&text, table, claim, " is ", "is");
	add_word(&text, table, claim, " at least ", "at-least");
	add_word(&text, table, claim, " at most ", "at-most");
	add_word(&text, table, claim, " in ", "case");
	return text.data;
}
