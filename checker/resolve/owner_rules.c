#include "resolve/owner_rules.h"

#include <math.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "resolve/equipment.h"
#include "resolve/stated_value.h"

struct owning {
	struct table *table;
	const struct element *unit;
	double barometric;
};

/* Does it name the kind itself, not only a class of it? */
static bool names_kind(struct arena *arena, const struct table *table, const struct item *rule, const char *kind)
{
	const char *written = table_word(table, rule, EVERY_CASE, "kinds");
	char *list = arena_format(arena, "%s", written ? written : "");
	for (char *c = list; *c; c++)
		*c = strchr("|\t\r\n", *c) ? ' ' : *c;
	return text_has_word(list, kind);
}

/* ---- from a temperature on ---- */

static double hottest_of(const struct table *table, const struct item *item)
{
	static const char *const names[] = {"temperature", "bottom-temperature", "top-temperature", "bulk-temperature"};
	double hottest = (double)NAN;
	for (size_t i = 0; i < COUNT(names); i++)
		for (int c = 0; c < (int)table_case_count(table); c++) {
			const struct quantity *value =
				table_case(table, c)->upset ? NULL : table_peek(table, item, c, names[i]);
			if (value && value->known != UNKNOWN && value->bound != BOUND_BELOW)
				hottest = fmax(hottest, value->si);
		}
	return hottest;
}

static bool is_hot_enough(const struct table *table, const struct item *rule, const struct item *item)
{
	const struct quantity *from = table_get(table, rule, EVERY_CASE, "from");
	double hottest = (double)NAN;
	if (!from)
		return true;
	for (const struct item *at = item; at && isnan(hottest); at = at->parent) {
		const char *tag = table_word(table, at, EVERY_CASE, "stream");
		const struct item *stream = tag ? table_find(table, tag) : NULL;
		hottest = hottest_of(table, at);
		if (stream)
			hottest = fmax(hottest, hottest_of(table, stream));
	}
	return from->known != UNKNOWN && hottest >= from->si;
}

/* ---- handing down ---- */

static void put(struct table *table, const struct item *item, const struct vocabulary_attribute *meaning,
	const struct quantity *value)
{
	if (!value)
		return;
	const struct choice *choice =
		value->kind == KIND_WORD && value->word ? vocabulary_choice(meaning->type, value->word) : NULL;
	table_put(table, item, EVERY_CASE, meaning->name, value);
	if (!choice || !choice->family)
		return;
	struct quantity *family = arena_alloc(table_arena(table), sizeof *family);
	*family = *value;
	family->word = choice->family;
	table_put(table, item, EVERY_CASE, arena_format(table_arena(table), "%s-family", meaning->name), family);
}

/* Is the word one that may be written there? */
static bool is_choice(const struct vocabulary_type *type, const char *word)
{
	if (type->accepted.kinds[0] == KIND_YES_NO)
		return strcmp(word, "yes") == 0 || strcmp(word, "no") == 0;
	return type->accepted.kinds[0] != KIND_WORD || vocabulary_choice(type, word);
}

static void hand_value(const struct owning *owning, const struct item *rule, const struct item *item,
	const struct vocabulary_attribute *meaning)
{
	struct arena *arena = table_arena(owning->table);
	const struct quantity *is = table_get(owning->table, rule, EVERY_CASE, "is");
	struct problems unheard = {.arena = arena};
	const char *document = table_word(owning->table, rule, EVERY_CASE, "data");
	if (!is || is->known == UNKNOWN || !is_choice(meaning->type, is->word))
		return;
	const struct attribute attribute = {.meaning = meaning, .written = is->word, .place = is->place};
	const struct stating stating = {
		.item = item, .document = document ? document : "", .barometric = owning->barometric};
	struct quantity *value = stated_value(arena, &attribute, &stating, &unheard);
	if (!value)
		return;
	value->read = is->read;
	value->of_normal = meaning->condition;
	put(owning->table, item, meaning, value);
}

/* The value of what the item is part of, where it is one that parts inherit; else NULL. */
static const struct quantity *of_whole(
	const struct table *table, const struct item *item, const struct vocabulary_attribute *meaning)
{
	return meaning->inherited && item->parent ? table_peek(table, item->parent, EVERY_CASE, meaning->name) : NULL;
}

static bool states_in_a_case(const struct table *table, const struct item *item, const char *name)
{
	bool found = false;
	for (int c = 0; c < (int)table_case_count(table); c++)
		found = found || table_peek(table, item, c, name);
	return found;
}

/* What the whole has by its own statement parts have too; the rule overrides that only for the kind it names. */
static void hand_one(const struct owning *owning, const struct item *rule, const struct item *item)
{
	struct table *table = owning->table;
	const char *name = table_word(table, rule, EVERY_CASE, "quantity");
	const char *kinds = table_word(table, rule, EVERY_CASE, "kinds");
	const struct vocabulary_element *element = name && kinds ? element_meaning(owning->unit, item->kind) : NULL;
	const struct vocabulary_attribute *meaning = element ? vocabulary_attribute(element, name) : NULL;
	if (!meaning || type_says_of_what(meaning->type))
		return;
	const struct quantity *own = table_peek(table, item, EVERY_CASE, name), *whole = of_whole(table, item, meaning);
	bool is_own = own ? own != whole : states_in_a_case(table, item, name);
	bool named = text_has_word(equipment_written(table_arena(table), kinds), item->kind) &&
		is_hot_enough(table, rule, item);
	if (is_own || (whole && !(named && names_kind(table_arena(table), table, rule, item->kind)))) {
		if (!is_own && !own)
			put(table, item, meaning, whole);
		return;
	}
	if (named)
		hand_value(owning, rule, item, meaning);
}

void owner_rules(struct table *table, const struct element *unit, double barometric)
{
	const struct owning owning = {.table = table, .unit = unit, .barometric = barometric};
	struct items rules = table_of_kind(table, "owner-rule");
	for (size_t i = 0; rules.count && i < table_item_count(table); i++) /* the whole before its parts */
		for (size_t k = 0; k < rules.count; k++)
			if (!item_in(table_item(table, i), CLASS_DOCUMENT))
				hand_one(&owning, rules.rows[k], table_item(table, i));
}
