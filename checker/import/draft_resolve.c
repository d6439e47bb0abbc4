/* References of a draft, made the tags that they mean. Part of draft.h. */
#include <string.h>

#include "import/draft_ends.h"
#include "import/draft_inside.h"

/* Where a line comes from or goes to that no sheet describes. */
static void keep_reference(struct draft *draft, struct draft_item *item, const struct draft_value *value)
{
	bool has_notes = vocabulary_child(item->element, "note") != NULL;
	draft_add_note(draft, has_notes ? item : NULL,
		arena_format(draft->arena, "%s%s%s: %s", has_notes ? "" : item->identity, has_notes ? "" : ", ",
			value->attribute, value->value),
		draft_place_of(draft, value));
}

/* ---- pairs that other lists have one by one ---- */

/* "P-101A" where "P-101 A/B" is described: that; NULL: there is none. */
static struct draft_item *pair_of(const struct draft *draft, const char *tag)
{
	size_t length = strlen(tag);
	char letter = length ? tag[length - 1] : '\0';
	if (letter < 'A' || letter > 'Z' || strchr(tag, '/') || length < 2)
		return NULL;
	struct arena scratch = {NULL, 0};
	struct draft_item *found = NULL;
	for (length--; length && strchr(" -", tag[length - 1]); length--)
		;
	const char *bare = arena_copy_span(&scratch, tag, length);
	bool numbered = length && tag[length - 1] >= '0' && tag[length - 1] <= '9';
	const struct hashed_row *row = numbered ? hashed_first(&draft->by_tag, draft_hash_of(bare)) : NULL;
	for (; row && !found; row = hashed_next(row)) {
		struct draft_item *item = (struct draft_item *)(uintptr_t)row->thing;
		const char *slash = strchr(item->key, '/');
		if (!slash || !draft_same_tag(draft_without_letters(&scratch, item->key), bare))
			continue;
		for (const char *c = slash - 1; *c; c++)
			found = *c == letter ? item : found;
	}
	arena_release(&scratch);
	return found;
}

/* Does a value of the pair, of another of its letters, stand otherwise in the same list? */
static bool stands_otherwise(const struct draft_item *pair, const struct draft_value *value)
{
	for (size_t i = 0; i < pair->count; i++)
		if (strcmp(pair->values[i].attribute, value->attribute) == 0 &&
			strcmp(pair->values[i].document, value->document) == 0 &&
			text_same(pair->values[i].of_case, value->of_case) &&
			strcmp(pair->values[i].value, value->value) != 0)
			return true;
	return false;
}

static void join_pair(struct draft *draft, struct draft_item *pair, struct draft_item *one)
{
	for (size_t i = 0; i < one->count; i++) {
		const struct draft_value *value = &one->values[i];
		const char *place = draft_place_of(draft, value);
		if (stands_otherwise(pair, value) || !draft_state(draft, pair, value))
			draft_add_note(draft, pair,
				arena_format(draft->arena, "%s: %s %s", one->key, value->attribute, value->value),
				place);
	}
	for (size_t i = 0; i < one->note_count; i++)
		draft_add_note(draft, pair, arena_join(draft->arena, one->key, ": ", one->notes[i].text, ""),
			one->notes[i].document);
	text_addf(&pair->marks, "%s", one->marks.data ? one->marks.data : "");
	one->joined = pair;
}

/* What one list has as a pair and another one by one is described once. */
static void join_pairs(struct draft *draft, struct problems *doubts)
{
	size_t left = 0;
	for (size_t i = 0; i < draft->count; i++) {
		struct draft_item *one = draft->items[i];
		bool tagged = text_same(one->key_attribute, "tag") && !one->parent && !one->first_child && one->count;
		struct draft_item *pair = tagged ? pair_of(draft, one->key) : NULL;
		if (!pair || pair->element != one->element) {
			draft->items[left++] = one;
			continue;
		}
		join_pair(draft, pair, one);
		problem_add(doubts, PROBLEM_CELL_INTERPRETED, one->values[0].place,
			"%s!%s: %s is read as one of %s, which another list describes together",
			one->values[0].document, one->values[0].cells, one->key, pair->key);
	}
	draft->count = left;
}

/* "C-2 overhead", "Absorber" as an end of a line or a stream: the item; elsewhere only by its tag. NULL: it is none. */
static const struct draft_item *end_of(
	const struct draft *draft, const struct draft_value *value, struct problems *doubts)
{
	bool end = text_has_word("from to", value->attribute);
	const struct draft_item *item =
		end ? draft_end_named(draft, value->value) : draft_end_tagged(draft, value->value);
	if (item)
		problem_add(doubts, PROBLEM_CELL_INTERPRETED, value->place, "%s: %s \"%s\" read as '%s': an end of it",
			value->cell, value->attribute, value->value, item->key);
	return item;
}

/* "P-1A/B" of a line where the list has P-1A and P-1B one by one: the first of them stands for both. NULL: it has not. */
static const struct draft_item *first_of(
	const struct draft *draft, const struct draft_value *value, struct problems *doubts)
{
	struct arena scratch = {NULL, 0};
	const char *bare = draft_without_letters(&scratch, value->value), *slash = strchr(value->value, '/');
	const struct draft_item *item = NULL;
	if (bare != value->value && slash) {
		char letter[2] = {slash[-1], '\0'};
		item = draft_find(draft, arena_join(&scratch, bare, letter, "", ""));
	}
	arena_release(&scratch);
	if (item)
		problem_add(doubts, PROBLEM_CELL_INTERPRETED, value->place,
			"%s: %s \"%s\" read as '%s': the first of those that are described one by one", value->cell,
			value->attribute, value->value, item->key);
	return item;
}

/* The number of the unit that the tags of its items begin with, "5300-"; NULL: not half of them begin with one number. */
static const char *number_of_unit(const struct draft *draft)
{
	enum { FEWEST = 3 };
	const char *number = NULL;
	size_t tagged = 0, with = 0;
	for (size_t i = 0; i < draft->count; i++) {
		const struct draft_item *item = draft->items[i];
		size_t digits = item->key ? strspn(item->key, "0123456789") : 0;
		if (!text_same(item->key_attribute, "tag") || item->parent || strcmp(item->element->name, "line") == 0)
			continue;
		tagged++;
		bool same =
			digits && item->key[digits] == '-' && (!number || strncmp(number, item->key, digits + 1) == 0);
		number = same && !number ? arena_copy_span(draft->arena, item->key, digits + 1) : number;
		with += same;
	}
	return with >= FEWEST && with * 2 > tagged ? number : NULL;
}

/* "T-01" for "5300-T-01". NULL: there is no such item. */
static const struct draft_item *short_for(
	const struct draft *draft, const char *number, const struct draft_value *value, struct problems *doubts)
{
	struct arena scratch = {NULL, 0};
	const struct draft_item *item =
		number ? draft_find(draft, arena_join(&scratch, number, value->value, "", "")) : NULL;
	arena_release(&scratch);
	if (item)
		problem_add(doubts, PROBLEM_CELL_INTERPRETED, value->place,
			"%s: %s \"%s\" read as '%s': without the number of the unit", value->cell, value->attribute,
			value->value, item->key);
	return item;
}

/* A limit may speak of the solvent, which has no tag. */
static bool names_whole(const struct draft *draft, const struct draft_item *item, const struct draft_value *value)
{
	bool solvent = strcmp(item->element->name, "operating-limit") == 0 && strcmp(value->value, "solvent") == 0;
	for (size_t i = 0; i < draft->count && solvent; i++)
		if (strcmp(draft->items[i]->element->name, "solvent") == 0)
			return true;
	return false;
}

size_t draft_resolve(struct draft *draft, struct problems *doubts)
{
	size_t dropped = 0;
	join_pairs(draft, doubts);
	draft_add_valves(draft, doubts);
	const char *number = number_of_unit(draft);
	for (size_t i = 0; i < draft->count; i++)
		for (size_t k = 0; k < draft->items[i]->count; k++) {
			struct draft_item *item = draft->items[i];
			struct draft_value *value = &item->values[k];
			const struct draft_item *meant = value->reference ? draft_find(draft, value->value) : NULL;
			meant = value->reference && !meant ? pair_of(draft, value->value) : meant;
			meant = value->reference && !meant ? end_of(draft, value, doubts) : meant;
			meant = value->reference && !meant ? first_of(draft, value, doubts) : meant;
			meant = value->reference && !meant ? short_for(draft, number, value, doubts) : meant;
			meant = meant && meant->joined ? meant->joined : meant;
			if (meant && meant != item)
				value->value = meant->key;
			else if (value->reference && !names_whole(draft, item, value)) {
				value->dropped = true;
				dropped++;
				keep_reference(draft, item, value);
				problem_add(doubts, PROBLEM_CELL_INTERPRETED, value->place,
					"%s: %s %s kept as a note: no sheet describes it", value->cell,
					value->attribute, text_quoted(draft->arena, value->value));
			}
		}
	return dropped;
}
