#include "design.h"

#include <string.h>

#include "text.h"

static const char *content_of(struct arena *arena, const xmlNode *node)
{
	struct text text = text_in(arena);
	for (const xmlNode *child = node->children; child; child = child->next)
		if (child->type == XML_TEXT_NODE || child->type == XML_CDATA_SECTION_NODE)
			text_add(&text, (const char *)child->content);
	const char *start = text.data + strspn(text.data, " \t\r\n");
	char *end = text.data + text.length;
	while (end > start && strchr(" \t\r\n", end[-1]))
		*--end = '\0';
	return start;
}

static void copy_attributes(struct arena *arena, const struct document *document, const xmlNode *node,
	const struct vocabulary_element *meaning, struct element *element)
{
	size_t count = 0;
	for (const xmlAttr *attr = node->properties; attr; attr = attr->next)
		count++;
	struct attribute *rows = arena_alloc(arena, (count + 1) * sizeof *rows);
	for (const xmlAttr *attr = node->properties; attr; attr = attr->next) {
		const struct vocabulary_attribute *known = vocabulary_attribute(meaning, (const char *)attr->name);
		if (!known)
			continue;
		xmlChar *value = xmlNodeListGetString(document->tree, attr->children, 1);
		rows[element->attribute_count++] = (struct attribute){
			.meaning = known,
			.written = arena_copy(arena, value ? (const char *)value : ""),
			.place = document_attribute_place(document, node, (const char *)attr->name),
		};
		xmlFree(value);
	}
	element->attributes = rows;
}

static struct element *copy_element(struct arena *arena, const struct document *document, const xmlNode *node,
	const struct vocabulary_element *meaning, const struct element *parent)
{
	struct element *element = arena_alloc(arena, sizeof *element);
	element->meaning = meaning;
	element->parent = parent;
	element->place = document_place(document, node);
	element->text = meaning->text ? content_of(arena, node) : "";
	copy_attributes(arena, document, node, meaning, element);
	size_t count = 0;
	for (const xmlNode *child = node->children; child; child = child->next)
		count += child->type == XML_ELEMENT_NODE;
	const struct element **children = arena_alloc(arena, (count + 1) * sizeof *children);
	for (const xmlNode *child = node->children; child; child = child->next) {
		if (child->type != XML_ELEMENT_NODE)
			continue;
		const struct vocabulary_element *known = vocabulary_child(meaning, (const char *)child->name);
		children[element->child_count++] = copy_element(arena, document, child, known, element);
	}
	element->children = children;
	return element;
}

static const struct design *from_document(struct arena *arena, struct document *document,
	const struct vocabulary *vocabulary, const char *xsd, size_t xsd_size, struct problems *problems)
{
	struct design *design = NULL;
	if (document->tree && document_check(document, vocabulary, xsd, xsd_size, problems)) {
		design = arena_alloc(arena, sizeof *design);
		design->file = document->file;
		design->root = copy_element(arena, document, xmlDocGetRootElement(document->tree), vocabulary->root, NULL);
	}
	document_release(document);
	return design;
}

const struct design *design_read(struct arena *arena, const char *path, const struct vocabulary *vocabulary,
	const char *xsd, size_t xsd_size, struct problems *problems)
{
	struct document document = document_read(arena, path, problems);
	return from_document(arena, &document, vocabulary, xsd, xsd_size, problems);
}

const struct design *design_parse(struct arena *arena, const char *name, const char *bytes, size_t size,
	const struct vocabulary *vocabulary, const char *xsd, size_t xsd_size, struct problems *problems)
{
	struct document document = document_parse(arena, name, bytes, size, problems);
	return from_document(arena, &document, vocabulary, xsd, xsd_size, problems);
}

const char *element_attribute(const struct element *element, const char *name)
{
	for (size_t i = 0; i < element->attribute_count; i++)
		if (strcmp(element->attributes[i].meaning->name, name) == 0)
			return element->attributes[i].written;
	return NULL;
}
