#include "import/draft.h"

#include <string.h>

#include "import/draft_inside.h"

/* ---- items ---- */

bool draft_same_tag(const char *a, const char *b)
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

/* "B", "B/C", "P-101B" after "P-101A/": other letters of the same tag, and no words. */
static bool is_letters_of(const char *tag, const char *rest)
{
	static const char letters[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZ";
	size_t own = strspn(tag, letters);
	for (const char *at = rest; *at;) {
		size_t run = strspn(at, letters);
		if ((run > 1 && (run != own || strncmp(at, tag, run) != 0)) ||
			(!run && !strchr(" -/&+,.*0123456789", *at)))
			return false;
		at += run ? run : 1;
	}
	return true;
}

/* "P-101 A/B" is P-101 too. */
const char *draft_without_letters(struct arena *arena, const char *tag)
{
	const char *slash = strchr(tag, '/');
	if (!slash || slash == tag || slash[-1] < 'A' || slash[-1] > 'Z')
		return tag;
	if (!is_letters_of(tag, slash + 1))
		return tag;
	size_t length = (size_t)(slash - tag) - 1;
	while (length && strchr(" -", tag[length - 1]))
		length--;
	return length ? arena_copy_span(arena, tag, length) : tag;
}

/* Blanks, and the size of letters, do not matter. */
uint32_t draft_hash_of(const char *tag)
{
	struct arena scratch = {NULL, 0};
	struct text plain = text_in(&scratch);
	for (const char *c = draft_without_letters(&scratch, tag); *c; c++)
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
	return draft_hash_of(identity) ^ (uint32_t)(parent ? parent->serial : 0) * odd;
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
		hashed_add(draft->arena, &draft->by_tag, draft_hash_of(item->key), item);
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
	const struct hashed_row *first = hashed_first(&draft->by_tag, draft_hash_of(tag));
	for (const struct hashed_row *row = first; row; row = hashed_next(row))
		if (draft_same_tag(item_at(row)->key, tag))
			return item_at(row);
	struct arena scratch = {NULL, 0};
	struct draft_item *found = NULL;
	const char *bare = first ? draft_without_letters(&scratch, tag) : NULL;
	for (const struct hashed_row *row = first; row && !found; row = hashed_next(row))
		found = draft_same_tag(draft_without_letters(&scratch, item_at(row)->key), bare) ? item_at(row) : NULL;
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
