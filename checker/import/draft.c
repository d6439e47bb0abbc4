#include "import/draft.h"

#include <string.h>

#include "base/count.h"

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

/* In which list a tag or an identity is: blanks, and the size of letters, do not matter. */
static size_t list_of(const char *tag)
{
	struct arena scratch = {NULL, 0};
	struct text plain = text_in(&scratch);
	for (const char *c = without_letters(&scratch, tag); *c; c++)
		if (*c != ' ')
			text_add_char(&plain, *c >= 'a' && *c <= 'z' ? (char)(*c - 'a' + 'A') : *c);
	size_t list = text_hash(plain.data) % DRAFT_LISTS;
	arena_release(&scratch);
	return list;
}

enum { BY_TAG, BY_IDENTITY };

/* Appended, so that the first of those alike is found first. */
static void enlist(struct draft *draft, struct draft_item *item, int by, const char *word)
{
	if (!draft->alike[by])
		draft->alike[by] = arena_alloc(draft->arena, DRAFT_LISTS * sizeof *draft->alike[by]);
	struct draft_item **at = &draft->alike[by][list_of(word)];
	while (*at)
		at = &(*at)->next_alike[by];
	*at = item;
}

static struct draft_item *listed(const struct draft *draft, int by, const char *word)
{
	return draft->alike[by] ? draft->alike[by][list_of(word)] : NULL;
}

struct draft_item *draft_item(struct draft *draft, struct draft_item *parent, const char *element,
	const char *key_attribute, const char *key, const char *identity)
{
	for (struct draft_item *item = listed(draft, BY_IDENTITY, identity); item; item = item->next_alike[BY_IDENTITY])
		if (item->parent == parent && strcmp(item->element->name, element) == 0 &&
			text_same_nocase(item->identity, identity))
			return item;
	const struct vocabulary_element *meaning = vocabulary_child(parent ? parent->element : draft->unit, element);
	if (!meaning)
		return NULL;
	struct draft_item *item = arena_alloc(draft->arena, sizeof *item);
	*item = (struct draft_item){.element = meaning,
		.key_attribute = key_attribute,
		.key = key ? arena_copy(draft->arena, key) : NULL,
		.identity = identity ? arena_copy(draft->arena, identity) : NULL,
		.parent = parent,
		.marks = text_in(draft->arena)};
	draft->items =
		arena_grow(draft->arena, draft->items, draft->count, &draft->capacity, sizeof(struct draft_item *));
	draft->items[draft->count++] = item;
	enlist(draft, item, BY_IDENTITY, identity);
	if (key_attribute && (strcmp(key_attribute, "tag") == 0 || strcmp(key_attribute, "id") == 0))
		enlist(draft, item, BY_TAG, key);
	if (parent)
		parent->has_children = true;
	return item;
}

struct draft_item *draft_find(const struct draft *draft, const char *tag)
{
	struct draft_item *first = listed(draft, BY_TAG, tag);
	for (struct draft_item *item = first; item; item = item->next_alike[BY_TAG])
		if (same_tag(item->key, tag))
			return item;
	struct arena scratch = {NULL, 0};
	struct draft_item *found = NULL;
	const char *bare = first ? without_letters(&scratch, tag) : NULL;
	for (struct draft_item *item = first; item && !found; item = item->next_alike[BY_TAG])
		found = same_tag(without_letters(&scratch, item->key), bare) ? item : NULL;
	arena_release(&scratch);
	return found;
}

/* ---- statements ---- */

static bool can_be_restated(const struct draft_item *item, const char *attribute)
{
	const struct vocabulary_element *stated = vocabulary_child(item->element, "stated");
	return stated && vocabulary_attribute(stated, attribute);
}

static bool can_differ(const struct draft_item *item, const char *attribute)
{
	const struct vocabulary_element *in = vocabulary_child(item->element, "in");
	return in && vocabulary_attribute(in, attribute);
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
		if (!can_be_restated(item, value->attribute))
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
	draft->cases[draft->case_count++] =
		(struct draft_case){.id = arena_copy(draft->arena, id), .title = arena_copy(draft->arena, title)};
}

void draft_add_note(struct draft *draft, struct draft_item *item, const char *text, const char *document)
{
	struct draft_note note = {.text = text, .document = document};
	const struct draft_note *there = item ? item->notes : draft->notes;
	for (size_t i = 0; i < (item ? item->note_count : draft->note_count); i++)
		if (strcmp(there[i].text, text) == 0)
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
	}
}

/* Where a line comes from or goes to that no sheet describes. */
static void keep_reference(struct draft *draft, struct draft_item *item, const struct draft_value *value)
{
	bool has_notes = vocabulary_child(item->element, "note") != NULL;
	draft_add_note(draft, has_notes ? item : NULL,
		arena_format(draft->arena, "%s%s%s: %s", has_notes ? "" : item->identity, has_notes ? "" : ", ",
			value->attribute, value->value),
		arena_join(draft->arena, value->document, "!", value->cells, ""));
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
	for (struct draft_item *item = listed(draft, BY_TAG, bare); item && numbered && !found;
		item = item->next_alike[BY_TAG]) {
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
		const char *place = arena_join(draft->arena, value->document, "!", value->cells, "");
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
		bool tagged = text_same(one->key_attribute, "tag") && !one->parent && !one->has_children && one->count;
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

size_t draft_resolve(struct draft *draft, struct problems *doubts)
{
	size_t dropped = 0;
	join_pairs(draft, doubts);
	for (size_t i = 0; i < draft->count; i++)
		for (size_t k = 0; k < draft->items[i]->count; k++) {
			struct draft_item *item = draft->items[i];
			struct draft_value *value = &item->values[k];
			const struct draft_item *meant = value->reference ? draft_find(draft, value->value) : NULL;
			meant = value->reference && !meant ? pair_of(draft, value->value) : meant;
			meant = meant && meant->joined ? meant->joined : meant;
			if (meant && meant != item)
				value->value = meant->key;
			else if (value->reference) {
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

/* ---- the text ---- */

void draft_escape(struct text *out, const char *words, bool comment)
{
	for (const char *c = words; *c; c++)
		if (*c == '&' && !comment)
			text_add(out, "&amp;");
		else if (*c == '<' && !comment)
			text_add(out, "&lt;");
		else if (*c == '"' && !comment)
			text_add(out, "&quot;");
		else if (*c == '>' && !comment && c > words && c[-1] == ']')
			text_add(out, "&gt;"); /* "]]>" is no text of XML */
		else if (*c == '-' && comment && c[1] == '-')
			text_add(out, "- ");
		else if ((unsigned char)*c < ' ')
			text_add_char(out, ' ');
		else
			text_add_char(out, *c);
}

static void add_attribute(struct text *out, const char *name, const char *value)
{
	text_addf(out, " %s=\"", name);
	draft_escape(out, value, false);
	text_add_char(out, '"');
}

static void add_note(struct text *out, int depth, const struct draft_note *note)
{
	text_addf(out, "\n%*s<note", 2 * depth, "");
	if (note->document)
		add_attribute(out, "document", note->document);
	text_add_char(out, '>');
	draft_escape(out, note->text, false);
	text_add(out, "</note>");
}

struct writing {
	const struct draft *draft;
	const struct draft_item *item;
	const char *own, *data; /* the document of the item, and the same with its cells */
	bool *written;
};

static bool is_of_first_case(const struct writing *writing, const char *of_case)
{
	return !of_case || (writing->draft->case_count && strcmp(writing->draft->cases[0].id, of_case) == 0);
}

static bool has_attribute(const struct writing *writing, size_t until, const struct draft_value *value)
{
	for (size_t i = 0; i < until; i++) {
		const struct draft_value *other = &writing->item->values[i];
		bool alike = is_of_first_case(writing, other->of_case) && is_of_first_case(writing, value->of_case);
		if (!other->dropped && strcmp(other->attribute, value->attribute) == 0 &&
			strcmp(other->document, writing->own) == 0 &&
			(alike || text_same(other->of_case, value->of_case)))
			return true;
	}
	return false;
}

/* What the item's own document says first, or what can only be said once. */
static bool is_own(const struct writing *writing, size_t at)
{
	const struct draft_value *value = &writing->item->values[at];
	if (!can_be_restated(writing->item, value->attribute))
		return true;
	return strcmp(value->document, writing->own) == 0 && !has_attribute(writing, at, value);
}

static void write_plain(struct writing *writing, struct text *out)
{
	for (size_t i = 0; i < writing->item->count; i++) {
		const struct draft_value *value = &writing->item->values[i];
		bool held = value->of_case && can_differ(writing->item, value->attribute) &&
			!is_of_first_case(writing, value->of_case);
		if (value->dropped || held || !is_own(writing, i))
			continue;
		writing->written[i] = true;
		add_attribute(out, value->attribute, value->value);
	}
}

/* The first that is said of it in this case, in whatever document: it holds there, and is no second statement of another case. */
static bool is_first_in_case(const struct writing *writing, size_t at)
{
	const struct draft_value *value = &writing->item->values[at];
	if (!value->of_case || is_of_first_case(writing, value->of_case) ||
		!can_differ(writing->item, value->attribute))
		return false;
	for (size_t k = 0; k < writing->item->count; k++) {
		const struct draft_value *other = &writing->item->values[k];
		bool before = k < at || strcmp(other->document, writing->own) == 0;
		if (k != at && before && !other->dropped && strcmp(other->attribute, value->attribute) == 0 &&
			text_same(other->of_case, value->of_case))
			return false;
	}
	return true;
}

static bool holds_in_case(const struct writing *writing, size_t at, const char *of_case)
{
	const struct draft_value *value = &writing->item->values[at];
	return !value->dropped && !writing->written[at] && text_same(value->of_case, of_case) &&
		(is_own(writing, at) || is_first_in_case(writing, at));
}

/* The first case says the same? Then it is no news of another one, unless a whole row of them comes again. */
static bool is_news(const struct writing *writing, const char *of_case)
{
	enum { ROW_REPEATED = 2 }; /* as resolve.c counts a row that is repeated in earnest */
	size_t repeated = 0;
	for (size_t i = 0; i < writing->item->count; i++) {
		const struct draft_value *value = &writing->item->values[i];
		bool same = false;
		if (!holds_in_case(writing, i, of_case))
			continue;
		for (size_t k = 0; k < writing->item->count; k++)
			same = same ||
				(writing->written[k] && is_of_first_case(writing, writing->item->values[k].of_case) &&
					strcmp(writing->item->values[k].attribute, value->attribute) == 0 &&
					strcmp(writing->item->values[k].value, value->value) == 0);
		if (!same)
			return true;
		repeated += vocabulary_attribute(writing->item->element, value->attribute)->condition;
	}
	return repeated >= ROW_REPEATED;
}

/* Of one case, what one document says of it: the item's own, or another from `at` on. */
static void write_in_of(struct writing *writing, struct text *out, int depth, size_t at)
{
	const struct draft_value *first = &writing->item->values[at];
	text_addf(out, "\n%*s<in", 2 * depth, "");
	add_attribute(out, "case", first->of_case);
	for (size_t i = at; i < writing->item->count; i++) {
		const struct draft_value *value = &writing->item->values[i];
		if (strcmp(value->document, first->document) != 0 || !holds_in_case(writing, i, first->of_case))
			continue;
		writing->written[i] = true;
		add_attribute(out, value->attribute, value->value);
	}
	if (strcmp(first->document, writing->own) != 0)
		add_attribute(out, "data", arena_join(writing->draft->arena, first->document, "!", first->cells, ""));
	text_add(out, "/>");
}

static void write_in(struct writing *writing, struct text *out, int depth, const char *of_case)
{
	bool news = is_news(writing, of_case);
	for (size_t i = 0; i < writing->item->count; i++)
		if (!news && text_same(writing->item->values[i].of_case, of_case) &&
			(is_own(writing, i) || is_first_in_case(writing, i)))
			writing->written[i] = true; /* as in the first case */
	for (size_t i = 0; i < writing->item->count; i++)
		if (holds_in_case(writing, i, of_case))
			write_in_of(writing, out, depth, i);
}

/* One <stated>: all that the document of the value at `at` says of its case and that no other value of it says before. */
static void write_stated(struct writing *writing, struct text *out, int depth, size_t at)
{
	const struct draft_item *item = writing->item;
	const struct draft_value *first = &item->values[at];
	bool same_document = strcmp(first->document, writing->own) == 0;
	text_addf(out, "\n%*s<stated", 2 * depth, "");
	add_attribute(out, "document",
		same_document ? writing->data
			      : arena_join(writing->draft->arena, first->document, "!", first->cells, ""));
	if (first->of_case)
		add_attribute(out, "case", first->of_case);
	for (size_t i = at; i < item->count; i++) {
		const struct draft_value *value = &item->values[i];
		bool taken = value->dropped || writing->written[i] || strcmp(value->document, first->document) != 0 ||
			!text_same(value->of_case, first->of_case) || strcmp(value->cells, first->cells) != 0;
		for (size_t k = at; k < i && !taken; k++)
			taken = !item->values[k].dropped && strcmp(item->values[k].attribute, value->attribute) == 0 &&
				strcmp(item->values[k].document, value->document) == 0 &&
				text_same(item->values[k].of_case, value->of_case) && writing->written[k];
		if (taken)
			continue;
		writing->written[i] = true;
		add_attribute(out, value->attribute, value->value);
	}
	text_add(out, "/>");
}

static void write_item(const struct draft *draft, const struct draft_item *item, struct text *out, int depth);

static void write_inside(struct writing *writing, struct text *out, int depth)
{
	const struct draft_item *item = writing->item;
	for (size_t i = 0; i < writing->draft->case_count; i++)
		write_in(writing, out, depth, writing->draft->cases[i].id);
	for (size_t i = 0; i < item->count; i++)
		if (!item->values[i].dropped && !writing->written[i])
			write_stated(writing, out, depth, i);
	for (size_t i = 0; item->has_children && i < writing->draft->count; i++)
		if (writing->draft->items[i]->parent == item)
			write_item(writing->draft, writing->draft->items[i], out, depth);
	for (size_t i = 0; i < item->note_count; i++)
		add_note(out, depth, &item->notes[i]);
}

static void write_item(const struct draft *draft, const struct draft_item *item, struct text *out, int depth)
{
	struct writing writing = {.draft = draft, .item = item, .own = "", .data = ""};
	writing.written = arena_alloc(draft->arena, item->count + 1);
	for (size_t i = item->count; i-- > 0;)
		if (!item->values[i].dropped && can_be_restated(item, item->values[i].attribute)) {
			writing.own = item->values[i].document;
			writing.data = arena_join(draft->arena, writing.own, "!", item->values[i].cells, "");
		}
	if (item->marks.length) {
		text_addf(out, "\n%*s<!-- ", 2 * depth, "");
		draft_escape(out, item->marks.data + strspn(item->marks.data, "; "), true);
		text_add(out, " -->");
	}
	text_addf(out, "\n%*s<%s", 2 * depth, "", item->element->name);
	if (item->key_attribute)
		add_attribute(out, item->key_attribute, item->key);
	write_plain(&writing, out);
	if (*writing.data && vocabulary_attribute(item->element, "data"))
		add_attribute(out, "data", writing.data);
	struct text inside = text_in(draft->arena);
	write_inside(&writing, &inside, depth + 1);
	if (inside.length || item->has_children)
		text_addf(out, ">%s\n%*s</%s>", inside.data, 2 * depth, "", item->element->name);
	else
		text_add(out, "/>");
}

static void write_basis(const struct draft *draft, struct text *out, const char *items)
{
	if (draft->case_count) {
		text_add(out, "\n  <basis>");
		for (size_t i = 0; i < draft->case_count; i++) {
			if (i && !strstr(items, arena_join(draft->arena, " case=\"", draft->cases[i].id, "\"", "")))
				continue; /* nothing differs in it */
			text_add(out, "\n    <case");
			add_attribute(out, "id", draft->cases[i].id);
			if (draft->cases[i].title && strcmp(draft->cases[i].title, draft->cases[i].id) != 0)
				add_attribute(out, "title", draft->cases[i].title);
			text_add(out, "/>");
		}
		text_add(out, "\n  </basis>");
	}
}

const char *draft_write(const struct draft *draft)
{
	struct text out = text_in(draft->arena), items = text_in(draft->arena);
	for (size_t kind = 0; kind < draft->unit->child_count; kind++)
		for (size_t i = 0; i < draft->count; i++)
			if (!draft->items[i]->parent && draft->items[i]->element == draft->unit->children[kind])
				write_item(draft, draft->items[i], &items, 1);
	text_add(&out, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<!--\nA draft made from ");
	draft_escape(&out, draft->files, true);
	text_add(&out,
		". Where each value comes from is said by data and document: the document, its sheet and its cells.\n"
		"What no sheet says is not here: describe it, then review.\n-->\n<unit xmlns=\"urn:leanrich:unit:1\"");
	add_attribute(&out, "number", draft->number);
	add_attribute(&out, "name", draft->name);
	text_add_char(&out, '>');
	write_basis(draft, &out, items.data);
	text_add(&out, items.data);
	for (size_t i = 0; i < draft->note_count; i++)
		add_note(&out, 1, &draft->notes[i]);
	text_add(&out, "\n</unit>\n");
	return out.data;
}
