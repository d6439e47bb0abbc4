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

static bool is_ascii(const xmlNode *text)
{
	for (const char *at = (const char *)text->content; *at; at++)
		if ((signed char)*at < 0)
			return false;
	return true;
}

/* ASCII all through. */
static bool is_plain(const xmlNode *node)
{
	for (const xmlNode *child = node->children; child; child = child->next)
		if (child->type == XML_TEXT_NODE ? !is_ascii(child) : !is_plain(child))
			return false;
	return true;
}

static bool is_plain_text(const xmlNode *node)
{
	for (const xmlNode *child = node->children; child; child = child->next)
		if (child->type != XML_TEXT_NODE)
			return false;
	return is_plain(node);
}

/* What stood on a line of its own, or beside a value, is told from what is before it by a sign. */
static const char *sign_before(xmlNode *node, bool limits)
{
	if (has_class(node, "line"))
		return node->prev ? limits ? "; " : " · " : "";
	if (has_class(node, "others") || has_class(node, "second") || has_class(node, "calculation"))
		return is(node->parent, "b") ? ", " : " ";
	if (is(node, "p"))
		return node->prev ? " " : "";
	return "";
}

/* A paragraph goes on in its line; it stays an element where it may be written from right to left. */
static void make_inline(xmlNode *paragraph)
{
	if (is_plain(paragraph)) {
		unwrap(paragraph);
		return;
	}
	xmlNodeSetName(paragraph, (const xmlChar *)"span");
	xmlUnsetProp(paragraph, (const xmlChar *)"class");
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
		} else if (is(node, "p")) {
			say_before(node, sign_before(node, limits));
			make_inline(node);
		}
	}
}

/* How the rows of one table become lines. */
struct lines {
	bool limits; /* of published limits: the letter is not bold, and what they say is separated by semicolons */
	bool single; /* without the last cell, the use made of the only limit */
	bool items;  /* that depart: what is said of one stands in its line */
	bool headed; /* figures that say little without the head of their column */
	const xmlNode *heads;
};

/* What is told of a name stands after it, and is not bold: where an item is described, how to look for damage. */
static void put_rest_after(xmlNode *head)
{
	xmlNode *last = head->last;
	if (!last || !(has_class(last, "place") || has_class(last, "mechanism")))
		return;
	char *words = (char *)xmlNodeGetContent(last);
	xmlAddNextSibling(head, xmlNewDocText(head->doc, (const xmlChar *)words));
	xmlFree(words);
	drop(last);
}

/* The head of a row: bold, but for the letter of a limit. */
static void make_head(xmlNode *head, bool limits)
{
	put_rest_after(head);
	make_words(head, limits);
	if (limits) {
		unwrap(head);
		return;
	}
	xmlNodeSetName(head, (const xmlChar *)"b");
	xmlUnsetProp(head, (const xmlChar *)"scope");
	xmlUnsetProp(head, (const xmlChar *)"class");
}

/* A dash before each cell, and the name of its column where the figure needs one. */
static void make_cell(xmlNode *cell, const struct lines *lines, const xmlNode *head)
{
	bool result = has_class(cell, "result");
	make_words(cell, lines->limits);
	if (cell->children) {
		say_before(cell, result ? " → " : cell->prev ? " — " : "");
		if (lines->headed && head && head->children) {
			say_before(cell, (const char *)head->children->content);
			say_before(cell, " ");
		}
	}
	unwrap(cell);
}

static void make_line(xmlNode *row, const struct lines *lines)
{
	enum { NAMED_FROM = 2 }; /* what the first two cells of a row are, their words tell */
	size_t column = 0;
	const xmlNode *head = lines->heads;
	xmlNodeSetName(row, (const xmlChar *)"div");
	for (xmlNode *cell = row->children, *next; cell; cell = next) {
		next = cell->next;
		if (lines->single && !next)
			drop(cell);
		else if (is(cell, "th"))
			make_head(cell, lines->limits);
		else
			make_cell(cell, lines, column >= NAMED_FROM ? head : NULL);
		column++;
		head = head ? head->next : NULL;
	}
}

/* The row continues the line before it. */
static void append_line(xmlNode *row)
{
	xmlNode *before = row->prev;
	xmlAddChild(before, xmlNewDocText(row->doc, (const xmlChar *)". "));
	while (row->children) {
		xmlNode *child = row->children;
		xmlUnlinkNode(child); /* a text that joins the one before it is freed */
		xmlAddChild(before, child);
	}
	drop(row);
}

static void make_rows(xmlNode *body, const struct lines *lines)
{
	for (xmlNode *row = body->children, *next; row; row = next) {
		next = row->next;
		if (stays_off(row)) {
			drop(row);
			continue;
		}
		make_line(row, lines);
		if (lines->items && row->prev && has_class(row, "own-words"))
			append_line(row);
	}
	unwrap(body);
}

/* Of tables whose heading says it all the caption is only for who cannot see them. */
static void make_caption(xmlNode *caption, bool headed)
{
	if (headed)
		xmlNodeSetName(caption, (const xmlChar *)"p");
	else
		drop(caption);
}

/* A table that runs on as lines on paper; its class says which it is. */
static void make_lines(xmlNode *table)
{
	struct lines lines = {.limits = has_class(table, "limits"),
		.single = has_class(table, "single"),
		.items = has_class(table, "items"),
		.headed = has_class(table, "headed")};
	xmlNode *caption = table->children, *head = caption->next;
	lines.heads = head->children->children;
	xmlNodeSetName(table, (const xmlChar *)"div");
	for (xmlNode *part = head->next, *next; part; part = next) {
		next = part->next;
		make_rows(part, &lines);
	}
	drop(head);
	make_caption(caption, lines.headed);
	xmlSetProp(table, (const xmlChar *)"class", (const xmlChar *)"run-on");
}

static bool runs_on(xmlNode *node)
{
	static const char *const classes[] = {
		"limits", "working", "sources", "rules", "items", "mechanisms", "unread", "headed"};
	bool found = false;
	for (size_t i = 0; node && i < COUNT(classes) && is(node, "table"); i++)
		found |= has_class(node, classes[i]);
	return found;
}

/* What was found and what to do about it are one paragraph, as they look: of one part, not three. */
static void join_remedy(xmlNode *message)
{
	xmlNode *remedy = message->next;
	if (!remedy || !has_class(remedy, "remedy") || !is_plain_text(message) || !remedy->children)
		return;
	xmlNode *first = remedy->children;
	while (message->children)
		xmlAddPrevSibling(first, message->children);
	say_before(first, " ");
	drop(message);
}

/* Looks the same without: the sign of an action, a name that runs from left to right. */
static bool only_wraps(xmlNode *node)
{
	return is(node, "span") ? has_class(node, "mark") : is(node, "bdi") && !node->properties && is_plain_text(node);
}

/* Fewer parts that look the same: each costs a fifth of a millisecond of layout. */
static void shorten(xmlNode *node)
{
	if (only_wraps(node))
		unwrap(node);
	else if (is(node, "p") && has_class(node, "message"))
		join_remedy(node);
	else if (is(node, "p") && !node->children)
		drop(node);
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
		if (has_class(node, "region") && runs_on(node->children)) {
			make_lines(node->children);
			unwrap(node);
			continue;
		}
		prepare(node);
		shorten(node);
	}
}

void paper_prepare(struct html *html)
{
	prepare(html->body);
}
