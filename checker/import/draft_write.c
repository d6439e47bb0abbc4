/* A draft as the text of a description. Part of draft.h. */
#include "import/draft.h"

#include <string.h>

#include "import/draft_inside.h"

static bool can_differ(const struct draft_item *item, const char *attribute)
{
	const struct vocabulary_element *in = vocabulary_child(item->element, "in");
	return in && vocabulary_attribute(in, attribute);
}

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
	if (!draft_can_be_restated(writing->item, value->attribute))
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
		add_attribute(out, "data", draft_place_of(writing->draft, first));
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
	add_attribute(out, "document", same_document ? writing->data : draft_place_of(writing->draft, first));
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
	for (const struct draft_item *child = item->first_child; child; child = child->next_child)
		write_item(writing->draft, child, out, depth);
	for (size_t i = 0; i < item->note_count; i++)
		add_note(out, depth, &item->notes[i]);
}

/* `first`: what stands in it before all else, written already. */
static void write_item_with(
	const struct draft *draft, const struct draft_item *item, const char *first, struct text *out, int depth)
{
	struct writing writing = {.draft = draft, .item = item, .own = "", .data = ""};
	writing.written = arena_alloc(draft->arena, item->count + 1);
	for (size_t i = item->count; i-- > 0;)
		if (!item->values[i].dropped && draft_can_be_restated(item, item->values[i].attribute)) {
			writing.own = item->values[i].document;
			writing.data = draft_place_of(draft, &item->values[i]);
		}
	for (size_t i = 0; i < item->count && !*writing.data; i++) /* what can only be said once */
		if (!item->values[i].dropped)
			writing.data = draft_place_of(draft, &item->values[i]);
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
	text_add(&inside, first);
	write_inside(&writing, &inside, depth + 1);
	if (inside.length || item->first_child)
		text_addf(out, ">%s\n%*s</%s>", inside.data, 2 * depth, "", item->element->name);
	else
		text_add(out, "/>");
}

static void write_item(const struct draft *draft, const struct draft_item *item, struct text *out, int depth)
{
	write_item_with(draft, item, "", out, depth);
}

/* The cases that something differs in, and the first. */
static const char *cases_in(const struct draft *draft, const char *items)
{
	struct text out = text_in(draft->arena);
	for (size_t i = 0; i < draft->case_count; i++) {
		if (i && !strstr(items, arena_join(draft->arena, " case=\"", draft->cases[i].id, "\"", "")))
			continue;
		text_add(&out, "\n    <case");
		add_attribute(&out, "id", draft->cases[i].id);
		if (draft->cases[i].title && strcmp(draft->cases[i].title, draft->cases[i].id) != 0)
			add_attribute(&out, "title", draft->cases[i].title);
		text_add(&out, "/>");
	}
	return out.data;
}

static bool is_basis(const struct draft_item *item)
{
	return !item->parent && strcmp(item->element->name, "basis") == 0;
}

/* What the sheets say of the whole unit, with its cases. `items`: all that is written besides. */
static void write_basis(const struct draft *draft, struct text *out, const char *items)
{
	const struct draft_item *basis = NULL;
	for (size_t i = 0; i < draft->count && !basis; i++)
		basis = is_basis(draft->items[i]) ? draft->items[i] : NULL;
	struct text itself = text_in(draft->arena);
	if (basis)
		write_item(draft, basis, &itself, 1);
	const char *cases = cases_in(draft, arena_join(draft->arena, items, itself.data, "", ""));
	if (basis)
		write_item_with(draft, basis, cases, out, 1);
	else if (*cases)
		text_addf(out, "\n  <basis>%s\n  </basis>", cases);
}

const char *draft_write(const struct draft *draft)
{
	struct text out = text_in(draft->arena), items = text_in(draft->arena);
	for (size_t kind = 0; kind < draft->unit->child_count; kind++)
		for (size_t i = 0; i < draft->count; i++)
			if (!draft->items[i]->parent && !is_basis(draft->items[i]) &&
				draft->items[i]->element == draft->unit->children[kind])
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
