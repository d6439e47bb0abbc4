#include "write/paper.h"

#include <stdbool.h>
#include <string.h>

#include "base/count.h"
#include "base/text.h"

static bool is(const xmlNode *node, const char *name)
{
	return node->type == XML_ELEMENT_NODE && text_same((const char *)node->name, name);
}

static bool has_class(xmlNode *node, const char *class)
{
	const xmlAttr *attribute = node->type == XML_ELEMENT_NODE ? xmlHasProp(node, (const xmlChar *)"class") : NULL;
	const char *at = attribute && attribute->children ? (const char *)attribute->children->content : "";
	size_t length = strlen(class);
	while ((at = strstr(at, class))) {
		if (at[length] == '\0' || at[length] == ' ')
			return true;
		at += length;
	}
	return false;
}

static void drop(xmlNode *node)
{
	xmlUnlinkNode(node);
	xmlFreeNode(node);
}

static bool stays_off(xmlNode *node)
{
	return has_class(node, "of-met");
}

/* Its children take its place. */
static void unwrap(xmlNode *node)
{
	for (xmlNode *child = node->children, *next; child; child = next) {
		next = child->next;
		xmlAddPrevSibling(node, child);
	}
	drop(node);
}

static void say_before(xmlNode *node, const char *words)
{
	xmlAddPrevSibling(node, xmlNewDocText(node->doc, (const xmlChar *)words));
}

static bool is_plain_text(const xmlNode *node)
{
	for (const xmlNode *child = node->children; child; child = child->next) {
		if (child->type != XML_TEXT_NODE)
			return false;
		for (const char *at = (const char *)child->content; *at; at++)
			if ((signed char)*at < 0)
				return false;
	}
	return true;
}

/* What stood on a line of its own, or beside a value, is told from what is before it by a sign. */
static const char *sign_before(xmlNode *node, bool limits)
{
	if (has_class(node, "line"))
		return node->prev ? limits ? "; " : " · " : "";
	if (has_class(node, "others") || has_class(node, "second") || has_class(node, "calculation"))
		return is(node->parent, "b") ? ", " : " ";
	return "";
}

/* From the inside out, so that what is unwrapped has nothing left to unwrap. */
static void make_words(xmlNode *parent, bool limits)
{
	for (xmlNode *node = parent->children, *next; node; node = next) {
		next = node->next;
		if (node->type != XML_ELEMENT_NODE)
			continue;
		make_words(node, limits);
		if (is(node, "span") || is(node, "i") || is(node, "cite")) {
			say_before(node, sign_before(node, limits));
			unwrap(node);
		} else if (is(node, "bdi") && is_plain_text(node)) {
			unwrap(node);
		}
	}
}

static bool is_last_cell(const xmlNode *cell)
{
	return !cell->next;
}

/* One row as one line: the head in bold, a dash before each cell. */
static void make_line(xmlNode *row, bool limits, bool single)
{
	xmlNodeSetName(row, (const xmlChar *)"div");
	for (xmlNode *cell = row->children, *next; cell; cell = next) {
		next = cell->next;
		if (single && is_last_cell(cell)) {
			drop(cell);
			continue;
		}
		bool head = is(cell, "th"), result = has_class(cell, "result");
		if (head) {
			xmlNodeSetName(cell, (const xmlChar *)"b");
			xmlUnsetProp(cell, (const xmlChar *)"scope");
		}
		make_words(cell, limits);
		if (head)
			continue;
		if (cell->children)
			say_before(cell, result ? " → " : cell->prev ? " — " : "");
		unwrap(cell);
	}
}

/* A table that runs on as lines on paper; its class says which it is. */
static void make_lines(xmlNode *table)
{
	bool limits = has_class(table, "limits"), single = has_class(table, "single");
	xmlNodeSetName(table, (const xmlChar *)"div");
	for (xmlNode *part = table->children, *next; part; part = next) {
		next = part->next;
		if (is(part, "caption") || is(part, "thead")) {
			drop(part);
			continue;
		}
		for (xmlNode *row = part->children, *after; row; row = after) {
			after = row->next;
			if (stays_off(row))
				drop(row);
			else
				make_line(row, limits, single);
		}
		unwrap(part);
	}
}

static bool runs_on(xmlNode *node)
{
	static const char *const classes[] = {"limits", "working", "sources", "rules"};
	bool found = false;
	for (size_t i = 0; i < COUNT(classes) && is(node, "table"); i++)
		found |= has_class(node, classes[i]);
	return found;
}

static void prepare(xmlNode *parent)
{
	for (xmlNode *node = parent->children, *next; node; node = next) {
		next = node->next;
		if (node->type != XML_ELEMENT_NODE)
			continue;
		if (stays_off(node)) {
			drop(node);
			continue;
		}
		if (runs_on(node))
			make_lines(node);
		else
			prepare(node);
		if (is(node, "bdi") && !node->properties && is_plain_text(node))
			unwrap(node);
	}
}

void paper_prepare(struct html *html)
{
	prepare(html->body);
}
