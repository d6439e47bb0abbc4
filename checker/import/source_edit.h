/*
 * Changes of an XML file as a text: an attribute set, added or dropped, an element added or removed, and every other byte,
 * comments and layout among them, left as it is. The places are those of the file as it was read; changes are collected and
 * made at once.
 *
 * The file is well formed (document.h). Changes do not overlap: what is removed is not edited. Changes of one place are made
 * in the order in which they were asked for.
 */
#ifndef LEANRICH_SOURCE_EDIT_H
#define LEANRICH_SOURCE_EDIT_H

#include <libxml/tree.h>

#include "base/text.h"
#include "read/document.h"

struct source_span {
	size_t start, end; /* bytes; end is after the last */
};

struct source_edits {
	struct arena *arena;
	const struct document *document;
	struct source_edit *rows;
	size_t count, capacity;
};

struct source_edits source_edits_of(struct arena *arena, const struct document *document);

/* The element from "<" to the end of its end tag; and the start tag alone. */
struct source_span source_element(const struct document *document, const xmlNode *element);
struct source_span source_start_tag(const struct document *document, const xmlNode *element);

/* The comment before the element with nothing but blanks between; start == end: there is none. */
struct source_span source_comment_before(const struct document *document, const xmlNode *element);

/* Where what is to follow the element on a line of its own goes: after a comment on the same line. */
size_t source_after(const struct document *document, const xmlNode *element);

/* The blanks between the start of the line and the place; NULL when something else is there too. */
const char *source_indent(struct arena *arena, const struct document *document, size_t at);

/* NULL drops the attribute. The value is text; it is escaped here. */
void source_set(struct source_edits *edits, const xmlNode *element, const char *name, const char *value);
void source_replace(struct source_edits *edits, struct source_span span, const char *with);
void source_insert(struct source_edits *edits, size_t at, const char *what);
/* The element with its comment if asked for, and the blanks before it up to the line before. */
void source_remove(struct source_edits *edits, const xmlNode *element, bool with_comment);
/* Elements, each on a line of its own, after the last child; an empty element is opened. */
void source_append(struct source_edits *edits, const xmlNode *element, const char *children, const char *indent);

/* The file with all changes made. */
struct text source_changed(const struct source_edits *edits);

/* Text as the value of an attribute, or as a comment, in which two dashes may not follow each other. */
void source_add_value(struct text *out, const char *words);
void source_add_comment(struct text *out, const char *words);

#endif
