#include "import/kin.h"

#include <stdlib.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"
#include "quantity/quantity.h"
#include "read/document.h"

/* What names an element among its like, in the order in which it counts; a tag or an id is enough. */
static const char *const naming[] = {"tag", "id", "case", "document", "name", "date", "method", "place", "what", "rule",
	"item", "about", "kinds", "quantity", "says", "role", "of"};
enum { NAMING_ALONE = 2 };

static const xmlNode *element_from(const xmlNode *node)
{
	while (node && node->type != XML_ELEMENT_NODE)
		node = node->next;
	return node;
}

const xmlNode *kin_first(const xmlNode *parent)
{
	return parent ? element_from(parent->children) : NULL;
}

const xmlNode *kin_after(const xmlNode *element)
{
	return element_from(element->next);
}

static const char *folded(struct arena *arena, const char *written)
{
	struct text out = text_in(arena);
	for (const char *at = written + strspn(written, " \t\r\n"); *at;) {
		size_t word = strcspn(at, " \t\r\n"), blanks = strspn(at + word, " \t\r\n");
		text_add_span(&out, at, word);
		at += word + blanks;
		if (*at)
			text_add_char(&out, ' ');
	}
	return out.data ? out.data : "";
}

const char *kin_value(struct arena *arena, const xmlNode *element, const char *name)
{
	xmlChar *value = element ? xmlGetNoNsProp(element, (const xmlChar *)name) : NULL;
	const char *out = value ? folded(arena, (const char *)value) : NULL;
	xmlFree(value);
	return out;
}

const char *kin_text(struct arena *arena, const xmlNode *element)
{
	struct text out = text_in(arena);
	for (const xmlNode *node = element->children; node; node = node->next)
		if (node->type == XML_TEXT_NODE || node->type == XML_CDATA_SECTION_NODE)
			text_add(&out, (const char *)node->content);
	return folded(arena, out.data ? out.data : "");
}

/* A document without the cells that a draft names in it, "LL-1 rev B!A2:D2": rows move from revision to revision. */
static const char *without_cells(struct arena *arena, const char *document)
{
	static const char capitals[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZ", digits[] = "0123456789";
	const char *mark = strrchr(document, '!'), *at = mark ? mark + 1 : "";
	size_t letters = strspn(at, capitals), numbers = strspn(at + letters, digits);
	bool cells = letters && numbers && strspn(at, "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789:, ") == strlen(at);
	return cells ? arena_copy_span(arena, document, (size_t)(mark - document)) : document;
}

static const char *name_of(struct arena *arena, const xmlNode *element)
{
	struct text key = text_in(arena);
	for (size_t i = 0; i < COUNT(naming); i++) {
		const char *value = kin_value(arena, element, naming[i]);
		if (value && strcmp(naming[i], "document") == 0)
			value = without_cells(arena, value);
		if (value && i < NAMING_ALONE)
			return arena_format(arena, "%s %s", naming[i], value);
		if (value)
			text_addf(&key, "\n%s %s", naming[i], value);
	}
	return arena_format(
		arena, "%s%s\n%s", (const char *)element->name, key.data ? key.data : "", kin_text(arena, element));
}

/* What is named alike is numbered, from the second on. */
static void number_alike(struct arena *arena, struct kin_row *rows, size_t count)
{
	struct names names = {.count = 0};
	for (size_t i = 0; i < count; i++)
		names_add(arena, &names, rows[i].key, i);
	names_sort(&names);
	for (size_t i = 0, first = 0; i < names.count; i++) {
		first = strcmp(names.rows[i].name, names.rows[first].name) == 0 ? first : i;
		if (i > first)
			rows[names.rows[i].at].key =
				arena_format(arena, "%s\n[%zu]", names.rows[i].name, i - first + 1);
	}
}

static struct kin kin_by_key(struct arena *arena, const struct kin_row *rows, size_t count)
{
	struct kin kin = {.rows = rows, .count = count};
	for (size_t i = 0; i < count; i++)
		names_add(arena, &kin.names, rows[i].key, i);
	names_sort(&kin.names);
	return kin;
}

struct kin kin_of(struct arena *arena, const xmlNode *parent)
{
	struct kin_row *rows = NULL;
	size_t count = 0, capacity = 0;
	for (const xmlNode *node = kin_first(parent); node; node = kin_after(node)) {
		rows = arena_grow(arena, rows, count, &capacity, sizeof *rows);
		rows[count++] = (struct kin_row){.node = node, .key = name_of(arena, node)};
	}
	if (rows)
		number_alike(arena, rows, count);
	return kin_by_key(arena, rows, count);
}

const xmlNode *kin_find(struct kin *kin, const char *key)
{
	size_t first = names_first(&kin->names, key, strlen(key)), end = names_next(&kin->names, first), at = first;
	while (at < end && kin->names.rows[at].at < kin->next)
		at++;
	if (first == end)
		return NULL;
	size_t row = kin->names.rows[at < end ? at : first].at;
	kin->next = row + 1;
	return kin->rows[row].node;
}

static void collect(struct arena *arena, const xmlNode *element, const char *name, struct kin_row **rows, size_t *count,
	size_t *capacity)
{
	const char *value = kin_value(arena, element, name);
	if (value) {
		*rows = arena_grow(arena, *rows, *count, capacity, sizeof **rows);
		(*rows)[(*count)++] = (struct kin_row){.node = element, .key = value};
	}
	for (const xmlNode *node = kin_first(element); node; node = kin_after(node))
		collect(arena, node, name, rows, count, capacity);
}

struct kin kin_with(struct arena *arena, const xmlNode *root, const char *name)
{
	struct kin_row *rows = NULL;
	size_t count = 0, capacity = 0;
	collect(arena, root, name, &rows, &count, &capacity);
	return kin_by_key(arena, rows, count);
}

/* "12.50 barg" and "12.5 barg": one figure in one unit. What names an item, a document or a metal is no figure. */
bool kin_same_value(const char *name, const char *one, const char *other)
{
	static const char names[] =
		"tag id name was from to stream grade material case date document data schedule size number "
		"piping-class title service";
	char *after_one, *after_other;
	if (text_same(one, other))
		return true;
	if (!one || !other || text_has_word(names, name))
		return false;
	size_t sign = strspn(one, "<>");
	if (sign != strspn(other, "<>") || strncmp(one, other, sign) != 0)
		return false;
	double first = strtod(one + sign, &after_one), second = strtod(other + sign, &after_other);
	return after_one > one + sign && after_other > other + sign && number_same(first, second) &&
		strcmp(after_one, after_other) == 0;
}

/* Has `by` every attribute of the element, with its value? */
static bool covers(struct arena *arena, const xmlNode *element, const xmlNode *by)
{
	for (const xmlAttr *attribute = element->properties; attribute; attribute = attribute->next) {
		const char *name = (const char *)attribute->name;
		const char *value = kin_value(arena, element, name), *there = kin_value(arena, by, name);
		bool document = there && strcmp(name, "document") == 0;
		if (!document_is_for_editors(attribute) && strcmp(name, "data") != 0 &&
			!kin_same_value(name, document ? without_cells(arena, value) : value,
				document ? without_cells(arena, there) : there))
			return false;
	}
	return true;
}

bool kin_equal(struct arena *arena, const xmlNode *one, const xmlNode *other)
{
	struct kin ones = kin_of(arena, one), others = kin_of(arena, other);
	bool same = strcmp((const char *)one->name, (const char *)other->name) == 0 && covers(arena, one, other) &&
		covers(arena, other, one) && ones.count == others.count &&
		text_same(kin_text(arena, one), kin_text(arena, other));
	for (size_t i = 0; i < ones.count && same; i++) {
		const xmlNode *found = kin_find(&others, ones.rows[i].key);
		same = found && kin_equal(arena, ones.rows[i].node, found);
	}
	return same;
}

const char *kin_called(struct arena *arena, const xmlNode *element)
{
	const char *name = NULL;
	size_t i = 0;
	for (; i < COUNT(naming) && !name; i++)
		name = kin_value(arena, element, naming[i]);
	const char *called = arena_join(arena, (const char *)element->name, name ? " " : "", name ? name : "", "");
	bool alone = (name && i <= NAMING_ALONE) || !element->parent || element->parent->type != XML_ELEMENT_NODE ||
		strcmp((const char *)element->parent->name, "unit") == 0;
	return alone ? called : arena_of(arena, called, kin_called(arena, element->parent));
}
