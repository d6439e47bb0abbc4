#include "read/element.h"

#include <string.h>

#include "base/text.h"

static const char *content_of(struct arena *arena, const xmlNode *node)
{
	struct text text = text_in(arena);
	bool gap = false;
	for (const xmlNode *child = node->children; child; child = child->next)
		for (const xmlChar *c = child->type == XML_TEXT_NODE ? child->content : NULL; c && *c; c++) {
			bool blank = strchr(" \t\r\n", *c) != NULL;
			if (!blank && gap && text.length)
				text_add_char(&text, ' ');
			if (!blank)
				text_add_char(&text, (char)*c);
			gap = blank;
		}
	return text.data;
}

struct copier {
	struct arena *arena;
	const struct document *document;
	bool proven; /* no fault will be laid to an attribute: its element's place will do */
};

/* On elements that carry attributes of any name each is plain text. */
static const struct vocabulary_attribute *meaning_of(
	struct arena *arena, const struct vocabulary_element *element, const char *name)
{
	static const struct vocabulary_type text = {
		.name = "text", .accepted = {.kinds = {KIND_TEXT}, .count = 1}, .documentation = ""};
	const struct vocabulary_attribute *known = vocabulary_attribute(element, name);
	if (known || !element->any_attribute)
		return known;
	struct vocabulary_attribute *any = arena_alloc(arena, sizeof *any);
	*any = (struct vocabulary_attribute){.name = arena_copy(arena, name), .type = &text, .documentation = ""};
	return any;
}

static void copy_attributes(const struct copier *copier, const xmlNode *node, const struct vocabulary_element *meaning,
	struct element *element)
{
	struct arena *arena = copier->arena;
	size_t count = 0;
	for (const xmlAttr *attr = node->properties; attr; attr = attr->next)
		count++;
	struct attribute *rows = arena_alloc(arena, (count + 1) * sizeof *rows);
	for (const xmlAttr *attr = node->properties; attr; attr = attr->next) {
		if (document_is_for_editors(attr))
			continue;
		const struct vocabulary_attribute *known = meaning_of(arena, meaning, (const char *)attr->name);
		if (!known) {
			element->incomplete = true;
			continue;
		}
		xmlChar *value = xmlNodeListGetString(copier->document->tree, attr->children, 1);
		rows[element->attribute_count++] = (struct attribute){
			.meaning = known,
			.written = arena_copy(arena, value ? (const char *)value : ""),
			.place = copier->proven
				? element->place
				: document_attribute_place(copier->document, node, (const char *)attr->name),
		};
		xmlFree(value);
	}
	element->attributes = rows;
}

static struct element *copy_element(const struct copier *copier, const xmlNode *node,
	const struct vocabulary_element *meaning, const struct element *parent)
{
	struct arena *arena = copier->arena;
	struct element *element = arena_alloc(arena, sizeof *element);
	element->meaning = meaning;
	element->parent = parent;
	element->place = document_place(copier->document, node);
	element->text = meaning->text ? content_of(arena, node) : "";
	copy_attributes(copier, node, meaning, element);
	size_t count = 0;
	for (const xmlNode *child = node->children; child; child = child->next)
		count += child->type == XML_ELEMENT_NODE;
	const struct element **children = arena_alloc(arena, (count + 1) * sizeof *children);
	for (const xmlNode *child = node->children; child; child = child->next) {
		if (child->type != XML_ELEMENT_NODE)
			continue;
		const struct vocabulary_element *known = vocabulary_child(meaning, (const char *)child->name);
		if (!known) {
			element->incomplete = true;
			continue;
		}
		children[element->child_count++] = copy_element(copier, child, known, element);
	}
	element->children = children;
	return element;
}

static const struct element *from_document(
	struct arena *arena, struct document *document, const struct vocabulary *vocabulary, struct problems *problems)
{
	struct element *root = NULL;
	if ((document->tree || document->empty) && !vocabulary->proven)
		document_check(document, vocabulary, problems);
	if (document->tree) {
		const struct copier copier = {arena, document, vocabulary->proven};
		const xmlNode *node = xmlDocGetRootElement(document->tree);
		const struct vocabulary_element *known = vocabulary_root(vocabulary, (const char *)node->name);
		if (known)
			root = copy_element(&copier, node, known, NULL);
		if (root)
			root->cut_off = document->cut_off;
	}
	document_release(document);
	return root;
}

const struct element *element_read(
	struct arena *arena, const char *path, const struct vocabulary *vocabulary, struct problems *problems)
{
	struct document document = document_read(arena, path, problems);
	return from_document(arena, &document, vocabulary, problems);
}

const struct element *element_parse(struct arena *arena, const char *name, const char *bytes, size_t size,
	const struct vocabulary *vocabulary, struct problems *problems)
{
	return element_parse_up_to(arena, name, bytes, size, DOCUMENT_MOST_ELEMENTS, vocabulary, problems);
}

const struct element *element_parse_up_to(struct arena *arena, const char *name, const char *bytes, size_t size,
	size_t most_elements, const struct vocabulary *vocabulary, struct problems *problems)
{
	struct document document = document_parse_up_to(arena, name, bytes, size, most_elements, problems);
	return from_document(arena, &document, vocabulary, problems);
}

size_t element_count(const struct element *element)
{
	size_t count = 1;
	for (size_t i = 0; i < element->child_count; i++)
		count += element_count(element->children[i]);
	return count;
}

static const struct attribute *find(const struct element *element, const char *name)
{
	for (size_t i = 0; i < element->attribute_count; i++)
		if (strcmp(element->attributes[i].meaning->name, name) == 0)
			return &element->attributes[i];
	return NULL;
}

const char *element_attribute(const struct element *element, const char *name)
{
	const struct attribute *attribute = find(element, name);
	return attribute ? attribute->written : NULL;
}

const char *element_attribute_or(const struct element *element, const char *name, const char *otherwise)
{
	const char *written = element_attribute(element, name);
	return written ? written : otherwise;
}

struct place element_attribute_place(const struct element *element, const char *name)
{
	const struct attribute *attribute = find(element, name);
	return attribute ? attribute->place : element->place;
}

bool element_is(const struct element *element, const char *name)
{
	return strcmp(element->meaning->name, name) == 0;
}

const struct element *element_child(const struct element *element, const char *name)
{
	for (size_t i = 0; i < element->child_count; i++)
		if (element_is(element->children[i], name))
			return element->children[i];
	return NULL;
}

const struct vocabulary_element *element_meaning(const struct element *element, const char *name)
{
	if (element_is(element, name))
		return element->meaning;
	const struct vocabulary_element *found = NULL;
	for (size_t i = 0; i < element->child_count && !found; i++)
		found = element_meaning(element->children[i], name);
	return found;
}
