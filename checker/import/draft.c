#include "import/draft.h"

#include <string.h>

#include "import/draft_inside.h"

/* ---- items ---- */

static bool same_tag(const char *a, const char *b)
{
	for (;; a++, b++) {
		a += strspn(a, " ");
		b += strspn(b, " ");
		char one = *a >= 'a' && *a <= 'z' ? (char)(*a - 'a' + 'A') : *a;
		char other = *b >= 'a' && *b <= 'z' ? (char)(*b - 'a' + 'A') : *b;
		if (one != other)
			return false;
		if (!one)
			return true;
	}
}

/* "P-101 A/B" is P-101 too. */
static const char *without_letters(struct arena *arena, const char *tag)
{
	const char *slash = strchr(tag, '/');
	if (!slash || slash == tag || slash[-1] < 'A' || slash[-1] > 'Z')
		return tag;
	size_t length = (size_t)(slash - tag) - 1;
	while (length && strchr(" -", tag[length - 1]))
		length--;
	return length ? arena_copy_span(arena, tag, length) : tag;
}

/* Blanks, and the size of letters, do not matter. */
static uint32_t hash_of(const char *tag)
{
	struct arena scratch = {NULL, 0};
	struct text plain = text_in(&scratch);
	for (const char *c = without_letters(&scratch, tag); *c; c++)
		if (*c != ' ')
			text_add_char(&plain, *c >= 'a' && *c <= 'z' ? (char)(*c - 'a' + 'A') : *c);
	uint32_t hash = text_hash(plain.data ? plain.data : "");
	arena_release(&scratch);
	return hash;
}

/* Parts of many items are called alike, "shell" of each exchanger: the parent counts too. */
static uint32_t identity_hash(const struct draft_item *parent, const char *identity)
{
	const uint32_t odd = 2654435761U; /* 2^32 over the golden ratio: neighbours are spread */
	return hash_of(identity) ^ (uint32_t)(parent ? parent->serial : 0) * odd;
}

static struct draft_item *item_at(const struct hashed_row *row)
{
	return (struct draft_item *)(uintptr_t)row->thing;
}

static void enlist(struct draft *draft, struct draft_item *item, uint32_t identity)
{
	bool found_by_key = item->key_attribute &&
		(strcmp(item->key_attribute, "tag") == 0 || strcmp(item->key_attribute, "id") == 0);
	struct draft_item *parent = item->parent;
	hashed_add(draft->arena, &draft->by_identity, identity, item);
	if (found_by_key)
		hashed_add(draft->arena, &draft->by_tag, hash_of(item->key), item);
	if (parent && parent->last_child)
		parent->last_child->next_child = item;
	else if (parent)
		parent->first_child = item;
	if (parent)
		parent->last_child = item;
}

struct draft_item *draft_item(struct draft *draft, struct draft_item *parent, const char *element,
	const char *key_attribute, const char *key, const char *identity)
{
	uint32_t hash = identity_hash(parent, identity);
	for (const struct hashed_row *row = hashed_first(&draft->by_identity, hash); row; row = hashed_next(row)) {
		struct draft_item *item = item_at(row);
		if (item->parent == parent && strcmp(item->element->name, element) == 0 &&
			text_same_nocase(item->identity, identity))
			return item;
	}
	const struct vocabulary_element *meaning = vocabulary_child(parent ? parent->element : draft->unit, element);
	if (!meaning)
		return NULL;
	struct draft_item *item = arena_alloc(draft->arena, sizeof *item);
	*item = (struct draft_item){.element = meaning,
		.key_attribute = key_attribute,
		.key = key ? arena_copy(draft->arena, key) : NULL,
		.identity = identity ? arena_copy(draft->arena, identity) : NULL,
		.parent = parent,
		.serial = draft->count + 1,
		.marks = text_in(draft->arena)};
	draft->items =
		arena_grow(draft->arena, draft->items, draft->count, &draft->capacity, sizeof(struct draft_item *));
	draft->items[draft->count++] = item;
	enlist(draft, item, hash);
	return item;
}

struct draft_item *draft_find(const struct draft *draft, const char *tag)
{
	const struct hashed_row *first = hashed_first(&draft->by_tag, hash_of(tag));
	for (const struct hashed_row *row = first; row; row = hashed_next(row))
		if (same_tag(item_at(row)->key, tag))
			return item_at(row);
	struct arena scratch = {NULL, 0};
	struct draft_item *found = NULL;
	const char *bare = first ? without_letters(&scratch, tag) : NULL;
	for (const struct hashed_row *row = first; row && !found; row = hashed_next(row))
		found = same_tag(without_letters(&scratch, item_at(row)->key), bare) ? item_at(row) : NULL;
	arena_release(&scratch);
	return found;
}

/* ---- statements ---- */

bool draft_can_be_restated(const struct draft_item *item, const char *attribute)
{
	const struct vocabulary_element *stated = vocabulary_child(item->element, "stated");
	return stated && vocabulary_attribute(stated, attribute);
}

/* What a statement points to may end with the record that made it. */
static struct draft_value kept_value(struct draft *draft, const struct draft_value *value)
{
	struct draft_value kept = *value;
	kept.attribute = arena_copy(draft->arena, value->attribute);
	kept.value = arena_copy(draft->arena, value->value);
	kept.of_case = value->of_case ? arena_copy(draft->arena, value->of_case) : NULL;
	kept.cells = arena_copy(draft->arena, value->cells);
	kept.cell = value->reference ? arena_copy(draft->arena, value->cell) : NULL; /* only they are spoken of later */
	return kept;
}

bool draft_state(struct draft *draft, struct draft_item *item, const struct draft_value *value)
{
	if (text_same(item->key_attribute, value->attribute))
		return strcmp(item->key, value->value) == 0; /* it is called so already */
	for (size_t i = 0; i < item->count; i++) {
		const struct draft_value *there = &item->values[i];
		if (strcmp(there->attribute, value->attribute) != 0)
			continue;
		bool same = strcmp(there->value, value->value) == 0;
		if (same && strcmp(there->document, value->document) == 0 && text_same(there->of_case, value->of_case))
			return true;
		if (!draft_can_be_restated(item, value->attribute))
			return same; /* what it is called and where it stands is said once */
	}
	item->values = arena_grow(draft->arena, item->values, item->count, &item->capacity, sizeof *item->values);
	item->values[item->count++] = kept_value(draft, value);
	return true;
}

void draft_add_case(struct draft *draft, const char *id, const char *title)
{
	for (size_t i = 0; i < draft->case_count; i++)
		if (strcmp(draft->cases[i].id, id) == 0)
			return;
	draft->cases =
		arena_grow(draft->arena, draft->cases, draft->case_count, &draft->case_capacity, sizeof *draft->cases);
	draft->cases[draft->case_count++] = (struct draft_case){
		.id = arena_copy(draft->arena, id), .title = title ? arena_copy(draft->arena, title) : NULL};
}

/* The same words from another place are another statement. */
static bool is_noted(const struct draft_note *notes, size_t count, const struct draft_note *note)
{
	for (size_t i = 0; i < count; i++)
		if (strcmp(notes[i].text, note->text) == 0 && text_same(notes[i].document, note->document))
			return true;
	return false;
}

/* Of the unit, which may have tens of thousands. */
static bool is_noted_of_unit(const struct draft *draft, const struct draft_note *note)
{
	for (const struct hashed_row *row = hashed_first(&draft->by_note, text_hash(note->text)); row;
		row = hashed_next(row))
		if (is_noted(row->thing, 1, note))
			return true;
	return false;
}

void draft_add_note(struct draft *draft, struct draft_item *item, const char *text, const char *document)
{
	struct draft_note note = {.text = text, .document = document};
	if (item ? is_noted(item->notes, item->note_count, &note) : is_noted_of_unit(draft, &note))
		return;
	note.text = arena_copy(draft->arena, text);
	note.document = document ? arena_copy(draft->arena, document) : NULL;
	if (item) {
		item->notes =
			arena_grow(draft->arena, item->notes, item->note_count, &item->note_capacity, sizeof note);
		item->notes[item->note_count++] = note;
	} else {
		draft->notes =
			arena_grow(draft->arena, draft->notes, draft->note_count, &draft->note_capacity, sizeof note);
		draft->notes[draft->note_count++] = note;
		struct draft_note *kept = arena_alloc(draft->arena, sizeof *kept); /* the list moves as it grows */
		*kept = note;
		hashed_add(draft->arena, &draft->by_note, text_hash(note.text), kept);
	}
}

/* Document, sheet and cells. */
const char *draft_place_of(const struct draft *draft, const struct draft_value *value)
{
	return arena_join(draft->arena, value->document, *value->cells ? "!" : "", value->cells, "");
}

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
	const struct hashed_row *row = numbered ? hashed_first(&draft->by_tag, hash_of(bare)) : NULL;
	for (; row && !found; row = hashed_next(row)) {
		struct draft_item *item = item_at(row);
		const char *slash = strchr(item->key, '/');
		if (!slash || !same_tag(without_letters(&scratch, item->key), bare))
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

/* "C-2 overhead", "P-1 discharge": the item, where the words after its tag name one of its ends. NULL: it is none. */
static const struct draft_item *end_of(
	const struct draft *draft, const struct draft_value *value, struct problems *doubts)
{
	static const char ends[] =
		" overhead overheads o/h ovhd bottom bottoms top sump outlet inlet discharge suction kopf "
		"sumpf austritt eintritt out in shell tubes ";
	struct arena scratch = {NULL, 0};
	const char *last = strrchr(value->value, ' '), *word = last ? arena_join(&scratch, " ", last + 1, " ", "") : "";
	char *lower = arena_copy(&scratch, word);
	for (char *c = lower; *c; c++)
		*c = *c >= 'A' && *c <= 'Z' ? (char)(*c - 'A' + 'a') : *c;
	const struct draft_item *item = last && strstr(ends, lower)
		? draft_find(draft, arena_copy_span(&scratch, value->value, (size_t)(last - value->value)))
		: NULL;
	arena_release(&scratch);
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
	const char *bare = without_letters(&scratch, value->value), *slash = strchr(value->value, '/');
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
